/* house_positions.c - where things stand: [x, y, z] along the walls and up from the floor
 *
 * Of a room it is the place of its valve, or two places where it has both duties. Ducts that are
 * drawn have their lengths; places are for those that are still to be sketched. */

#include <math.h>
#include <string.h>

#include "input/house_read.h"
#include "input/quote.h"

#define FARTHEST 100.0 /* m; what lies farther off is a slip of the pen */

static const ebi_field position_form = {
    .type = EBI_FIELD_LIST,
    .least = 3,
    .most = 3,
    EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_LENGTH, .low = -FARTHEST, .high = FARTHEST)};

static void read_position(ebi_reader *reader, const ebi_yaml *value, ebi_position *position) {
  if (value->kind != EBI_YAML_SEQUENCE || value->count != 3) {
    ebi_read_error(reader, value, "kind-wrong",
                   "a place is a list of three lengths, x and y along the walls and z up: [3.2 m, "
                   "1.5 m, 2.4 m]");
    return;
  }
  bool good = true;
  for (size_t i = 0; i < 3; i++) {
    ebi_given given = {.given = false};
    good = ebi_read_given(reader, value->items[i], EBI_LENGTH, -FARTHEST, FARTHEST, &given) && good;
    position->at[i] = given.value;
  }
  position->given = good;
  position->where = value->where;
}

/* ---- Rooms ------------------------------------------------------------- */

static void read_room_supply(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_position(reader, value, &((ebi_room *)record)->supply_at);
}

static void read_room_extract(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_position(reader, value, &((ebi_room *)record)->extract_at);
}

static const ebi_field at_fields[] = {
    {.key = "supply",
     .type = EBI_FIELD_CUSTOM,
     .read = read_room_supply,
     .holds = &position_form,
     .about = "where its air comes in: [x, y, z]"},
    {.key = "extract",
     .type = EBI_FIELD_CUSTOM,
     .read = read_room_extract,
     .holds = &position_form,
     .about = "where its air is taken off"},
};

const ebi_field ebi_room_at_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_LIST,
                 .least = 3,
                 .most = 3,
                 EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_LENGTH, .low = -FARTHEST,
                         .high = FARTHEST)},
                {.type = EBI_FIELD_MAPPING, EBI_TABLE(at_fields)})};

void ebi_room_read_at(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_room *room = record;
  if (value->kind == EBI_YAML_MAPPING) {
    ebi_fields_read(reader, value, "at", at_fields, EBI_COUNT_OF(at_fields), room);
    return;
  }
  read_position(reader, value, &room->supply_at);
  room->extract_at = room->supply_at;
}

/* The room that is at a place already, or EBI_NO_NAME; places are alike within a millimetre. */
static size_t taken_by(ebi_reader *reader, ebi_names *taken, const ebi_position *position,
                       size_t room) {
  char *key =
      ebi_arena_format(reader->arena, "%.0f %.0f %.0f", round(1e3 * position->at[0]) + 0.0,
                       round(1e3 * position->at[1]) + 0.0, round(1e3 * position->at[2]) + 0.0);
  size_t first = key ? ebi_names_find(taken, key) : EBI_NO_NAME;
  if (first == EBI_NO_NAME && (!key || !ebi_names_set(taken, reader->arena, key, room))) {
    ebi_yaml place = {.where = position->where};
    ebi_read_memory(reader, &place);
  }
  return first;
}

static void check_place(ebi_reader *reader, ebi_names *taken, const ebi_position *position,
                        size_t room) {
  const ebi_room *rooms = ebi_reading(reader)->house->rooms;
  size_t first = position->given ? taken_by(reader, taken, position, room) : EBI_NO_NAME;
  if (first == EBI_NO_NAME || first == room)
    return;
  ebi_yaml place = {.where = position->where};
  ebi_read_error(
      reader, &place, "position-taken", "room \"%s\" is at the same point as room \"%s\" (line %d)",
      ebi_quote(rooms[room].name).text, ebi_quote(rooms[first].name).text, rooms[first].where.line);
}

void ebi_house_check_positions(ebi_reader *reader) {
  const eb_house *house = ebi_reading(reader)->house;
  ebi_names taken = {0};
  for (size_t i = 0; i < house->n_rooms; i++) {
    check_place(reader, &taken, &house->rooms[i].supply_at, i);
    if (memcmp(house->rooms[i].supply_at.at, house->rooms[i].extract_at.at,
               sizeof house->rooms[i].supply_at.at) != 0)
      check_place(reader, &taken, &house->rooms[i].extract_at, i);
  }
}

/* ---- The unit and outdoors --------------------------------------------- */

static void read_unit_at(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_position(reader, value, &((eb_house *)record)->unit_at);
}

static void read_outdoor_at(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_position(reader, value, &((eb_house *)record)->outdoor_at);
}

static void read_exhaust_at(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_position(reader, value, &((eb_house *)record)->exhaust_at);
}

static const ebi_field position_fields[] = {
    {.key = "unit",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_unit_at,
     .holds = &position_form,
     .about = "where the unit hangs: [x, y, z]"},
    {.key = "outdoor",
     .type = EBI_FIELD_CUSTOM,
     .read = read_outdoor_at,
     .holds = &position_form,
     .about = "where outdoor air is taken in"},
    {.key = "exhaust",
     .type = EBI_FIELD_CUSTOM,
     .read = read_exhaust_at,
     .holds = &position_form,
     .about = "where used air leaves"},
};

const ebi_field ebi_positions_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(position_fields)};

void ebi_house_read_positions(ebi_reader *reader, const ebi_yaml *value) {
  ebi_fields_read(reader, value, "positions", position_fields, EBI_COUNT_OF(position_fields),
                  ebi_reading(reader)->house);
}
