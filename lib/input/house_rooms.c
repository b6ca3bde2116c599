/* house_rooms.c - rooms, the doors between them, levels */

#include <limits.h>
#include <string.h>

#include "input/house_read.h"
#include "input/quote.h"

/* Rule sets refer to these words. */
static const char *const uses[] = {"living", "dining",   "family",   "kitchen",  "bedroom",
                                   "study",  "playroom", "hobby",    "bathroom", "shower",
                                   "wc",     "utility",  "hall",     "landing",  "stairs",
                                   "porch",  "store",    "cupboard", "dressing", "plant",
                                   "cellar", "garage",   "loft",     "other",    NULL};

/* ---- Rooms ------------------------------------------------------------- */

typedef struct room_keys {
  ebi_room room;
  ebi_given storey;
} room_keys;

static void read_uses(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_room *room = &((room_keys *)record)->room;
  bool list = value->kind == EBI_YAML_SEQUENCE;
  size_t count = list ? value->count : 1;
  const char **read = ebi_read_array(reader, value, count, sizeof *read);
  bool good = read != NULL;
  for (size_t i = 0; read && i < count; i++)
    good = ebi_read_word(reader, list ? value->items[i] : value, uses, &read[i]) && good;
  if (list && count == 0)
    ebi_read_error(reader, value, "value-missing", "use is an empty list");
  if (!good)
    return;
  room->uses = read;
  room->n_uses = count;
}

static const ebi_field flow_fields[] = {
    {.key = "normal",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_FLOW,
     .high = 10,
     .offset = offsetof(ebi_flow_by_level, normal),
     .about = "at the level where valves are set"},
    {.key = "boost",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_FLOW,
     .high = 10,
     .offset = offsetof(ebi_flow_by_level, boost),
     .about = "the high rate of this room"},
};

static void read_flows(ebi_reader *reader, const ebi_yaml *value, ebi_flow_by_level *flows) {
  if (value->kind == EBI_YAML_MAPPING)
    ebi_fields_read(reader, value, value->key, flow_fields, EBI_COUNT_OF(flow_fields), flows);
  else
    ebi_read_given(reader, value, EBI_FLOW, 0, 10, &flows->normal);
}

static void read_supply(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_flows(reader, value, &((room_keys *)record)->room.supply);
}

static void read_extract(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_flows(reader, value, &((room_keys *)record)->room.extract);
}

static const ebi_field room_fields[] = {
    {.key = "use",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_uses,
     EBI_HOLDS(.type = EBI_FIELD_EITHER,
               EBI_SEVERAL({.type = EBI_FIELD_WORD, .words = uses},
                           {.type = EBI_FIELD_LIST,
                            .least = 1,
                            EBI_ONE(.type = EBI_FIELD_WORD, .words = uses)})),
     .about = "living, kitchen, bedroom, ... or a list of them"},
    {.key = "area",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_AREA,
     .low = 0.1,
     .high = 1e4,
     .offset = offsetof(room_keys, room.area),
     .about = "of its floor"},
    {.key = "height",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_LENGTH,
     .low = 0.5,
     .high = 30,
     .offset = offsetof(room_keys, room.height),
     .about = "mean, floor to ceiling"},
    {.key = "volume",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_VOLUME,
     .low = 0.1,
     .high = 1e5,
     .offset = offsetof(room_keys, room.volume),
     .about = "if not area times height"},
    {.key = "storey",
     .type = EBI_FIELD_COUNT,
     .low = -10,
     .high = 200,
     .offset = offsetof(room_keys, storey),
     .about = "0 for the ground floor"},
    {.key = "sleepers",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .high = 100,
     .offset = offsetof(room_keys, room.sleepers),
     .about = "who sleep there"},
    {.key = "sound_limit",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_SOUND,
     .high = 100,
     .offset = offsetof(room_keys, room.sound_limit),
     .about = "your own, e.g. 25 dB"},
    {.key = "outside_wall",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(room_keys, room.outside_wall),
     .about = "yes where not said"},
    {.key = "openable_window",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(room_keys, room.openable_window),
     .about = "yes where not said"},
    {.key = "window_angle",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_ANGLE,
     .high = 180,
     .offset = offsetof(room_keys, room.window_angle),
     .about = "how far its windows open, e.g. 45 deg"},
    {.key = "hood_to_outside",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(room_keys, room.hood_to_outside),
     .about = "a cooker hood with a duct of its own"},
    {.key = "supply",
     .type = EBI_FIELD_CUSTOM,
     .read = read_supply,
     EBI_HOLDS(.type = EBI_FIELD_EITHER,
               EBI_SEVERAL({.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = 0, .high = 10},
                           {.type = EBI_FIELD_MAPPING, EBI_TABLE(flow_fields)})),
     .about = "a flow of your own, or {normal, boost}"},
    {.key = "extract",
     .type = EBI_FIELD_CUSTOM,
     .read = read_extract,
     EBI_HOLDS(.type = EBI_FIELD_EITHER,
               EBI_SEVERAL({.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = 0, .high = 10},
                           {.type = EBI_FIELD_MAPPING, EBI_TABLE(flow_fields)})),
     .about = "a flow of your own, or {normal, boost}"},
    {.key = "at",
     .type = EBI_FIELD_CUSTOM,
     .read = ebi_room_read_at,
     .holds = &ebi_room_at_form,
     .about = "where its valve is: [3.2 m, 1.5 m, 2.4 m], or {supply, extract} of those"},
};

