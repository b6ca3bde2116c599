/* rates_drivers.c - what rules count and multiply by: areas, volumes, people, rooms
 *
 * Looked up when a rule first asks. What is missing is told once, at the place
 * where it is to be written. */

#include "design/rates_plan.h"

#include <math.h>

static bool told(ebi_rates_plan *plan, ebi_driver driver) {
  bool before = plan->driver_missing[driver];
  plan->driver_missing[driver] = true;
  return before;
}

static bool keep(ebi_rates_plan *plan, ebi_driver driver, double value, ebi_step step) {
  plan->drivers[driver] = (ebi_given){.value = value, .given = true};
  plan->driver_steps[driver] = step;
  return true;
}

/* A number of the house itself, under `key`. */
static bool house_number(ebi_rates_plan *plan, ebi_driver driver, const ebi_given *given,
                         const char *key) {
  if (given->given)
    return keep(plan, driver, given->value,
                ebi_ledger_input(plan->ledger, given->where, given->value, EBI_NUMBER, "%s", key));
  if (!told(plan, driver))
    ebi_diag(plan->context, EB_ERROR, "input-missing", plan->house->where, NULL,
             "the rules \"%s\" need the number of %s; write \"%s: \" and the number",
             plan->rules->entry.name, key, key);
  return false;
}

/* One error for each room without the size that a sum over rooms needs. */
static bool rooms_sized(ebi_rates_plan *plan, ebi_driver driver, bool area) {
  bool all = true, again = told(plan, driver);
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    if (area ? room->area.given : room->volume.given)
      continue;
    all = false;
    if (!again)
      ebi_diag(plan->context, EB_ERROR, "input-missing", room->where, NULL,
               area ? "\"%s\" has no area; write \"area:\" in it, or \"floor_area:\" for the "
                      "whole dwelling"
                    : "\"%s\" has no volume; write \"height:\" or \"volume:\" in it, or "
                      "\"volume:\" for the whole dwelling",
               room->name);
  }
  return all;
}

static ebi_figure room_area(const ebi_rates_plan *plan, const ebi_room *room) {
  return (ebi_figure){room->area.value,
                      ebi_ledger_input(plan->ledger, room->area.where, room->area.value, EBI_AREA,
                                       "area of %s", room->name)};
}

/* Area or volume of the dwelling: given, else that of the rooms. */
static bool house_size(ebi_rates_plan *plan, ebi_driver driver) {
  const eb_house *house = plan->house;
  bool area = driver == EBI_PER_FLOOR_AREA;
  const ebi_given *given = area ? &house->floor_area : &house->volume;
  ebi_kind kind = area ? EBI_AREA : EBI_VOLUME;
  const char *what = area ? "floor area" : "volume of the dwelling";
  if (given->given)
    return keep(plan, driver, given->value,
                ebi_ledger_input(plan->ledger, given->where, given->value, kind, "%s", what));
  if (!rooms_sized(plan, driver, area))
    return false;
  double sum = 0.0;
  ebi_step *steps = EBI_NEW_ARRAY(plan->arena, ebi_step, house->n_rooms);
  plan->no_memory = plan->no_memory || !steps;
  for (size_t i = 0; steps && i < house->n_rooms; i++) {
    ebi_figure part = {0.0, EBI_NO_STEP};
    if (area)
      part = room_area(plan, &house->rooms[i]);
    else
      ebi_room_volume(plan, &house->rooms[i], &part);
    sum += part.value;
    steps[i] = part.step;
  }
  return keep(plan, driver, sum,
              ebi_ledger_step(plan->ledger, area ? EBI_F_FLOOR_AREA : EBI_F_DWELLING_VOLUME, NULL,
                              sum, kind, steps, steps ? house->n_rooms : 0, "%s", what));
}

static bool is_habitable(const ebi_rule_set *rules, const ebi_room *room) {
  for (size_t i = 0; i < room->n_uses; i++) {
    const ebi_use_rule *use = ebi_use_of(rules, room->uses[i]);
    if (use && use->habitable)
      return true;
  }
  return false;
}

