/* read_rules_when.c - the conditions of a rule file: `when:` */

#include "input/read_rules.h"

#include <math.h>

#include "base/text.h"

typedef struct condition_row {
  const char *word;
  ebi_condition_kind kind;
  bool flag, of_room;
} condition_row;

/* Those that are no count or size. */
static const condition_row rows[] = {{"known", EBI_WHEN_KNOWN, true, false},
                                     {"written_in_feet", EBI_WHEN_IN_FEET, true, false},
                                     {"hood_to_outside", EBI_WHEN_HOOD, true, true},
                                     {"outside_wall", EBI_WHEN_OUTSIDE_WALL, true, true},
                                     {"openable_window", EBI_WHEN_WINDOW, true, true},
                                     {"main_of_its_use", EBI_WHEN_MAIN, true, true},
                                     {"with_use", EBI_WHEN_USE, true, true},
                                     {"without_use", EBI_WHEN_USE, false, true},
                                     {"appliance", EBI_WHEN_APPLIANCE, true, false},
                                     {"no_appliance", EBI_WHEN_APPLIANCE, false, false}};
#define N_ROWS (sizeof rows / sizeof rows[0])

/* One list of conditions being read; `known:` makes several of one key. */
typedef struct condition_list {
  ebi_condition *items;
  size_t count, capacity;
} condition_list;

static void add(ebi_reader *reader, const ebi_yaml *node, condition_list *list,
                ebi_condition condition) {
  if (ebi_arena_grow(reader->arena, &list->items, &list->capacity, list->count,
                     sizeof list->items[0]))
    list->items[list->count++] = condition;
  else
    ebi_read_memory(reader, node);
}

/* A value (exactly that), or a mapping of bounds. */
static void read_bounds(ebi_reader *reader, const ebi_yaml *key, const ebi_yaml *value,
                        ebi_term_place place, condition_list *list) {
  static const char *const uses[] = {"of", "without", NULL};
  const ebi_driver_row *row = ebi_driver_read(reader, key, place);
  ebi_condition condition = {.kind = EBI_WHEN_BOUNDS, .bounds = EBI_OPEN_BOUNDS};
  ebi_given exact = {0};
  if (!row)
    return;
  condition.count =
      (ebi_count){.driver = row->driver, .counted = EBI_OPEN_BOUNDS, .valid = EBI_OPEN_BOUNDS};
  if (value->kind == EBI_YAML_MAPPING) {
    ebi_bounds_read(reader, value, row->kind, uses, &condition.bounds);
    ebi_count_read_uses(reader, value, row, &condition.count);
    if (condition.bounds.least == -HUGE_VAL && condition.bounds.most == HUGE_VAL)
      ebi_read_error(reader, value, "condition-empty",
                     "a condition needs at_least, at_most, above or below");
  } else if (row->driver == EBI_PER_ROOM) {
    ebi_read_error(reader, value, "key-missing",
                   "\"rooms\" needs \"of\" too: {of: [wc], at_least: 2}");
  } else if (ebi_read_given(reader, value, row->kind, -1e6, 1e6, &exact)) {
    condition.bounds.least = condition.bounds.most = exact.value;
  }
  add(reader, value, list, condition);
}

static void read_known(ebi_reader *reader, const ebi_yaml *value, ebi_term_place place,
                       condition_list *list) {
  bool many = value->kind == EBI_YAML_SEQUENCE;
  for (size_t i = 0; i < (many ? value->count : 1); i++) {
    const ebi_yaml *word = many ? value->items[i] : value;
    const ebi_driver_row *row = ebi_driver_read(reader, word, place);
    if (row && row->driver == EBI_PER_ROOM)
      ebi_read_error(reader, word, "condition-empty", "rooms are always known");
    else if (row)
      add(reader, word, list,
          (ebi_condition){.kind = EBI_WHEN_KNOWN,
                          .count = {.driver = row->driver,
                                    .counted = EBI_OPEN_BOUNDS,
                                    .valid = EBI_OPEN_BOUNDS}});
  }
}

static void read_fuels(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_condition *condition = record;
  ebi_read_texts(reader, value, &condition->fuels.names, &condition->fuels.count);
}

static const ebi_field appliance_fields[] = {
    {.key = "kind",
     .type = EBI_FIELD_TEXT,
     .required = true,
     .offset = offsetof(ebi_condition, appliance)},
    {.key = "fuel", .type = EBI_FIELD_CUSTOM, .read = read_fuels}};

static void read_row(ebi_reader *reader, const ebi_yaml *value, const condition_row *row,
                     ebi_term_place place, condition_list *list) {
  ebi_condition condition = {.kind = row->kind, .flag = row->flag};
  if (row->kind == EBI_WHEN_KNOWN) {
    read_known(reader, value, place, list);
    return;
  }
  if (row->kind == EBI_WHEN_USE) {
    ebi_uses_read(reader, value, &condition.uses);
  } else if (row->kind == EBI_WHEN_APPLIANCE) {
    ebi_fields_read(reader, value, "an appliance", appliance_fields, 2, &condition);
  } else {
    ebi_read_bool(reader, value, &condition.flag);
  }
  add(reader, value, list, condition);
}

static void read_condition(ebi_reader *reader, const ebi_yaml_pair *pair, ebi_term_place place,
                           condition_list *list) {
  for (size_t i = 0; i < N_ROWS; i++) {
    if (!ebi_text_equal(rows[i].word, pair->key->text))
      continue;
    if (rows[i].of_room && !place.in_room)
      ebi_read_error(reader, pair->key, "driver-place",
                     "\"%s\" is of one room, and this rule is for the whole dwelling",
                     rows[i].word);
    else
      read_row(reader, pair->value, &rows[i], place, list);
    return;
  }
  read_bounds(reader, pair->key, pair->value, place, list);
}

void ebi_conditions_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                         ebi_conditions *conditions) {
  condition_list list = {0};
  if (!node)
    return;
  if (node->kind != EBI_YAML_MAPPING) {
    ebi_read_error(reader, node, "not-a-mapping", "when: is a mapping, such as {bedrooms: 1}");
    return;
  }
  for (size_t i = 0; i < node->count; i++)
    read_condition(reader, &node->pairs[i], place, &list);
  *conditions = (ebi_conditions){list.items, list.count};
}
