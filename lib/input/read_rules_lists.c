/* read_rules_lists.c - the lists of a rule file: sound limits, combustion appliances, advice */

#include "input/read_rules.h"

#include <math.h>

const ebi_yaml *ebi_rules_list(ebi_reader *reader, const ebi_yaml *value) {
  if (value->kind == EBI_YAML_SEQUENCE)
    return value;
  ebi_read_error(reader, value, "not-a-list", "%s: is a list of mappings",
                 value->key ? value->key : "this");
  return NULL;
}

/* ---- Sound ---- */

typedef struct sound_keys {
  const char *level;
  ebi_given limit;
} sound_keys;

static const ebi_field sound_fields[] = {
    {.key = "uses", .type = EBI_FIELD_IGNORED, .required = true},
    {.key = "level",
     .type = EBI_FIELD_WORD,
     .required = true,
     .words = ebi_rule_levels,
     .offset = offsetof(sound_keys, level)},
    {.key = "limit",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_SOUND,
     .low = 0.0,
     .high = 120.0,
     .offset = offsetof(sound_keys, limit)},
    {.key = "source", .type = EBI_FIELD_IGNORED},
    {.key = "known", .type = EBI_FIELD_IGNORED}};

typedef struct sound_list {
  ebi_sound_limit *items;
  size_t count, capacity;
} sound_list;

static void add_sound(ebi_reader *reader, const ebi_yaml *node, ebi_sound_limit limit,
                      sound_list *list) {
  if (ebi_arena_grow(reader->arena, &list->items, &list->capacity, list->count,
                     sizeof list->items[0]))
    list->items[list->count++] = limit;
  else
    ebi_read_memory(reader, node);
}

static void read_sound(ebi_reader *reader, const ebi_yaml *node, const ebi_rule_set *set,
                       sound_list *list) {
  sound_keys keys = {0};
  ebi_source source = set->entry.source;
  ebi_use_list uses = {0};
  ebi_fields_read(reader, node, "a sound limit", sound_fields, EBI_COUNT_FIELDS(sound_fields),
                  &keys);
  if (node->kind != EBI_YAML_MAPPING)
    return;
  ebi_read_source(reader, node, &set->entry.source, &source);
  const ebi_yaml *written = ebi_yaml_get(node, "uses");
  if (written)
    ebi_uses_read(reader, written, &uses);
  for (size_t i = 0; keys.level && i < uses.count; i++)
    add_sound(reader, node, (ebi_sound_limit){uses.names[i], keys.level, keys.limit.value, source},
              list);
}

void ebi_rules_read_sound(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  const ebi_yaml *list = ebi_rules_list(reader, value);
  sound_list found = {0};
  for (size_t i = 0; list && i < list->count; i++)
    read_sound(reader, list->items[i], set, &found);
  set->sound = found.items;
  set->n_sound = found.count;
}

/* ---- Combustion ---- */

typedef struct vent_keys {
  ebi_given area, above, leaky_above;
} vent_keys;

typedef struct combustion_keys {
  const char *kind, *fuel, *burner, *room_use, *advice;
  bool no_extract;
  ebi_given extract_at_most;
  vent_keys vent;
} combustion_keys;

static const ebi_field vent_fields[] = {{.key = "area",
                                         .type = EBI_FIELD_QUANTITY,
                                         .required = true,
                                         .kind = EBI_AREA_PER_POWER,
                                         .low = 0.0,
                                         .high = 1.0,
                                         .offset = offsetof(vent_keys, area)},
                                        {.key = "above",
                                         .type = EBI_FIELD_QUANTITY,
                                         .kind = EBI_POWER,
                                         .low = 0.0,
                                         .high = 1e6,
                                         .offset = offsetof(vent_keys, above)},
                                        {.key = "leaky_above",
                                         .type = EBI_FIELD_QUANTITY,
                                         .kind = EBI_PERMEABILITY,
                                         .low = 0.0,
                                         .high = 1.0,
                                         .offset = offsetof(vent_keys, leaky_above)}};

static void read_vent(ebi_reader *reader, const ebi_yaml *node, void *record) {
  ebi_fields_read(reader, node, "a vent", vent_fields, 3, &((combustion_keys *)record)->vent);
}

