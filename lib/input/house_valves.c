/* house_valves.c - the house's own valves, and the valve at the end of a run */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/house_read.h"
#include "input/quote.h"

const ebi_field ebi_valves_form = {.type = EBI_FIELD_NAMED, .of = &ebi_valve_form, .n_of = 1};

void ebi_house_read_valves(ebi_reader *reader, const ebi_yaml *value) {
  ebi_house_reading *reading = ebi_reading(reader);
  if (!ebi_read_kind(
          reader, value, EBI_YAML_MAPPING,
          "{my-valve: {loss: {columns: [mm, l/s/Pa^0.5], points: [[2, 0.8], [6, 2.1]]}}}"))
    return;
  const ebi_valve **own = ebi_read_array(reader, value, value->count, sizeof *own);
  for (size_t i = 0; own && i < value->count; i++) {
    const ebi_yaml_pair *pair = &value->pairs[i];
    if (!ebi_read_named(reader, pair, "a valve"))
      continue;
    own[i] = ebi_valve_read(reader, pair->key->text, pair->value);
    if (!ebi_names_set(&reading->valves, reader->arena, pair->key->text, i))
      ebi_read_memory(reader, value);
  }
  reading->own_valves = own;
  reading->n_own_valves = own ? value->count : 0;
}

/* The house's own valve of that name, else one of the tables. */
static void read_type(ebi_reader *reader, const ebi_yaml *value, const ebi_valve **type) {
  const ebi_house_reading *reading = ebi_reading(reader);
  const char *name = NULL;
  if (!ebi_read_text(reader, value, &name))
    return;
  size_t number = ebi_names_find(&reading->valves, name);
  *type = number != EBI_NO_NAME ? reading->own_valves[number] : ebi_valve_load(reader, value);
}

/* ---- Openings ---------------------------------------------------------- */

const ebi_field ebi_opening_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_QUANTITY, .kind = EBI_NUMBER, .low = -1e6, .high = 1e6},
                {.type = EBI_FIELD_TEXT, .pattern = "# *(mm|turns?|degs?|positions?|%)"})};
const ebi_field ebi_drop_at_form = {
    .type = EBI_FIELD_AT,
    EBI_SEVERAL({.type = EBI_FIELD_QUANTITY, .kind = EBI_PRESSURE, .low = 0.01, .high = 1e4},
                {.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = 1e-5, .high = 10})};

/* "turns" and "turn" are one unit. */
static bool unit_fits(const char *written, size_t length, const char *unit) {
  size_t n = strlen(unit);
  if (length > 1 && written[length - 1] == 's')
    length--;
  if (n > 1 && unit[n - 1] == 's')
    n--;
  return n == length && memcmp(written, unit, n) == 0;
}

static void bad_opening_unit(ebi_reader *reader, const ebi_yaml *value, const ebi_valve *type,
                             double number) {
  char text[32];
  ebi_number_print(text, number);
  ebi_read_error(reader, value, "unit-missing",
                 "%s \"%s\" must be in %s, as on the valve's sheet: for example \"%s %s\"",
                 ebi_quote(value->key ? value->key : "opening").text, ebi_quote(value->text).text,
                 type->opening_unit, text, type->opening_unit);
}

static void warn_beyond(const ebi_reader *reader, const ebi_yaml *value, const ebi_valve *type) {
  ebi_diag(reader->context, EB_WARNING, "valve-curve", value->where, NULL,
           "%s \"%s\" is beyond the valve's curve, which goes from %.6g to %.6g %s",
           ebi_quote(value->key ? value->key : "opening").text, ebi_quote(value->text).text,
           type->loss[0].x, type->loss[type->n_loss - 1].x, type->opening_unit);
}

