/* house_heat_pump.c - `heat_pump:`, which heats or cools the supply air and heats a tank of water
 *
 *   heat_pump:
 *     compressor: 600 W
 *     ratio: {columns: [C, ratio], points: [[45, 3.0], [65, 2.2]]}
 *     tank: 180 l
 *     start: 45 C
 *     limit: 65 C
 *     loss: 60 W
 *     draw: 120 l/day
 *     weekly: 60 C
 *     heater: 2 kW
 */

#include "input/house_read.h"

static const ebi_column ratio_columns[2] = {{EBI_TEMPERATURE, 0, 95, "temperature of the tank"},
                                            {EBI_NUMBER, 1.01, 10, "ratio"}};

static void read_ratio(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_heat_pump *pump = record;
  ebi_read_points(reader, value, ratio_columns, &pump->ratios, &pump->n_ratios, NULL);
}

static void read_compressor(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_given power = {.given = false};
  if (ebi_read_given(reader, value, EBI_POWER, 10, 1e5, &power))
    ((ebi_heat_pump *)record)->compressor = power.value;
}

static const ebi_field pump_fields[] = {
    {.key = "compressor",
     .type = EBI_FIELD_CUSTOM,
     .read = read_compressor,
     EBI_HOLDS(.type = EBI_FIELD_QUANTITY, .kind = EBI_POWER, .low = 10, .high = 1e5),
     .about = "electricity it takes, e.g. 600 W"},
    {.key = "ratio",
     .type = EBI_FIELD_CUSTOM,
     .read = read_ratio,
     EBI_HOLDS(.type = EBI_FIELD_CURVE, EBI_COLUMNS_OF(ratio_columns)),
     .about =
         "heat over electricity against the tank's temperature: {columns: [C, ratio], points}"},
    {.key = "tank",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_VOLUME,
     .required = true,
     .low = 0.01,
     .high = 100,
     .offset = offsetof(ebi_heat_pump, tank),
     .about = "of hot water, e.g. 180 l"},
    {.key = "start",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TEMPERATURE,
     .low = 5,
     .high = 90,
     .offset = offsetof(ebi_heat_pump, start),
     .about = "of the tank before it is heated"},
    {.key = "limit",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TEMPERATURE,
     .low = 20,
     .high = 95,
     .offset = offsetof(ebi_heat_pump, limit),
     .about = "of the tank at which the heat pump stops"},
    {.key = "loss",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_POWER,
     .high = 1e4,
     .offset = offsetof(ebi_heat_pump, loss),
     .about = "of the tank while nothing is drawn"},
    {.key = "draw",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_VOLUME_PER_DAY,
     .high = 100,
     .offset = offsetof(ebi_heat_pump, draw),
     .about = "hot water used, e.g. 120 l/day"},
    {.key = "weekly",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_TEMPERATURE,
     .low = 55,
     .high = 90,
     .offset = offsetof(ebi_heat_pump, weekly),
     .about = "that the tank is brought to once a week, against legionella"},
    {.key = "heater",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_POWER,
     .high = 1e5,
     .offset = offsetof(ebi_heat_pump, heater),
     .about = "electric, that backs the heat pump up"},
};

/* The tank must have somewhere to go. */
static void check_lift(ebi_reader *reader, const ebi_yaml *value, const ebi_heat_pump *pump) {
  if (pump->start.given && pump->limit.given && !(pump->start.value < pump->limit.value))
    ebi_read_error(reader, ebi_yaml_get(value, "limit"), "out-of-range",
                   "the tank's limit of %.12g C is not above its start of %.12g C",
                   pump->limit.value, pump->start.value);
}

const ebi_field ebi_heat_pump_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(pump_fields)};

void ebi_house_read_heat_pump(ebi_reader *reader, const ebi_yaml *value) {
  ebi_heat_pump *pump = &ebi_reading(reader)->house->heat_pump;
  ebi_fields_read(reader, value, "the heat pump", pump_fields, EBI_COUNT_OF(pump_fields), pump);
  pump->given = true;
  pump->where = value->where;
  check_lift(reader, value, pump);
}
