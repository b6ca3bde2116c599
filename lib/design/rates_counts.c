/* rates_counts.c - counts as terms take them: of some rooms, within bounds, in steps */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

static bool any_use(const ebi_room *room, const ebi_use_list *uses) {
  for (size_t i = 0; i < room->n_uses; i++)
    for (size_t j = 0; j < uses->count; j++)
      if (ebi_text_equal(room->uses[i], uses->names[j]))
        return true;
  return false;
}

bool ebi_count_takes(const ebi_count *count, const ebi_room *room) {
  return (!count->of.count || any_use(room, &count->of)) && !any_use(room, &count->without);
}

/* ---- Sums over rooms ---- */

/* What one room adds; false where it is missing. Rooms in which nobody is said
 * to sleep add none. */
static bool room_part(ebi_rates_plan *plan, ebi_driver driver, const ebi_room *room,
                      ebi_figure *part) {
  switch (driver) {
  case EBI_PER_FLOOR_AREA:
    return ebi_room_value(plan, EBI_PER_ROOM_AREA, room, part);
  case EBI_PER_VOLUME:
    return ebi_room_value(plan, EBI_PER_ROOM_VOLUME, room, part);
  case EBI_PER_SLEEPER:
    return !room->sleepers.given || ebi_room_value(plan, EBI_PER_ROOM_SLEEPER, room, part);
  default:
    part->value = 1.0;
    return true;
  }
}

static const ebi_formula formulas[EBI_DRIVER_COUNT] = {[EBI_PER_FLOOR_AREA] = EBI_F_FLOOR_AREA,
                                                       [EBI_PER_VOLUME] = EBI_F_DWELLING_VOLUME,
                                                       [EBI_PER_SLEEPER] = EBI_F_SLEEPERS,
                                                       [EBI_PER_ROOM] = EBI_F_ROOMS_COUNTED};

/* Of those that are not bare numbers; no count is a length, the kind numbered 0. */
static const ebi_kind sized_kinds[EBI_DRIVER_COUNT] = {
    [EBI_PER_FLOOR_AREA] = EBI_AREA,    [EBI_PER_ROOM_AREA] = EBI_AREA,
    [EBI_PER_ENVELOPE_AREA] = EBI_AREA, [EBI_PER_VOLUME] = EBI_VOLUME,
    [EBI_PER_ROOM_VOLUME] = EBI_VOLUME, [EBI_PER_PERMEABILITY] = EBI_PERMEABILITY,
    [EBI_PER_LEAKAGE] = EBI_AIR_CHANGE, [EBI_PER_LEAKAGE_FLOW] = EBI_FLOW,
    [EBI_PER_TRANSFER_FLOW] = EBI_FLOW};

static ebi_kind kind_of(ebi_driver driver) {
  return sized_kinds[driver] == EBI_LENGTH ? EBI_NUMBER : sized_kinds[driver];
}

static bool somebody_sleeps(const ebi_rates_plan *plan, const ebi_count *count) {
  for (size_t i = 0; i < plan->house->n_rooms; i++)
    if (ebi_count_takes(count, &plan->house->rooms[i]) && plan->house->rooms[i].sleepers.given)
      return true;
  return false;
}

static bool check_sleepers(ebi_rates_plan *plan, const ebi_count *count) {
  if (count->driver != EBI_PER_SLEEPER || somebody_sleeps(plan, count))
    return true;
  if (!ebi_driver_told(plan, EBI_PER_SLEEPER))
    ebi_diag(
        plan->context, EB_ERROR, "input-missing", plan->house->where, NULL,
        "the rules \"%s\" need to know who sleeps where; write \"sleepers:\" and the number in "
        "each bedroom",
        plan->rules->entry.name);
  return false;
}

bool ebi_rooms_sum(ebi_rates_plan *plan, const ebi_count *count, ebi_figure *figure) {
  const eb_house *house = plan->house;
  bool known = check_sleepers(plan, count);
  ebi_step *steps = EBI_NEW_ARRAY(plan->arena, ebi_step, house->n_rooms);
  size_t n = 0;
  plan->no_memory = plan->no_memory || !steps;
  figure->value = 0.0;
  for (size_t i = 0; steps && known && i < house->n_rooms; i++) {
    ebi_figure part = {0.0, EBI_NO_STEP};
    if (!ebi_count_takes(count, &house->rooms[i]))
      continue;
    known = room_part(plan, count->driver, &house->rooms[i], &part);
    figure->value += part.value;
    steps[n++] = part.step;
  }
  if (!known || !steps)
    return false;
  figure->step = ebi_ledger_step(plan->ledger, formulas[count->driver], NULL, figure->value,
                                 kind_of(count->driver), steps, n, "%s of the rooms counted",
                                 count->driver == EBI_PER_FLOOR_AREA ? "floor area"
                                 : count->driver == EBI_PER_VOLUME   ? "volume"
                                 : count->driver == EBI_PER_SLEEPER  ? "sleepers"
                                                                     : "number");
  return true;
}

/* ---- A count ---- */

bool ebi_within(ebi_bounds bounds, double value) {
  bool low = bounds.least_out ? value <= bounds.least : value < bounds.least;
  bool high = bounds.most_out ? value >= bounds.most : value > bounds.most;
  return !low && !high;
}

/* Sizes that people write in other units come out a hair off a whole step. */
#define STEP_SLACK 1e-9

static double counted(const ebi_count *count, double value) {
  value = fmin(fmax(value, count->counted.least), count->counted.most);
  if (count->step > 0.0)
    value = ceil(value / count->step - STEP_SLACK) * count->step;
  return count->beyond > 0.0 ? fmax(0.0, value - count->beyond) : value;
}

static bool check_valid(ebi_rates_plan *plan, const ebi_count *count, double value) {
  if (ebi_within(count->valid, value))
    return true;
  if (!plan->quiet)
    ebi_diag(plan->context, EB_ERROR, "rule-range", plan->house->where,
             plan->rules->entry.source.text,
             "the rules \"%s\" have a formula that holds from %g to %g, not for %g",
             plan->rules->entry.name, count->valid.least, count->valid.most, value);
  return false;
}

static bool sums_rooms(const ebi_count *count) {
  return count->of.count || count->driver == EBI_PER_ROOM || count->driver == EBI_PER_SLEEPER;
}

bool ebi_count_value(ebi_rates_plan *plan, const ebi_count *count, const ebi_room *room,
                     ebi_figure *figure) {
  bool known = sums_rooms(count) ? ebi_rooms_sum(plan, count, figure)
                                 : ebi_driver_value(plan, count->driver, room, figure);
  if (!known || !check_valid(plan, count, figure->value))
    return false;
  double value = counted(count, figure->value);
  if (value != figure->value) {
    figure->step = ebi_ledger_step(plan->ledger, EBI_F_COUNTED, NULL, value, kind_of(count->driver),
                                   &figure->step, 1, "what counts");
    figure->value = value;
  }
  return true;
}
