/* balance_explain.c - the account of a balance in the ledger */

#include <math.h>

#include "design/balance.h"

static ebi_step explain_reading(const ebi_found *found, eb_ledger *ledger, const ebi_datum *datum) {
  const ebi_balance_model *model = found->model;
  const ebi_side *side = &model->job.side[datum->side];
  const char *run = side->runs[side->terminals[datum->number].run].run->name;
  size_t round = model->stands[datum->stand].round + 1;
  ebi_step raw = EBI_NO_STEP;
  if (datum->reading->n_flows > 0)
    raw = ebi_ledger_input(ledger, datum->reading->where, datum->reading->flows[0], EBI_FLOW,
                           "reading at %s, round %zu", run, round);
  return ebi_ledger_step(ledger, EBI_F_READING, NULL, datum->value, EBI_FLOW, &raw, 1,
                         "flow read at %s, round %zu, corrected", run, round);
}

/* One step for each terminal: what all rounds together make of it. */
static ebi_step explain_fit(const ebi_found *found, eb_ledger *ledger) {
  const ebi_balance_model *model = found->model;
  ebi_step *readings = EBI_NEW_ARRAY(model->scratch, ebi_step, model->n_data + 1);
  size_t n = 0;
  if (readings == NULL)
    return EBI_NO_STEP;
  for (size_t i = 0; i < model->n_data; i++)
    if (model->data[i].kind == EBI_DATUM_TERMINAL)
      readings[n++] = explain_reading(found, ledger, &model->data[i]);
  return ebi_ledger_step(ledger, EBI_F_BALANCE_FIT, NULL, found->fit.cost, EBI_NUMBER, readings, n,
                         "misfit of readings and priors, sum of squares");
}

static void explain_terminal(eb_ledger *ledger, const eb_balance_terminal *t, ebi_step fit) {
  if (!isnan(t->now_m3_s))
    (void)ebi_ledger_step(ledger, EBI_F_BALANCE_FIT, NULL, t->now_m3_s, EBI_FLOW, &fit, 1,
                          "flow of %s as it stands", t->run);
  if (t->has_opening)
    (void)ebi_ledger_step(ledger, EBI_F_BALANCE_OPENING, NULL, t->next_opening, EBI_NUMBER, &fit, 1,
                          "opening of %s in %s", t->run, t->opening_unit);
  (void)ebi_ledger_step(ledger, EBI_F_BALANCE_PREDICTED, NULL, t->predicted_m3_s, EBI_FLOW, &fit, 1,
                        "flow of %s once set", t->run);
}

static void explain_level(eb_ledger *ledger, const eb_balance_level *level, ebi_step fit) {
  const double signals[] = {level->supply_signal, level->extract_signal};
  const double flows[] = {level->supply_m3_s, level->extract_m3_s};
  static const char *const sides[] = {"supply", "extract"};
  ebi_step totals[2];
  for (int s = 0; s < 2; s++) {
    (void)ebi_ledger_step(ledger, EBI_F_BALANCE_SIGNAL, NULL, signals[s], EBI_RATIO, &fit, 1,
                          "%s signal at %s", sides[s], level->name);
    totals[s] = ebi_ledger_step(ledger, EBI_F_BALANCE_PREDICTED, NULL, flows[s], EBI_FLOW, &fit, 1,
                                "%s total at %s", sides[s], level->name);
  }
  (void)ebi_ledger_step(ledger, EBI_F_IMBALANCE, NULL, level->imbalance, EBI_RATIO, totals, 2,
                        "imbalance at %s", level->name);
}

static void explain_status(eb_ledger *ledger, const eb_balance *balance, ebi_step fit) {
  const eb_balance_status *status = &balance->status;
  if (!isnan(status->probability))
    (void)ebi_ledger_step(ledger, EBI_F_BALANCE_CHANCE, NULL, status->probability, EBI_RATIO, &fit,
                          1, "that the house as it stands is within the rule");
  (void)ebi_ledger_step(ledger, EBI_F_BALANCE_CHANCE, NULL, status->reach_probability, EBI_RATIO,
                        &fit, 1, "that it will be once set");
  if (status->over_supply > 0.0)
    (void)ebi_ledger_step(ledger, EBI_F_OVER_SUPPLY, NULL, status->over_supply, EBI_RATIO, &fit, 1,
                          "aimed at above the design");
  for (size_t i = 0; i < balance->n_suspects; i++)
    (void)ebi_ledger_step(ledger, EBI_F_SUSPECT, NULL, balance->suspects[i].probability, EBI_RATIO,
                          &fit, 1, "%s at %s", balance->suspects[i].code, balance->suspects[i].run);
}

eb_status ebi_balance_explain(const ebi_found *found, const eb_balance *balance,
                              eb_ledger *ledger) {
  if (ledger == NULL)
    return EB_OK;
  ebi_step fit = explain_fit(found, ledger);
  for (size_t i = 0; i < balance->n_terminals; i++)
    explain_terminal(ledger, &balance->terminals[i], fit);
  for (size_t l = 0; l < balance->n_levels; l++)
    explain_level(ledger, &balance->levels[l], fit);
  explain_status(ledger, balance, fit);
  return ebi_ledger_status(ledger);
}
