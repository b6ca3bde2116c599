/* rates_openings.c - what rules ask of rooms beside their flows: openings to air
 * them out, the fans and ventilators of a dwelling without whole-house ventilation
 *
 * All this is shown beside the plan and does not stop it: a size that is missing
 * leaves the figure at 0, and one note says so. */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

/* ---- Terms of rooms ---- */

/* The figure of a room, 0 where there is none. */
static double room_figure(ebi_rates_plan *plan, const ebi_use_terms *terms, const ebi_room *room,
                          const char *what) {
  ebi_term_result result;
  bool before = plan->quiet;
  plan->quiet = true;
  const char *name = ebi_arena_format(plan->arena, "%s of %s", what, room->name);
  plan->no_memory = plan->no_memory || !name;
  bool known = name && ebi_use_terms_largest(plan, terms, room, name, &result);
  plan->quiet = before;
  if (name && !known && !plan->unknown_opening)
    plan->unknown_opening = name;
  return known && result.governing ? result.flow : 0.0;
}

/* A figure of the dwelling, 0 where there is none. */
static double dwelling_figure(ebi_rates_plan *plan, const ebi_term *term, const char *what) {
  ebi_term_result result;
  if (!term)
    return 0.0;
  if (!ebi_term_try(plan, term, NULL, what, &result)) {
    if (!plan->unknown_opening)
      plan->unknown_opening = what;
    return 0.0;
  }
  return result.governing ? result.flow : 0.0;
}

/* ---- Ventilators ---- */

typedef struct ventilators {
  double area, number; /* of the dwelling */
} ventilators;

static void room_ventilators(ebi_rates_plan *plan, const ebi_background *rule, const ebi_room *room,
                             double *area, double *number) {
  *area = room_figure(plan, &rule->rooms, room, "area of background ventilators");
  *number = *area > 0.0 ? 1.0 : 0.0;
  if (rule->numbers.count)
    *number = room_figure(plan, &rule->numbers, room, "number of background ventilators");
}

/* The area of a room without outside wall cannot be built there. */
static bool goes_to_others(const ebi_background *rule, const ebi_room *room) {
  return rule->inner_to_others && !room->outside_wall;
}

static ventilators find_ventilators(ebi_rates_plan *plan, const ebi_background *rule,
                                    eb_room_rates *rooms, bool extract_only) {
  ventilators all = {0.0, 0.0};
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    double *area = extract_only ? &rooms[i].extract_only_area_m2 : &rooms[i].background_area_m2;
    double *number = extract_only ? &rooms[i].extract_only_number : &rooms[i].background_number;
    room_ventilators(plan, rule, room, area, number);
    all.area += *area;
    if (goes_to_others(rule, room))
      *area = *number = 0.0;
  }
  all.area = fmax(all.area, dwelling_figure(plan, rule->total, "total of background ventilators"));
  all.number = dwelling_figure(plan, rule->least_number, "number of background ventilators");
  return all;
}

static void find_background(ebi_rates_plan *plan, eb_rates *rates, eb_room_rates *rooms) {
  bool before = plan->quiet, applies = false;
  plan->quiet = true;
  bool known = ebi_conditions_hold(plan, &plan->rules->background_when, NULL, &applies);
  plan->quiet = before;
  if (known && applies) {
    ventilators all = find_ventilators(plan, &plan->rules->background, rooms, false);
    rates->background_area_m2 = all.area;
    rates->background_least_number = all.number;
  }
  ventilators all = find_ventilators(plan, &plan->rules->extract_only, rooms, true);
  rates->extract_only_area_m2 = all.area;
  rates->extract_only_least_number = all.number;
}

/* ---- Purge ---- */

static bool is_purged(const ebi_rates_plan *plan, const ebi_room *room) {
  const ebi_purge *purge = &plan->rules->purge;
  const ebi_count of_uses = {.of = purge->uses};
  if (purge->uses.count)
    return ebi_count_takes(&of_uses, room);
  for (size_t i = 0; i < room->n_uses; i++) {
    const ebi_use_rule *use = ebi_use_of(plan->rules, room->uses[i]);
    if (use && use->habitable)
      return true;
  }
  return false;
}

/* The row for an angle; the last where the house does not say it, NULL below all. */
static const ebi_purge_row *row_for(const ebi_purge *purge, const ebi_given *angle) {
  const ebi_purge_row *found = NULL;
  for (size_t i = 0; i < purge->n_rows; i++)
    if (!angle->given || angle->value >= purge->rows[i].angle)
      found = &purge->rows[i];
  return found;
}

