/* rates_drivers.c - what rules count and multiply by: areas, volumes, people, rooms
 *
 * Looked up when a rule first asks. What is missing is told once, at the place
 * where it is to be written. */

#include "design/rates_plan.h"

#include <math.h>

bool ebi_driver_told(ebi_rates_plan *plan, ebi_driver driver) {
  bool before = plan->quiet || plan->driver_missing[driver];
  plan->driver_missing[driver] = plan->driver_missing[driver] || !plan->quiet;
  return before;
}

static bool keep(ebi_rates_plan *plan, ebi_driver driver, double value, ebi_step step) {
  plan->drivers[driver] = (ebi_given){.value = value, .given = true};
  plan->driver_steps[driver] = step;
  return true;
}

/* A figure of the house itself, and the key to write it under. */
typedef struct house_row {
  ebi_driver driver;
  const char *key;
  size_t offset; /* of an ebi_given in eb_house */
  ebi_kind kind;
} house_row;

static const house_row house_rows[] = {
    {EBI_PER_PERSON, "people", offsetof(eb_house, people), EBI_NUMBER},
    {EBI_PER_BEDROOM, "bedrooms", offsetof(eb_house, bedrooms), EBI_NUMBER},
    {EBI_PER_STOREY, "storeys", offsetof(eb_house, storeys), EBI_NUMBER},
    {EBI_PER_ENVELOPE_AREA, "envelope_area", offsetof(eb_house, envelope_area), EBI_AREA},
    {EBI_PER_WEATHER_FACTOR, "weather_factor", offsetof(eb_house, weather_factor), EBI_NUMBER},
    {EBI_PER_EXPOSED_FACADE, "exposed_facades", offsetof(eb_house, exposed_facades), EBI_NUMBER}};

static const house_row *row_of(ebi_driver driver) {
  for (size_t i = 0; i < sizeof house_rows / sizeof house_rows[0]; i++)
    if (house_rows[i].driver == driver)
      return &house_rows[i];
  return NULL;
}

static void missing(ebi_rates_plan *plan, ebi_driver driver, const char *key) {
  if (!ebi_driver_told(plan, driver))
    ebi_diag(plan->context, EB_ERROR, "input-missing", plan->house->where, NULL,
             "the rules \"%s\" need %s of the house; write \"%s: \" and its value%s",
             plan->rules->entry.name, key, key,
             driver == EBI_PER_WEATHER_FACTOR || driver == EBI_PER_EXPOSED_FACADE
                 ? " under \"site:\""
             : driver == EBI_PER_ENVELOPE_AREA || driver == EBI_PER_PERMEABILITY ||
                     driver == EBI_PER_LEAKAGE || driver == EBI_PER_LEAKAGE_FLOW
                 ? " under \"envelope:\""
                 : "");
}

/* False where the house does not say it; nothing is told. */
static bool house_figure(ebi_rates_plan *plan, const house_row *row) {
  const ebi_given *given = (const ebi_given *)((const char *)plan->house + row->offset);
  return given->given && keep(plan, row->driver, given->value,
                              ebi_ledger_input(plan->ledger, given->where, given->value, row->kind,
                                               "%s", row->key));
}

/* Those of the house, else by the first way of the rules whose inputs are given. */
static bool people(ebi_rates_plan *plan) {
  if (house_figure(plan, row_of(EBI_PER_PERSON)))
    return true;
  for (size_t i = 0; i < plan->rules->people.count; i++) {
    ebi_term_result result;
    if (ebi_term_try(plan, plan->rules->people.items[i], NULL, "people", &result) &&
        result.governing)
      return keep(plan, EBI_PER_PERSON, result.flow, result.step);
  }
  missing(plan, EBI_PER_PERSON, "people");
  return false;
}

/* Those of the house, else as many as its rooms stand on. */
static bool storeys(ebi_rates_plan *plan) {
  const eb_house *house = plan->house;
  double count = 0.0;
  if (house_figure(plan, row_of(EBI_PER_STOREY)))
    return true;
  for (size_t i = 0; i < house->n_rooms; i++) {
    size_t before = 0;
    while (before < i && house->rooms[before].storey != house->rooms[i].storey)
      before++;
    count += before == i ? 1.0 : 0.0;
  }
  return keep(
      plan, EBI_PER_STOREY, count,
      ebi_ledger_step(plan->ledger, EBI_F_STOREYS, NULL, count, EBI_NUMBER, NULL, 0, "storeys"));
}

/* ---- Airtightness ---- */

