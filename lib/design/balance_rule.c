/* balance_rule.c - how near its design a measured flow must be */

#include <math.h>

#include "design/balance.h"

/* Where the rule set names none: 10 % for a terminal, and for the unbalance of the totals (common
 * practice of balancing, as ASHRAE 111 is remembered). */
#define USUAL 0.10

static void take_commissioning(const ebi_commissioning_rule *given, ebi_balance_rule *rule) {
  rule->two_sided = given->two_sided;
  rule->room = given->room.given ? given->room.value : USUAL;
  rule->system = given->system.given ? given->system.value : rule->room;
  rule->totals = given->two_sided && given->system.given;
  rule->or_within = given->or_within.given ? given->or_within.value : 0.0;
  rule->source = given->source.text;
  rule->words = given->two_sided ? "each near its design" : "none below its design";
}

static void take_imbalance(const ebi_imbalance_rule *given, ebi_balance_rule *rule) {
  rule->imbalance = given->at_most.given ? given->at_most.value : HUGE_VAL;
  rule->imbalance_within = given->or_within.given ? given->or_within.value : 0.0;
  rule->divisor = given->divisor;
}

static eb_status take_designs(const ebi_balance_model *model, ebi_balance_rule *rule) {
  const ebi_ducts_job *job = &model->job;
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    rule->design[s] = EBI_NEW_ARRAY(model->scratch, double, side->n_terminals + 1);
    if (rule->design[s] == NULL)
      return EB_E_MEMORY;
    for (size_t t = 0; t < side->n_terminals; t++)
      rule->design[s][t] =
          ebi_ducts_room_flow(job, ebi_terminal_design(side, &side->terminals[t], model->level));
  }
  return EB_OK;
}

eb_status ebi_balance_rule_of(const ebi_balance_model *model, ebi_balance_rule *rule) {
  const ebi_rule_set *set = model->house->rules;
  *rule = (ebi_balance_rule){.two_sided = true,
                             .room = USUAL,
                             .system = USUAL,
                             .totals = true,
                             .imbalance = USUAL,
                             .divisor = EBI_OF_LARGER,
                             .words = "each within 10 % of its design, totals too",
                             .source = "common practice, no source"};
  if (set != NULL && set->commissioning.given)
    take_commissioning(&set->commissioning, rule);
  if (set != NULL && set->imbalance.at_most.given)
    take_imbalance(&set->imbalance, rule);
  return take_designs(model, rule);
}

double ebi_balance_imbalance(const ebi_balance_rule *rule, double supply, double extract) {
  double divisor = rule->divisor == EBI_OF_SUPPLY   ? supply
                   : rule->divisor == EBI_OF_LARGER ? fmax(supply, extract)
                                                    : 0.5 * (supply + extract);
  return divisor > 0.0 ? (supply - extract) / divisor : 0.0;
}

static bool near(double flow, double design, double share, double or_within) {
  return fabs(flow - design) <= fmax(share * design, or_within) * (1.0 + 1e-9);
}

static double slack(const ebi_balance_rule *rule, double design) {
  return fmax(rule->room * design, rule->or_within);
}

double ebi_rule_lowest(const ebi_balance_rule *rule, double design) {
  if (!(design > 0.0))
    return NAN;
  return rule->two_sided ? design - slack(rule, design) : design;
}

double ebi_rule_highest(const ebi_balance_rule *rule, double design) {
  return design > 0.0 && rule->two_sided ? design + slack(rule, design) : (double)NAN;
}

bool ebi_rule_allows_flow(const ebi_balance_rule *rule, double flow, double design) {
  if (!(design > 0.0))
    return true;
  return rule->two_sided ? near(flow, design, rule->room, rule->or_within)
                         : flow >= design * (1.0 - 1e-9);
}

bool ebi_rule_allows_totals(const ebi_balance_model *model, const ebi_balance_rule *rule,
                            const double total[EBI_SIDES], const double design[EBI_SIDES]) {
  bool both = true;
  for (int s = 0; s < EBI_SIDES; s++) {
    both = both && model->job.side[s].network != NULL;
    if (rule->totals && design[s] > 0.0 &&
        !near(total[s], design[s], rule->system, rule->or_within))
      return false;
  }
  double unbalance = ebi_balance_imbalance(rule, total[0], total[1]);
  return !both || fabs(unbalance) <= rule->imbalance ||
         fabs(total[0] - total[1]) <= rule->imbalance_within;
}

bool ebi_rule_allows(const ebi_balance_model *model, const ebi_balance_rule *rule,
                     const double *const flows[EBI_SIDES]) {
  double total[EBI_SIDES] = {0.0, 0.0}, design[EBI_SIDES] = {0.0, 0.0};
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++) {
      if (!ebi_rule_allows_flow(rule, flows[s][t], rule->design[s][t]))
        return false;
      total[s] += flows[s][t];
      design[s] += rule->design[s][t];
    }
  return ebi_rule_allows_totals(model, rule, total, design);
}
