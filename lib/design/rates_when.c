/* rates_when.c - whether the conditions of a rule hold */

#include "design/rates_plan.h"

#include "base/text.h"

static bool listed(const ebi_use_list *list, const char *word) {
  for (size_t i = 0; i < list->count; i++)
    if (ebi_text_equal(list->names[i], word))
      return true;
  return false;
}

static bool has_use(const ebi_room *room, const char *use) {
  for (size_t i = 0; i < room->n_uses; i++)
    if (ebi_text_equal(room->uses[i], use))
      return true;
  return false;
}

static bool room_has_any(const ebi_room *room, const ebi_use_list *uses) {
  for (size_t i = 0; i < room->n_uses; i++)
    if (listed(uses, room->uses[i]))
      return true;
  return false;
}

/* More sleepers, else more area, else the earlier name: so that the order of
 * the file does not matter. */
static bool goes_before(const ebi_room *a, const ebi_room *b) {
  if (a->sleepers.value != b->sleepers.value)
    return a->sleepers.value > b->sleepers.value;
  if (a->area.value != b->area.value)
    return a->area.value > b->area.value;
  const char *left = a->name, *right = b->name;
  while (*left && *left == *right) {
    left++;
    right++;
  }
  return (unsigned char)*left < (unsigned char)*right;
}

/* The main one of the rooms with the use whose rule this is. */
static bool is_main(const ebi_rates_plan *plan, const ebi_room *room) {
  const char *use = plan->use ? plan->use : room->uses[0];
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *other = &plan->house->rooms[i];
    if (other != room && has_use(other, use) && goes_before(other, room))
      return false;
  }
  return true;
}

static bool appliance_stands(const ebi_rates_plan *plan, const ebi_condition *condition,
                             const ebi_room *room) {
  for (size_t i = 0; i < plan->house->n_appliances; i++) {
    const ebi_appliance *appliance = &plan->house->appliances[i];
    if (ebi_text_equal(appliance->kind, condition->appliance) &&
        (!condition->fuels.count || listed(&condition->fuels, appliance->fuel)) &&
        (!room || ebi_text_equal(appliance->room, room->name)))
      return true;
  }
  return false;
}

static bool is_known(ebi_rates_plan *plan, ebi_driver driver, const ebi_room *room) {
  bool before = plan->quiet;
  ebi_figure figure;
  plan->quiet = true;
  bool known = ebi_driver_value(plan, driver, room, &figure);
  plan->quiet = before;
  return known;
}

/* What needs no figure. */
static bool flag_holds(ebi_rates_plan *plan, const ebi_condition *condition, const ebi_room *room) {
  switch (condition->kind) {
  case EBI_WHEN_KNOWN:
    return is_known(plan, condition->count.driver, room);
  case EBI_WHEN_IN_FEET:
    return plan->house->in_feet == condition->flag;
  case EBI_WHEN_HOOD:
    return room->hood_to_outside == condition->flag;
  case EBI_WHEN_OUTSIDE_WALL:
    return room->outside_wall == condition->flag;
  case EBI_WHEN_WINDOW:
    return room->openable_window == condition->flag;
  case EBI_WHEN_MAIN:
    return is_main(plan, room) == condition->flag;
  case EBI_WHEN_USE:
    return room_has_any(room, &condition->uses) == condition->flag;
  default:
    return appliance_stands(plan, condition, room) == condition->flag;
  }
}

bool ebi_conditions_hold(ebi_rates_plan *plan, const ebi_conditions *conditions,
                         const ebi_room *room, bool *applies) {
  bool known = true;
  *applies = true;
  for (size_t i = 0; i < conditions->count; i++) {
    const ebi_condition *condition = &conditions->items[i];
    ebi_figure figure = {0.0, EBI_NO_STEP};
    if (condition->kind != EBI_WHEN_BOUNDS)
      *applies = *applies && flag_holds(plan, condition, room);
    else if (!ebi_count_value(plan, &condition->count, room, &figure))
      known = false;
    else
      *applies = *applies && ebi_within(condition->bounds, figure.value);
    if (condition->kind == EBI_WHEN_KNOWN && !*applies)
      return known;
  }
  return known;
}
