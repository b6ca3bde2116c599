/* rates_co2.c - the CO2 that a plan leaves in rooms, as a check of plausibility
 *
 * Steady state of one fully mixed room: C = Co + S/Q (ASHRAE Handbook -
 * Fundamentals 2021, ch. 16 eq. (32)). */

#include "design/rates_plan.h"

#include <math.h>

/* Outdoor air, as practice to CSN EN 15665 counts it (quoted). */
#define OUTDOORS 420e-6

/* A person gives off 13.6 l/h asleep and 20 l/h awake (EN 16798-1:2019, quoted). */
#define ASLEEP (13.6 / 3.6e6)
#define AWAKE (20.0 / 3.6e6)

static double or_else(ebi_given given, double value) {
  return given.given ? given.value : value;
}

static double outdoors(const ebi_rates_plan *plan) {
  return or_else(plan->house->co2, OUTDOORS);
}

static double given_off(const ebi_rates_plan *plan, bool asleep) {
  if (!plan->rules)
    return asleep ? ASLEEP : AWAKE;
  return asleep ? or_else(plan->rules->co2.asleep, ASLEEP) : or_else(plan->rules->co2.awake, AWAKE);
}

static ebi_step record(const ebi_rates_plan *plan, ebi_formula formula, double value, ebi_step flow,
                       const char *room, const char *level) {
  ebi_step inputs[] = {ebi_ledger_input(plan->ledger, plan->house->co2.where, outdoors(plan),
                                        EBI_CONCENTRATION, "CO2 outdoors"),
                       flow};
  return ebi_ledger_step(plan->ledger, formula, NULL, value, EBI_CONCENTRATION, inputs, 2,
                         "CO2 %s%s at %s", room ? "in " : "on average", room ? room : "", level);
}

/* Concentration at each level with `source` [m3/s] in the flow; NULL: memory. */
static const double *concentrations(ebi_rates_plan *plan, double source, double normal_flow,
                                    ebi_step flow_step, const char *room) {
  double *ppm = EBI_NEW_ARRAY(plan->arena, double, plan->n_levels);
  plan->no_memory = plan->no_memory || !ppm;
  for (size_t i = 0; ppm && i < plan->n_levels; i++) {
    double flow = normal_flow * plan->levels[i].factor;
    if (flow <= 0.0)
      continue;
    double value = outdoors(plan) + source / flow;
    record(plan, room ? EBI_F_CO2 : EBI_F_CO2_MEAN, value, flow_step, room, plan->levels[i].name);
    ppm[i] = value * 1e6;
  }
  return ppm;
}

static double limit(const ebi_rates_plan *plan) {
  if (!plan->rules)
    return 0.0;
  const ebi_co2_rule *rule = &plan->rules->co2;
  if (rule->above_outdoors.given)
    return outdoors(plan) + rule->above_outdoors.value;
  return rule->at_most.given ? rule->at_most.value : 0.0;
}

void ebi_rates_co2(ebi_rates_plan *plan, eb_rates *rates, eb_room_rates *rooms) {
  ebi_figure people = {0.0, EBI_NO_STEP};
  rates->co2_limit_ppm = limit(plan) * 1e6;
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    const ebi_room_duty *supply = &plan->duties[EBI_SIDE_SUPPLY][i];
    if (room->sleepers.given && room->sleepers.value > 0.0)
      rooms[i].co2_ppm =
          concentrations(plan, room->sleepers.value * given_off(plan, true),
                         supply->served ? supply->normal : 0.0, supply->normal_step, room->name);
  }
  if (plan->rules) {
    plan->quiet = true;
    if (!ebi_driver_value(plan, EBI_PER_PERSON, NULL, &people))
      people.value = 0.0;
    plan->quiet = false;
  } else if (plan->house->people.given) {
    people.value = plan->house->people.value;
  }
  rates->people = people.value;
  if (people.value > 0.0)
    rates->co2_mean_ppm = concentrations(plan, people.value * given_off(plan, false),
                                         plan->side_total[EBI_SIDE_SUPPLY].value,
                                         plan->side_total[EBI_SIDE_SUPPLY].step, NULL);
}
