/* read_rules.c - a rule set from its file
 *
 * doc/rules.md says what the file holds. The names of uses come first, then the
 * terms of the dwelling: what follows may name only what they declare. */

#include "input/read_rules.h"

#include <string.h>

#include "input/load.h"

/* What is put together while the uses are read. */
typedef struct room_rules {
  ebi_room_rule *items;
  size_t count, capacity;
} room_rules;

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

static void read_use(ebi_reader *reader, const ebi_yaml_pair *pair, ebi_use_rule *use) {
  use_keys keys = {0};
  ebi_fields_read(reader, pair->value, "a use", use_fields, EBI_COUNT_FIELDS(use_fields), &keys);
  *use = (ebi_use_rule){.use = pair->key->text,
                        .habitable = keys.habitable,
                        .wet = keys.wet,
                        .weight = keys.weight.given ? keys.weight.value : 1.0};
}

/* The names and what is not a term. */
static ebi_use_rule *read_uses(ebi_reader *reader, const ebi_yaml *node) {
  ebi_rule_set *set = ebi_rules_of(reader)->set;
  if (node->kind != EBI_YAML_MAPPING) {
    ebi_read_error(reader, node, "not-a-mapping", "uses: is a mapping from a use to its rule");
    return NULL;
  }
  ebi_use_rule *uses = ebi_read_array(reader, node, node->count, sizeof *uses);
  for (size_t i = 0; uses && i < node->count; i++)
    read_use(reader, &node->pairs[i], &uses[i]);
  set->uses = uses;
  set->n_uses = uses ? node->count : 0;
  return uses;
}

/* ---- Duties of a use ---- */

static const ebi_field duty_fields[] = {{.key = "normal", .type = EBI_FIELD_IGNORED},
                                        {.key = "boost", .type = EBI_FIELD_IGNORED},
                                        EBI_SOURCE_FIELDS};

static void read_duty_level(ebi_reader *reader, const ebi_yaml *node, ebi_room_rule rule,
                            room_rules *rules) {
  ebi_term_place place = {.source = &rule.source, .value = EBI_FLOW, .in_room = true};
  place.id = ebi_arena_format(reader->arena, "%s-%s-%s", rule.use,
                              rule.supply ? "supply" : "extract", rule.level);
  rule.term = place.id ? ebi_term_read(reader, node, place) : NULL;
  if (!rule.term || !ebi_arena_grow(reader->arena, &rules->items, &rules->capacity, rules->count,
                                    sizeof rules->items[0])) {
    ebi_read_memory(reader, node);
    return;
  }
  rule.source = rule.term->source;
  rules->items[rules->count++] = rule;
}

/* yes, no, or {normal: TERM, boost: TERM}. Sets *duty. */
static void read_duty(ebi_reader *reader, const ebi_yaml *mapping, const char *use, bool supply,
                      room_rules *rules, bool *duty) {
  const ebi_yaml *node = ebi_yaml_get(mapping, supply ? "supply" : "extract");
  ebi_room_rule rule = {.use = use, .supply = supply};
  if (!node)
    return;
  if (node->kind != EBI_YAML_MAPPING) {
    ebi_read_bool(reader, node, duty);
    return;
  }
  *duty = true;
  ebi_fields_read(reader, node, supply ? "a supply" : "an extract", duty_fields,
                  EBI_COUNT_FIELDS(duty_fields), NULL);
  ebi_read_source(reader, node, &ebi_rules_of(reader)->set->entry.source, &rule.source);
  for (const char *const *level = ebi_rule_levels; *level; level++) {
    const ebi_yaml *term = ebi_yaml_get(node, *level);
    rule.level = *level;
    if (term)
      read_duty_level(reader, term, rule, rules);
  }
}

static void read_duties(ebi_reader *reader, const ebi_yaml *node, ebi_use_rule *uses) {
  ebi_rule_set *set = ebi_rules_of(reader)->set;
  room_rules rules = {0};
  for (size_t i = 0; i < set->n_uses; i++) {
    const ebi_yaml *mapping = node->pairs[i].value;
    if (mapping->kind != EBI_YAML_MAPPING)
      continue;
    read_duty(reader, mapping, uses[i].use, true, &rules, &uses[i].supplied);
    read_duty(reader, mapping, uses[i].use, false, &rules, &uses[i].extracted);
  }
  set->room_rules = rules.items;
  set->n_room_rules = rules.count;
}

/* ---- Split and totals ---- */

/* `by:` one of the words; its number, or `none`. */
static size_t read_by(ebi_reader *reader, const ebi_yaml *value, const char *what,
                      const char *const *words, size_t none, ebi_source *source) {
  const char *by = NULL;
  const ebi_field fields[] = {
      {.key = "by", .type = EBI_FIELD_WORD, .required = true, .words = words}, EBI_SOURCE_FIELDS};
  ebi_fields_read(reader, value, what, fields, 3, &by);
  if (value->kind == EBI_YAML_MAPPING)
    ebi_read_source(reader, value, &ebi_rules_of(reader)->set->entry.source, source);
  for (size_t i = 0; by && words[i]; i++)
    if (strcmp(by, words[i]) == 0)
      return i;
  return none;
}

static void read_supply_split(ebi_reader *reader, const ebi_yaml *value, void *record) {
  static const char *const words[] = {"volume", "area", "weights", "rule", "equal", NULL};
  static const ebi_split splits[] = {EBI_SPLIT_VOLUME, EBI_SPLIT_AREA, EBI_SPLIT_WEIGHTS,
                                     EBI_SPLIT_RULE, EBI_SPLIT_EQUAL};
  ebi_rule_set *set = record;
  set->supply_split =
      splits[read_by(reader, value, "supply_split", words, 0, &set->supply_split_source)];
}

