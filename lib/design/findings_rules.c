/* findings_rules.c - what follows from the rules beside the flows: doors, airtightness,
 * CO2, how far they are known, what they advise */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

#define SLACK 1e-9

/* The larger gap of those that the rules want for the two rooms of a door. */
static bool gap_of_door(ebi_rates_plan *plan, const ebi_door *door, double width, ebi_gap *gap) {
  bool wanted = false;
  *gap = (ebi_gap){0.0, 0.0};
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    ebi_gap one;
    if (!ebi_text_equal(room->name, door->between[0]) &&
        !ebi_text_equal(room->name, door->between[1]))
      continue;
    if (!ebi_rule_gap(plan, room, width, door->finish_laid, &one))
      continue;
    wanted = true;
    if (one.undercut > gap->undercut)
      *gap = one;
  }
  return wanted;
}

static void check_door(ebi_rates_plan *plan, const ebi_door *door) {
  ebi_gap gap;
  double width = door->width.given ? door->width.value : plan->rules->transfer.door_width.value;
  if (!door->undercut.given || !gap_of_door(plan, door, width, &gap) ||
      !ebi_short_of(door->undercut.value, gap.undercut))
    return;
  ebi_diag(plan->context, EB_WARNING, "undercut-small", door->where,
           plan->rules->transfer.source.text,
           "the gap under the door between \"%s\" and \"%s\" is %.1f mm; %.1f mm is required "
           "for %.0f mm of width%s (a fire door has a limit of its own)",
           door->between[0], door->between[1], door->undercut.value * 1e3, gap.undercut * 1e3,
           width * 1e3, door->finish_laid ? "" : " over a bare floor");
}

static void check_doors(ebi_rates_plan *plan) {
  for (size_t i = 0; plan->rules->transfer.given && i < plan->house->n_doors; i++)
    check_door(plan, &plan->house->doors[i]);
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
  if (plan->rules->permeability.given && permeability.given &&
      permeability.value > plan->rules->permeability.value * (1.0 + SLACK))
    ebi_diag(plan->context, EB_WARNING, "leakage-high", permeability.where,
             plan->rules->permeability_source.text,
             "the envelope leaks %.2f m3/(h.m2) at 50 Pa; %.2f is allowed",
             permeability.value * 3600.0, plan->rules->permeability.value * 3600.0);
  const ebi_given *n50 = &plan->house->n50, *most = &plan->rules->air_changes_50;
  if (most->given && n50->given && n50->value > most->value * (1.0 + SLACK))
    ebi_diag(plan->context, EB_WARNING, "leakage-high", n50->where,
             plan->rules->air_changes_50_source.text,
             "the envelope leaks %.2f air changes an hour at 50 Pa; %.2f is allowed", n50->value,
             most->value);
}

static bool from_memory(ebi_source source) {
  return source.known && ebi_text_equal(source.known, "memory");
}

static bool term_from_memory(const ebi_term *term) {
  if (from_memory(term->source))
    return true;
  for (size_t i = 0; i < term->children.count; i++)
    if (term_from_memory(term->children.items[i]))
      return true;
  return term->less && term_from_memory(term->less);
}

static bool list_from_memory(const ebi_term_list *list) {
  for (size_t i = 0; i < list->count; i++)
    if (term_from_memory(list->items[i]))
      return true;
  return false;
}

static bool uses_from_memory(const ebi_use_terms *terms) {
  for (size_t i = 0; i < terms->count; i++)
    if (term_from_memory(terms->items[i].term))
      return true;
  return false;
}

static bool levels_from_memory(const ebi_rule_set *rules) {
  for (size_t i = 0; i < rules->n_levels; i++)
    if (from_memory(rules->levels[i].source) ||
        (rules->levels[i].whole_dwelling && term_from_memory(rules->levels[i].whole_dwelling)))
      return true;
  return false;
}

static bool rooms_from_memory(const ebi_rule_set *rules) {
  for (size_t i = 0; i < rules->n_room_rules; i++)
    if (term_from_memory(rules->room_rules[i].term))
      return true;
  return false;
}

/* Sections, where the file has them. */
static bool sections_from_memory(const ebi_rule_set *rules) {
  const ebi_source sources[] = {
      rules->supply_split_source, rules->extract_split_source, rules->transfer.source,
      rules->purge.source,        rules->background.source,    rules->extract_only.source,
      rules->co2.source,          rules->permeability_source,  rules->air_changes_50_source};
  for (size_t i = 0; i < sizeof sources / sizeof sources[0]; i++)
    if (from_memory(sources[i]))
      return true;
  return uses_from_memory(&rules->intermittent) || uses_from_memory(&rules->background.rooms);
}

