/* house_air.c - what else moves, burns or lets in air: appliances and openings */

#include <math.h>

#include "input/house_read.h"

/* ---- Appliances -------------------------------------------------------- */

static const char *const appliance_kinds[] = {
    "open-flued", "room-sealed",    "flueless", "cooker-hood", "extract-fan", "tumble-dryer",
    "vacuum",     "hot-water-tank", "cooker",   "other",       NULL};
static const char *const fuels[] = {"gas", "oil", "solid", "electric", NULL};
static const char *const burners[] = {"pressure-jet", "vaporising", NULL};

static void read_appliance_room(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_read_room_name(reader, value, &((ebi_appliance *)record)->room);
}

static const ebi_column curve_columns[] = {{EBI_FLOW, 0, 10, "flow"},
                                           {EBI_PRESSURE, 0, 1e4, "pressure"}};

/* Pressure of its fan against flow; a fan's power does not matter here. */
static void read_curve(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_appliance *appliance = record;
  const ebi_point *read = NULL;
  size_t count = 0;
  if (!ebi_read_points(reader, value, curve_columns, &read, &count, NULL))
    return;
  if (count < 2) {
    ebi_read_error(reader, value, "columns", "a curve needs at least two points, from no flow on");
    return;
  }
  ebi_fan_point *points = ebi_read_array(reader, value, count, sizeof *points);
  for (size_t i = 0; points && i < count; i++)
    points[i] = (ebi_fan_point){.flow = read[i].x, .pressure = read[i].y, .power = NAN};
  appliance->curve = points;
  appliance->n_curve = points ? count : 0;
}

static const ebi_field duct_fields[] = {
    {.key = "drop",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_PRESSURE,
     .high = 1e4,
     .offset = offsetof(ebi_appliance, duct_drop),
     .about = "of its own duct and cowl, e.g. 30 Pa"},
    {.key = "at",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_FLOW,
     .low = 1e-4,
     .high = 10,
     .offset = offsetof(ebi_appliance, duct_at),
     .about = "the flow that drop is at, e.g. 100 l/s"},
};

static const ebi_field appliance_fields[] = {
    {.key = "kind",
     .type = EBI_FIELD_WORD,
     .required = true,
     .words = appliance_kinds,
     .offset = offsetof(ebi_appliance, kind),
     .about = "open-flued, cooker-hood, ..."},
    {.key = "fuel",
     .type = EBI_FIELD_WORD,
     .words = fuels,
     .offset = offsetof(ebi_appliance, fuel),
     .about = "gas, oil or solid"},
    {.key = "burner",
     .type = EBI_FIELD_WORD,
     .words = burners,
     .offset = offsetof(ebi_appliance, burner),
     .about = "of oil: pressure-jet or vaporising"},
    {.key = "room",
     .type = EBI_FIELD_CUSTOM,
     .read = read_appliance_room,
     EBI_HOLDS_TEXT,
     .about = "where it stands"},
    {.key = "flow",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_FLOW,
     .high = 10,
     .offset = offsetof(ebi_appliance, flow),
     .about = "that it takes out of the house"},
    {.key = "power",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_POWER,
     .high = 1e6,
     .offset = offsetof(ebi_appliance, rated_power),
     .about = "its rated output"},
    {.key = "curve",
     .type = EBI_FIELD_CUSTOM,
     .read = read_curve,
     EBI_HOLDS(.type = EBI_FIELD_CURVE, EBI_COLUMNS_OF(curve_columns)),
     .about = "of its fan: {columns: [l/s, Pa], points: [[0, 300], [120, 0]]}"},
    {.key = "duct",
     .type = EBI_FIELD_MAPPING,
     .what = "the duct of an appliance",
     EBI_TABLE(duct_fields),
     .about = "its own, by the square: {drop: 30 Pa, at: 100 l/s}"},
};

/* A duct takes its share of what a fan raises: without its curve it says nothing. */
static void check_appliance(ebi_reader *reader, const ebi_yaml *value,
                            const ebi_appliance *appliance) {
  if (value->kind == EBI_YAML_MAPPING && appliance->duct_drop.given &&
      !ebi_yaml_get(value, "curve"))
    ebi_read_error(reader, ebi_yaml_get(value, "duct"), "key-missing",
                   "the duct of an appliance needs the curve of its fan, for example curve: "
                   "{columns: [l/s, Pa], points: [[0, 300], [120, 0]]}");
}

const ebi_field ebi_appliances_form = {
    .type = EBI_FIELD_LIST, EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(appliance_fields))};

void ebi_house_read_appliances(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  if (!ebi_read_kind(reader, value, EBI_YAML_SEQUENCE, "- {kind: cooker-hood, room: kitchen}"))
    return;
  ebi_appliance *list = ebi_read_array(reader, value, value->count, sizeof *list);
  for (size_t i = 0; list && i < value->count; i++) {
    list[i] = (ebi_appliance){
        .kind = "", .fuel = "", .burner = "", .room = "", .where = value->items[i]->where};
    ebi_fields_read(reader, value->items[i], "an appliance", appliance_fields,
                    EBI_COUNT_OF(appliance_fields), &list[i]);
    check_appliance(reader, value->items[i], &list[i]);
  }
  house->appliances = list;
  house->n_appliances = list ? value->count : 0;
}

/* ---- Openings ---------------------------------------------------------- */

typedef struct opening_keys {
  const char *room;
  ebi_given area;
} opening_keys;

static void read_opening_room(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_read_room_name(reader, value, &((opening_keys *)record)->room);
}

static const ebi_field opening_fields[] = {
    {.key = "room",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_opening_room,
     EBI_HOLDS_TEXT,
     .about = "where it is"},
    {.key = "area",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_AREA,
     .low = 1e-6,
     .high = 100,
     .offset = offsetof(opening_keys, area),
     .about = "free, e.g. 180 cm2"},
};

const ebi_field ebi_openings_form = {.type = EBI_FIELD_LIST,
                                     EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(opening_fields))};

void ebi_house_read_openings(ebi_reader *reader, const ebi_yaml *value) {
  eb_house *house = ebi_reading(reader)->house;
  if (!ebi_read_kind(reader, value, EBI_YAML_SEQUENCE, "- {room: living, area: 180 cm2}"))
    return;
  ebi_opening *list = ebi_read_array(reader, value, value->count, sizeof *list);
  for (size_t i = 0; list && i < value->count; i++) {
    opening_keys keys = {.room = ""};
    ebi_fields_read(reader, value->items[i], "an opening", opening_fields,
                    EBI_COUNT_OF(opening_fields), &keys);
    list[i] =
        (ebi_opening){.room = keys.room, .area = keys.area.value, .where = value->items[i]->where};
  }
  house->openings = list;
  house->n_openings = list ? value->count : 0;
}