static void read_extract_split(ebi_reader *reader, const ebi_yaml *value, void *record) {
  static const char *const words[] = {"high_rates", "volume", "area", "weights",
                                      "rule",       "equal",  NULL};
  static const ebi_split splits[] = {EBI_SPLIT_RULE,    EBI_SPLIT_VOLUME, EBI_SPLIT_AREA,
                                     EBI_SPLIT_WEIGHTS, EBI_SPLIT_RULE,   EBI_SPLIT_EQUAL};
  ebi_rule_set *set = record;
  set->extract_split =
      splits[read_by(reader, value, "extract_split", words, 0, &set->extract_split_source)];
}

static void read_totals(ebi_reader *reader, const ebi_yaml *value, void *record) {
  static const char *const words[] = {"raise_smaller", NULL};
  read_by(reader, value, "totals", words, 0, &((ebi_rule_set *)record)->totals_source);
}

static void read_notes(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  ebi_read_texts(reader, value, &set->notes, &set->n_notes);
}

/* ---- The file ---- */

#define SECTION(name, function)                                                                    \
  { .key = name, .type = EBI_FIELD_CUSTOM, .read = function }
#define LATER(name)                                                                                \
  { .key = name, .type = EBI_FIELD_IGNORED }

/* What may speak of terms of the dwelling is read after them. */
static const ebi_field set_fields[] = {
    LATER("table"),
    LATER("title"),
    LATER("source"),
    LATER("known"),
    {.key = "uses", .type = EBI_FIELD_IGNORED, .required = true},
    LATER("people"),
    {.key = "whole_dwelling", .type = EBI_FIELD_IGNORED, .required = true},
    LATER("levels"),
    LATER("unoccupied"),
    LATER("information"),
    {.key = "supply_split", .type = EBI_FIELD_CUSTOM, .required = true, .read = read_supply_split},
    SECTION("extract_split", read_extract_split),
    SECTION("totals", read_totals),
    LATER("transfer"),
    LATER("purge"),
    LATER("intermittent"),
    LATER("background"),
    SECTION("co2", ebi_rules_read_co2),
    SECTION("limits", ebi_rules_read_limits),
    SECTION("imbalance", ebi_rules_read_imbalance),
    SECTION("commissioning", ebi_rules_read_commissioning),
    SECTION("notes", read_notes),
    LATER("sound"),
    LATER("combustion"),
    LATER("advice")};

/* In this order, after the uses. */
static const ebi_field later_fields[] = {SECTION("levels", ebi_rules_read_levels),
                                         SECTION("transfer", ebi_rules_read_transfer),
                                         SECTION("purge", ebi_rules_read_purge),
                                         SECTION("intermittent", ebi_rules_read_intermittent),
                                         SECTION("background", ebi_rules_read_background),
                                         SECTION("sound", ebi_rules_read_sound),
                                         SECTION("combustion", ebi_rules_read_combustion),
                                         SECTION("advice", ebi_rules_read_advice)};

/* A term of the dwelling under its key, or NULL. */
static const ebi_term *read_term(ebi_reader *reader, const ebi_yaml *root, const char *key,
                                 const char *id) {
  const ebi_yaml *node = ebi_yaml_get(root, key);
  ebi_term_place place = {.id = id,
                          .source = &ebi_rules_of(reader)->set->entry.source,
                          .value = EBI_FLOW,
                          .named = true};
  return node ? ebi_term_read(reader, node, place) : NULL;
}

static void read_dwelling(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set) {
  const ebi_yaml *people = ebi_yaml_get(root, "people");
  const ebi_yaml *information = ebi_yaml_get(root, "information");
  ebi_term_place place = {
      .id = "people", .source = &set->entry.source, .value = EBI_NUMBER, .in_people = true};
  if (people)
    ebi_terms_read(reader, people, place, &set->people);
  set->whole_dwelling = read_term(reader, root, "whole_dwelling", "whole-dwelling");
  set->unoccupied = read_term(reader, root, "unoccupied", "unoccupied");
  place = (ebi_term_place){.id = "information", .source = &set->entry.source, .value = EBI_FLOW};
  if (information)
    ebi_terms_read(reader, information, place, &set->information);
}

static void read_later(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set) {
  for (size_t i = 0; i < EBI_COUNT_FIELDS(later_fields); i++) {
    const ebi_yaml *value = ebi_yaml_get(root, later_fields[i].key);
    if (value)
      later_fields[i].read(reader, value, set);
  }
}

static const void *read_set(ebi_reader *reader, const ebi_document *document, const char *name) {
  const ebi_yaml *root = document->root, *node = ebi_yaml_get(root, "uses");
  size_t errors = ebi_diag_errors(reader->context);
  ebi_rule_set *set = EBI_NEW(reader->arena, ebi_rule_set);
  if (!set)
    return NULL;
  ebi_rules_reading reading = {.set = set};
  reader->record = &reading;
  set->extract_split = EBI_SPLIT_RULE;
  ebi_entry_read(reader, document, name, &set->entry);
  ebi_use_rule *uses = node ? read_uses(reader, node) : NULL;
  ebi_fields_read(reader, root, "a rule file", set_fields, EBI_COUNT_FIELDS(set_fields), set);
  read_dwelling(reader, root, set);
  if (uses)
    read_duties(reader, node, uses);
  read_later(reader, root, set);
  return ebi_diag_errors(reader->context) == errors ? set : NULL;
}

const ebi_rule_set *ebi_rules_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_table_load(asking, value, "rules", read_set);
}
