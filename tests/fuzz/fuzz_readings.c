/* fuzz_readings.c - any bytes as readings of a house, and what their temperatures say
 *
 * A first line "csv" makes the rest comma-separated values, else it is YAML. One context and house
 * serve every input. */

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "evenbreath.h"
#include "fuzz.h"

static const char house_text[] =
    "rules: none\n"
    "levels: {low: 70 %}\n"
    "rooms:\n"
    "  liv: {use: living, area: 21 m2, height: 2.4 m, supply: 14 l/s}\n"
    "  bath: {use: bathroom, area: 5 m2, height: 2.4 m, extract: 14 l/s, supply: 3 l/s}\n"
    "valves: {v: {loss: {columns: [mm, l/s/Pa^0.5], points: [[2, 0.8], [6, 2.1], [12, 3.6]]}}}\n"
    "unit:\n"
    "  name: u\n"
    "  exchanger: {temperature_ratio: 85 %, at: 20 l/s}\n"
    "  fan: {curves: [{speed: 100 %, columns: [l/s, Pa], points: [[0, 420], [80, 180]]}]}\n"
    "  frost: {method: reduce-supply, below: -3 C}\n"
    "ducts:\n"
    "  supply:\n"
    "    - {run: s, from: unit, to: x, duct: {bore: 125 mm, roughness: 0.1 mm}, length: 2 m}\n"
    "    - {run: sl, from: x, to: liv, duct: {bore: 100 mm, roughness: 0.1 mm}, length: 2 m, "
    "valve: v}\n"
    "    - {run: sb, from: x, to: bath, duct: {bore: 80 mm, roughness: 0.1 mm}, length: 2 m}\n"
    "  extract:\n"
    "    - {run: e, from: bath, to: unit, duct: {bore: 100 mm, roughness: 0.1 mm}, length: 2 m, "
    "valve: v}\n";

static void require(bool good) {
  if (!good)
    abort();
}

static bool orderly(const eb_estimate *figure) {
  if (isnan(figure->value))
    return isnan(figure->low) && isnan(figure->high);
  return isfinite(figure->value) && figure->low <= figure->value && figure->value <= figure->high;
}

static void check_state(const eb_unit_state *state) {
  double sum = 0.0;
  require(orderly(&state->supply_ratio) && orderly(&state->extract_ratio) &&
          orderly(&state->corrected_ratio) && orderly(&state->flow_ratio) &&
          orderly(&state->measured_flow_ratio) && orderly(&state->recovered_w) &&
          orderly(&state->fan_heat_k) && orderly(&state->condensate_kg_h));
  for (size_t i = 0; i < state->n_causes; i++) {
    require(state->causes[i].message != NULL && state->causes[i].probability >= 0.0);
    require(!strstr(state->causes[i].message, "nan"));
    sum += state->causes[i].probability;
  }
  require(state->n_causes == 0 || fabs(sum - 1.0) < 1e-9);
}

static void diagnose(eb_context *context, const eb_house *house, const eb_readings *readings) {
  const eb_unit_diagnosis *diagnosis = NULL;
  eb_diagnose_options options = {.size = sizeof options, .may_lack = true};
  eb_ledger *ledger = eb_ledger_new(context);
  eb_status status = eb_unit_diagnose(context, house, readings, &options, ledger, &diagnosis);
  require(status == EB_OK && diagnosis != NULL);
  for (size_t i = 0; i < diagnosis->n_states; i++)
    check_state(&diagnosis->states[i]);
  eb_unit_diagnosis_free(diagnosis);
  eb_ledger_free(ledger);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  static eb_context *context;
  static eb_house *house;
  if (!context) {
    context = eb_context_new(NULL);
    require(context && eb_house_read(context, "house.yaml", house_text, sizeof house_text - 1, NULL,
                                     &house) == EB_OK);
    eb_diagnostics_clear(context);
  }
  bool csv = size >= 4 && memcmp(data, "csv\n", 4) == 0;
  size_t skip = csv ? 4 : 0, count = 0, errors = 0;
  eb_readings *readings = NULL;
  eb_status status = eb_readings_read(context, house, csv ? "r.csv" : "r.yaml", data + skip,
                                      size - skip, &readings);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++) {
    require(all[i].code && all[i].message && all[i].line >= 0 && all[i].column >= 0);
    errors += all[i].severity == EB_ERROR;
  }
  require((status == EB_OK) == (readings != NULL) && (status == EB_OK) == (errors == 0));
  if (readings)
    diagnose(context, house, readings);
  eb_readings_free(readings);
  eb_diagnostics_clear(context);
  return 0;
}
