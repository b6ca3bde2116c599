/* read_rules_terms.c - the terms of a rule file: figures, rates, larger-of, sums */

#include "input/read_rules.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/quote.h"

const char *const ebi_rule_levels[] = {"normal", "boost", NULL};

static const char *const any_key[] = {"flow",         "area",    "number",   "per", "by",
                                      "table",        "largest", "smallest", "sum", "first",
                                      "sum_of_rooms", "same_as", "ratio"};
#define N_KINDS (sizeof any_key / sizeof any_key[0])

static const char *const sides[] = {"supply", "extract", NULL};

double ebi_rule_figure_most(ebi_kind kind) {
  return kind == EBI_AREA ? 1e4 : kind == EBI_NUMBER ? 1e6 : 100.0;
}

bool ebi_rule_figure(ebi_reader *reader, const ebi_yaml *node, ebi_kind kind, double *value) {
  ebi_given given = {0};
  if (!ebi_read_given(reader, node, kind, 0.0, ebi_rule_figure_most(kind), &given))
    return false;
  *value = given.value;
  return true;
}

/* `key` must stand in the mapping beside `with`. */
static const ebi_yaml *companion(ebi_reader *reader, const ebi_yaml *node, const char *with,
                                 const char *key) {
  const ebi_yaml *value = ebi_yaml_get(node, key);
  if (!value)
    ebi_read_error(reader, node, "key-missing", "a term with \"%s\" needs \"%s\" too", with, key);
  return value;
}

/* ---- Kinds of terms ---- */

/* flow, area or number: the one that is due here. */
static void read_figure(ebi_reader *reader, const ebi_yaml *node, const char *key, ebi_term *term) {
  const char *due = term->value == EBI_FLOW ? "flow" : term->value == EBI_AREA ? "area" : "number";
  if (strcmp(key, due) != 0)
    ebi_read_error(reader, ebi_yaml_get(node, key), "term-value",
                   "this term gives %s: write \"%s:\", not \"%s:\"", ebi_kind_name(term->value),
                   due, key);
  else
    ebi_rule_figure(reader, ebi_yaml_get(node, key), term->value, &term->flow);
}

static void read_rate(ebi_reader *reader, const ebi_yaml *node, const ebi_driver_row *row,
                      ebi_term *term) {
  const ebi_yaml *every = ebi_yaml_get(node, "every"), *power = ebi_yaml_get(node, "power");
  ebi_kind kind = every ? term->value : ebi_driver_rate_kind(row, term->value);
  ebi_given given = {0};
  if (every && ebi_read_given(reader, every, row->kind, 1e-9, 1e6, &given))
    term->every = given.value;
  if (power && ebi_read_given(reader, power, EBI_NUMBER, -10.0, 10.0, &given))
    term->power = given.value;
  if (power && kind != EBI_KIND_COUNT)
    kind = term->value;
  term->flow = 1.0;
  if (kind == EBI_KIND_COUNT)
    ebi_read_error(reader, node, "key-missing",
                   "a term per \"%s\" that gives %s needs \"every\" too: the size that the rate is "
                   "for",
                   row->word, ebi_kind_name(term->value));
  else if (ebi_yaml_get(node, "rate") || term->value != EBI_NUMBER) {
    const ebi_yaml *rate = companion(reader, node, "per", "rate");
    if (rate)
      ebi_rule_figure(reader, rate, kind, &term->flow);
  }
}

static void read_per(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                     ebi_term *term) {
  const ebi_driver_row *row = ebi_driver_read(reader, ebi_yaml_get(node, "per"), place);
  term->kind = EBI_TERM_PER;
  if (!row)
    return;
  ebi_count_read(reader, node, row, &term->count);
  read_rate(reader, node, row, term);
}

static void read_children(ebi_reader *reader, const ebi_yaml *list, ebi_term_place place,
                          ebi_term *term) {
  place.source = &term->source;
  place.id = term->id;
  if (list->kind != EBI_YAML_SEQUENCE || !list->count)
    ebi_read_error(reader, list, "not-a-list", "a list of terms is needed here");
  else
    ebi_terms_read(reader, list, place, &term->children);
}

static void read_ratio(ebi_reader *reader, const ebi_yaml *list, ebi_term_place place,
                       ebi_term *term) {
  if (place.value != EBI_NUMBER)
    ebi_read_error(reader, list, "term-value", "a ratio is a number, and %s is due here",
                   ebi_kind_name(place.value));
  place.value = EBI_FLOW;
  read_children(reader, list, place, term);
  if (list->kind == EBI_YAML_SEQUENCE && list->count > 0 && list->count != 2)
    ebi_read_error(reader, list, "term-kind", "a ratio is of two terms, not of %zu", list->count);
}

typedef struct room_sum {
  const char *level, *side;
} room_sum;

