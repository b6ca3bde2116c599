/* read_rules_terms.c - the terms of a rule file: figures, tables, larger-of, sums */

#include "input/read_rules.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

const char *const ebi_rule_levels[] = {"normal", "boost", NULL};

/* What rules count or multiply by, as files write it. */
typedef struct driver_row {
  ebi_driver driver;
  const char *word;
  ebi_kind kind, rate_kind;
  bool of_room;
} driver_row;

static const driver_row drivers[] = {
    {EBI_PER_FLOOR_AREA, "floor_area", EBI_AREA, EBI_FLOW_PER_AREA, false},
    {EBI_PER_VOLUME, "volume", EBI_VOLUME, EBI_FLOW_PER_VOLUME, false},
    {EBI_PER_PERSON, "people", EBI_NUMBER, EBI_FLOW_PER_PERSON, false},
    {EBI_PER_BEDROOM, "bedrooms", EBI_NUMBER, EBI_FLOW, false},
    {EBI_PER_HABITABLE_ROOM, "habitable_rooms", EBI_NUMBER, EBI_FLOW, false},
    {EBI_PER_ROOM_AREA, "room_area", EBI_AREA, EBI_FLOW_PER_AREA, true},
    {EBI_PER_ROOM_VOLUME, "room_volume", EBI_VOLUME, EBI_FLOW_PER_VOLUME, true},
    {EBI_PER_ROOM_SLEEPER, "sleepers", EBI_NUMBER, EBI_FLOW_PER_PERSON, true}};
#define N_DRIVERS (sizeof drivers / sizeof drivers[0])

static const char *const driver_words[] = {"floor_area",  "volume",          "people",
                                           "bedrooms",    "habitable_rooms", "room_area",
                                           "room_volume", "sleepers",        NULL};

static const driver_row *driver_of(const char *word) {
  for (size_t i = 0; i < N_DRIVERS; i++)
    if (ebi_text_equal(drivers[i].word, word))
      return &drivers[i];
  return NULL;
}

static const driver_row *row_of(ebi_driver driver) {
  for (size_t i = 0; i < N_DRIVERS; i++)
    if (drivers[i].driver == driver)
      return &drivers[i];
  return NULL;
}

ebi_kind ebi_driver_kind(ebi_driver driver) {
  const driver_row *row = row_of(driver);
  return row ? row->kind : EBI_NUMBER;
}

ebi_kind ebi_driver_rate_kind(ebi_driver driver) {
  const driver_row *row = row_of(driver);
  return row ? row->rate_kind : EBI_FLOW;
}

/* A driver that the term's place does not know is an error at the node. */
static bool place_knows(ebi_reader *reader, const ebi_yaml *node, const driver_row *driver,
                        ebi_term_place place) {
  if (!driver->of_room || place.in_room)
    return true;
  ebi_read_error(reader, node, "driver-place",
                 "\"%s\" is of one room, and this rule is for the whole dwelling", driver->word);
  return false;
}

/* ---- Conditions ---- */

/* A number (exactly that), or {at_least: A, at_most: B}. */
static void read_bounds(ebi_reader *reader, const ebi_yaml *node, ebi_kind kind,
                        ebi_condition *condition) {
  struct {
    ebi_given least, most;
  } bounds = {{.given = false}, {.given = false}};
  if (node->kind == EBI_YAML_MAPPING) {
    const ebi_field fields[] = {
        {.key = "at_least", .type = EBI_FIELD_QUANTITY, .kind = kind, .low = 0.0, .high = 1e6},
        {.key = "at_most",
         .type = EBI_FIELD_QUANTITY,
         .kind = kind,
         .low = 0.0,
         .high = 1e6,
         .offset = sizeof(ebi_given)}};
    ebi_fields_read(reader, node, "a condition", fields, 2, &bounds);
    if (!node->count)
      ebi_read_error(reader, node, "condition-empty", "a condition needs at_least or at_most");
  } else if (ebi_read_given(reader, node, kind, 0.0, 1e6, &bounds.least)) {
    bounds.most = bounds.least;
  }
  condition->at_least = bounds.least.given ? bounds.least.value : -HUGE_VAL;
  condition->at_most = bounds.most.given ? bounds.most.value : HUGE_VAL;
  if (condition->at_least > condition->at_most)
    ebi_read_error(reader, node, "condition-empty", "at_least is above at_most: never true");
}

static void read_condition(ebi_reader *reader, const ebi_yaml_pair *pair, ebi_term_place place,
                           ebi_condition *condition) {
  const char *word = NULL;
  *condition = (ebi_condition){EBI_PER_DWELLING, -HUGE_VAL, HUGE_VAL};
  if (!ebi_read_word(reader, pair->key, driver_words, &word))
    return;
  const driver_row *driver = driver_of(word);
  condition->driver = driver->driver;
  if (place_knows(reader, pair->key, driver, place))
    read_bounds(reader, pair->value, driver->kind, condition);
}

