/* diagnose.c - what readings of a running unit say, after its year */

#include "diagnose.h"

#include <math.h>

#include "json.h"
#include "sheet.h"
#include "wrapped.h"

eb_status readings_of_run(cli_run *run) {
  const char *path = run->options->readings;
  if (path == NULL)
    return EB_OK;
  return eb_readings_read_file(run->context, run->house, path, &run->readings);
}

/* Readings of flows alone are no diagnosis, and no mistake. */
eb_status diagnosis_of_run(cli_run *run) {
  const eb_diagnose_options options = {.size = sizeof options, .may_lack = true};
  if (run->readings == NULL)
    return EB_OK;
  return eb_unit_diagnose(run->context, run->house, run->readings, &options, run->ledger,
                          &run->diagnosis);
}

/* ---- text ---- */

/* A figure with its limits; nothing where the readings do not tell it. */
static void figure_row(cli_sheet *sheet, const char *what, const char *unit,
                       const eb_estimate *figure, int decimals) {
  if (isnan(figure->value))
    return;
  sheet_cell(sheet, "  %s", what);
  sheet_cell(sheet, "%.*f", decimals, figure->value);
  sheet_cell(sheet, "%s", unit);
  sheet_cell(sheet, "%.*f to %.*f", decimals, figure->low, decimals, figure->high);
}

static bool figures_text(const eb_unit_state *state, FILE *out) {
  cli_sheet *sheet = sheet_new("lrlr");
  sheet_cell(sheet, "  Figure, with its 95 %% limits");
  for (int i = 0; i < 3; i++)
    sheet_skip(sheet);
  figure_row(sheet, "supply ratio", "", &state->supply_ratio, 2);
  figure_row(sheet, "extract ratio", "", &state->extract_ratio, 2);
  figure_row(sheet, "supply ratio of the exchanger alone", "", &state->corrected_ratio, 2);
  figure_row(sheet, "supply over extract, were it dry", "", &state->flow_ratio, 2);
  figure_row(sheet, "supply over extract, by flows", "", &state->measured_flow_ratio, 2);
  figure_row(sheet, "heat into the supply", "W", &state->recovered_w, 0);
  figure_row(sheet, "warming by the supply fan", "K", &state->fan_heat_k, 1);
  figure_row(sheet, "water that drops", "kg/h", &state->condensate_kg_h, 2);
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

static void causes_text(const eb_unit_state *state, FILE *out) {
  static const size_t widths[] = {0, 5, 14, 72};
  if (state->n_causes > 0)
    fputs("  What explains it, the likeliest first\n", out);
  for (size_t i = 0; i < state->n_causes; i++) {
    char share[16];
    snprintf(share, sizeof share, "%3.0f %%", state->causes[i].probability * 100);
    const char *cells[] = {"", share, state->causes[i].code, state->causes[i].message};
    wrapped_row(cells, widths, 4, out);
  }
}

bool diagnosis_text(const cli_run *run, FILE *out) {
  const cli_unit *degrees = &run->options->units->temperature;
  for (size_t i = 0; run->diagnosis != NULL && i < run->diagnosis->n_states; i++) {
    const eb_unit_state *state = &run->diagnosis->states[i];
    fprintf(out,
            "\nThe unit in round %zu: outdoor %.1f %s, supply %.1f, extract %.1f, exhaust %.1f\n",
            state->round + 1, unit_value(degrees, state->outdoor_c), degrees->name,
            unit_value(degrees, state->supply_c), unit_value(degrees, state->extract_c),
            unit_value(degrees, state->exhaust_c));
    if (!figures_text(state, out))
      return false;
    causes_text(state, out);
  }
  return true;
}

/* ---- JSON ---- */

static void put_estimate(json_t *object, const char *key, const eb_estimate *estimate) {
  if (isnan(estimate->value)) {
    json_put(object, key, json_null());
    return;
  }
  json_t *figure = json_object();
  json_put_number(figure, "value", estimate->value);
  json_put_number(figure, "low", estimate->low);
  json_put_number(figure, "high", estimate->high);
  json_put(object, key, figure);
}

static json_t *causes_json(const eb_unit_state *state) {
  json_t *causes = json_array();
  for (size_t i = 0; i < state->n_causes; i++) {
    json_t *cause = json_object();
    json_put_text(cause, "code", state->causes[i].code);
    json_put_number(cause, "probability_percent", state->causes[i].probability * 100);
    json_put_text(cause, "message", state->causes[i].message);
    json_add(causes, cause);
  }
  return causes;
}

static json_t *state_json(const eb_unit_state *state) {
  json_t *object = json_object();
  json_put(object, "round", json_integer((json_int_t)state->round + 1));
  json_put_number(object, "outdoor_c", state->outdoor_c);
  json_put_number(object, "supply_c", state->supply_c);
  json_put_number(object, "extract_c", state->extract_c);
  json_put_number(object, "exhaust_c", state->exhaust_c);
  put_estimate(object, "supply_ratio", &state->supply_ratio);
  put_estimate(object, "extract_ratio", &state->extract_ratio);
  put_estimate(object, "corrected_ratio", &state->corrected_ratio);
  put_estimate(object, "flow_ratio", &state->flow_ratio);
  put_estimate(object, "measured_flow_ratio", &state->measured_flow_ratio);
  put_estimate(object, "recovered_w", &state->recovered_w);
  put_estimate(object, "fan_heat_k", &state->fan_heat_k);
  put_estimate(object, "condensate_kg_per_h", &state->condensate_kg_h);
  json_put_number(object, "dew_point_c", state->dew_point_c);
  json_put(object, "causes", causes_json(state));
  return object;
}

json_t *diagnosis_json(const cli_run *run) {
  if (run->diagnosis == NULL)
    return NULL;
  json_t *list = json_array();
  for (size_t i = 0; i < run->diagnosis->n_states; i++)
    json_add(list, state_json(&run->diagnosis->states[i]));
  return list;
}