static const ebi_field sum_fields[] = {
    {.key = "level",
     .type = EBI_FIELD_WORD,
     .required = true,
     .words = ebi_rule_levels,
     .offset = offsetof(room_sum, level)},
    {.key = "side", .type = EBI_FIELD_WORD, .words = sides, .offset = offsetof(room_sum, side)},
    {.key = "of", .type = EBI_FIELD_IGNORED}};

static void read_sum_of_rooms(ebi_reader *reader, const ebi_yaml *mapping, ebi_term_place place,
                              ebi_term *term) {
  const ebi_yaml *node = ebi_yaml_get(mapping, "sum_of_rooms");
  room_sum keys = {ebi_rule_levels[0], sides[1]};
  if (place.in_room || place.value != EBI_FLOW)
    ebi_read_error(reader, mapping, "driver-place",
                   "\"sum_of_rooms\" is a flow of the whole dwelling, and this rule is for one "
                   "room or no flow");
  if (node->kind == EBI_YAML_MAPPING) {
    const ebi_yaml *of = ebi_yaml_get(node, "of");
    ebi_fields_read(reader, node, "sum_of_rooms", sum_fields, 3, &keys);
    if (of)
      ebi_uses_read(reader, of, &term->of);
  } else {
    ebi_read_word(reader, node, ebi_rule_levels, &keys.level);
  }
  term->level = keys.level;
  term->supply = keys.side == sides[0];
}

static void read_same(ebi_reader *reader, const ebi_yaml *node, ebi_term *term) {
  const ebi_rules_reading *reading = ebi_rules_of(reader);
  const char *id = NULL;
  if (!ebi_read_text(reader, node, &id))
    return;
  for (size_t i = 0; i < reading->n_named; i++)
    if (ebi_text_equal(reading->named[i]->id, id) && reading->named[i]->value == term->value)
      term->same = reading->named[i];
  if (!term->same)
    ebi_read_error(reader, node, "term-unknown",
                   "no term of the dwelling called \"%s\" that gives %s stands before this one",
                   ebi_quote(id).text, ebi_kind_name(term->value));
}

/* The one key that says what kind of term it is; NULL with an error for none or two. */
static const char *kind_key(ebi_reader *reader, const ebi_yaml *node) {
  const char *found = NULL;
  int count = 0;
  for (size_t i = 0; i < N_KINDS; i++) {
    if (ebi_yaml_get(node, any_key[i])) {
      found = any_key[i];
      count++;
    }
  }
  if (count == 1)
    return found;
  ebi_read_error(
      reader, node, "term-kind",
      "a term has exactly one of flow (area, number), per, by, table, largest, smallest, "
      "sum, first, sum_of_rooms, same_as and ratio, not %d",
      count);
  return NULL;
}

/* Kinds that are a list of terms. */
static bool list_kind(const char *key, ebi_term_kind *kind) {
  static const char *const keys[] = {"largest", "smallest", "sum", "first"};
  static const ebi_term_kind kinds[] = {EBI_TERM_LARGEST, EBI_TERM_SMALLEST, EBI_TERM_SUM,
                                        EBI_TERM_FIRST};
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
    if (strcmp(key, keys[i]) == 0) {
      *kind = kinds[i];
      return true;
    }
  }
  return false;
}

static void read_kind(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                      ebi_term *term) {
  const char *key = kind_key(reader, node);
  const ebi_yaml *value = key ? ebi_yaml_get(node, key) : NULL;
  if (!value)
    return;
  if (strcmp(key, "per") == 0) {
    read_per(reader, node, place, term);
  } else if (strcmp(key, "by") == 0) {
    ebi_term_read_by(reader, node, place, term);
  } else if (strcmp(key, "table") == 0) {
    ebi_term_read_bins(reader, value, place, term);
  } else if (list_kind(key, &term->kind)) {
    read_children(reader, value, place, term);
  } else if (strcmp(key, "ratio") == 0) {
    term->kind = EBI_TERM_RATIO;
    read_ratio(reader, value, place, term);
  } else if (strcmp(key, "sum_of_rooms") == 0) {
    term->kind = EBI_TERM_SUM_OF_ROOMS;
    read_sum_of_rooms(reader, node, place, term);
  } else if (strcmp(key, "same_as") == 0) {
    term->kind = EBI_TERM_SAME;
    read_same(reader, value, term);
  } else {
    read_figure(reader, node, key, term);
  }
}

/* ---- What stands beside ---- */

#define IGNORED(name)                                                                              \
  { .key = name, .type = EBI_FIELD_IGNORED }