static bool habitable_rooms(ebi_rates_plan *plan) {
  double count = 0.0;
  for (size_t i = 0; i < plan->house->n_rooms; i++)
    count += is_habitable(plan->rules, &plan->house->rooms[i]) ? 1.0 : 0.0;
  return keep(plan, EBI_PER_HABITABLE_ROOM, count,
              ebi_ledger_step(plan->ledger, EBI_F_HABITABLE_ROOMS, NULL, count, EBI_NUMBER, NULL, 0,
                              "habitable rooms"));
}

static bool look_up(ebi_rates_plan *plan, ebi_driver driver) {
  switch (driver) {
  case EBI_PER_FLOOR_AREA:
  case EBI_PER_VOLUME:
    return house_size(plan, driver);
  case EBI_PER_PERSON:
    return house_number(plan, driver, &plan->house->people, "people");
  case EBI_PER_BEDROOM:
    return house_number(plan, driver, &plan->house->bedrooms, "bedrooms");
  case EBI_PER_HABITABLE_ROOM:
    return habitable_rooms(plan);
  default:
    return keep(plan, driver, 1.0, EBI_NO_STEP);
  }
}

/* Told once a room and kind: 1 area, 2 volume, 4 sleepers. */
static void missing_in_room(const ebi_rates_plan *plan, const ebi_room *room, unsigned char bit,
                            const char *what, const char *keys) {
  unsigned char *missing = &plan->room_missing[room - plan->house->rooms];
  if (*missing & bit)
    return;
  *missing = (unsigned char)(*missing | bit);
  ebi_diag(plan->context, EB_ERROR, "input-missing", room->where, NULL,
           "\"%s\" has no %s, which its share of the air needs; write %s in it", room->name, what,
           keys);
}

bool ebi_room_volume(ebi_rates_plan *plan, const ebi_room *room, ebi_figure *figure) {
  const ebi_given *area = &room->area, *height = &room->height, *volume = &room->volume;
  if (!volume->given) {
    missing_in_room(plan, room, 2, "volume",
                    area->given ? "\"height:\" or \"volume:\""
                                : "\"area:\" and \"height:\", or \"volume:\"");
    return false;
  }
  figure->value = volume->value;
  if (area->given && height->given &&
      fabs(volume->value - area->value * height->value) <= 1e-9 * volume->value) {
    ebi_step parts[] = {room_area(plan, room).step,
                        ebi_ledger_input(plan->ledger, height->where, height->value, EBI_LENGTH,
                                         "height of %s", room->name)};
    figure->step = ebi_ledger_step(plan->ledger, EBI_F_ROOM_VOLUME, NULL, volume->value, EBI_VOLUME,
                                   parts, 2, "volume of %s", room->name);
  } else {
    figure->step = ebi_ledger_input(plan->ledger, volume->where, volume->value, EBI_VOLUME,
                                    "volume of %s", room->name);
  }
  return true;
}

static bool room_value(ebi_rates_plan *plan, ebi_driver driver, const ebi_room *room,
                       ebi_figure *figure) {
  if (driver == EBI_PER_ROOM_VOLUME)
    return ebi_room_volume(plan, room, figure);
  bool area = driver == EBI_PER_ROOM_AREA;
  const ebi_given *given = area ? &room->area : &room->sleepers;
  if (!given->given) {
    missing_in_room(plan, room, area ? 1 : 4, area ? "area" : "number of sleepers",
                    area ? "\"area:\"" : "\"sleepers:\"");
    return false;
  }
  figure->value = given->value;
  figure->step =
      ebi_ledger_input(plan->ledger, given->where, given->value, area ? EBI_AREA : EBI_NUMBER,
                       "%s of %s", area ? "area" : "sleepers", room->name);
  return true;
}

bool ebi_driver_value(ebi_rates_plan *plan, ebi_driver driver, const ebi_room *room,
                      ebi_figure *figure) {
  if (driver == EBI_PER_ROOM_AREA || driver == EBI_PER_ROOM_VOLUME ||
      driver == EBI_PER_ROOM_SLEEPER)
    return room_value(plan, driver, room, figure);
  if (!plan->drivers[driver].given && !look_up(plan, driver))
    return false;
  *figure = (ebi_figure){plan->drivers[driver].value, plan->driver_steps[driver]};
  return true;
}
