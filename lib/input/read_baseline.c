/* read_baseline.c - what the energy is compared with, from its file
 *
 * The kind says which keys there must be; no others may stand there. */

#include <string.h>

#include "input/load.h"
#include "input/read_climate.h"

#define MAX_AIR_CHANGE 20.0

typedef struct baseline_keys {
  const char *kind;
  ebi_given floor_air_change, quadratic, natural_from, leakage_divisor, opening_flow;
  ebi_given shelter_per_side, sheltered_sides, wind_reference, fan_power, fan_hours;
  ebi_given fan_flow, fan_specific_power;
  ebi_twelve wind;
} baseline_keys;

/* By ebi_baseline_kind. */
static const char *const kind_words[] = {
    [EBI_BASELINE_NATIONAL] = "national-method", [EBI_BASELINE_EXTRACT] = "extract",
    [EBI_BASELINE_EQUAL_AIR] = "equal-air",      [EBI_BASELINE_SAME_SYSTEM] = "same-system",
    [EBI_BASELINE_MEASURED] = "measured",        NULL};

static void read_winds(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_twelve_read(reader, value, EBI_SPEED, 0.0, 60.0, &((baseline_keys *)record)->wind);
}

#define GIVEN(word, member, kind_of, from, to, text)                                               \
  {                                                                                                \
    .key = word, .type = EBI_FIELD_QUANTITY, .offset = offsetof(baseline_keys, member),            \
    .kind = kind_of, .low = from, .high = to, .about = text                                        \
  }

static const ebi_field baseline_fields[] = {
    EBI_ENTRY_FIELDS,
    {.key = "kind",
     .type = EBI_FIELD_WORD,
     .words = kind_words,
     .offset = offsetof(baseline_keys, kind),
     .about = "how its air is reckoned; national-method where not said"},
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
    GIVEN("fan_flow", fan_flow, EBI_FLOW, 0.0, 1.0,
          "of one fan while it runs, where its air comes on top"),
    GIVEN("fan_specific_power", fan_specific_power, EBI_FAN_POWER, 0.0, 10000.0,
          "of continuous extract"),
    {.key = "wind",
     .type = EBI_FIELD_CUSTOM,
     .read = read_winds,
     .about = "twelve mean speeds from January, for climates without wind"}};

#define COUNT (sizeof baseline_fields / sizeof baseline_fields[0])

/* ---- Which keys a kind has ---------------------------------------------- */

/* A letter for each kind in its order: '+' must stand there, '?' may, '-' may not. */
typedef struct wanted_key {
  const char *key, *by_kind;
} wanted_key;

static const wanted_key wanted_keys[] = {{"floor_air_change", "+----"},
                                         {"quadratic", "+----"},
                                         {"natural_from", "+----"},
                                         {"opening_flow", "+----"},
                                         {"leakage_divisor", "++---"},
                                         {"shelter_per_side", "++---"},
                                         {"sheltered_sides", "++---"},
                                         {"wind_reference", "++---"},
                                         {"wind", "++---"},
                                         {"fan_specific_power", "-+---"},
                                         {"fan_power", "+-+-+"},
                                         {"fan_hours", "+-+-+"},
                                         {"fan_flow", "--?-?"}};

static ebi_baseline_kind kind_of(const baseline_keys *keys) {
  ebi_baseline_kind kind = EBI_BASELINE_NATIONAL;
  while (keys->kind != NULL && strcmp(kind_words[kind], keys->kind) != 0)
    kind++;
  return kind;
}

static void check_keys(ebi_reader *reader, const ebi_yaml *root, const baseline_keys *keys) {
  ebi_baseline_kind kind = kind_of(keys);
  if (root->kind != EBI_YAML_MAPPING || (keys->kind == NULL && ebi_yaml_get(root, "kind") != NULL))
    return; /* wrong, and said so */
  for (size_t i = 0; i < sizeof wanted_keys / sizeof wanted_keys[0]; i++) {
    const char *key = wanted_keys[i].key;
    const ebi_yaml *value = ebi_yaml_get(root, key);
    if (value == NULL && wanted_keys[i].by_kind[kind] == '+')
      ebi_read_error(reader, root, "key-missing", "a baseline of kind %s needs the key \"%s\"",
                     kind_words[kind], key);
    if (value != NULL && wanted_keys[i].by_kind[kind] == '-')
      ebi_read_error(reader, value, "key-unused", "a baseline of kind %s does not use \"%s\"",
                     kind_words[kind], key);
  }
}

/* ---- The table ---------------------------------------------------------- */

static const void *read_baseline(ebi_reader *reader, const ebi_document *document,
                                 const char *name) {
  ebi_baseline *baseline = EBI_NEW(reader->arena, ebi_baseline);
  if (baseline == NULL)
    return NULL;
  baseline_keys keys;
  memset(&keys, 0, sizeof keys);
  ebi_entry_read(reader, document, name, &baseline->entry);
  ebi_fields_read(reader, document->root, "a baseline", baseline_fields, COUNT, &keys);
  baseline->kind = kind_of(&keys);
  check_keys(reader, document->root, &keys);
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
  baseline->fan_flow = keys.fan_flow.value;
  baseline->fan_specific_power = keys.fan_specific_power.value;
  for (int month = 0; month < 12; month++)
    baseline->wind[month] = keys.wind.month[month].value;
  return baseline;
}

const ebi_baseline *ebi_baseline_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_table_load(asking, value, "baselines", read_baseline);
}
