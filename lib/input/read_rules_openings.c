/* read_rules_openings.c - transfer, purge, background ventilators, intermittent fans, CO2 */

#include "input/read_rules.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

static const ebi_source *set_source(const ebi_reader *reader) {
  return &ebi_rules_of(reader)->set->entry.source;
}

/* ---- Terms by use ---- */

/* A mapping from uses to terms of a room; `source` and `known` are of them all. */
static void read_use_terms(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                           ebi_use_terms *terms) {
  const char *section = place.id;
  ebi_source source;
  size_t count = 0;
  if (node->kind != EBI_YAML_MAPPING) {
    ebi_read_error(reader, node, "not-a-mapping", "%s: is a mapping from a use to its term",
                   node->key ? node->key : section);
    return;
  }
  ebi_read_source(reader, node, place.source, &source);
  place.source = &source;
  place.in_room = true;
  ebi_use_term *items = ebi_read_array(reader, node, node->count, sizeof *items);
  for (size_t i = 0; items && i < node->count; i++) {
    const ebi_yaml_pair *pair = &node->pairs[i];
    if (ebi_text_equal(pair->key->text, "source") || ebi_text_equal(pair->key->text, "known") ||
        !ebi_rules_use_known(reader, pair->key, pair->key->text))
      continue;
    place.id = ebi_arena_format(reader->arena, "%s-%s", section, pair->key->text);
    if (!place.id)
      ebi_read_memory(reader, node);
    else
      items[count++] = (ebi_use_term){pair->key->text, ebi_term_read(reader, pair->value, place)};
  }
  *terms = (ebi_use_terms){items, count};
}

void ebi_rules_read_intermittent(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  ebi_term_place place = {.id = "intermittent", .source = &set->entry.source, .value = EBI_FLOW};
  read_use_terms(reader, value, place, &set->intermittent);
}

/* ---- Background ventilators ---- */

static const ebi_field background_fields[] = {{.key = "rooms", .type = EBI_FIELD_IGNORED},
                                              {.key = "number", .type = EBI_FIELD_IGNORED},
                                              {.key = "least_number", .type = EBI_FIELD_IGNORED},
                                              {.key = "total", .type = EBI_FIELD_IGNORED},
                                              {.key = "inner_to_others",
                                               .type = EBI_FIELD_BOOL,
                                               .offset = offsetof(ebi_background, inner_to_others)},
                                              EBI_SOURCE_FIELDS,
                                              {.key = "when", .type = EBI_FIELD_IGNORED},
                                              {.key = "extract_only", .type = EBI_FIELD_IGNORED}};

/* Without the last two: those of the case with extract alone. */
static void read_ventilators(ebi_reader *reader, const ebi_yaml *node, const char *what,
                             size_t n_fields, ebi_background *background) {
  ebi_fields_read(reader, node, what, background_fields, n_fields, background);
  if (node->kind != EBI_YAML_MAPPING)
    return;
  const ebi_yaml *rooms = ebi_yaml_get(node, "rooms"), *number = ebi_yaml_get(node, "number");
  const ebi_yaml *least = ebi_yaml_get(node, "least_number"), *total = ebi_yaml_get(node, "total");
  ebi_read_source(reader, node, set_source(reader), &background->source);
  ebi_term_place place = {.id = what, .source = &background->source, .value = EBI_AREA};
  if (rooms)
    read_use_terms(reader, rooms, place, &background->rooms);
  if (total)
    background->total = ebi_term_read(reader, total, place);
  place.value = EBI_NUMBER;
  if (number)
    read_use_terms(reader, number, place, &background->numbers);
  if (least)
    background->least_number = ebi_term_read(reader, least, place);
}

void ebi_rules_read_background(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_rule_set *set = record;
  size_t n = EBI_COUNT_FIELDS(background_fields);
  read_ventilators(reader, value, "background", n, &set->background);
  if (value->kind != EBI_YAML_MAPPING)
    return;
  const ebi_yaml *extract_only = ebi_yaml_get(value, "extract_only");
  ebi_term_place place = {.in_room = false};
  ebi_conditions_read(reader, ebi_yaml_get(value, "when"), place, &set->background_when);
  if (extract_only)
    read_ventilators(reader, extract_only, "extract_only", n - 2, &set->extract_only);
}

/* ---- Purge ---- */

typedef struct row_keys {
  ebi_given angle, share;
} row_keys;

static const ebi_field row_fields[] = {{.key = "angle",
                                        .type = EBI_FIELD_QUANTITY,
                                        .required = true,
                                        .kind = EBI_ANGLE,
                                        .low = 0.0,
                                        .high = 180.0,
                                        .offset = offsetof(row_keys, angle)},
                                       {.key = "share",
                                        .type = EBI_FIELD_QUANTITY,
                                        .required = true,
                                        .kind = EBI_RATIO,
                                        .low = 0.0,
                                        .high = 1.0,
                                        .offset = offsetof(row_keys, share)}};