static const ebi_field term_fields[] = {
    {.key = "id", .type = EBI_FIELD_TEXT, .offset = offsetof(ebi_term, id)},
    IGNORED("flow"),
    IGNORED("area"),
    IGNORED("number"),
    IGNORED("per"),
    IGNORED("rate"),
    IGNORED("every"),
    IGNORED("power"),
    IGNORED("of"),
    IGNORED("without"),
    IGNORED("counted"),
    IGNORED("valid"),
    IGNORED("by"),
    IGNORED("steps"),
    IGNORED("each_further"),
    IGNORED("polynomial"),
    IGNORED("table"),
    IGNORED("largest"),
    IGNORED("smallest"),
    IGNORED("sum"),
    IGNORED("first"),
    IGNORED("sum_of_rooms"),
    IGNORED("same_as"),
    IGNORED("ratio"),
    IGNORED("times"),
    IGNORED("less"),
    IGNORED("round_to"),
    IGNORED("at_least"),
    IGNORED("at_most"),
    IGNORED("when"),
    EBI_SOURCE_FIELDS};

/* A clip: a figure, or a term. */
static void read_clip(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                      const ebi_term *within, double *value, const ebi_term **term) {
  if (!node)
    return;
  if (node->kind != EBI_YAML_MAPPING) {
    ebi_rule_figure(reader, node, within->value, value);
    return;
  }
  place.source = &within->source;
  place.id = within->id;
  *term = ebi_term_read(reader, node, place);
}

static void read_times(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                       ebi_term *term) {
  if (!node)
    return;
  place.source = &term->source;
  place.id = term->id;
  place.value = EBI_NUMBER;
  ebi_terms_read(reader, node, place, &term->times);
}

static void read_beside(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                        ebi_term *term) {
  const ebi_yaml *less = ebi_yaml_get(node, "less"), *round = ebi_yaml_get(node, "round_to");
  ebi_term_place inner = place;
  inner.source = &term->source;
  inner.id = term->id;
  read_times(reader, ebi_yaml_get(node, "times"), place, term);
  if (less)
    term->less = ebi_term_read(reader, less, inner);
  if (round && ebi_rule_figure(reader, round, term->value, &term->round_to) &&
      term->round_to <= 0.0)
    ebi_read_error(reader, round, "out-of-range", "round_to must be above 0");
  read_clip(reader, ebi_yaml_get(node, "at_least"), place, term, &term->at_least,
            &term->least_term);
  read_clip(reader, ebi_yaml_get(node, "at_most"), place, term, &term->at_most, &term->most_term);
  if (term->at_least > term->at_most)
    ebi_read_error(reader, node, "clip-empty", "at_least is above at_most");
}

/* Terms of the dwelling can be named by later ones. */
static void keep_name(ebi_reader *reader, const ebi_yaml *node, bool named, const ebi_term *term) {
  ebi_rules_reading *reading = ebi_rules_of(reader);
  const ebi_yaml *id = ebi_yaml_get(node, "id");
  if (!id && !named)
    return;
  for (size_t i = 0; id && i < reading->n_named; i++)
    if (ebi_text_equal(reading->named[i]->id, term->id))
      ebi_read_error(reader, id, "term-double", "there is a term called \"%s\" before this one",
                     ebi_quote(term->id).text);
  if (ebi_arena_grow(reader->arena, &reading->named, &reading->named_capacity, reading->n_named,
                     sizeof reading->named[0]))
    reading->named[reading->n_named++] = term;
  else
    ebi_read_memory(reader, node);
}

const ebi_term *ebi_term_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place) {
  ebi_term *term = ebi_read_array(reader, node, 1, sizeof *term);
  bool named = place.named && !place.in_room;
  if (!term)
    return NULL;
  place.named = false;
  *term = (ebi_term){.id = place.id,
                     .value = place.value,
                     .every = 1.0,
                     .power = 1.0,
                     .at_most = HUGE_VAL,
                     .source = *place.source,
                     .where = node->where};
  if (node->kind == EBI_YAML_MAPPING) {
    ebi_fields_read(reader, node, "a term", term_fields, EBI_COUNT_FIELDS(term_fields), term);
    ebi_read_source(reader, node, place.source, &term->source);
    read_kind(reader, node, place, term);
    read_beside(reader, node, place, term);
    ebi_conditions_read(reader, ebi_yaml_get(node, "when"), place, &term->conditions);
  } else {
    ebi_rule_figure(reader, node, place.value, &term->flow);
  }
  if (!place.in_room)
    keep_name(reader, node, named, term);
  return term;
}

void ebi_terms_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                    ebi_term_list *list) {
  bool many = node->kind == EBI_YAML_SEQUENCE;
  size_t count = many ? node->count : 1;
  const ebi_term **terms = ebi_read_array(reader, node, count, sizeof *terms);
  for (size_t i = 0; terms && i < count; i++) {
    ebi_term_place inner = place;
    if (many)
      inner.id = ebi_arena_format(reader->arena, "%s.%zu", place.id, i + 1);
    if (inner.id)
      terms[i] = ebi_term_read(reader, many ? node->items[i] : node, inner);
    else
      ebi_read_memory(reader, node);
  }
  *list = (ebi_term_list){terms, terms ? count : 0};
}
