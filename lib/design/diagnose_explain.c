/* diagnose_explain.c - the account of a unit's figures in the ledger */

#include <math.h>

#include "design/diagnose.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])

typedef struct account {
  const ebi_unit_reading *reading;
  eb_ledger *ledger;
  ebi_step t[4], supply_flow, extract_flow, humidity, power;
} account;

static ebi_step input(account *a, const ebi_given *given, double si, ebi_kind kind,
                      const char *what) {
  ebi_where where = given->given ? given->where : a->reading->round->where;
  if (isnan(si))
    return EBI_NO_STEP;
  return ebi_ledger_input(a->ledger, where, si, kind, "%s, round %zu", what,
                          a->reading->number + 1);
}

static ebi_step step(account *a, ebi_formula formula, eb_estimate value, ebi_kind kind,
                     const ebi_step *inputs, size_t n, const char *what) {
  if (isnan(value.value))
    return EBI_NO_STEP;
  return ebi_ledger_step(a->ledger, formula, NULL, value.value, kind, inputs, n, "%s, round %zu",
                         what, a->reading->number + 1);
}

static void record_inputs(account *a) {
  static const char *const names[] = {"outdoor temperature", "supply temperature",
                                      "extract temperature", "exhaust temperature"};
  const ebi_unit_reading *r = a->reading;
  for (int air = 0; air < 4; air++)
    a->t[air] = input(a, &r->round->temperature[air], r->x[air], EBI_TEMPERATURE, names[air]);
  a->supply_flow =
      input(a, &r->round->unit_flow[EB_SUPPLY], r->x[EBI_IN_SUPPLY_FLOW], EBI_FLOW, "supply flow");
  a->extract_flow = input(a, &r->round->unit_flow[EB_EXTRACT], r->x[EBI_IN_EXTRACT_FLOW], EBI_FLOW,
                          "extract flow");
  a->humidity = input(a, &r->round->humidity[EB_EXTRACT], r->x[EBI_IN_HUMIDITY], EBI_RATIO,
                      "extract humidity");
  a->power = input(a, &r->round->power, r->fan_power_w, EBI_POWER, "power of both fans");
}

static void record_ratios(account *a, const eb_unit_state *s) {
  ebi_step supply_side[] = {a->t[EB_OUTDOOR], a->t[EB_SUPPLY], a->t[EB_EXTRACT]};
  ebi_step extract_side[] = {a->t[EB_OUTDOOR], a->t[EB_EXTRACT], a->t[EB_EXHAUST]};
  ebi_step fan[] = {a->power, a->supply_flow};
  ebi_step ratio = step(a, EBI_F_UNIT_SUPPLY_RATIO, s->supply_ratio, EBI_RATIO, supply_side,
                        LENGTH(supply_side), "supply temperature ratio");
  (void)step(a, EBI_F_UNIT_EXTRACT_RATIO, s->extract_ratio, EBI_RATIO, extract_side,
             LENGTH(extract_side), "extract temperature ratio");
  ebi_step warmth = step(a, EBI_F_UNIT_FAN_HEAT, s->fan_heat_k, EBI_TEMPERATURE_DIFFERENCE, fan,
                         LENGTH(fan), "warming by the supply fan");
  ebi_step parts[] = {ratio, warmth};
  (void)step(a, EBI_F_UNIT_CORRECTED_RATIO, s->corrected_ratio, EBI_RATIO, parts, LENGTH(parts),
             "supply temperature ratio of the exchanger alone");
}

static void record_flows(account *a, const eb_unit_state *s) {
  ebi_step flows[] = {a->supply_flow, a->extract_flow};
  ebi_step heat[] = {a->supply_flow, a->t[EB_OUTDOOR], a->t[EB_SUPPLY]};
  ebi_step water[] = {a->humidity,     a->t[EB_EXTRACT], a->t[EB_OUTDOOR],
                      a->t[EB_SUPPLY], a->supply_flow,   a->extract_flow};
  (void)step(a, EBI_F_UNIT_FLOW_RATIO, s->flow_ratio, EBI_NUMBER, a->t, 4,
             "supply over extract by temperatures");
  (void)step(a, EBI_F_UNIT_MEASURED_FLOWS, s->measured_flow_ratio, EBI_NUMBER, flows, LENGTH(flows),
             "supply over extract by flows");
  (void)step(a, EBI_F_UNIT_RECOVERED, s->recovered_w, EBI_POWER, heat, LENGTH(heat),
             "heat into the supply air");
  if (!isnan(s->condensate_kg_h.value))
    (void)ebi_ledger_step(a->ledger, EBI_F_UNIT_CONDENSATE, NULL, s->condensate_kg_h.value,
                          EBI_MASS, water, LENGTH(water), "condensate of an hour, round %zu",
                          a->reading->number + 1);
}

void ebi_unit_explain(const ebi_unit_reading *reading, const eb_unit_state *state,
                      eb_ledger *ledger) {
  if (ledger == NULL)
    return;
  account a = {.reading = reading, .ledger = ledger};
  record_inputs(&a);
  record_ratios(&a, state);
  record_flows(&a, state);
  for (size_t i = 0; i < state->n_causes; i++)
    (void)ebi_ledger_step(ledger, EBI_F_UNIT_CAUSE, NULL, state->causes[i].probability, EBI_RATIO,
                          a.t, 4, "%s, round %zu", state->causes[i].code, reading->number + 1);
}
