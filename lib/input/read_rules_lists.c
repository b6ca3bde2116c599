/* read_rules_lists.c - the lists of a rule file: sound limits, combustion appliances */

#include "input/read_rules.h"

#include <math.h>

#include "base/text.h"
#include "input/quote.h"

/* A use the set does not declare is an error with the nearest one. */
static bool use_known(ebi_reader *reader, const ebi_yaml *node, const ebi_rule_set *set,
                      const char *use) {
  for (size_t i = 0; i < set->n_uses; i++)
    if (ebi_text_equal(set->uses[i].use, use))
      return true;
  const char **names = EBI_NEW_ARRAY(reader->arena, const char *, set->n_uses);
  for (size_t i = 0; names && i < set->n_uses; i++)
    names[i] = set->uses[i].use;
  const char *near = names ? ebi_text_nearest(use, names, set->n_uses) : NULL;
  ebi_read_error(reader, node, "use-unknown", "\"%s\" is none of this file's uses%s%s%s",
                 ebi_quote(use).text, near ? "; did you mean \"" : "", near ? near : "",
                 near ? "\"?" : "");
  return false;
}

/* A list of mappings; NULL (with an error where there is something else). */
static const ebi_yaml *list_of(ebi_reader *reader, const ebi_yaml *root, const char *key) {
  const ebi_yaml *list = ebi_yaml_get(root, key);
  if (list && list->kind != EBI_YAML_SEQUENCE) {
    ebi_read_error(reader, list, "not-a-list", "%s: is a list of mappings", key);
    return NULL;
  }
  return list;
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

static bool read_sound(ebi_reader *reader, const ebi_yaml *node, const ebi_rule_set *set,
                       sound_list *list) {
  sound_keys keys = {0};
  ebi_source source = set->entry.source;
  const char *const *uses = NULL;
  size_t n_uses = 0;
  ebi_fields_read(reader, node, "a sound limit", sound_fields, 5, &keys);
  if (node->kind != EBI_YAML_MAPPING)
    return true;
  ebi_read_source(reader, node, &set->entry.source, &source);
  const ebi_yaml *written = ebi_yaml_get(node, "uses");
  if (!written || !keys.level || !ebi_read_texts(reader, written, &uses, &n_uses))
    return true;
  for (size_t i = 0; i < n_uses; i++) {
    const ebi_yaml *at = written->kind == EBI_YAML_SEQUENCE ? written->items[i] : written;
    if (!use_known(reader, at, set, uses[i]))
      continue;
    if (!ebi_arena_grow(reader->arena, &list->items, &list->capacity, list->count,
                        sizeof list->items[0]))
      return false;
    list->items[list->count++] = (ebi_sound_limit){uses[i], keys.level, keys.limit.value, source};
  }
  return true;
}

bool ebi_rules_read_sound(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set) {
  const ebi_yaml *list = list_of(reader, root, "sound");
  sound_list found = {0};
  for (size_t i = 0; list && i < list->count; i++)
    if (!read_sound(reader, list->items[i], set, &found))
      return false;
  set->sound = found.items;
  set->n_sound = found.count;
  return true;
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
    use_known(reader, ebi_yaml_get(node, "room"), set, rule->room_use);
}

bool ebi_rules_read_combustion(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set) {
  const ebi_yaml *list = list_of(reader, root, "combustion");
  size_t count = list ? list->count : 0;
  ebi_combustion_rule *rules = EBI_NEW_ARRAY(reader->arena, ebi_combustion_rule, count);
  if (!rules)
    return false;
  for (size_t i = 0; i < count; i++)
    read_appliance_rule(reader, list->items[i], set, &rules[i]);
  set->combustion = rules;
  set->n_combustion = count;
  return true;
}