/* The house's leakage as a flow at 50 Pa; false where it is not known. */
static bool leakage_flow(ebi_rates_plan *plan, ebi_figure *figure) {
  const eb_house *house = plan->house;
  ebi_figure volume;
  if (house->q50.given && house->envelope_area.given) {
    figure->value = house->q50.value * house->envelope_area.value;
    return true;
  }
  if (!house->n50.given || !ebi_driver_value(plan, EBI_PER_VOLUME, NULL, &volume))
    return false;
  figure->value = house->n50.value / 3600.0 * volume.value;
  return true;
}

/* Permeability, air changes or flow at 50 Pa, whichever the house gives them by. */
static bool leakage(ebi_rates_plan *plan, ebi_driver driver) {
  const eb_house *house = plan->house;
  ebi_given permeability = ebi_house_permeability(house);
  ebi_figure flow = {0.0, EBI_NO_STEP}, volume;
  double value = 0.0;
  bool known;
  if (driver == EBI_PER_PERMEABILITY) {
    known = permeability.given;
    value = permeability.value;
  } else if (driver == EBI_PER_LEAKAGE && house->n50.given) {
    known = true;
    value = house->n50.value;
  } else {
    known = leakage_flow(plan, &flow);
    value = flow.value;
    if (known && driver == EBI_PER_LEAKAGE) {
      known = ebi_driver_value(plan, EBI_PER_VOLUME, NULL, &volume);
      value = known ? flow.value * 3600.0 / volume.value : 0.0;
    }
  }
  if (!known) {
    missing(plan, driver, "leakage");
    return false;
  }
  static const ebi_kind kinds[EBI_DRIVER_COUNT] = {[EBI_PER_PERMEABILITY] = EBI_PERMEABILITY,
                                                   [EBI_PER_LEAKAGE] = EBI_AIR_CHANGE,
                                                   [EBI_PER_LEAKAGE_FLOW] = EBI_FLOW};
  ebi_where where = house->q50.given ? house->q50.where : house->n50.where;
  return keep(plan, driver, value,
              ebi_ledger_input(plan->ledger, where, value, kinds[driver], "leakage at 50 Pa"));
}

/* ---- Sizes of the dwelling ---- */

/* One error for each room without the size that a sum over rooms needs. */
static bool rooms_sized(ebi_rates_plan *plan, ebi_driver driver, bool area) {
  bool all = true, again = ebi_driver_told(plan, driver);
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

/* Sum over all rooms. */
static bool all_rooms(ebi_rates_plan *plan, ebi_driver driver) {
  ebi_figure sum = {0.0, EBI_NO_STEP};
  const ebi_count rooms = {.driver = driver};
  return ebi_rooms_sum(plan, &rooms, &sum) && keep(plan, driver, sum.value, sum.step);
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
  return all_rooms(plan, driver);
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
    return people(plan);
  case EBI_PER_HABITABLE_ROOM:
    return habitable_rooms(plan);
  case EBI_PER_SLEEPER:
    return all_rooms(plan, driver);
  case EBI_PER_STOREY:
    return storeys(plan);
  case EBI_PER_PERMEABILITY:
  case EBI_PER_LEAKAGE:
  case EBI_PER_LEAKAGE_FLOW:
    return leakage(plan, driver);
  default:
    if (house_figure(plan, row_of(driver)))
      return true;
    missing(plan, driver, row_of(driver)->key);
    return false;
  }
}

/* ---- Of one room ---- */

/* Told once a room and kind: 1 area, 2 volume, 4 sleepers. */
static void missing_in_room(const ebi_rates_plan *plan, const ebi_room *room, unsigned char bit,
                            const char *what, const char *keys) {
  unsigned char *told = &plan->room_missing[room - plan->house->rooms];
  if (plan->quiet || (*told & bit))
    return;
  *told = (unsigned char)(*told | bit);
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

bool ebi_room_value(ebi_rates_plan *plan, ebi_driver driver, const ebi_room *room,
                    ebi_figure *figure) {
  if (driver == EBI_PER_ROOM_VOLUME)
    return ebi_room_volume(plan, room, figure);
  if (driver == EBI_PER_ROOM_STOREY || driver == EBI_PER_TRANSFER_FLOW) {
    bool storey = driver == EBI_PER_ROOM_STOREY;
    figure->value = storey ? (double)room->storey : plan->transfer_flow;
    figure->step =
        ebi_ledger_input(plan->ledger, room->where, figure->value, storey ? EBI_NUMBER : EBI_FLOW,
                         "%s of %s", storey ? "storey" : "air at the door", room->name);
    return true;
  }
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
  if (driver >= EBI_PER_ROOM_AREA)
    return ebi_room_value(plan, driver, room, figure);
  if (!plan->drivers[driver].given && !look_up(plan, driver))
    return false;
  if (driver == EBI_PER_PERSON && !plan->quiet)
    plan->driver_asked_people = true;
  *figure = (ebi_figure){plan->drivers[driver].value, plan->driver_steps[driver]};
  return true;
}
