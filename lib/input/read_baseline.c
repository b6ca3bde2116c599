/* read_baseline.c - what the energy is compared with, from its file */

#include <string.h>

#include "input/load.h"

#define MAX_AIR_CHANGE 20.0

typedef struct baseline_keys {
  ebi_given floor_air_change, quadratic, natural_from, leakage_divisor, opening_flow;
  ebi_given shelter_per_side, sheltered_sides, wind_reference, fan_power, fan_hours;
  double wind[12];
} baseline_keys;

static void read_winds(ebi_reader *reader, const ebi_yaml *value, void *record) {
  baseline_keys *keys = record;
  if (value->kind != EBI_YAML_SEQUENCE || value->count != 12) {
    ebi_read_error(reader, value, "not-twelve",
                   "here stands a list of twelve wind speeds from January, [5.1 m/s, ...]");
    return;
  }
  for (size_t i = 0; i < 12; i++) {
    ebi_given speed = {0};
    (void)ebi_read_given(reader, value->items[i], EBI_SPEED, 0.0, 60.0, &speed);
    keys->wind[i] = speed.value;
  }
}

#define GIVEN(word, member, kind_of, from, to, text)                                               \
  {                                                                                                \
    .key = word, .type = EBI_FIELD_QUANTITY, .required = true,                                     \
    .offset = offsetof(baseline_keys, member), .kind = kind_of, .low = from, .high = to,           \
    .about = text                                                                                  \
  }

static const ebi_field baseline_fields[] = {
    {.key = "table", .type = EBI_FIELD_IGNORED},
    {.key = "title", .type = EBI_FIELD_IGNORED},
    {.key = "source", .type = EBI_FIELD_IGNORED},
    {.key = "known", .type = EBI_FIELD_IGNORED},
    GIVEN("floor_air_change", floor_air_change, EBI_AIR_CHANGE, 0.0, MAX_AIR_CHANGE,
          "air change of a house without leaks, by people who open vents and windows"),
    GIVEN("quadratic", quadratic, EBI_NUMBER, 0.0, 10.0,
          "h: added to the floor for the square of the leaks' air change"),
    GIVEN("natural_from", natural_from, EBI_AIR_CHANGE, 0.0, MAX_AIR_CHANGE,
          "air change of the leaks from which they are all there is"),
    GIVEN("leakage_divisor", leakage_divisor, EBI_NUMBER, 1.0, 1000.0,
          "air changes at 50 Pa over those of the year"),
    GIVEN("opening_flow", opening_flow, EBI_FLOW, 0.0, 1.0, "for each intermittent fan"),
    GIVEN("shelter_per_side", shelter_per_side, EBI_NUMBER, 0.0, 0.25,
          "share of the leaks taken away by one sheltered side"),
    GIVEN("sheltered_sides", sheltered_sides, EBI_NUMBER, 0.0, 4.0, "how many"),
    GIVEN("wind_reference", wind_reference, EBI_SPEED, 0.1, 60.0,
          "wind at which the leaks are as the divisor says"),
    GIVEN("fan_power", fan_power, EBI_POWER, 0.0, 10000.0, "of one fan while it runs"),
    GIVEN("fan_hours", fan_hours, EBI_HOURS_PER_DAY, 0.0, 24.0, "of one fan"),
    {.key = "wind",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_winds,
     .about = "twelve mean speeds from January, for climates without wind"}};

static const void *read_baseline(ebi_reader *reader, const ebi_document *document,
                                 const char *name) {
  ebi_baseline *baseline = EBI_NEW(reader->arena, ebi_baseline);
  if (baseline == NULL)
    return NULL;
  baseline_keys keys;
  memset(&keys, 0, sizeof keys);
  ebi_entry_read(reader, document, name, &baseline->entry);
  ebi_fields_read(reader, document->root, "a baseline", baseline_fields,
                  sizeof baseline_fields / sizeof baseline_fields[0], &keys);
  baseline->floor_air_change = keys.floor_air_change.value;
  baseline->quadratic = keys.quadratic.value;
  baseline->natural_from = keys.natural_from.value;
  baseline->leakage_divisor = keys.leakage_divisor.value;
  baseline->opening_flow = keys.opening_flow.value;
  baseline->shelter_per_side = keys.shelter_per_side.value;
  baseline->sheltered_sides = keys.sheltered_sides.value;
  baseline->wind_reference = keys.wind_reference.value;
  baseline->fan_power = keys.fan_power.value;
  baseline->fan_hours = keys.fan_hours.value;
  memcpy(baseline->wind, keys.wind, sizeof baseline->wind);
  return baseline;
}

const ebi_baseline *ebi_baseline_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_table_load(asking, value, "baselines", read_baseline);
}
