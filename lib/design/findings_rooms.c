/* findings_rooms.c - flows that the user gave to rooms, judged by the rules */

#include "design/rates_plan.h"

#include <math.h>

static double l_s(double m3_s) {
  return m3_s * 1e3;
}

/* ---- The user's own flows ---- */

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
      ebi_diag(plan->context, ebi_short_of(design, required) ? EB_WARNING : EB_NOTE,
               ebi_short_of(design, required) ? "own-flow-low" : "own-flow-complies", where,
               duty->source, "the given %s of \"%s\" gives %.2f l/s at %s; %.2f l/s %s",
               ebi_side_name(side), room->name, l_s(design), plan->levels[level].name,
               l_s(required),
               ebi_short_of(design, required) ? "is required" : "is required: it complies");
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

/* One fan a side moves all rooms by one factor: what is nothing at normal is
 * nothing at boost. */
static void check_unmoved(const ebi_rates_plan *plan, const ebi_room *room, ebi_side side,
                          const ebi_room_duty *duty) {
  double required = fmax(duty->least, duty->high);
  if (duty->served && duty->normal <= 0.0 && required > 0.0)
    ebi_diag(plan->context, EB_WARNING, "boost-from-nothing", room->where, duty->source,
             "%s of \"%s\" must reach %.1f l/s at boost and has none at normal, so that no boost "
             "of the whole house brings it there: give the room a flow at normal, a two-position "
             "valve or a fan of its own",
             ebi_side_name(side), room->name, l_s(required));
}

/* A habitable room that the user left without the supply the rules want there. */
static void check_no_supply(const ebi_rates_plan *plan, const ebi_room *room) {
  if (!room->supply.normal.given || room->supply.normal.value > 0.0)
    return;
  for (size_t i = 0; i < room->n_uses; i++) {
    const ebi_use_rule *use = ebi_use_of(plan->rules, room->uses[i]);
    if (use && use->supplied)
      ebi_diag(plan->context, EB_WARNING, "room-without-supply", room->supply.normal.where,
               plan->rules->supply_split_source.text,
               "\"%s\" is given no supply, and the rules want one in a room of use %s: air that "
               "spills over from another room is not counted",
               room->name, room->uses[i]);
  }
}

void ebi_room_findings(const ebi_rates_plan *plan) {
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    for (int side = 0; side < EBI_SIDES; side++) {
      check_own_flow(plan, room, (ebi_side)side, &plan->duties[side][i]);
      check_unmoved(plan, room, (ebi_side)side, &plan->duties[side][i]);
    }
    if (plan->rules) {
      check_sides(plan, room);
      check_no_supply(plan, room);
    }
  }
}
