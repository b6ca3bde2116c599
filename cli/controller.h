/* controller.h - what the controller of a unit is told, as it shows it */

#ifndef CLI_CONTROLLER_H
#define CLI_CONTROLLER_H

#include <jansson.h>

#include "evenbreath.h"

typedef struct cli_controller_text {
  char text[32]; /* "45 %", "4.5 V", "step 2", "120 m3/h" */
} cli_controller_text;

cli_controller_text controller_text(const eb_controller *controller, double signal);

/* Puts the signal as a share under one key, null where the controller is told steps or a flow, and
 * as it shows it under the other. */
void controller_json(json_t *object, const char *percent_key, const char *shown_key,
                     const eb_controller *controller, double signal);

#endif