/* The volume that follows from area and height. */
static void derive_volume(ebi_room *room) {
  if (!room->volume.given && room->area.given && room->height.given)
    room->volume = (ebi_given){room->area.value * room->height.value, true, room->area.where};
}

static void read_room(ebi_reader *reader, const ebi_yaml_pair *pair, ebi_room *room) {
  room_keys keys = {.room = {.name = pair->key->text,
                             .outside_wall = true,
                             .openable_window = true,
                             .where = pair->key->where}};
  ebi_fields_read(reader, pair->value, "a room", room_fields, EBI_COUNT_OF(room_fields), &keys);
  if (pair->value->kind == EBI_YAML_MAPPING && !ebi_yaml_get(pair->value, "area") &&
      !ebi_yaml_get(pair->value, "volume"))
    ebi_read_error(reader, pair->key, "key-missing",
                   "room \"%s\" needs an area (and a height) or a volume",
                   ebi_quote(pair->key->text).text);
  *room = keys.room;
  room->storey = (int)keys.storey.value;
  derive_volume(room);
}

const ebi_field ebi_rooms_form = {.type = EBI_FIELD_NAMED,
                                  .least = 1,
                                  EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(room_fields))};

void ebi_house_read_rooms(ebi_reader *reader, const ebi_yaml *value) {
  ebi_house_reading *reading = ebi_reading(reader);
  if (!ebi_read_kind(reader, value, EBI_YAML_MAPPING, "{living: {use: living, area: 22 m2}}"))
    return;
  if (value->count == 0)
    ebi_read_error(reader, value, "rooms-missing", "rooms is empty: a house has at least one");
  ebi_room *rooms = ebi_read_array(reader, value, value->count, sizeof *rooms);
  if (!rooms)
    return;
  size_t count = 0;
  for (size_t i = 0; i < value->count; i++) {
    if (!ebi_read_named(reader, &value->pairs[i], "a room"))
      continue;
    read_room(reader, &value->pairs[i], &rooms[count]);
    if (!ebi_names_set(&reading->rooms, reader->arena, rooms[count].name, count))
      ebi_read_memory(reader, value);
    count++;
  }
  reading->house->rooms = rooms;
  reading->house->n_rooms = count;
  ebi_house_check_positions(reader);
}

/* ---- Doors ------------------------------------------------------------- */

typedef struct door_keys {
  ebi_door door;
  const char *finish;
} door_keys;

static const char *const finishes[] = {"laid", "bare", NULL};

static void read_between(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_door *door = &((door_keys *)record)->door;
  if (value->kind != EBI_YAML_SEQUENCE || value->count != 2) {
    ebi_read_error(reader, value, "kind-wrong",
                   "between must be a list of two rooms, for example [bed-1, landing]");
    return;
  }
  bool first = ebi_read_room_name(reader, value->items[0], &door->between[0]);
  bool second = ebi_read_room_name(reader, value->items[1], &door->between[1]);
  if (first && second && door->between[0] == door->between[1])
    ebi_read_error(reader, value, "door-same", "a door must be between two different rooms");
}

static const ebi_field door_fields[] = {
    {.key = "between",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_between,
     EBI_HOLDS(.type = EBI_FIELD_LIST, .least = 2, .most = 2, EBI_ONE(.type = EBI_FIELD_TEXT)),
     .about = "the two rooms"},
    {.key = "width",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_LENGTH,
     .low = 0.1,
     .high = 10,
     .offset = offsetof(door_keys, door.width),
     .about = "of the leaf"},
    {.key = "undercut",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_LENGTH,
     .high = 0.5,
     .offset = offsetof(door_keys, door.undercut),
     .about = "gap below the leaf"},
    {.key = "floor_finish",
     .type = EBI_FIELD_WORD,
     .words = finishes,
     .offset = offsetof(door_keys, finish),
     .about = "laid or bare when the gap was measured"},
};

const ebi_field ebi_doors_form = {.type = EBI_FIELD_LIST,
                                  EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(door_fields))};