static ebi_cite cite_purge(const ebi_purge *purge, const char *id) {
  return (ebi_cite){id, purge->source.text, purge->source.known};
}

static void find_opening(const ebi_rates_plan *plan, const ebi_room *room, eb_room_rates *rates) {
  const ebi_purge *purge = &plan->rules->purge;
  const ebi_purge_row *row = row_for(purge, &room->window_angle);
  ebi_cite cite = cite_purge(purge, "purge.area");
  if (!purge->n_rows || !room->area.given)
    return;
  rates->purge_refused = !row;
  rates->purge_area_m2 = row ? row->share * room->area.value : 0.0;
  ebi_step area = ebi_ledger_input(plan->ledger, room->area.where, room->area.value, EBI_AREA,
                                   "area of %s", room->name);
  if (row)
    ebi_ledger_step(plan->ledger, EBI_F_PURGE_AREA, &cite, rates->purge_area_m2, EBI_AREA, &area, 1,
                    "opening to purge %s", room->name);
}

static void find_purge(const ebi_rates_plan *plan, const ebi_room *room, eb_room_rates *rates) {
  const ebi_purge *purge = &plan->rules->purge;
  ebi_cite cite = cite_purge(purge, "purge.fan");
  if (!purge->given || !is_purged(plan, room))
    return;
  find_opening(plan, room, rates);
  if (!purge->air_changes.given || !room->volume.given)
    return;
  rates->purge_fan_m3_s = purge->air_changes.value / 3600.0 * room->volume.value;
  ebi_step volume = ebi_ledger_input(plan->ledger, room->volume.where, room->volume.value,
                                     EBI_VOLUME, "volume of %s", room->name);
  ebi_ledger_step(plan->ledger, EBI_F_PURGE_FAN, &cite, rates->purge_fan_m3_s, EBI_FLOW, &volume, 1,
                  "fan to purge %s", room->name);
}

/* ---- All ---- */

void ebi_rates_openings(ebi_rates_plan *plan, eb_rates *rates, eb_room_rates *rooms) {
  if (!plan->rules)
    return;
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    find_purge(plan, room, &rooms[i]);
    rooms[i].intermittent_m3_s =
        room_figure(plan, &plan->rules->intermittent, room, "intermittent fan");
  }
  find_background(plan, rates, rooms);
}

/* ---- Flows that bind no room ---- */

static void add_flow(ebi_rates_plan *plan, eb_rule_flow *flows, size_t *n, const char *name,
                     const ebi_term *term) {
  ebi_term_result result;
  if (term && ebi_term_try(plan, term, NULL, name, &result) && result.governing)
    flows[(*n)++] = (eb_rule_flow){name, result.flow, term->source.text, term->source.known};
}

static void add_level(ebi_rates_plan *plan, eb_rule_flow *flows, size_t *n,
                      const ebi_rule_level *level) {
  if (ebi_text_equal(level->name, "boost"))
    return;
  size_t before = *n;
  add_flow(plan, flows, n, level->name, level->whole_dwelling);
  double share = level->factor.given ? level->factor.value * plan->whole.value : 0.0;
  if (share <= 0.0 || (*n > before && flows[before].flow_m3_s >= share))
    return;
  flows[before] = (eb_rule_flow){level->name, share, level->source.text, level->source.known};
  *n = before + 1;
}

void ebi_rates_flows(ebi_rates_plan *plan, eb_rates *rates) {
  const ebi_rule_set *rules = plan->rules;
  if (!rules)
    return;
  eb_rule_flow *flows =
      EBI_NEW_ARRAY(plan->arena, eb_rule_flow, rules->n_levels + rules->information.count + 1);
  plan->no_memory = plan->no_memory || !flows;
  for (size_t i = 0; flows && i < rules->n_levels; i++)
    add_level(plan, flows, &rates->n_flows, &rules->levels[i]);
  if (flows)
    add_flow(plan, flows, &rates->n_flows, "unoccupied", rules->unoccupied);
  for (size_t i = 0; flows && i < rules->information.count; i++)
    add_flow(plan, flows, &rates->n_flows, rules->information.items[i]->id,
             rules->information.items[i]);
  rates->flows = flows;
}
