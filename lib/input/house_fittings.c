/* house_fittings.c - the list of fittings of a run
 *
 * "bend-90", "2 x bend-90", {fitting, count, radius, angle, to}, {coefficient: 1.2}
 * or {drop: 30 Pa, at: 40 l/s}. */

#include <string.h>

#include "input/house_read.h"
#include "input/quote.h"

typedef struct fitting_keys {
  ebi_given count, radius, angle, to, coefficient, drop, at;
} fitting_keys;

static const ebi_field fitting_fields[] = {
    {.key = "fitting",
     .type = EBI_FIELD_IGNORED,
     EBI_HOLDS_TEXT,
     .about = "one of tables/fittings"},
    {.key = "count",
     .type = EBI_FIELD_COUNT,
     .low = 1,
     .high = 1000,
     .offset = offsetof(fitting_keys, count),
     .about = "how many"},
    {.key = "radius",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .low = 0.01,
     .high = 50,
     .offset = offsetof(fitting_keys, radius),
     .about = "of a bend's middle line or an entry's edge, in bores"},
    {.key = "angle",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_ANGLE,
     .low = 1,
     .high = 180,
     .offset = offsetof(fitting_keys, angle),
     .about = "of a bend, a damper or the cone of a change of size"},
    {.key = "to",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_LENGTH,
     .low = 0.01,
     .high = 2,
     .offset = offsetof(fitting_keys, to),
     .about = "the other bore of a change of size"},
    {.key = "coefficient",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .high = 1e4,
     .offset = offsetof(fitting_keys, coefficient),
     .about = "on the duct's velocity pressure"},
    {.key = "drop",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_PRESSURE,
     .low = 0.001,
     .high = 1e4,
     .offset = offsetof(fitting_keys, drop),
     .about = "at the flow of `at`"},
    {.key = "at",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_FLOW,
     .low = 1e-5,
     .high = 100,
     .offset = offsetof(fitting_keys, at),
     .about = "the flow the drop was measured at"},
};

/* How far "2 x " reaches; 0 where the text is a name alone. */
static size_t count_prefix(const char *text, int *count) {
  size_t digits = strspn(text, "0123456789");
  size_t at = digits + strspn(text + digits, " ");
  size_t cross = text[at] == 'x' ? 1 : strncmp(text + at, "\xC3\x97", 2) == 0 ? 2 : 0;
  if (digits == 0 || digits > 4 || cross == 0 || text[at + cross] != ' ')
    return 0;
  *count = 0;
  for (size_t i = 0; i < digits; i++)
    *count = *count * 10 + (text[i] - '0');
  at += cross;
  return at + strspn(text + at, " ");
}

/* A change of size needs its other bore, and nothing else has one. */
static void check_to(ebi_reader *reader, const ebi_yaml *value, const ebi_run_fitting *fitting) {
  if (fitting->fitting == NULL)
    return;
  bool cone = fitting->fitting->kind == EBI_FITTING_TO_BORE;
  if (cone && !fitting->to.given)
    ebi_read_error(reader, value, "key-missing",
                   "%s leads to another bore, which must be said: {fitting: %s, to: 125 mm}",
                   fitting->fitting->entry.name, fitting->fitting->entry.name);
  else if (!cone && fitting->to.given)
    ebi_read_error(reader, value, "fitting", "%s is no change of size and has no `to:`",
                   fitting->fitting->entry.name);
}

static void read_name(ebi_reader *reader, const ebi_yaml *value, ebi_run_fitting *fitting) {
  const char *text = NULL;
  if (!ebi_read_text(reader, value, &text))
    return;
  ebi_yaml name = *value;
  size_t prefix = count_prefix(text, &fitting->count);
  name.text += prefix;
  name.length -= prefix;
  name.where.column += (int)prefix;
  if (fitting->count < 1 || fitting->count > 1000)
    ebi_read_error(reader, value, "out-of-range", "fittings \"%s\": 1 to 1000 of a kind",
                   ebi_quote(text).text);
  fitting->fitting = ebi_fitting_load(reader, &name);
  check_to(reader, value, fitting);
}

/* Exactly one of name, coefficient and drop. */
static void check_mapping(ebi_reader *reader, const ebi_yaml *value) {
  const ebi_yaml *name = ebi_yaml_get(value, "fitting");
  const ebi_yaml *coefficient = ebi_yaml_get(value, "coefficient");
  const ebi_yaml *drop = ebi_yaml_get(value, "drop");
  const ebi_yaml *at = ebi_yaml_get(value, "at");
  if ((name != NULL) + (coefficient != NULL) + (drop != NULL) != 1)
    ebi_read_error(reader, value, "fitting",
                   "a fitting is either {fitting: name}, {coefficient: 1.2} or {drop: 30 Pa, at: "
                   "40 l/s}");
  else if ((drop != NULL) != (at != NULL))
    ebi_read_error(reader, value, "key-missing",
                   "drop and at belong together: for example {drop: 30 Pa, at: 40 l/s}");
  else if (!name && (ebi_yaml_get(value, "radius") || ebi_yaml_get(value, "angle") ||
                     ebi_yaml_get(value, "to")))
    ebi_read_error(reader, value, "fitting", "radius, angle and to are of a named fitting");
}

static void read_mapping(ebi_reader *reader, const ebi_yaml *value, ebi_run_fitting *fitting) {
  fitting_keys keys = {.count = {.value = 1}};
  ebi_fields_read(reader, value, "a fitting", fitting_fields, EBI_COUNT_OF(fitting_fields), &keys);
  if (value->kind != EBI_YAML_MAPPING)
    return;
  check_mapping(reader, value);
  const ebi_yaml *name = ebi_yaml_get(value, "fitting");
  if (name)
    fitting->fitting = ebi_fitting_load(reader, name);
  fitting->count = (int)keys.count.value;
  fitting->radius = keys.radius;
  fitting->angle = keys.angle;
  fitting->to = keys.to;
  fitting->coefficient = keys.coefficient;
  fitting->drop = keys.drop;
  fitting->at = keys.at;
  check_to(reader, value, fitting);
}

const ebi_field ebi_fittings_form = {
    .type = EBI_FIELD_LIST,
    EBI_ONE(.type = EBI_FIELD_EITHER,
            EBI_SEVERAL({.type = EBI_FIELD_TEXT},
                        {.type = EBI_FIELD_MAPPING, EBI_TABLE(fitting_fields)}))};

void ebi_run_read_fittings(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_run *run = record;
  if (!ebi_read_kind(reader, value, EBI_YAML_SEQUENCE, "[2 x bend-90, wall-louvre-160]"))
    return;
  ebi_run_fitting *fittings = ebi_read_array(reader, value, value->count, sizeof *fittings);
  for (size_t i = 0; fittings && i < value->count; i++) {
    const ebi_yaml *item = value->items[i];
    fittings[i] = (ebi_run_fitting){.count = 1, .where = item->where};
    if (item->kind == EBI_YAML_SCALAR)
      read_name(reader, item, &fittings[i]);
    else
      read_mapping(reader, item, &fittings[i]);
  }
  run->fittings = fittings;
  run->n_fittings = fittings ? value->count : 0;
}
