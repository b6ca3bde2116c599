/* findings_rates.c - what a reader of the air plan must be told beside its figures */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

/* Flows this much below a requirement are rounding, not shortfall. */
#define SLACK 1e-9

/* Dwellings of 16 European countries' rules need 0.23 to 1.21 changes an hour. */
#define PLAUSIBLE_LEAST 0.2
#define PLAUSIBLE_MOST 1.3
static const char plausible_source[] =
    "Brelih & Seppanen, 32nd AIVC Conference, Brussels 2011: 0.23 to 1.21 air changes an hour "
    "across the rules of 16 countries";

/* One fan a side that must lift the whole dwelling this far above what the
 * rooms need is a reason for a valve with two positions. Own choice. */
#define OVERSHOOT 1.5

static double l_s(double m3_s) {
  return m3_s * 1e3;
}

bool ebi_short_of(double flow, double required) {
  return flow < required * (1.0 - SLACK);
}

/* ---- The description ---- */

static void check_floor_area(const ebi_rates_plan *plan) {
  const eb_house *house = plan->house;
  double sum = 0.0;
  for (size_t i = 0; i < house->n_rooms; i++)
    sum += house->rooms[i].area.given ? house->rooms[i].area.value : 0.0;
  if (!house->floor_area.given && plan->drivers[EBI_PER_FLOOR_AREA].given)
    ebi_diag(plan->context, EB_WARNING, "floor-area-summed", house->where, NULL,
             "no floor_area is given: the listed rooms are summed, %.1f m2; the rules count all "
             "floors with halls and stairs",
             sum);
  else if (house->floor_area.given && sum > house->floor_area.value * 1.001)
    ebi_diag(plan->context, EB_WARNING, "floor-area-small", house->floor_area.where, NULL,
             "floor_area is %.1f m2, but the listed rooms alone have %.1f m2",
             house->floor_area.value, sum);
}

static void check_bedrooms(const ebi_rates_plan *plan) {
  const eb_house *house = plan->house;
  double listed = 0.0;
  for (size_t i = 0; i < house->n_rooms; i++)
    for (size_t j = 0; j < house->rooms[i].n_uses; j++)
      listed += ebi_text_equal(house->rooms[i].uses[j], "bedroom") ? 1.0 : 0.0;
  if (house->bedrooms.given && listed > house->bedrooms.value)
    ebi_diag(plan->context, EB_WARNING, "bedrooms-few", house->bedrooms.where, NULL,
             "bedrooms is %.0f, but %.0f rooms are listed with the use bedroom",
             house->bedrooms.value, listed);
}

/* ---- Totals and levels ---- */

static bool side_served(const ebi_rates_plan *plan, ebi_side side) {
  for (size_t i = 0; i < plan->house->n_rooms; i++)
    if (plan->duties[side][i].served)
      return true;
  return false;
}

static void check_totals(const ebi_rates_plan *plan) {
  const char *source =
      plan->rules && plan->rules->whole_dwelling ? plan->rules->whole_dwelling->source.text : NULL;
  double supply = plan->side_total[EBI_SIDE_SUPPLY].value;
  double extract = plan->side_total[EBI_SIDE_EXTRACT].value;
  for (int side = 0; side < EBI_SIDES; side++) {
    double total = plan->side_total[side].value;
    const char *name = ebi_side_name((ebi_side)side);
    if (!side_served(plan, (ebi_side)side))
      ebi_diag(plan->context, EB_WARNING, "side-empty", plan->house->where, source,
               "no room has %s: the plan is not complete", name);
    else if (ebi_short_of(total, plan->whole.value))
      ebi_diag(plan->context, EB_WARNING, "whole-dwelling-low", plan->house->where, source,
               "%s totals %.2f l/s at normal; %.2f l/s is required for the whole dwelling", name,
               l_s(total), l_s(plan->whole.value));
  }
  if (fabs(supply - extract) > 1e-6 * fmax(supply, extract) && side_served(plan, EBI_SIDE_SUPPLY) &&
      side_served(plan, EBI_SIDE_EXTRACT))
    ebi_diag(plan->context, EB_WARNING, "unbalanced", plan->house->where, NULL,
             "the flows given leave the plan unbalanced at normal: supply %.2f l/s, extract "
             "%.2f l/s; leave a room of the smaller side without a flow and it takes up the rest",
             l_s(supply), l_s(extract));
}

static ebi_where where_of_level(const ebi_rates_plan *plan, const char *name) {
  for (size_t i = 0; i < plan->house->n_levels; i++)
    if (ebi_text_equal(plan->house->levels[i].name, name))
      return plan->house->levels[i].where;
  return plan->house->where;
}