void ebi_known_findings(const ebi_rates_plan *plan) {
  const ebi_rule_set *rules = plan->rules;
  if (!rules)
    return;
  bool all = from_memory(rules->entry.source);
  if (all || (rules->whole_dwelling && term_from_memory(rules->whole_dwelling)) ||
      (rules->unoccupied && term_from_memory(rules->unoccupied)) ||
      list_from_memory(&rules->people) || list_from_memory(&rules->information) ||
      levels_from_memory(rules) || rooms_from_memory(rules) || sections_from_memory(rules))
    ebi_diag(plan->context, EB_NOTE, "rules-from-memory", plan->house->rules_where,
             rules->entry.source.text,
             "the rules \"%s\" %s known from memory only; check them against the document before "
             "relying on them",
             rules->entry.name, all ? "are" : "hold figures");
}

/* ---- What the rules advise ---- */

static void advise(const ebi_rates_plan *plan, const ebi_advice *advice, const ebi_room *room) {
  ebi_diag(plan->context, advice->warning ? EB_WARNING : EB_NOTE, "rule-advice",
           room ? room->where : plan->house->where, advice->source.text, "%s%s%s",
           room ? room->name : "", room ? ": " : "", advice->text);
}

/* Conditions on what the house does not say do not hold. */
static bool holds(ebi_rates_plan *plan, const ebi_advice *advice, const ebi_room *room) {
  bool applies = false;
  plan->quiet = true;
  bool known = ebi_conditions_hold(plan, &advice->conditions, room, &applies);
  plan->quiet = false;
  return known && applies;
}

static void check_advice(ebi_rates_plan *plan, const ebi_advice *advice) {
  const ebi_count rooms = {.of = advice->uses};
  if (!advice->uses.count && holds(plan, advice, NULL))
    advise(plan, advice, NULL);
  for (size_t i = 0; advice->uses.count && i < plan->house->n_rooms; i++)
    if (ebi_count_takes(&rooms, &plan->house->rooms[i]) &&
        holds(plan, advice, &plan->house->rooms[i]))
      advise(plan, advice, &plan->house->rooms[i]);
}

/* ---- What is counted, CO2, windows ---- */

static void check_people(const ebi_rates_plan *plan) {
  if (!plan->house->people.given && plan->driver_asked_people)
    ebi_diag(plan->context, EB_NOTE, "people-by-rule", plan->house->where,
             plan->rules->entry.source.text, "no people are given: the rules \"%s\" count %.3g",
             plan->rules->entry.name, plan->drivers[EBI_PER_PERSON].value);
}

/* The first level, of normal, boost and the others, at which a room passes the
 * figure; one finding a room. */
static void check_co2(const ebi_rates_plan *plan, const eb_rates *rates, const eb_room_rates *room,
                      ebi_where where) {
  for (size_t i = 0; room->co2_ppm && rates->co2_limit_ppm > 0.0 && i < rates->n_levels; i++) {
    if (room->co2_ppm[i] <= rates->co2_limit_ppm * (1.0 + 1e-9))
      continue;
    ebi_diag(plan->context, EB_WARNING, "co2-high", where, plan->rules->co2.source.text,
             "CO2 in \"%s\" settles at %.0f ppm at %s; the rules name %.0f ppm (steady state, air "
             "fully mixed)",
             room->name, room->co2_ppm[i], rates->levels[i], rates->co2_limit_ppm);
    return;
  }
}

static void check_room(const ebi_rates_plan *plan, const eb_rates *rates, size_t at) {
  const ebi_room *room = &plan->house->rooms[at];
  check_co2(plan, rates, &rates->rooms[at], room->where);
  if (rates->rooms[at].purge_refused)
    ebi_diag(plan->context, EB_WARNING, "purge-window", room->where, plan->rules->purge.source.text,
             "the windows of \"%s\" open %.0f deg: too little to count as openings to purge it",
             room->name, room->window_angle.value);
}

void ebi_rule_findings(ebi_rates_plan *plan, const eb_rates *rates) {
  if (!plan->rules)
    return;
  check_people(plan);
  check_doors(plan);
  check_airtightness(plan);
  for (size_t i = 0; i < rates->n_rooms; i++)
    check_room(plan, rates, i);
  for (size_t i = 0; i < plan->rules->n_advice; i++)
    check_advice(plan, &plan->rules->advice[i]);
  if (plan->unknown_opening)
    ebi_diag(plan->context, EB_NOTE, "opening-unknown", plan->house->where, NULL,
             "some fans and ventilators of a house without this system are not known, since a size "
             "that the rules count by is not given: %s",
             plan->unknown_opening);
}
