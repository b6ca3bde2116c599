/* diagnose.c - what the temperatures of a running unit say: the entry point */

#include "design/diagnose.h"

#include <math.h>

#include "base/result.h"

/* A cause less likely than this is not worth the reader's time. */
#define LEAST_PROBABILITY 0.01

typedef struct job {
  eb_context *context;
  const eb_house *house;
  const eb_readings *readings;
  eb_ledger *ledger;
  ebi_arena *arena;
  ebi_terminal_counts counts;
  bool may_lack;
} job;

void eb_unit_diagnosis_free(const eb_unit_diagnosis *diagnosis) {
  ebi_result_free(diagnosis);
}

/* ---- One round --------------------------------------------------------- */

static eb_estimate scaled(eb_estimate estimate, double factor) {
  return (eb_estimate){estimate.value * factor, estimate.low * factor, estimate.high * factor};
}

static eb_estimate not_negative(eb_estimate estimate) {
  if (!isnan(estimate.low))
    estimate.low = fmax(estimate.low, 0.0);
  return estimate;
}

static void set_figures(const ebi_unit_reading *r, eb_unit_state *state) {
  state->round = r->number;
  state->outdoor_c = r->x[EBI_IN_OUTDOOR];
  state->supply_c = r->x[EBI_IN_SUPPLY];
  state->extract_c = r->x[EBI_IN_EXTRACT];
  state->exhaust_c = r->x[EBI_IN_EXHAUST];
  state->supply_ratio = ebi_unit_estimate(ebi_unit_supply_ratio, r);
  state->extract_ratio = ebi_unit_estimate(ebi_unit_extract_ratio, r);
  state->corrected_ratio = ebi_unit_estimate(ebi_unit_corrected_ratio, r);
  state->flow_ratio = ebi_unit_estimate(ebi_unit_flow_ratio, r);
  state->measured_flow_ratio = ebi_unit_estimate(ebi_unit_measured_flow_ratio, r);
  state->recovered_w = ebi_unit_estimate(ebi_unit_recovered, r);
  state->fan_heat_k = ebi_unit_estimate(ebi_unit_fan_heat, r);
  state->condensate_kg_h = not_negative(scaled(ebi_unit_estimate(ebi_unit_condensate, r), 3600.0));
  state->dew_point_c = eb_dew_point(r->x[EBI_IN_EXTRACT], r->x[EBI_IN_HUMIDITY]);
}

/* The likeliest first; of two alike the one that stands first in the list of causes. */
static void sort(int order[EBI_CAUSES], const ebi_cause_weight weights[EBI_CAUSES]) {
  for (int i = 0; i < EBI_CAUSES; i++) {
    int at = i;
    for (; at > 0 && weights[order[at - 1]].probability < weights[i].probability; at--)
      order[at] = order[at - 1];
    order[at] = i;
  }
}

static bool set_causes(const job *j, const ebi_unit_reading *r, eb_unit_state *state) {
  ebi_cause_weight weights[EBI_CAUSES];
  int order[EBI_CAUSES];
  ebi_unit_weigh(r, weights);
  sort(order, weights);
  eb_unit_cause *causes = EBI_NEW_ARRAY(j->arena, eb_unit_cause, EBI_CAUSES);
  double sum = 0.0;
  for (int i = 0; i < EBI_CAUSES; i++)
    sum += weights[i].probability >= LEAST_PROBABILITY ? weights[i].probability : 0.0;
  for (int i = 0; causes != NULL && i < EBI_CAUSES; i++) {
    const ebi_cause_weight *one = &weights[order[i]];
    if (!(one->probability >= LEAST_PROBABILITY))
      continue;
    const char *words = ebi_cause_words(j->arena, r, (ebi_cause)order[i], one, state);
    if (words == NULL)
      return false;
    causes[state->n_causes++] =
        (eb_unit_cause){ebi_cause_code((ebi_cause)order[i]), words, one->probability / sum};
  }
  state->causes = causes;
  return causes != NULL;
}

/* ---- Findings ---------------------------------------------------------- */

static void say_limits(const job *j, const ebi_unit_reading *r, const eb_unit_state *state) {
  double span = state->extract_c - state->outdoor_c;
  ebi_where where = r->round->where;
  if (!(fabs(span) >= EBI_LEAST_DIFFERENCE))
    ebi_diag(
        j->context, EB_NOTE, "diagnosis-mild", where, NULL,
        "round %zu: extract and outdoor air are %.1f K apart, too little to tell causes apart; "
        "read again on a cold day",
        r->number + 1, fabs(span));
  if (state->supply_ratio.low > 1.0 || state->extract_ratio.low > 1.0)
    ebi_diag(
        j->context, EB_WARNING, "diagnosis-impossible", where, NULL,
        "round %zu: the %s ratio is %.2f, %.2f even at the edge of the thermometers' error; no "
        "exchanger gives more than 1: see to the sensors",
        r->number + 1, state->supply_ratio.low > 1.0 ? "supply" : "extract",
        state->supply_ratio.low > 1.0 ? state->supply_ratio.value : state->extract_ratio.value,
        state->supply_ratio.low > 1.0 ? state->supply_ratio.low : state->extract_ratio.low);
}