void ebi_read_opening(ebi_reader *reader, const ebi_yaml *value, const ebi_valve *type,
                      ebi_given *opening) {
  const char *text = NULL;
  if (!type || !ebi_read_text(reader, value, &text))
    return;
  double number = 0;
  size_t used = 0;
  ebi_number_fault fault = ebi_number_read(text, value->length, &number, &used);
  size_t blanks = fault == EBI_NUMBER_OK ? strspn(text + used, " ") : 0;
  const char *unit = text + used + blanks;
  bool bare = fault == EBI_NUMBER_OK && *unit == '\0';
  if (fault != EBI_NUMBER_OK) {
    ebi_given none = {0}; /* it will not do as a number either: say why */
    ebi_read_given(reader, value, EBI_NUMBER, -1e6, 1e6, &none);
  } else if (!(bare && strcmp(type->opening_unit, "position") == 0) &&
             !unit_fits(unit, strlen(unit), type->opening_unit)) {
    bad_opening_unit(reader, value, type, number);
  } else {
    if (type->n_loss > 0 && (number < type->loss[0].x || number > type->loss[type->n_loss - 1].x))
      warn_beyond(reader, value, type);
    *opening = (ebi_given){number, true, value->where};
  }
}

/* ---- Restrictors ------------------------------------------------------- */

typedef struct restrictor_keys {
  ebi_given drop, at;
} restrictor_keys;

static const ebi_field restrictor_fields[] = {
    {.key = "drop",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_PRESSURE,
     .low = 0.01,
     .high = 1e4,
     .offset = offsetof(restrictor_keys, drop),
     .about = "e.g. 20 Pa"},
    {.key = "at",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_FLOW,
     .low = 1e-5,
     .high = 10,
     .offset = offsetof(restrictor_keys, at),
     .about = "e.g. 8 l/s"},
};

/* A scalar that is part [from, from + length) of another. */
static bool part_of(ebi_reader *reader, const ebi_yaml *whole, size_t from, size_t length,
                    ebi_yaml *part) {
  *part = *whole;
  part->text = ebi_arena_text_n(reader->arena, whole->text + from, length);
  part->length = length;
  part->where.column += (int)from;
  if (!part->text)
    ebi_read_memory(reader, whole);
  return part->text != NULL;
}

void ebi_read_drop_at(ebi_reader *reader, const ebi_yaml *value, ebi_given *drop_given,
                      ebi_given *at_given) {
  const char *text = NULL;
  if (!ebi_read_text(reader, value, &text))
    return;
  const char *at = strstr(text, " at ");
  if (!at) {
    ebi_read_error(reader, value, "restrictor",
                   "%s \"%s\": write its drop at a flow, for example \"20 Pa at 8 l/s\"",
                   ebi_quote(value->key ? value->key : "drop").text, ebi_quote(text).text);
    return;
  }
  ebi_yaml drop, flow;
  size_t before = (size_t)(at - text);
  if (!part_of(reader, value, 0, before, &drop) ||
      !part_of(reader, value, before + 4, value->length - before - 4, &flow))
    return;
  ebi_read_given(reader, &drop, EBI_PRESSURE, 0.01, 1e4, drop_given);
  ebi_read_given(reader, &flow, EBI_FLOW, 1e-5, 10, at_given);
}

static void read_restrictor(ebi_reader *reader, const ebi_yaml *value, ebi_run_valve *valve) {
  restrictor_keys keys = {.drop = {.given = false}};
  if (value->kind == EBI_YAML_MAPPING)
    ebi_fields_read(reader, value, "a restrictor", restrictor_fields,
                    EBI_COUNT_OF(restrictor_fields), &keys);
  else
    ebi_read_drop_at(reader, value, &keys.drop, &keys.at);
  valve->restrictor_drop = keys.drop;
  valve->restrictor_at = keys.at;
}

/* ---- The valve of a run ------------------------------------------------ */