void ebi_house_read_doors(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  if (!ebi_read_kind(reader, value, EBI_YAML_SEQUENCE, "- {between: [bed-1, landing]}"))
    return;
  ebi_door *doors = ebi_read_array(reader, value, value->count, sizeof *doors);
  for (size_t i = 0; doors && i < value->count; i++) {
    door_keys keys = {.door = {.where = value->items[i]->where}, .finish = finishes[0]};
    ebi_fields_read(reader, value->items[i], "a door", door_fields, EBI_COUNT_OF(door_fields),
                    &keys);
    doors[i] = keys.door;
    doors[i].finish_laid = keys.finish == finishes[0];
  }
  house->doors = doors;
  house->n_doors = doors ? value->count : 0;
}

/* ---- Levels ------------------------------------------------------------ */

typedef struct level_keys {
  ebi_given share, at_least, hours;
} level_keys;

static const ebi_field level_fields[] = {
    {.key = "share",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.01,
     .high = 10,
     .offset = offsetof(level_keys, share),
     .about = "of normal"},
    {.key = "at_least",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = 0.01,
     .high = 10,
     .offset = offsetof(level_keys, at_least),
     .about = "of normal; the rule may ask for more"},
    {.key = "hours",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_HOURS_PER_DAY,
     .high = 24,
     .offset = offsetof(level_keys, hours),
     .about = "a day, e.g. 1.5 h/day"},
};

/* True where the house's rules say what share of normal the level is. */
static bool rules_know_level(const ebi_rule_set *rules, const char *name) {
  for (size_t i = 0; rules && i < rules->n_levels; i++)
    if (strcmp(rules->levels[i].name, name) == 0)
      return true;
  return false;
}

static void check_level(ebi_reader *reader, const ebi_yaml_pair *pair, const level_keys *keys) {
  const char *name = pair->key->text;
  bool normal = strcmp(name, "normal") == 0;
  bool boost = strcmp(name, "boost") == 0;
  if (keys->share.given && keys->at_least.given)
    ebi_read_error(reader, pair->value, "level", "level \"%s\" has share or at_least, not both",
                   ebi_quote(name).text);
  else if (normal && (keys->share.given || keys->at_least.given))
    ebi_read_error(reader, pair->value, "level",
                   "normal is what the shares are of; it can only be given hours");
  else if (!normal && !boost && pair->value->kind == EBI_YAML_MAPPING &&
           !rules_know_level(ebi_reading(reader)->house->rules, name) &&
           !ebi_yaml_get(pair->value, "share") && !ebi_yaml_get(pair->value, "at_least"))
    ebi_read_error(reader, pair->value, "key-missing",
                   "level \"%s\" needs a share of normal, for example share: 70 %%",
                   ebi_quote(name).text);
}

static void read_level(ebi_reader *reader, const ebi_yaml_pair *pair, ebi_level *level) {
  level_keys keys = {.share = {.given = false}};
  if (pair->value->kind == EBI_YAML_SCALAR)
    ebi_read_given(reader, pair->value, EBI_RATIO, 0.01, 10, &keys.share);
  else
    ebi_fields_read(reader, pair->value, "a level", level_fields, EBI_COUNT_OF(level_fields),
                    &keys);
  check_level(reader, pair, &keys);
  *level = (ebi_level){.name = pair->key->text,
                       .share = keys.at_least.given ? keys.at_least : keys.share,
                       .at_least = keys.at_least.given,
                       .hours_per_day = keys.hours,
                       .where = pair->key->where};
}

/* A day has 24 hours. */
static void check_hours(ebi_reader *reader, const ebi_yaml *value) {
  const eb_house *house = ebi_reading(reader)->house;
  double hours = 0;
  for (size_t i = 0; i < house->n_levels; i++)
    hours += house->levels[i].hours_per_day.given ? house->levels[i].hours_per_day.value : 0;
  if (hours > 24 + 1e-9)
    ebi_read_error(reader, value, "hours", "the hours of the levels sum to %.6g h/day; at most 24",
                   hours);
}

const ebi_field ebi_levels_form = {
    .type = EBI_FIELD_NAMED,
    EBI_ONE(.type = EBI_FIELD_EITHER,
            EBI_SEVERAL({.type = EBI_FIELD_QUANTITY, .kind = EBI_RATIO, .low = 0.01, .high = 10},
                        {.type = EBI_FIELD_MAPPING, EBI_TABLE(level_fields)}))};

void ebi_house_read_levels(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  if (!ebi_read_kind(reader, value, EBI_YAML_MAPPING, "{low: 70 %}"))
    return;
  ebi_level *levels = ebi_read_array(reader, value, value->count, sizeof *levels);
  size_t count = 0;
  for (size_t i = 0; levels && i < value->count; i++)
    if (ebi_read_named(reader, &value->pairs[i], "a level"))
      read_level(reader, &value->pairs[i], &levels[count++]);
  house->levels = levels;
  house->n_levels = count;
  check_hours(reader, value);
}
