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

/* ---- The user's own flows ---- */

static bool short_of(double flow, double required) {
  return flow < required * (1.0 - SLACK);
}

static void check_own_flow(const ebi_rates_plan *plan, const ebi_room *room, ebi_side side,
                           const ebi_room_duty *duty) {
  const ebi_flow_by_level *own = side == EBI_SIDE_SUPPLY ? &room->supply : &room->extract;
  ebi_where where = own->normal.given ? own->normal.where : own->boost.where;
  if (!own->normal.given && !own->boost.given)
    return;
  for (size_t level = 0; level < 2; level++) {
    double required = level ? fmax(duty->least, duty->high) : duty->least;
    double design = duty->normal * plan->levels[level].factor;
    if (required > 0.0)
      ebi_diag(plan->context, short_of(design, required) ? EB_WARNING : EB_NOTE,
               short_of(design, required) ? "own-flow-low" : "own-flow-complies", where,
               duty->source, "the given %s of \"%s\" gives %.2f l/s at %s; %.2f l/s %s",
               ebi_side_name(side), room->name, l_s(design), plan->levels[level].name,
               l_s(required),
               short_of(design, required) ? "is required" : "is required: it complies");
  }
}

/* True where every use of the room is (or is not) as asked. */
static bool only_uses(const ebi_rates_plan *plan, const ebi_room *room, bool habitable) {
  for (size_t i = 0; i < room->n_uses; i++) {
    const ebi_use_rule *use = ebi_use_of(plan->rules, room->uses[i]);
    if (!use || (habitable ? !use->habitable || use->wet : use->habitable || !use->wet))
      return false;
  }
  return room->n_uses > 0;
}

static void check_sides(const ebi_rates_plan *plan, const ebi_room *room) {
  if (room->supply.normal.given && room->supply.normal.value > 0.0 && only_uses(plan, room, false))
    ebi_diag(plan->context, EB_WARNING, "supply-in-wet-room", room->supply.normal.where, NULL,
             "\"%s\" is a wet room with a supply: its moist air is pushed into the other rooms",
             room->name);
  if (room->extract.normal.given && room->extract.normal.value > 0.0 && only_uses(plan, room, true))
    ebi_diag(plan->context, EB_WARNING, "extract-in-dry-room", room->extract.normal.where, NULL,
             "\"%s\" is a habitable room with an extract: it draws in used air of other rooms",
             room->name);
}

static void check_rooms(const ebi_rates_plan *plan) {
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    for (int side = 0; side < EBI_SIDES; side++)
      check_own_flow(plan, room, (ebi_side)side, &plan->duties[side][i]);
    if (plan->rules)
      check_sides(plan, room);
  }
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
    else if (short_of(total, plan->whole.value))
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

static void check_boost(const ebi_rates_plan *plan) {
  const ebi_level_factor *boost = &plan->levels[1];
  double total = plan->side_total[EBI_SIDE_EXTRACT].value * boost->factor;
  ebi_where where = where_of_level(plan, "boost");
  if (!plan->boost_room)
    return;
  if (short_of(boost->factor, plan->boost_needed))
    ebi_diag(plan->context, EB_WARNING, "boost-low", where, NULL,
             "boost is given as %.0f %% of normal; %s of \"%s\" needs %.0f %%",
             boost->factor * 100.0, ebi_side_name(plan->boost_side), plan->boost_room->name,
             plan->boost_needed * 100.0);
  else if (plan->rules && boost->factor <= plan->boost_needed &&
           total > OVERSHOOT * plan->boost_required.value)
    ebi_diag(plan->context, EB_WARNING, "boost-overshoot", where, NULL,
             "to bring \"%s\" to its high rate, boost lifts all extract to %.1f l/s where %.1f "
             "l/s would do; a two-position valve there would save the difference",
             plan->boost_room->name, l_s(total), l_s(plan->boost_required.value));
}

/* The user's own levels under the continuous rate of the rules. */
static void check_low_levels(const ebi_rates_plan *plan) {
  double total =
      fmin(plan->side_total[EBI_SIDE_SUPPLY].value, plan->side_total[EBI_SIDE_EXTRACT].value);
  for (size_t i = 2; plan->rules && i < plan->n_levels; i++) {
    const ebi_level_factor *level = &plan->levels[i];
    if (short_of(total * level->factor, plan->whole.value))
      ebi_diag(plan->context, EB_WARNING, "level-low", where_of_level(plan, level->name),
               plan->rules->whole_dwelling->source.text,
               "level \"%s\" moves %.1f l/s; the rules ask for %.1f l/s continuously, so it is "
               "for an empty dwelling only",
               level->name, l_s(total * level->factor), l_s(plan->whole.value));
  }
}