/* What needs the factor: a room, or the rules for the dwelling. */
static void check_boost_given(const ebi_rates_plan *plan, ebi_where where) {
  const ebi_level_factor *boost = &plan->levels[1];
  if (plan->boost_room)
    ebi_diag(plan->context, EB_WARNING, "boost-low", where, NULL,
             "boost is given as %.0f %% of normal; %s of \"%s\" needs %.0f %%",
             boost->factor * 100.0, ebi_side_name(plan->boost_side), plan->boost_room->name,
             plan->boost_needed * 100.0);
  else
    ebi_diag(plan->context, EB_WARNING, "boost-low", where,
             boost->rule ? boost->rule->source.text : NULL,
             "boost is given as %.0f %% of normal; the rules ask for %.0f %%",
             boost->factor * 100.0, plan->boost_needed * 100.0);
}

static void check_boost_most(const ebi_rates_plan *plan, ebi_where where) {
  const ebi_level_factor *boost = &plan->levels[1];
  if (boost->rule && boost->rule->factor_at_most.given &&
      boost->factor > boost->rule->factor_at_most.value * (1.0 + SLACK))
    ebi_diag(plan->context, EB_WARNING, "boost-high", where, boost->rule->source.text,
             "boost is %.0f %% of normal; the rules allow %.0f %%", boost->factor * 100.0,
             boost->rule->factor_at_most.value * 100.0);
}

static void check_boost(const ebi_rates_plan *plan) {
  const ebi_level_factor *boost = &plan->levels[1];
  double total = plan->side_total[EBI_SIDE_EXTRACT].value * boost->factor;
  ebi_where where = where_of_level(plan, "boost");
  check_boost_most(plan, where);
  if (ebi_short_of(boost->factor, plan->boost_needed))
    check_boost_given(plan, where);
  else if (plan->boost_room && plan->rules && boost->factor <= plan->boost_needed &&
           total > OVERSHOOT * plan->boost_required.value)
    ebi_diag(plan->context, EB_WARNING, "boost-overshoot", where, NULL,
             "to bring \"%s\" to its high rate, boost lifts all extract to %.1f l/s where %.1f "
             "l/s would do; a two-position valve there would save the difference",
             plan->boost_room->name, l_s(total), l_s(plan->boost_required.value));
}

/* A level under the continuous rate, judged by what the rules say of a level of
 * that name, else by what they ask of an empty dwelling. */
static void check_low_level(ebi_rates_plan *plan, const ebi_level_factor *level, double flow) {
  const ebi_rule_set *rules = plan->rules;
  ebi_where where = where_of_level(plan, level->name);
  ebi_term_result empty;
  if (level->required > 0.0 && ebi_short_of(flow, level->required))
    ebi_diag(plan->context, EB_WARNING, "level-low", where, level->rule->source.text,
             "level \"%s\" moves %.1f l/s; the rules ask for %.1f l/s at it", level->name,
             l_s(flow), l_s(level->required));
  if (level->required > 0.0 || !ebi_short_of(flow, plan->whole.value))
    return;
  ebi_diag(plan->context, EB_WARNING, "level-low", where, rules->whole_dwelling->source.text,
           "level \"%s\" moves %.1f l/s; the rules ask for %.1f l/s continuously, so it is "
           "for an empty dwelling only",
           level->name, l_s(flow), l_s(plan->whole.value));
  if (rules->unoccupied && ebi_term_try(plan, rules->unoccupied, NULL, "unoccupied", &empty) &&
      empty.governing && ebi_short_of(flow, empty.flow))
    ebi_diag(plan->context, EB_WARNING, "level-low-empty", where, rules->unoccupied->source.text,
             "level \"%s\" moves %.1f l/s; the rules ask for %.1f l/s even while nobody is at "
             "home",
             level->name, l_s(flow), l_s(empty.flow));
}

static void check_low_levels(ebi_rates_plan *plan) {
  double total =
      fmin(plan->side_total[EBI_SIDE_SUPPLY].value, plan->side_total[EBI_SIDE_EXTRACT].value);
  for (size_t i = 2; plan->rules && i < plan->n_levels; i++)
    check_low_level(plan, &plan->levels[i], total * plan->levels[i].factor);
}

static void check_plausible(const ebi_rates_plan *plan, const eb_rates *rates) {
  double flow = fmax(rates->supply_total_m3_s[0], rates->extract_total_m3_s[0]);
  double changes = rates->volume_m3 > 0.0 ? flow * 3600.0 / rates->volume_m3 : 0.0;
  if (changes > 0.0 && (changes < PLAUSIBLE_LEAST || changes > PLAUSIBLE_MOST))
    ebi_diag(plan->context, EB_WARNING, "air-change-unusual", plan->house->where, plausible_source,
             "%.1f l/s in %.0f m3 is %.2f air changes an hour; %.1f to %.1f is usual", l_s(flow),
             rates->volume_m3, changes, PLAUSIBLE_LEAST, PLAUSIBLE_MOST);
}

void ebi_rates_findings(ebi_rates_plan *plan, const eb_rates *rates) {
  ebi_known_findings(plan);
  check_floor_area(plan);
  check_bedrooms(plan);
  ebi_room_findings(plan);
  check_totals(plan);
  check_boost(plan);
  check_low_levels(plan);
  check_plausible(plan, rates);
  ebi_rule_findings(plan, rates);
}
