/* fuzz_house.c - any bytes as a house, and all that can be asked of it
 *
 * A first line "#set PATH=VALUE" becomes an override. One context serves every
 * input, as in a batch: nothing may be left of one house in the next. */

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "evenbreath.h"
#include "fuzz.h"

static void require(bool good) {
  if (!good)
    abort();
}

/* A failure must have said why; a success must not have called it an error. */
static void check_said(const eb_context *context, eb_status status) {
  size_t count = 0, errors = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++) {
    require(all[i].code && all[i].message && all[i].line >= 0 && all[i].column >= 0);
    errors += all[i].severity == EB_ERROR;
  }
  require((status == EB_OK) == (errors == 0));
}

static void calculate(eb_context *context, const eb_house *house) {
  const eb_rates *rates = NULL;
  const eb_ducts *ducts = NULL;
  const eb_energy *energy = NULL;
  eb_ledger *ledger = eb_ledger_new(context);
  if (eb_rates_plan(context, house, NULL, ledger, &rates) == EB_OK) {
    require(isfinite(rates->required_m3_s) && isfinite(rates->boost_required_m3_s));
    if (eb_house_has_ducts(house) &&
        eb_ducts_design(context, house, rates, NULL, ledger, &ducts) == EB_OK)
      require(isfinite(ducts->residual_pressure_pa) && isfinite(ducts->residual_flow_m3_s));
    if (eb_energy_year(context, house, rates, ducts, NULL, ledger, &energy) == EB_OK)
      require(isfinite(energy->saving_heat_kwh) && isfinite(energy->fan_kwh));
  }
  if (energy)
    eb_energy_free(energy);
  if (ducts)
    eb_ducts_free(ducts);
  if (rates)
    eb_rates_free(rates);
  eb_ledger_free(ledger);
}

/* The override of a first line "#set ...", or NULL. */
static char *override_of(const uint8_t *data, size_t size) {
  const uint8_t *end = size > 5 && memcmp(data, "#set ", 5) == 0 ? memchr(data, '\n', size) : NULL;
  if (!end)
    return NULL;
  size_t length = (size_t)(end - data) - 5;
  char *text = malloc(length + 1);
  require(text != NULL);
  memcpy(text, data + 5, length);
  text[length] = '\0';
  return text;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  static eb_context *context;
  if (!context)
    context = eb_context_new(NULL);
  require(context != NULL);
  char *text = override_of(data, size);
  const char *const overrides[] = {text};
  eb_read_options options = {sizeof options, overrides, text ? 1 : 0, 0};
  eb_house *house = NULL;
  eb_status status = eb_house_read(context, "house.yaml", data, size, &options, &house);
  check_said(context, status);
  require((status == EB_OK) == (house != NULL));
  if (house)
    calculate(context, house);
  eb_house_free(house);
  eb_diagnostics_clear(context);
  free(text);
  return 0;
}
