/* rates_levels.c - the levels of the plan, and how far boost must go
 *
 * Valves stay where they are set, so each level is normal times one factor.
 * Boost is the smallest factor that brings each room to its high rate and the
 * dwelling to what the rules ask. */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

/* A factor beyond this is no design. */
#define BOOST_MOST 1e3

/* ---- The list ---- */

static const ebi_level *level_of(const eb_house *house, const char *name) {
  for (size_t i = 0; i < house->n_levels; i++)
    if (ebi_text_equal(house->levels[i].name, name))
      return &house->levels[i];
  return NULL;
}

const ebi_rule_level *ebi_rule_level_of(const ebi_rule_set *rules, const char *name) {
  for (size_t i = 0; rules && i < rules->n_levels; i++)
    if (ebi_text_equal(rules->levels[i].name, name))
      return &rules->levels[i];
  return NULL;
}

/* A level without a share of the house's takes what the rules say. */
static ebi_level_factor user_level(const ebi_rates_plan *plan, const ebi_level *level) {
  const ebi_rule_level *rule = ebi_rule_level_of(plan->rules, level->name);
  if (!level->share.given && rule)
    return (ebi_level_factor){.name = level->name,
                              .factor = rule->factor.given ? rule->factor.value : 0.0,
                              .step = EBI_NO_STEP,
                              .rule = rule};
  if (!level->share.given)
    ebi_diag(plan->context, EB_ERROR, "input-missing", level->where, NULL,
             "level \"%s\" has no share of normal; write it as a percentage, such as \"%s: 70 %%\"",
             level->name, level->name);
  ebi_step step = ebi_ledger_input(plan->ledger, level->share.where, level->share.value, EBI_RATIO,
                                   "level %s", level->name);
  return (ebi_level_factor){
      .name = level->name, .factor = level->share.value, .step = step, .rule = rule};
}

void ebi_rates_level_list(ebi_rates_plan *plan) {
  const eb_house *house = plan->house;
  const ebi_level *normal = level_of(house, "normal"), *boost = level_of(house, "boost");
  plan->levels = EBI_NEW_ARRAY(plan->arena, ebi_level_factor, house->n_levels + 2);
  plan->no_memory = plan->no_memory || !plan->levels;
  if (!plan->levels)
    return;
  if (normal && normal->share.given && normal->share.value != 1.0)
    ebi_diag(plan->context, EB_ERROR, "level-normal", normal->where, NULL,
             "normal is what other levels are shares of: it is 100 %%, not %g %%",
             normal->share.value * 100.0);
  plan->levels[0] = (ebi_level_factor){.name = "normal", .factor = 1.0, .step = EBI_NO_STEP};
  plan->levels[1] =
      (ebi_level_factor){.name = "boost",
                         .factor = boost && boost->share.given ? boost->share.value : 1.0,
                         .step = EBI_NO_STEP,
                         .rule = ebi_rule_level_of(plan->rules, "boost")};
  plan->n_levels = 2;
  for (size_t i = 0; i < house->n_levels; i++)
    if (&house->levels[i] != normal && &house->levels[i] != boost)
      plan->levels[plan->n_levels++] = user_level(plan, &house->levels[i]);
}

static size_t set_level(const ebi_rates_plan *plan) {
  for (size_t i = 0; plan->house->set_level && i < plan->n_levels; i++)
    if (ebi_text_equal(plan->levels[i].name, plan->house->set_level))
      return i;
  return 0;
}

double ebi_rates_set_factor(const ebi_rates_plan *plan) {
  double factor = plan->levels[set_level(plan)].factor;
  return factor > 0.0 ? factor : 1.0;
}

/* ---- Boost ---- */

/* The flow a room must reach at boost by its normal flow x factor; 0: it asks
 * for none. A flow that the user set at boost is what it is. */
static double wanted(const ebi_rates_plan *plan, const ebi_room_duty *duty) {
  if (!duty->served || duty->normal <= 0.0)
    return 0.0;
  if (duty->own_boost > 0.0)
    return duty->own_boost;
  return duty->fixed && set_level(plan) == 1 ? 0.0 : duty->high;
}

/* What the rules ask of the dwelling at a level by its own term and by its
 * factor; EBI_NO_STEP and 0 where nothing. False where an input is missing. */
static bool level_requirement(ebi_rates_plan *plan, const ebi_rule_level *rule,
                              ebi_figure *figure) {
  *figure = (ebi_figure){0.0, EBI_NO_STEP};
  if (!rule)
    return true;
  if (rule->factor.given && plan->whole.value > 0.0) {
    figure->value = rule->factor.value * plan->whole.value;
    figure->step =
        ebi_ledger_step(plan->ledger, EBI_F_LEVEL_REQUIRED, NULL, figure->value, EBI_FLOW,
                        &plan->whole.step, 1, "whole dwelling at %s", rule->name);
  }
  ebi_term_result result = {0.0, EBI_NO_STEP, NULL};
  if (rule->whole_dwelling &&
      !ebi_term_evaluate(plan, rule->whole_dwelling, NULL, "whole dwelling at the level", &result))
    return false;
  if (result.governing && result.flow > figure->value)
    *figure = (ebi_figure){result.flow, result.step};
  return true;
}

void ebi_rates_level_requirements(ebi_rates_plan *plan) {
  for (size_t i = 1; i < plan->n_levels; i++) {
    ebi_figure figure;
    level_requirement(plan, plan->levels[i].rule, &figure);
    plan->levels[i].required = figure.value;
    if (i == 1)
      plan->boost_whole = figure;
    else if (plan->levels[i].step == EBI_NO_STEP)
      plan->levels[i].step = figure.step;
  }
}

