/* read_rules_limits.c - limits, levels, imbalance and tolerance of a rule file */

#include "input/read_rules.h"

#include <math.h>

#include "base/text.h"

#define QUANTITY(word, kind_of, most, record, field)                                               \
  {                                                                                                \
    .key = word, .type = EBI_FIELD_QUANTITY, .kind = kind_of, .low = 0.0, .high = most,            \
    .offset = offsetof(record, field)                                                              \
  }
#define REQUIRED(word, kind_of, most, record, field)                                               \
  {                                                                                                \
    .key = word, .type = EBI_FIELD_QUANTITY, .required = true, .kind = kind_of, .low = 0.0,        \
    .high = most, .offset = offsetof(record, field)                                                \
  }

/* Fields of the record, and where they are from. */
static void read_section(ebi_reader *reader, const ebi_yaml *value, const char *what,
                         const ebi_field *fields, size_t n_fields, void *record,
                         ebi_source *source) {
  ebi_fields_read(reader, value, what, fields, n_fields, record);
  if (value->kind == EBI_YAML_MAPPING)
    ebi_read_source(reader, value, &ebi_rules_of(reader)->set->entry.source, source);
}

/* ---- Limits ---- */

static const ebi_field fan_power_fields[] = {
    REQUIRED("at_most", EBI_FAN_POWER, 1e6, ebi_rule_set, fan_power),
    {.key = "level",
     .type = EBI_FIELD_WORD,
     .words = ebi_rule_levels,
     .offset = offsetof(ebi_rule_set, fan_power_level)},
    QUANTITY("extract_only", EBI_FAN_POWER, 1e6, ebi_rule_set, fan_power_extract),
    QUANTITY("supply_only", EBI_FAN_POWER, 1e6, ebi_rule_set, fan_power_supply),
    QUANTITY("intermittent", EBI_FAN_POWER, 1e6, ebi_rule_set, fan_power_intermittent),
    QUANTITY("heating_coil_adds", EBI_FAN_POWER, 1e6, ebi_rule_set, fan_power_coil),
    EBI_SOURCE_FIELDS};

static void read_fan_power(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  set->fan_power_level = ebi_rule_levels[0];
  read_section(reader, value, "a limit", fan_power_fields, EBI_COUNT_FIELDS(fan_power_fields), set,
               &set->fan_power_source);
}

static const ebi_field recovery_fields[] = {
    REQUIRED("at_least", EBI_RATIO, 1.0, ebi_rule_set, heat_recovery), EBI_SOURCE_FIELDS};

static void read_recovery(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  read_section(reader, value, "a limit", recovery_fields, EBI_COUNT_FIELDS(recovery_fields), set,
               &set->heat_recovery_source);
}

static const ebi_field permeability_fields[] = {
    QUANTITY("at_most", EBI_PERMEABILITY, 1.0, ebi_rule_set, permeability),
    QUANTITY("airtight_below", EBI_PERMEABILITY, 1.0, ebi_rule_set, airtight_below),
    QUANTITY("built_airtight_below", EBI_PERMEABILITY, 1.0, ebi_rule_set, built_airtight_below),
    EBI_SOURCE_FIELDS};

static void read_permeability(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  read_section(reader, value, "a limit", permeability_fields, EBI_COUNT_FIELDS(permeability_fields),
               set, &set->permeability_source);
}

static const ebi_field leakage_fields[] = {
    REQUIRED("at_most", EBI_AIR_CHANGE, 1e3, ebi_rule_set, air_changes_50), EBI_SOURCE_FIELDS};

static void read_leakage(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  read_section(reader, value, "a limit", leakage_fields, EBI_COUNT_FIELDS(leakage_fields), set,
               &set->air_changes_50_source);
}

static const ebi_field limit_fields[] = {
    {.key = "fan_power", .type = EBI_FIELD_CUSTOM, .read = read_fan_power},
    {.key = "heat_recovery", .type = EBI_FIELD_CUSTOM, .read = read_recovery},
    {.key = "permeability", .type = EBI_FIELD_CUSTOM, .read = read_permeability},
    {.key = "air_changes_50", .type = EBI_FIELD_CUSTOM, .read = read_leakage}};

void ebi_rules_read_limits(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_fields_read(reader, value, "limits", limit_fields, EBI_COUNT_FIELDS(limit_fields), record);
}

/* ---- Imbalance and tolerance ---- */

typedef struct imbalance_keys {
  ebi_imbalance_rule rule;
  const char *of;
} imbalance_keys;

static const char *const divisors[] = {"supply", "larger", "mean", NULL};

