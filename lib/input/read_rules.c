/* read_rules.c - a rule set from its file
 *
 * doc/rules.md says what the file holds. Uses come first: the lists after them
 * may name only what they declare. */

#include "input/read_rules.h"

#include <string.h>

#include "input/load.h"

/* What is put together while the uses are read. */
typedef struct use_lists {
  ebi_use_rule *uses;
  size_t n_uses, uses_capacity;
  ebi_room_rule *rules;
  size_t n_rules, rules_capacity;
  const ebi_source *source; /* of the set */
} use_lists;

/* ---- Uses ---- */

typedef struct use_keys {
  bool habitable, wet;
  ebi_given weight;
} use_keys;

static const ebi_field use_fields[] = {
    {.key = "habitable", .type = EBI_FIELD_BOOL, .offset = offsetof(use_keys, habitable)},
    {.key = "wet", .type = EBI_FIELD_BOOL, .offset = offsetof(use_keys, wet)},
    {.key = "weight",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .low = 0.0,
     .high = 1e6,
     .offset = offsetof(use_keys, weight)},
    {.key = "supply", .type = EBI_FIELD_IGNORED},
    {.key = "extract", .type = EBI_FIELD_IGNORED}};

static const ebi_field duty_fields[] = {{.key = "normal", .type = EBI_FIELD_IGNORED},
                                        {.key = "boost", .type = EBI_FIELD_IGNORED}};

static bool read_duty_level(ebi_reader *reader, const ebi_yaml *node, const char *use,
                            const char *level, bool supply, use_lists *lists) {
  const ebi_source *source = lists->source;
  ebi_term_place place = {.source = source, .in_room = true};
  place.id = ebi_arena_format(reader->arena, "%s-%s-%s", use, supply ? "supply" : "extract", level);
  const ebi_term *term = place.id ? ebi_term_read(reader, node, place) : NULL;
  if (!term || !ebi_arena_grow(reader->arena, &lists->rules, &lists->rules_capacity, lists->n_rules,
                               sizeof lists->rules[0]))
    return false;
  lists->rules[lists->n_rules++] = (ebi_room_rule){use, level, supply, term, term->source};
  return true;
}

/* yes, no, or {normal: TERM, boost: TERM}. Sets *duty. */
static bool read_duty(ebi_reader *reader, const ebi_yaml *mapping, const char *use, bool supply,
                      use_lists *lists, bool *duty) {
  const ebi_yaml *node = ebi_yaml_get(mapping, supply ? "supply" : "extract");
  if (!node)
    return true;
  if (node->kind != EBI_YAML_MAPPING) {
    ebi_read_bool(reader, node, duty);
    return true;
  }
  *duty = true;
  ebi_fields_read(reader, node, supply ? "a supply" : "an extract", duty_fields, 2, NULL);
  for (const char *const *level = ebi_rule_levels; *level; level++) {
    const ebi_yaml *term = ebi_yaml_get(node, *level);
    if (term && !read_duty_level(reader, term, use, *level, supply, lists))
      return false;
  }
  return true;
}

static bool read_use(ebi_reader *reader, const ebi_yaml_pair *pair, use_lists *lists) {
  use_keys keys = {0};
  ebi_use_rule use = {.use = pair->key->text};
  ebi_fields_read(reader, pair->value, "a use", use_fields, 5, &keys);
  if (pair->value->kind == EBI_YAML_MAPPING &&
      (!read_duty(reader, pair->value, use.use, true, lists, &use.supplied) ||
       !read_duty(reader, pair->value, use.use, false, lists, &use.extracted)))
    return false;
  use.habitable = keys.habitable;
  use.wet = keys.wet;
  use.weight = keys.weight.given ? keys.weight.value : 1.0;
  if (!ebi_arena_grow(reader->arena, &lists->uses, &lists->uses_capacity, lists->n_uses,
                      sizeof lists->uses[0]))
    return false;
  lists->uses[lists->n_uses++] = use;
  return true;
}

static bool read_uses(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set) {
  const ebi_yaml *node = ebi_yaml_get(root, "uses");
  use_lists lists = {.source = &set->entry.source};
  if (node && node->kind != EBI_YAML_MAPPING)
    ebi_read_error(reader, node, "not-a-mapping", "uses: is a mapping from a use to its rule");
  for (size_t i = 0; node && node->kind == EBI_YAML_MAPPING && i < node->count; i++)
    if (!read_use(reader, &node->pairs[i], &lists))
      return false;
  set->uses = lists.uses;
  set->n_uses = lists.n_uses;
  set->room_rules = lists.rules;
  set->n_room_rules = lists.n_rules;
  return true;
}

/* ---- Split, transfer, limits ---- */

static void read_split(ebi_reader *reader, const ebi_yaml *value, void *record) {
  static const char *const words[] = {"volume", "area", "weights", "rule", NULL};
  static const ebi_split splits[] = {EBI_SPLIT_VOLUME, EBI_SPLIT_AREA, EBI_SPLIT_WEIGHTS,
                                     EBI_SPLIT_RULE};
  ebi_rule_set *set = record;
  const char *by = NULL;
  const ebi_field fields[] = {
      {.key = "by", .type = EBI_FIELD_WORD, .required = true, .words = words},
      {.key = "source", .type = EBI_FIELD_IGNORED},
      {.key = "known", .type = EBI_FIELD_IGNORED}};
  ebi_fields_read(reader, value, "supply_split", fields, 3, &by);
  if (value->kind == EBI_YAML_MAPPING)
    ebi_read_source(reader, value, &set->entry.source, &set->supply_split_source);
  for (size_t i = 0; by && words[i]; i++)
    if (strcmp(by, words[i]) == 0)
      set->supply_split = splits[i];
}