#define TEXT_KEY(name)                                                                             \
  { .key = #name, .type = EBI_FIELD_TEXT, .offset = offsetof(combustion_keys, name) }

static const ebi_field combustion_fields[] = {
    {.key = "kind",
     .type = EBI_FIELD_TEXT,
     .required = true,
     .offset = offsetof(combustion_keys, kind)},
    TEXT_KEY(fuel),
    TEXT_KEY(burner),
    {.key = "room", .type = EBI_FIELD_TEXT, .offset = offsetof(combustion_keys, room_use)},
    {.key = "no_extract", .type = EBI_FIELD_BOOL, .offset = offsetof(combustion_keys, no_extract)},
    {.key = "extract_at_most",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_FLOW,
     .low = 0.0,
     .high = 10.0,
     .offset = offsetof(combustion_keys, extract_at_most)},
    {.key = "vent", .type = EBI_FIELD_CUSTOM, .read = read_vent},
    TEXT_KEY(advice),
    {.key = "source", .type = EBI_FIELD_IGNORED},
    {.key = "known", .type = EBI_FIELD_IGNORED}};

static const char *or_empty(const char *text) {
  return text ? text : "";
}

static void read_appliance_rule(ebi_reader *reader, const ebi_yaml *node, const ebi_rule_set *set,
                                ebi_combustion_rule *rule) {
  combustion_keys keys = {0};
  ebi_fields_read(reader, node, "a combustion rule", combustion_fields,
                  sizeof combustion_fields / sizeof combustion_fields[0], &keys);
  *rule = (ebi_combustion_rule){
      .kind = or_empty(keys.kind),
      .fuel = or_empty(keys.fuel),
      .burner = or_empty(keys.burner),
      .room_use = or_empty(keys.room_use),
      .no_extract = keys.no_extract,
      .extract_at_most = keys.extract_at_most.given ? keys.extract_at_most.value : HUGE_VAL,
      .vent_area_per_power = keys.vent.area.value,
      .vent_power_from = keys.vent.above.value,
      .vent_leaky_from = keys.vent.leaky_above.value,
      .advice = or_empty(keys.advice),
      .source = set->entry.source};
  if (node->kind != EBI_YAML_MAPPING)
    return;
  ebi_read_source(reader, node, &set->entry.source, &rule->source);
  if (rule->room_use[0])
    ebi_rules_use_known(reader, ebi_yaml_get(node, "room"), rule->room_use);
}

void ebi_rules_read_combustion(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  const ebi_yaml *list = ebi_rules_list(reader, value);
  size_t count = list ? list->count : 0;
  ebi_combustion_rule *rules = ebi_read_array(reader, value, count, sizeof *rules);
  for (size_t i = 0; rules && i < count; i++)
    read_appliance_rule(reader, list->items[i], set, &rules[i]);
  set->combustion = rules;
  set->n_combustion = rules ? count : 0;
}

/* ---- Advice ---- */

typedef struct advice_keys {
  const char *say, *severity;
} advice_keys;

static const char *const severities[] = {"note", "warning", NULL};

static const ebi_field advice_fields[] = {
    {.key = "say", .type = EBI_FIELD_TEXT, .required = true, .offset = offsetof(advice_keys, say)},
    {.key = "as",
     .type = EBI_FIELD_WORD,
     .words = severities,
     .offset = offsetof(advice_keys, severity)},
    {.key = "when", .type = EBI_FIELD_IGNORED},
    {.key = "uses", .type = EBI_FIELD_IGNORED},
    EBI_SOURCE_FIELDS};

static void read_advice(ebi_reader *reader, const ebi_yaml *node, const ebi_rule_set *set,
                        ebi_advice *advice) {
  advice_keys keys = {NULL, severities[0]};
  const ebi_yaml *uses = ebi_yaml_get(node, "uses");
  ebi_fields_read(reader, node, "an advice", advice_fields, EBI_COUNT_FIELDS(advice_fields), &keys);
  if (node->kind != EBI_YAML_MAPPING)
    return;
  *advice = (ebi_advice){.text = or_empty(keys.say), .warning = keys.severity == severities[1]};
  ebi_read_source(reader, node, &set->entry.source, &advice->source);
  if (uses)
    ebi_uses_read(reader, uses, &advice->uses);
  ebi_term_place place = {.in_room = uses != NULL};
  ebi_conditions_read(reader, ebi_yaml_get(node, "when"), place, &advice->conditions);
}

void ebi_rules_read_advice(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  const ebi_yaml *list = ebi_rules_list(reader, value);
  size_t count = list ? list->count : 0;
  ebi_advice *advice = ebi_read_array(reader, value, count, sizeof *advice);
  for (size_t i = 0; advice && i < count; i++)
    read_advice(reader, list->items[i], set, &advice[i]);
  set->advice = advice;
  set->n_advice = advice ? count : 0;
}
