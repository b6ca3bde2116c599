/* controller.c - what the controller of a unit is told, as it shows it */

#include "controller.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "json.h"

static bool is(const eb_controller *controller, const char *unit) {
  return strcmp(controller->unit, unit) == 0;
}

cli_controller_text controller_text(const eb_controller *controller, double signal) {
  cli_controller_text shown = {"-"};
  double value = controller->scale * signal;
  if (!isfinite(signal))
    return shown;
  int decimals = is(controller, "V") || is(controller, "l/s") ? 1 : 0;
  if (is(controller, "step"))
    snprintf(shown.text, sizeof shown.text, "step %.0f", value);
  else
    snprintf(shown.text, sizeof shown.text, "%.*f %s", decimals, value, controller->unit);
  return shown;
}

void controller_json(json_t *object, const char *percent_key, const char *shown_key,
                     const eb_controller *controller, double signal) {
  bool share = is(controller, "%") || is(controller, "V");
  json_put_number(object, percent_key, share ? 100 * signal : (double)NAN);
  json_put_text(object, shown_key,
                isfinite(signal) ? controller_text(controller, signal).text : NULL);
}
