/* findings_combustion.c - appliances that burn indoors, where fans draw air
 *
 * A fan can pull combustion products out of an open flue. The rules give
 * limits; the caution stands whatever the rules are. */

#include "design/combustion.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/rates_plan.h"

/* A word of a rule fits where either side leaves it open. */
static bool fits(const char *rule, const char *appliance) {
  return !rule[0] || !appliance[0] || strcmp(rule, appliance) == 0;
}

static const ebi_room *room_of(const eb_house *house, const char *name) {
  for (size_t i = 0; i < house->n_rooms; i++)
    if (ebi_text_equal(house->rooms[i].name, name))
      return &house->rooms[i];
  return NULL;
}

static bool has_use(const ebi_room *room, const char *use) {
  for (size_t i = 0; room && i < room->n_uses; i++)
    if (ebi_text_equal(room->uses[i], use))
      return true;
  return false;
}

bool ebi_burns_room_air(const ebi_appliance *appliance) {
  return ebi_text_equal(appliance->kind, "open-flued") ||
         (ebi_text_equal(appliance->fuel, "solid") &&
          !ebi_text_equal(appliance->kind, "room-sealed"));
}

/* Solid fuel burns with an open flue unless the house says room-sealed. */
static bool applies(const ebi_combustion_rule *rule, const ebi_appliance *appliance) {
  bool kind = ebi_text_equal(rule->kind, appliance->kind) ||
              (ebi_text_equal(rule->kind, "open-flued") && ebi_burns_room_air(appliance));
  return kind && fits(rule->fuel, appliance->fuel) && fits(rule->burner, appliance->burner);
}

/* The most that fans take out of a room at once: its extract at the strongest
 * level, and hoods and other fans in it. */
static double most_extract(const ebi_rates_plan *plan, const eb_rates *rates,
                           const ebi_room *room) {
  const eb_duty *levels = rates->rooms[room - plan->house->rooms].extract;
  double most = 0.0;
  for (size_t i = 0; levels && i < rates->n_levels; i++)
    most = fmax(most, levels[i].design_m3_s);
  for (size_t i = 0; i < plan->house->n_appliances; i++) {
    const ebi_appliance *hood = &plan->house->appliances[i];
    if (!ebi_burns_room_air(hood) && hood->flow.given && ebi_text_equal(hood->room, room->name))
      most += hood->flow.value;
  }
  return most;
}

static void check_extract(const ebi_rates_plan *plan, const ebi_appliance *appliance,
                          const ebi_combustion_rule *rule, const ebi_room *room, double extract) {
  if (rule->no_extract && extract > 0.0)
    ebi_diag(plan->context, EB_WARNING, "combustion-extract", appliance->where, rule->source.text,
             "\"%s\" has an open-flued %s appliance and %.1f l/s of extract; there must be none "
             "in the same room%s%s",
             room->name, rule->fuel, extract * 1e3, rule->advice[0] ? "; " : "", rule->advice);
  else if (extract > rule->extract_at_most)
    ebi_diag(plan->context, EB_WARNING, "combustion-extract", appliance->where, rule->source.text,
             "\"%s\" has an open-flued %s%s%s appliance and up to %.1f l/s of extract; at most "
             "%.1f l/s is allowed there",
             room->name, rule->fuel, rule->burner[0] ? " " : "", rule->burner, extract * 1e3,
             rule->extract_at_most * 1e3);
}

/* Permanent vent: all of the power in a tight house, what is above a
 * threshold in a leaky one; tight where leakage is not known. */
static void tell_vent(const ebi_rates_plan *plan, const ebi_appliance *appliance,
                      const ebi_combustion_rule *rule) {
  if (rule->vent_area_per_power <= 0.0)
    return;
  ebi_given permeability = ebi_house_permeability(plan->house);
  bool leaky = permeability.given && permeability.value > rule->vent_leaky_from;
  double power = appliance->rated_power.value - (leaky ? rule->vent_power_from : 0.0);
  if (!appliance->rated_power.given)
    ebi_diag(plan->context, EB_NOTE, "combustion-vent", appliance->where, rule->source.text,
             "it needs a permanent vent of %.0f mm2 for each kW of rated output",
             rule->vent_area_per_power * 1e9);
  else
    ebi_diag(plan->context, EB_NOTE, "combustion-vent", appliance->where, rule->source.text,
             "its %.1f kW need a permanent vent of %.0f mm2 (%s envelope)",
             appliance->rated_power.value * 1e-3,
             fmax(power, 0.0) * rule->vent_area_per_power * 1e6,
             leaky                ? "leaky"
             : permeability.given ? "tight"
                                  : "leakage not given: taken as a tight");
}

static void check_appliance(const ebi_rates_plan *plan, const eb_rates *rates,
                            const ebi_appliance *appliance) {
  const ebi_room *room = room_of(plan->house, appliance->room);
  for (size_t i = 0; plan->rules && i < plan->rules->n_combustion; i++) {
    const ebi_combustion_rule *rule = &plan->rules->combustion[i];
    if (!applies(rule, appliance))
      continue;
    if (room && (!rule->room_use[0] || has_use(room, rule->room_use)))
      check_extract(plan, appliance, rule, room, most_extract(plan, rates, room));
    tell_vent(plan, appliance, rule);
  }
  if (ebi_burns_room_air(appliance))
    ebi_diag(plan->context, EB_WARNING, "combustion-caution", appliance->where, NULL,
             "fans can draw fumes from an open flue, also from another room: a competent, "
             "registered person must do a spillage test with every fan on and off");
}

void ebi_combustion_findings(const ebi_rates_plan *plan, const eb_rates *rates) {
  for (size_t i = 0; i < plan->house->n_appliances; i++)
    check_appliance(plan, rates, &plan->house->appliances[i]);
}