static bool read_conditions(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                            ebi_term *term) {
  if (!node)
    return true;
  if (node->kind != EBI_YAML_MAPPING) {
    ebi_read_error(reader, node, "not-a-mapping", "when: is a mapping, such as {bedrooms: 1}");
    return true;
  }
  ebi_condition *conditions = EBI_NEW_ARRAY(reader->arena, ebi_condition, node->count);
  if (!conditions)
    return false;
  for (size_t i = 0; i < node->count; i++)
    read_condition(reader, &node->pairs[i], place, &conditions[i]);
  term->conditions = conditions;
  term->n_conditions = node->count;
  return true;
}

/* ---- Kinds of terms ---- */

typedef struct term_keys {
  const char *id, *per, *by, *sum_of_rooms;
  ebi_given flow, at_least, at_most;
} term_keys;

#define FLOW_KEY(name)                                                                             \
  {                                                                                                \
    .key = #name, .type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = 0.0, .high = 100.0,         \
    .offset = offsetof(term_keys, name)                                                            \
  }

static const ebi_field term_fields[] = {
    {.key = "id", .type = EBI_FIELD_TEXT, .offset = offsetof(term_keys, id)},
    FLOW_KEY(flow),
    {.key = "per",
     .type = EBI_FIELD_WORD,
     .words = driver_words,
     .offset = offsetof(term_keys, per)},
    {.key = "rate", .type = EBI_FIELD_IGNORED},
    {.key = "by", .type = EBI_FIELD_WORD, .words = driver_words, .offset = offsetof(term_keys, by)},
    {.key = "steps", .type = EBI_FIELD_IGNORED},
    {.key = "each_further", .type = EBI_FIELD_IGNORED},
    {.key = "largest", .type = EBI_FIELD_IGNORED},
    {.key = "sum", .type = EBI_FIELD_IGNORED},
    {.key = "sum_of_rooms",
     .type = EBI_FIELD_WORD,
     .words = ebi_rule_levels,
     .offset = offsetof(term_keys, sum_of_rooms)},
    FLOW_KEY(at_least),
    FLOW_KEY(at_most),
    {.key = "when", .type = EBI_FIELD_IGNORED},
    {.key = "source", .type = EBI_FIELD_IGNORED},
    {.key = "known", .type = EBI_FIELD_IGNORED}};

/* `key` must stand in the mapping beside `with`. */
static const ebi_yaml *companion(ebi_reader *reader, const ebi_yaml *node, const char *with,
                                 const char *key) {
  const ebi_yaml *value = ebi_yaml_get(node, key);
  if (!value)
    ebi_read_error(reader, node, "key-missing", "a term with \"%s\" needs \"%s\" too", with, key);
  return value;
}

static bool read_per(ebi_reader *reader, const ebi_yaml *node, const term_keys *keys,
                     ebi_term_place place, ebi_term *term) {
  term->kind = EBI_TERM_PER;
  const ebi_yaml *rate = companion(reader, node, "per", "rate");
  const driver_row *driver = keys->per ? driver_of(keys->per) : NULL;
  ebi_given given = {0};
  if (rate && driver && place_knows(reader, ebi_yaml_get(node, "per"), driver, place) &&
      ebi_read_given(reader, rate, driver->rate_kind, 0.0, 100.0, &given)) {
    term->driver = driver->driver;
    term->flow = given.value;
  }
  return true;
}

/* Rows that fall would let more of the driver ask for less air. */
static void check_steps(ebi_reader *reader, const ebi_yaml *node, const ebi_term *term) {
  for (size_t i = 0; i < term->n_steps; i++) {
    if (term->steps[i].flow < 0.0 || (i > 0 && term->steps[i].flow < term->steps[i - 1].flow)) {
      ebi_read_error(reader, node, "steps-fall",
                     "the flow of row %zu is below 0 or below that of the row before it", i + 1);
      return;
    }
  }
}

static bool read_rows(ebi_reader *reader, const ebi_yaml *node, const driver_row *driver,
                      ebi_term *term) {
  const ebi_kind kinds[] = {driver->kind, EBI_FLOW};
  const double *rows = NULL;
  size_t n = 0;
  if (!ebi_read_columns(reader, node, kinds, 2, &rows, &n, NULL))
    return true;
  ebi_step_row *steps = EBI_NEW_ARRAY(reader->arena, ebi_step_row, n);
  if (!steps)
    return false;
  for (size_t i = 0; i < n; i++)
    steps[i] = (ebi_step_row){rows[2 * i], rows[2 * i + 1]};
  term->steps = steps;
  term->n_steps = n;
  check_steps(reader, node, term);
  return true;
}