/* The smaller of the totals of the sides that have rooms. */
static double smaller_total(const ebi_rates_plan *plan) {
  double supply = plan->side_total[EBI_SIDE_SUPPLY].value;
  double extract = plan->side_total[EBI_SIDE_EXTRACT].value;
  return supply > 0.0 && extract > 0.0 ? fmin(supply, extract) : fmax(supply, extract);
}

/* The factor by which the dwelling's total reaches a flow, 1 at least. */
static double factor_to(const ebi_rates_plan *plan, double flow) {
  double total = smaller_total(plan);
  return total > 0.0 && flow > total ? flow / total : 1.0;
}

/* The factor that rules and rooms need for the normal flows as they are. */
static void find_needed(ebi_rates_plan *plan) {
  const ebi_rule_level *rule = plan->levels[1].rule;
  plan->boost_needed = factor_to(plan, plan->boost_whole.value);
  if (rule && rule->factor.given)
    plan->boost_needed = fmax(plan->boost_needed, rule->factor.value);
  plan->boost_room = NULL;
  for (int side = 0; side < EBI_SIDES; side++) {
    for (size_t i = 0; i < plan->house->n_rooms; i++) {
      const ebi_room_duty *duty = &plan->duties[side][i];
      double want = wanted(plan, duty);
      if (want <= plan->boost_needed * duty->normal)
        continue;
      plan->boost_needed = want / duty->normal;
      plan->boost_room = &plan->house->rooms[i];
      plan->boost_side = (ebi_side)side;
    }
  }
}

/* Shares with boost at `factor`; how far the rooms would then push it. */
static double excess(ebi_rates_plan *plan, double factor) {
  plan->levels[1].factor = factor;
  ebi_rates_share(plan);
  find_needed(plan);
  return plan->boost_needed - factor;
}

/* Valves set at boost: the user's flows at normal depend on the factor, and
 * the factor on what is left for the other rooms. Bisection. */
static void solve_boost(ebi_rates_plan *plan, double low) {
  double high = low * 2.0;
  while (high < BOOST_MOST && excess(plan, high) > 0.0)
    high *= 2.0;
  if (high >= BOOST_MOST)
    ebi_diag(plan->context, EB_ERROR, "boost-unreachable", plan->house->where, NULL,
             "no boost factor under %g suits the flows given at boost", BOOST_MOST);
  for (int i = 0; i < 200 && high - low > 1e-14 * high; i++) {
    double middle = low + 0.5 * (high - low);
    *(excess(plan, middle) > 0.0 ? &low : &high) = middle;
  }
  excess(plan, high);
}

static void record_boost(ebi_rates_plan *plan, const ebi_level *boost) {
  ebi_step inputs[] = {EBI_NO_STEP, EBI_NO_STEP, EBI_NO_STEP, plan->boost_whole.step};
  if (boost && boost->share.given)
    inputs[0] = ebi_ledger_input(plan->ledger, boost->share.where, boost->share.value, EBI_RATIO,
                                 "level boost");
  if (plan->boost_room) {
    const ebi_room_duty *duty =
        &plan->duties[plan->boost_side][plan->boost_room - plan->house->rooms];
    inputs[1] = duty->high_step;
    inputs[2] = duty->normal_step;
  }
  plan->levels[1].step = ebi_ledger_step(plan->ledger, EBI_F_BOOST_FACTOR, NULL,
                                         plan->levels[1].factor, EBI_RATIO, inputs, 4, "boost");
}

/* What all extract rooms together need at boost. */
static void find_boost_required(ebi_rates_plan *plan) {
  double sum = 0.0;
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room_duty *duty = &plan->duties[EBI_SIDE_EXTRACT][i];
    sum += duty->served ? fmax(duty->normal, duty->high) : 0.0;
  }
  ebi_step inputs[] = {plan->whole.step, plan->side_total[EBI_SIDE_EXTRACT].step,
                       plan->boost_whole.step};
  plan->boost_required.value =
      plan->rules ? fmax(fmax(plan->whole.value, plan->boost_whole.value), sum) : 0.0;
  plan->boost_required.step =
      ebi_ledger_step(plan->ledger, EBI_F_BOOST_REQUIRED, NULL, plan->boost_required.value,
                      EBI_FLOW, inputs, 3, "whole dwelling required at boost");
}

/* Levels for which the rules name a flow: the factor that reaches it. */
static void find_level_factors(ebi_rates_plan *plan) {
  double total = smaller_total(plan);
  for (size_t i = 2; i < plan->n_levels; i++) {
    ebi_level_factor *level = &plan->levels[i];
    const ebi_level *own = level_of(plan->house, level->name);
    if (!level->rule || !own || own->share.given || total <= 0.0)
      continue;
    level->factor = fmax(level->factor, level->required / total);
    level->step = ebi_ledger_step(plan->ledger, EBI_F_LEVEL_FACTOR, NULL, level->factor, EBI_RATIO,
                                  &level->step, 1, "level %s", level->name);
  }
}

void ebi_rates_levels(ebi_rates_plan *plan) {
  const ebi_level *boost = level_of(plan->house, "boost");
  bool exact = boost && boost->share.given && !boost->at_least;
  double given = plan->levels[1].factor;
  if (excess(plan, given) > 0.0 && !exact) {
    if (set_level(plan) == 1)
      solve_boost(plan, given);
    else
      plan->levels[1].factor = plan->boost_needed;
  }
  ebi_rates_share_record(plan);
  record_boost(plan, boost);
  find_boost_required(plan);
  find_level_factors(plan);
}