/* Starving the supply raises its ratio. */
static void say_trap(const job *j, const ebi_unit_reading *r, const eb_unit_state *state) {
  if (!(state->flow_ratio.high < 1.0) || !isnan(state->measured_flow_ratio.value))
    return;
  ebi_diag(j->context, EB_NOTE, "diagnosis-trap", r->round->where, NULL,
           "round %zu: the supply ratio, %.2f, stands above the extract ratio, %.2f. That is no "
           "praise: too little supply air does it too, while less of the heat is kept; read both "
           "flows",
           r->number + 1, state->supply_ratio.value, state->extract_ratio.value);
}

static void say_lacking(const job *j, const ebi_round *round, size_t number, const char *air) {
  bool any = false;
  for (int i = 0; i < 4; i++)
    any = any || round->temperature[i].given;
  if (any)
    ebi_diag(j->context, EB_NOTE, "diagnosis-missing", round->where, NULL,
             "round %zu lacks the temperature of the %s air: without all four the unit is not "
             "diagnosed",
             number + 1, air);
}

/* ---- All --------------------------------------------------------------- */

static eb_status diagnose_round(const job *j, size_t number, eb_unit_state *state) {
  ebi_unit_reading reading =
      ebi_unit_reading_of(j->house, &j->counts, &j->readings->rounds[number], number);
  set_figures(&reading, state);
  say_limits(j, &reading, state);
  say_trap(j, &reading, state);
  if (fabs(state->extract_c - state->outdoor_c) >= EBI_LEAST_DIFFERENCE &&
      !set_causes(j, &reading, state))
    return EB_E_MEMORY;
  ebi_unit_explain(&reading, state, j->ledger);
  return EB_OK;
}

static eb_status diagnose(job *j, eb_unit_diagnosis *diagnosis) {
  const eb_readings *readings = j->readings;
  eb_unit_state *states = EBI_NEW_ARRAY(j->arena, eb_unit_state, readings->n_rounds);
  size_t count = 0;
  eb_status status = states == NULL ? EB_E_MEMORY : EB_OK;
  if (!ebi_unit_count_terminals(j->house, j->arena, &j->counts))
    status = EB_E_MEMORY;
  for (size_t i = 0; status == EB_OK && i < readings->n_rounds; i++) {
    const char *lacks = ebi_unit_reading_lacks(&readings->rounds[i]);
    if (lacks != NULL)
      say_lacking(j, &readings->rounds[i], i, lacks);
    else
      status = diagnose_round(j, i, &states[count++]);
  }
  if (status == EB_OK && count == 0 && !j->may_lack) {
    ebi_diag(j->context, EB_ERROR, "diagnosis-missing", readings->where, NULL,
             "no round has the four temperatures at the unit: write temperatures: {outdoor: 4 C, "
             "supply: 17.2 C, extract: 20.5 C, exhaust: 8 C}");
    status = EB_E_INPUT;
  }
  *diagnosis = (eb_unit_diagnosis){states, count};
  return status;
}

static eb_status finish(const job *j, eb_status status) {
  if (ebi_diags_failed(j->context))
    return EB_E_MEMORY;
  return status == EB_OK ? ebi_ledger_status(j->ledger) : status;
}

eb_status eb_unit_diagnose(eb_context *context, const eb_house *house, const eb_readings *readings,
                           const eb_diagnose_options *options, eb_ledger *ledger,
                           const eb_unit_diagnosis **diagnosis) {
  if (context == NULL || house == NULL || readings == NULL || diagnosis == NULL ||
      readings->house != house || readings->context != context ||
      (options != NULL && options->size < sizeof options->size))
    return EB_E_ARGUMENT;
  job j = {.context = context, .house = house, .readings = readings, .ledger = ledger};
  j.may_lack = options != NULL && options->may_lack;
  eb_unit_diagnosis *result = EBI_NEW_RESULT(context, eb_unit_diagnosis);
  if (result == NULL)
    return EB_E_MEMORY;
  j.arena = ebi_result_arena(result);
  eb_status status = finish(&j, diagnose(&j, result));
  if (status == EB_OK)
    *diagnosis = result;
  else
    ebi_result_free(result);
  return status;
}