static void read_openings(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_purge *purge = record;
  const ebi_yaml *list = ebi_rules_list(reader, value);
  size_t count = list ? list->count : 0;
  ebi_purge_row *rows = ebi_read_array(reader, value, count, sizeof *rows);
  for (size_t i = 0; rows && i < count; i++) {
    row_keys keys = {.angle = {.given = false}};
    ebi_fields_read(reader, list->items[i], "an opening", row_fields, 2, &keys);
    rows[i] = (ebi_purge_row){keys.angle.value, keys.share.value};
    if (i > 0 && keys.angle.given && rows[i].angle <= rows[i - 1].angle)
      ebi_read_error(reader, list->items[i], "not-rising",
                     "each angle must be larger than the one before");
  }
  purge->rows = rows;
  purge->n_rows = rows ? count : 0;
}

static void read_purge_uses(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_uses_read(reader, value, &((ebi_purge *)record)->uses);
}

static const ebi_field purge_fields[] = {
    {.key = "air_changes",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_AIR_CHANGE,
     .low = 0.0,
     .high = 1e3,
     .offset = offsetof(ebi_purge, air_changes)},
    {.key = "uses", .type = EBI_FIELD_CUSTOM, .read = read_purge_uses},
    {.key = "openings", .type = EBI_FIELD_CUSTOM, .read = read_openings},
    EBI_SOURCE_FIELDS};

void ebi_rules_read_purge(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_purge *purge = &((ebi_rule_set *)record)->purge;
  ebi_fields_read(reader, value, "purge", purge_fields, EBI_COUNT_FIELDS(purge_fields), purge);
  purge->given = true;
  if (value->kind == EBI_YAML_MAPPING)
    ebi_read_source(reader, value, set_source(reader), &purge->source);
}

/* ---- CO2 ---- */

#define CO2(word, kind_of, least, most)                                                            \
  {                                                                                                \
    .key = #word, .type = EBI_FIELD_QUANTITY, .kind = kind_of, .low = least, .high = most,         \
    .offset = offsetof(ebi_co2_rule, word)                                                         \
  }

static const ebi_field co2_fields[] = {
    CO2(at_most, EBI_CONCENTRATION, 0.0, 0.1), CO2(above_outdoors, EBI_CONCENTRATION, 0.0, 0.1),
    CO2(asleep, EBI_FLOW, 1e-7, 1e-4), CO2(awake, EBI_FLOW, 1e-7, 1e-4), EBI_SOURCE_FIELDS};

void ebi_rules_read_co2(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_co2_rule *co2 = &((ebi_rule_set *)record)->co2;
  ebi_fields_read(reader, value, "co2", co2_fields, EBI_COUNT_FIELDS(co2_fields), co2);
  if (value->kind != EBI_YAML_MAPPING)
    return;
  ebi_read_source(reader, value, set_source(reader), &co2->source);
  if (!ebi_yaml_get(value, "at_most") == !ebi_yaml_get(value, "above_outdoors"))
    ebi_read_error(reader, value, "key-missing",
                   "co2 needs either \"at_most\" or \"above_outdoors\"");
}

/* ---- Transfer ---- */

#define SIZE(word, field, need)                                                                    \
  {                                                                                                \
    .key = word, .type = EBI_FIELD_QUANTITY, .required = need, .kind = EBI_LENGTH, .low = 1e-9,    \
    .high = 10.0, .offset = offsetof(ebi_transfer_rule, field)                                     \
  }

static const ebi_field undercut_fields[] = {SIZE("laid", undercut_laid, true),
                                            SIZE("bare", undercut_bare, true)};

/* One length, or {laid, bare}. */
static void read_undercut(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_transfer_rule *transfer = record;
  if (value->kind == EBI_YAML_MAPPING)
    ebi_fields_read(reader, value, "undercut", undercut_fields, 2, transfer);
  else if (ebi_read_given(reader, value, EBI_LENGTH, 1e-9, 10.0, &transfer->undercut_laid))
    transfer->undercut_bare = transfer->undercut_laid;
}

static const ebi_field transfer_fields[] = {
    {.key = "area", .type = EBI_FIELD_IGNORED},
    {.key = "of_use", .type = EBI_FIELD_IGNORED},
    SIZE("door_width", door_width, false),
    {.key = "undercut", .type = EBI_FIELD_CUSTOM, .read = read_undercut},
    EBI_SOURCE_FIELDS};

void ebi_rules_read_transfer(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_transfer_rule *transfer = &((ebi_rule_set *)record)->transfer;
  ebi_fields_read(reader, value, "transfer", transfer_fields, EBI_COUNT_FIELDS(transfer_fields),
                  transfer);
  if (value->kind != EBI_YAML_MAPPING)
    return;
  const ebi_yaml *area = ebi_yaml_get(value, "area"), *of_use = ebi_yaml_get(value, "of_use");
  ebi_read_source(reader, value, set_source(reader), &transfer->source);
  ebi_term_place place = {.id = "transfer",
                          .source = &transfer->source,
                          .value = EBI_AREA,
                          .in_room = true,
                          .in_transfer = true};
  transfer->given = true;
  if (area)
    transfer->area = ebi_term_read(reader, area, place);
  if (of_use)
    read_use_terms(reader, of_use, place, &transfer->of_use);
  if (!area && !ebi_yaml_get(value, "undercut"))
    ebi_read_error(reader, value, "key-missing", "transfer needs \"area\" or \"undercut\"");
}