static void check_plausible(const ebi_rates_plan *plan, const eb_rates *rates) {
  double flow = fmax(rates->supply_total_m3_s[0], rates->extract_total_m3_s[0]);
  double changes = rates->volume_m3 > 0.0 ? flow * 3600.0 / rates->volume_m3 : 0.0;
  if (changes > 0.0 && (changes < PLAUSIBLE_LEAST || changes > PLAUSIBLE_MOST))
    ebi_diag(plan->context, EB_WARNING, "air-change-unusual", plan->house->where, plausible_source,
             "%.1f l/s in %.0f m3 is %.2f air changes an hour; %.1f to %.1f is usual", l_s(flow),
             rates->volume_m3, changes, PLAUSIBLE_LEAST, PLAUSIBLE_MOST);
}

/* ---- Doors, airtightness, the rules themselves ---- */

static void check_doors(const ebi_rates_plan *plan) {
  for (size_t i = 0; plan->rules && plan->rules->transfer_area.given && i < plan->house->n_doors;
       i++) {
    const ebi_door *door = &plan->house->doors[i];
    if (!door->undercut.given)
      continue;
    double width = door->width.given ? door->width.value : plan->rules->transfer_door_width.value;
    double rule = ebi_rule_undercut(plan->rules, width, door->finish_laid);
    if (short_of(door->undercut.value, rule))
      ebi_diag(plan->context, EB_WARNING, "undercut-small", door->where,
               plan->rules->transfer_source.text,
               "the gap under the door between \"%s\" and \"%s\" is %.1f mm; %.1f mm is required "
               "for %.0f mm of width%s (a fire door has a limit of its own)",
               door->between[0], door->between[1], door->undercut.value * 1e3, rule * 1e3,
               width * 1e3, door->finish_laid ? "" : " over a bare floor");
  }
}

/* Permeability at 50 Pa of the house [m3/(s m2)]: given, or from air changes. */
ebi_given ebi_house_permeability(const eb_house *house) {
  if (house->q50.given)
    return house->q50;
  ebi_given found = house->n50;
  found.given = house->n50.given && house->volume.given && house->envelope_area.given &&
                house->envelope_area.value > 0.0;
  if (found.given)
    found.value = house->n50.value / 3600.0 * house->volume.value / house->envelope_area.value;
  return found;
}

static void check_airtightness(const ebi_rates_plan *plan) {
  ebi_given permeability = ebi_house_permeability(plan->house);
  if (plan->rules && plan->rules->permeability.given && permeability.given &&
      permeability.value > plan->rules->permeability.value * (1.0 + SLACK))
    ebi_diag(plan->context, EB_WARNING, "leakage-high", permeability.where,
             plan->rules->permeability_source.text,
             "the envelope leaks %.2f m3/(h.m2) at 50 Pa; %.2f is allowed",
             permeability.value * 3600.0, plan->rules->permeability.value * 3600.0);
}

static bool from_memory(ebi_source source) {
  return source.known && ebi_text_equal(source.known, "memory");
}

static bool term_from_memory(const ebi_term *term) {
  if (from_memory(term->source))
    return true;
  for (size_t i = 0; i < term->n_children; i++)
    if (term_from_memory(term->children[i]))
      return true;
  return false;
}

static void check_known(const ebi_rates_plan *plan) {
  const ebi_rule_set *rules = plan->rules;
  if (!rules)
    return;
  bool memory = from_memory(rules->entry.source) ||
                (rules->whole_dwelling && term_from_memory(rules->whole_dwelling)) ||
                from_memory(rules->transfer_source);
  for (size_t i = 0; i < rules->n_room_rules; i++)
    memory = memory || term_from_memory(rules->room_rules[i].term);
  if (memory)
    ebi_diag(plan->context, EB_NOTE, "rules-from-memory", plan->house->rules_where,
             rules->entry.source.text,
             "the rules \"%s\" hold figures known from memory only; check them against the "
             "document before relying on them",
             rules->entry.name);
}

void ebi_rates_findings(const ebi_rates_plan *plan, const eb_rates *rates) {
  check_known(plan);
  check_floor_area(plan);
  check_bedrooms(plan);
  check_rooms(plan);
  check_totals(plan);
  check_boost(plan);
  check_low_levels(plan);
  check_plausible(plan, rates);
  check_doors(plan);
  check_airtightness(plan);
}