/* The mapping's keys are read in an order of their own: the type first. */
static const ebi_field valve_fields[] = {
    {.key = "type",
     .type = EBI_FIELD_IGNORED,
     .required = true,
     EBI_HOLDS_TEXT,
     .about = "a valve by name, or two-position"},
    {.key = "of",
     .type = EBI_FIELD_IGNORED,
     EBI_HOLDS_TEXT,
     .about = "which valve is two-position"},
    {.key = "restrictor",
     .type = EBI_FIELD_IGNORED,
     EBI_HOLDS(
             .type = EBI_FIELD_EITHER,
             EBI_SEVERAL(
                 {.type = EBI_FIELD_AT,
                  EBI_SEVERAL(
                      {.type = EBI_FIELD_QUANTITY, .kind = EBI_PRESSURE, .low = 0.01, .high = 1e4},
                      {.type = EBI_FIELD_QUANTITY, .kind = EBI_FLOW, .low = 1e-5, .high = 10})},
                 {.type = EBI_FIELD_MAPPING, EBI_TABLE(restrictor_fields)})),
     .about = "e.g. 20 Pa at 8 l/s"},
    {.key = "opening",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_opening_form,
     .about = "fixed, as on the maker's sheet"},
    {.key = "normal",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_opening_form,
     .about = "opening of a two-position valve"},
    {.key = "boost",
     .type = EBI_FIELD_IGNORED,
     .holds = &ebi_opening_form,
     .about = "opening of a two-position valve"},
};

static void read_two_position(ebi_reader *reader, const ebi_yaml *mapping, ebi_run_valve *valve) {
  const ebi_yaml *of = ebi_yaml_get(mapping, "of");
  const ebi_yaml *normal = ebi_yaml_get(mapping, "normal");
  const ebi_yaml *boost = ebi_yaml_get(mapping, "boost");
  const ebi_yaml *opening = ebi_yaml_get(mapping, "opening");
  valve->two_position = true;
  if (!of || !normal || !boost) {
    ebi_read_error(reader, mapping, "key-missing",
                   "a two-position valve needs normal, boost and of: for example {type: "
                   "two-position, normal: 6 mm, boost: 14 mm, of: supply-valve-125}");
    return;
  }
  if (opening)
    ebi_read_error(reader, opening, "valve",
                   "a two-position valve has the openings normal and boost, not a third");
  read_type(reader, of, &valve->type);
  ebi_read_opening(reader, normal, valve->type, &valve->normal);
  ebi_read_opening(reader, boost, valve->type, &valve->boost);
}

static void read_one_position(ebi_reader *reader, const ebi_yaml *mapping, const ebi_yaml *type,
                              ebi_run_valve *valve) {
  static const char *const only_two[] = {"of", "normal", "boost"};
  const ebi_yaml *opening = ebi_yaml_get(mapping, "opening");
  for (size_t i = 0; i < EBI_COUNT_OF(only_two); i++) {
    const ebi_yaml *value = ebi_yaml_get(mapping, only_two[i]);
    if (value)
      ebi_read_error(reader, value, "valve", "%s is for a valve of type: two-position",
                     only_two[i]);
  }
  read_type(reader, type, &valve->type);
  if (opening)
    ebi_read_opening(reader, opening, valve->type, &valve->opening);
}

const ebi_field ebi_run_valve_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_TEXT}, {.type = EBI_FIELD_MAPPING, EBI_TABLE(valve_fields)})};

void ebi_run_read_valve(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_run_valve *valve = &((ebi_run *)record)->valve;
  valve->where = value->where;
  if (value->kind == EBI_YAML_SCALAR) {
    read_type(reader, value, &valve->type);
    return;
  }
  ebi_fields_read(reader, value, "a valve", valve_fields, EBI_COUNT_OF(valve_fields), valve);
  const ebi_yaml *type = ebi_yaml_get(value, "type");
  const ebi_yaml *restrictor = ebi_yaml_get(value, "restrictor");
  if (type && type->kind == EBI_YAML_SCALAR && strcmp(type->text, "two-position") == 0)
    read_two_position(reader, value, valve);
  else if (type)
    read_one_position(reader, value, type, valve);
  if (restrictor)
    read_restrictor(reader, restrictor, valve);
}