static const ebi_field imbalance_fields[] = {
    REQUIRED("at_most", EBI_RATIO, 1.0, imbalance_keys, rule.at_most),
    {.key = "of",
     .type = EBI_FIELD_WORD,
     .required = true,
     .words = divisors,
     .offset = offsetof(imbalance_keys, of)},
    QUANTITY("or_within", EBI_FLOW, 1.0, imbalance_keys, rule.or_within),
    EBI_SOURCE_FIELDS};

void ebi_rules_read_imbalance(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  imbalance_keys keys = {.of = divisors[0]};
  read_section(reader, value, "imbalance", imbalance_fields, EBI_COUNT_FIELDS(imbalance_fields),
               &keys, &keys.rule.source);
  keys.rule.divisor = keys.of == divisors[0]   ? EBI_OF_SUPPLY
                      : keys.of == divisors[1] ? EBI_OF_LARGER
                                               : EBI_OF_MEAN;
  set->imbalance = keys.rule;
}

typedef struct commissioning_keys {
  ebi_commissioning_rule rule;
  const char *kind;
} commissioning_keys;

static const char *const tolerance_kinds[] = {"none_below", "two_sided", NULL};

static const ebi_field commissioning_fields[] = {
    {.key = "kind",
     .type = EBI_FIELD_WORD,
     .required = true,
     .words = tolerance_kinds,
     .offset = offsetof(commissioning_keys, kind)},
    QUANTITY("room", EBI_RATIO, 1.0, commissioning_keys, rule.room),
    QUANTITY("system", EBI_RATIO, 1.0, commissioning_keys, rule.system),
    QUANTITY("fan_power", EBI_RATIO, 1.0, commissioning_keys, rule.fan_power),
    QUANTITY("instrument", EBI_RATIO, 1.0, commissioning_keys, rule.instrument),
    QUANTITY("or_within", EBI_FLOW, 1.0, commissioning_keys, rule.or_within),
    {.key = "includes_error",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(commissioning_keys, rule.includes_error)},
    EBI_SOURCE_FIELDS};

void ebi_rules_read_commissioning(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  commissioning_keys keys = {.kind = tolerance_kinds[0]};
  read_section(reader, value, "commissioning", commissioning_fields,
               EBI_COUNT_FIELDS(commissioning_fields), &keys, &keys.rule.source);
  keys.rule.given = true;
  keys.rule.two_sided = keys.kind == tolerance_kinds[1];
  if (keys.rule.two_sided && !keys.rule.room.given && !keys.rule.system.given)
    ebi_read_error(reader, value, "key-missing",
                   "a two-sided tolerance needs \"room\", \"system\" or both");
  set->commissioning = keys.rule;
}

/* ---- Levels ---- */

static const ebi_field level_fields[] = {
    QUANTITY("factor", EBI_RATIO, 10.0, ebi_rule_level, factor),
    QUANTITY("factor_at_most", EBI_RATIO, 10.0, ebi_rule_level, factor_at_most),
    {.key = "whole_dwelling", .type = EBI_FIELD_IGNORED},
    EBI_SOURCE_FIELDS};

static void read_level(ebi_reader *reader, const ebi_yaml_pair *pair, ebi_rule_level *level) {
  const ebi_yaml *whole = ebi_yaml_get(pair->value, "whole_dwelling");
  level->name = pair->key->text;
  read_section(reader, pair->value, "a level", level_fields, EBI_COUNT_FIELDS(level_fields), level,
               &level->source);
  ebi_term_place place = {.source = &level->source, .value = EBI_FLOW};
  place.id = ebi_arena_format(reader->arena, "level-%s", level->name);
  if (whole && place.id)
    level->whole_dwelling = ebi_term_read(reader, whole, place);
  else if (!place.id)
    ebi_read_memory(reader, pair->value);
  if (ebi_text_equal(level->name, ebi_rule_levels[0]))
    ebi_read_error(reader, pair->key, "level-normal",
                   "normal is what whole_dwelling: says; levels: are those beside it");
  else if (pair->value->kind == EBI_YAML_MAPPING && !level->factor.given && !whole)
    ebi_read_error(reader, pair->value, "key-missing",
                   "a level needs \"factor\" (of normal) or \"whole_dwelling\"");
}

void ebi_rules_read_levels(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  if (value->kind != EBI_YAML_MAPPING) {
    ebi_read_error(reader, value, "not-a-mapping",
                   "levels: is a mapping, such as {boost: {factor: 130 %%}}");
    return;
  }
  ebi_rule_level *levels = ebi_read_array(reader, value, value->count, sizeof *levels);
  for (size_t i = 0; levels && i < value->count; i++)
    read_level(reader, &value->pairs[i], &levels[i]);
  set->levels = levels;
  set->n_levels = levels ? value->count : 0;
}