#define SIZE_KEY(word, kind_of, field)                                                             \
  {                                                                                                \
    .key = word, .type = EBI_FIELD_QUANTITY, .required = true, .kind = kind_of, .low = 1e-9,       \
    .high = 10.0, .offset = offsetof(ebi_rule_set, field)                                          \
  }

static const ebi_field undercut_fields[] = {SIZE_KEY("laid", EBI_LENGTH, undercut_laid),
                                            SIZE_KEY("bare", EBI_LENGTH, undercut_bare)};

static void read_undercut(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_fields_read(reader, value, "undercut", undercut_fields, 2, record);
}

static const ebi_field transfer_fields[] = {
    SIZE_KEY("area", EBI_AREA, transfer_area),
    SIZE_KEY("door_width", EBI_LENGTH, transfer_door_width),
    {.key = "undercut", .type = EBI_FIELD_CUSTOM, .required = true, .read = read_undercut},
    {.key = "source", .type = EBI_FIELD_IGNORED},
    {.key = "known", .type = EBI_FIELD_IGNORED}};

static void read_transfer(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  ebi_fields_read(reader, value, "transfer", transfer_fields, 5, set);
  if (value->kind == EBI_YAML_MAPPING)
    ebi_read_source(reader, value, &set->entry.source, &set->transfer_source);
}

/* {at_most: VALUE} or {at_least: VALUE}, with source. */
typedef struct limit_row {
  const char *bound;
  ebi_kind kind;
  double high;
} limit_row;

static void read_limit(ebi_reader *reader, const ebi_yaml *value, limit_row row,
                       const ebi_source *inherited, ebi_given *given, ebi_source *source) {
  const ebi_field fields[] = {{.key = row.bound,
                               .type = EBI_FIELD_QUANTITY,
                               .required = true,
                               .kind = row.kind,
                               .low = 0.0,
                               .high = row.high},
                              {.key = "source", .type = EBI_FIELD_IGNORED},
                              {.key = "known", .type = EBI_FIELD_IGNORED}};
  ebi_fields_read(reader, value, "a limit", fields, 3, given);
  if (value->kind == EBI_YAML_MAPPING)
    ebi_read_source(reader, value, inherited, source);
}

static void read_fan_power(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  read_limit(reader, value, (limit_row){"at_most", EBI_FAN_POWER, 1e6}, &set->entry.source,
             &set->fan_power, &set->fan_power_source);
}

static void read_recovery(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  read_limit(reader, value, (limit_row){"at_least", EBI_RATIO, 1.0}, &set->entry.source,
             &set->heat_recovery, &set->heat_recovery_source);
}

static void read_permeability(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  read_limit(reader, value, (limit_row){"at_most", EBI_PERMEABILITY, 1.0}, &set->entry.source,
             &set->permeability, &set->permeability_source);
}

static const ebi_field limit_fields[] = {
    {.key = "fan_power", .type = EBI_FIELD_CUSTOM, .read = read_fan_power},
    {.key = "heat_recovery", .type = EBI_FIELD_CUSTOM, .read = read_recovery},
    {.key = "permeability", .type = EBI_FIELD_CUSTOM, .read = read_permeability}};

static void read_limits(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_fields_read(reader, value, "limits", limit_fields, 3, record);
}

static void read_notes(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  ebi_read_texts(reader, value, &set->notes, &set->n_notes);
}

/* ---- The file ---- */

static const ebi_field set_fields[] = {
    {.key = "table", .type = EBI_FIELD_IGNORED},
    {.key = "title", .type = EBI_FIELD_IGNORED},
    {.key = "source", .type = EBI_FIELD_IGNORED},
    {.key = "known", .type = EBI_FIELD_IGNORED},
    {.key = "uses", .type = EBI_FIELD_IGNORED, .required = true},
    {.key = "whole_dwelling", .type = EBI_FIELD_IGNORED, .required = true},
    {.key = "supply_split", .type = EBI_FIELD_CUSTOM, .required = true, .read = read_split},
    {.key = "transfer", .type = EBI_FIELD_CUSTOM, .read = read_transfer},
    {.key = "limits", .type = EBI_FIELD_CUSTOM, .read = read_limits},
    {.key = "sound", .type = EBI_FIELD_IGNORED},
    {.key = "combustion", .type = EBI_FIELD_IGNORED},
    {.key = "notes", .type = EBI_FIELD_CUSTOM, .read = read_notes}};

static bool read_whole_dwelling(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set) {
  const ebi_yaml *node = ebi_yaml_get(root, "whole_dwelling");
  ebi_term_place place = {.id = "whole-dwelling", .source = &set->entry.source};
  if (!node)
    return true; /* already an error: the key is required */
  set->whole_dwelling = ebi_term_read(reader, node, place);
  return set->whole_dwelling != NULL;
}

static const void *read_set(ebi_reader *reader, const ebi_document *document, const char *name) {
  size_t errors = ebi_diag_errors(reader->context);
  ebi_rule_set *set = EBI_NEW(reader->arena, ebi_rule_set);
  if (!set)
    return NULL;
  ebi_entry_read(reader, document, name, &set->entry);
  ebi_fields_read(reader, document->root, "a rule file", set_fields,
                  sizeof set_fields / sizeof set_fields[0], set);
  bool kept = read_uses(reader, document->root, set) &&
              read_whole_dwelling(reader, document->root, set) &&
              ebi_rules_read_sound(reader, document->root, set) &&
              ebi_rules_read_combustion(reader, document->root, set);
  return kept && ebi_diag_errors(reader->context) == errors ? set : NULL;
}

const ebi_rule_set *ebi_rules_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_table_load(asking, value, "rules", read_set);
}