static bool read_steps(ebi_reader *reader, const ebi_yaml *node, const term_keys *keys,
                       ebi_term_place place, ebi_term *term) {
  term->kind = EBI_TERM_STEPS;
  const ebi_yaml *steps = companion(reader, node, "by", "steps");
  const ebi_yaml *further = ebi_yaml_get(node, "each_further");
  const driver_row *driver = keys->by ? driver_of(keys->by) : NULL;
  if (!steps || !driver || !place_knows(reader, ebi_yaml_get(node, "by"), driver, place))
    return true;
  term->driver = driver->driver;
  ebi_given given = {0};
  if (further && ebi_read_given(reader, further, driver->rate_kind, 0.0, 100.0, &given))
    term->each_further = given.value;
  return read_rows(reader, steps, driver, term);
}

static bool read_children(ebi_reader *reader, const ebi_yaml *list, ebi_term_kind kind,
                          ebi_term_place place, ebi_term *term) {
  term->kind = kind;
  if (list->kind != EBI_YAML_SEQUENCE || !list->count) {
    ebi_read_error(reader, list, "not-a-list", "a list of terms is needed here");
    return true;
  }
  const ebi_term **children = EBI_NEW_ARRAY(reader->arena, const ebi_term *, list->count);
  if (!children)
    return false;
  for (size_t i = 0; i < list->count; i++) {
    ebi_term_place inner = place;
    inner.source = &term->source;
    inner.id = ebi_arena_format(reader->arena, "%s.%zu", term->id, i + 1);
    children[i] = inner.id ? ebi_term_read(reader, list->items[i], inner) : NULL;
    if (!children[i])
      return false;
  }
  term->children = children;
  term->n_children = list->count;
  return true;
}

static void read_sum_of_rooms(ebi_reader *reader, const ebi_yaml *node, const term_keys *keys,
                              ebi_term_place place, ebi_term *term) {
  term->kind = EBI_TERM_SUM_OF_ROOMS;
  term->level = keys->sum_of_rooms ? keys->sum_of_rooms : ebi_rule_levels[0];
  if (place.in_room)
    ebi_read_error(reader, node, "driver-place",
                   "\"sum_of_rooms\" is of the whole dwelling, and this rule is for one room");
}

/* The one key that says what kind of term it is; NULL with an error for none or two. */
static const char *kind_key(ebi_reader *reader, const ebi_yaml *node) {
  static const char *const keys[] = {"flow", "per", "by", "largest", "sum", "sum_of_rooms"};
  const char *found = NULL;
  int count = 0;
  for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
    if (ebi_yaml_get(node, keys[i])) {
      found = keys[i];
      count++;
    }
  }
  if (count == 1)
    return found;
  ebi_read_error(reader, node, "term-kind",
                 "a term has %s of flow, per, by, largest, sum and sum_of_rooms, not %d",
                 "exactly one", count);
  return NULL;
}

static bool read_kind(ebi_reader *reader, const ebi_yaml *node, const term_keys *keys,
                      ebi_term_place place, ebi_term *term) {
  const char *key = kind_key(reader, node);
  if (!key)
    return true;
  if (strcmp(key, "per") == 0)
    return read_per(reader, node, keys, place, term);
  if (strcmp(key, "by") == 0)
    return read_steps(reader, node, keys, place, term);
  if (strcmp(key, "largest") == 0)
    return read_children(reader, ebi_yaml_get(node, key), EBI_TERM_LARGEST, place, term);
  if (strcmp(key, "sum") == 0)
    return read_children(reader, ebi_yaml_get(node, key), EBI_TERM_SUM, place, term);
  if (strcmp(key, "sum_of_rooms") == 0)
    read_sum_of_rooms(reader, node, keys, place, term);
  return true; /* a flow is in the keys already */
}

static bool read_mapping(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                         ebi_term *term) {
  term_keys keys = {0};
  ebi_fields_read(reader, node, "a term", term_fields, sizeof term_fields / sizeof term_fields[0],
                  &keys);
  ebi_read_source(reader, node, place.source, &term->source);
  if (keys.id)
    term->id = keys.id;
  if (keys.flow.given)
    term->flow = keys.flow.value;
  if (keys.at_least.given)
    term->at_least = keys.at_least.value;
  if (keys.at_most.given)
    term->at_most = keys.at_most.value;
  if (term->at_least > term->at_most)
    ebi_read_error(reader, node, "clip-empty", "at_least is above at_most");
  return read_kind(reader, node, &keys, place, term) &&
         read_conditions(reader, ebi_yaml_get(node, "when"), place, term);
}

const ebi_term *ebi_term_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place) {
  ebi_term *term = EBI_NEW(reader->arena, ebi_term);
  if (!term)
    return NULL;
  term->id = place.id;
  term->kind = EBI_TERM_FLOW;
  term->at_most = HUGE_VAL;
  term->source = *place.source;
  term->where = node->where;
  ebi_given flow = {0};
  if (node->kind == EBI_YAML_MAPPING)
    return read_mapping(reader, node, place, term) ? term : NULL;
  if (ebi_read_given(reader, node, EBI_FLOW, 0.0, 100.0, &flow))
    term->flow = flow.value;
  return term;
}
