/* read_values.c - single values, and what to say where one will not do
 *
 * The messages are for someone on site with a phone: what was found, what is
 * wanted, and an example of it. */

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "input/fields.h"
#include "input/quote.h"

void ebi_read_error(ebi_reader *reader, const ebi_yaml *node, const char *code, const char *format,
                    ...) {
  char message[2048] = "";
  va_list arguments;
  va_start(arguments, format);
  if (ebi_diag_errors(reader->context) <= EBI_DIAG_MAX) /* the rest is counted, not shown */
    ebi_format(message, sizeof message, format, arguments);
  va_end(arguments);
  ebi_diag(reader->context, EB_ERROR, code, node->where, NULL, "%s", message);
}

void ebi_read_memory(ebi_reader *reader, const ebi_yaml *node) {
  ebi_read_error(reader, node, "memory", "memory ran out");
}

static const char *key_of(const ebi_yaml *value) {
  return value->key ? value->key : "value";
}

/* True for a scalar with text; else says what is due. */
static bool is_scalar(ebi_reader *reader, const ebi_yaml *value, const char *due) {
  ebi_quoted key = ebi_quote(key_of(value));
  if (value->kind != EBI_YAML_SCALAR)
    ebi_read_error(reader, value, "kind-wrong", "%s must be %s, not a %s", key.text, due,
                   value->kind == EBI_YAML_MAPPING ? "mapping" : "list");
  else if (value->length == 0)
    ebi_read_error(reader, value, "value-missing", "%s has no value: %s is due", key.text, due);
  else
    return true;
  return false;
}

/* ---- quantities -------------------------------------------------------- */

typedef struct range {
  ebi_kind kind;
  double low, high;
} range;

/* Copies the next unit of "l/s, m3/h or cfm" and returns what follows it; "per m" is one. */
static const char *next_unit(const char *units, char unit[32]) {
  size_t length = strcspn(units, ",");
  const char *last = strstr(units, " or ");
  if (last && (size_t)(last - units) < length)
    length = (size_t)(last - units);
  if (length >= 32)
    length = 31;
  memcpy(unit, units, length);
  unit[length] = '\0';
  units += length + strspn(units + length, ", ");
  return strncmp(units, "or ", 3) == 0 ? units + 3 : units;
}

/* A unit in which the number would be allowed: 762 of a door is mm, not m. */
static void fitting_unit(const range *allowed, double number, char unit[32]) {
  const char *units = ebi_kind_units(allowed->kind);
  char first[32];
  next_unit(units, first);
  while (*units) {
    double si = 0;
    units = next_unit(units, unit);
    if (ebi_unit_to_si(number, unit, allowed->kind, &si) && si >= allowed->low &&
        si <= allowed->high)
      return;
  }
  memcpy(unit, first, sizeof first);
}

static void no_unit(ebi_reader *reader, const ebi_yaml *value, const range *allowed) {
  double number = 0;
  size_t used = 0;
  char unit[32];
  ebi_number_read(value->text, value->length, &number, &used);
  fitting_unit(allowed, number, unit);
  ebi_quoted text = ebi_quote(value->text);
  ebi_read_error(reader, value, "unit-missing",
                 "%s \"%s\" has no unit: write for example \"%s %s\" (%s in %s)",
                 ebi_quote(key_of(value)).text, text.text, text.text, unit,
                 ebi_kind_name(allowed->kind), ebi_kind_units(allowed->kind));
}

static void bad_number(ebi_reader *reader, const ebi_yaml *value, ebi_number_fault fault,
                       ebi_kind kind) {
  ebi_quoted key = ebi_quote(key_of(value));
  ebi_quoted text = ebi_quote(value->text);
  char example[32];
  next_unit(ebi_kind_units(kind), example);
  bool bare = kind == EBI_NUMBER || kind == EBI_ANGLE;
  switch (fault) {
  case EBI_NUMBER_COMMA: {
    char *comma = strchr(text.text, ',');
    if (comma)
      *comma = '.';
    ebi_read_error(reader, value, "decimal-comma", "%s has a decimal comma: write a point, \"%s\"",
                   key.text, text.text);
    break;
  }
  case EBI_NUMBER_NOT_FINITE:
    ebi_read_error(reader, value, "number-not-finite", "%s \"%s\" is not a finite number", key.text,
                   text.text);
    break;
  case EBI_NUMBER_OVERFLOW:
    ebi_read_error(reader, value, "number-overflow", "%s \"%s\" is too large a number", key.text,
                   text.text);
    break;
  case EBI_NUMBER_FORM:
    ebi_read_error(reader, value, "number-form",
                   "%s \"%s\" is no decimal number: write it like 1234.5 or 0.5", key.text,
                   text.text);
    break;
  default:
    ebi_read_error(reader, value, "number-missing",
                   "%s \"%s\" does not begin with a number: %s is due, for example \"12%s%s\"",
                   key.text, text.text, ebi_kind_name(kind), bare ? "" : " ", bare ? "" : example);
  }
}

/* The range in the unit that the user wrote. Units are linear, so two points
 * of the scale give it back from SI. */
static void out_of_range(ebi_reader *reader, const ebi_yaml *value, const ebi_quantity *found,
                         const range *allowed) {
  char unit[32] = "";
  double zero = 0, one = 1;
  if (found->unit_length < sizeof unit)
    memcpy(unit, found->unit, found->unit_length);
  if (!ebi_unit_to_si(0, unit, allowed->kind, &zero) ||
      !ebi_unit_to_si(1, unit, allowed->kind, &one))
    unit[0] = '\0';
  char low[40], high[40];
  ebi_number_print(low, (allowed->low - zero) / (one - zero));
  ebi_number_print(high, (allowed->high - zero) / (one - zero));
  const char *blank = unit[0] ? " " : "";
  ebi_quoted key = ebi_quote(key_of(value));
  ebi_quoted text = ebi_quote(value->text);
  if (allowed->kind == EBI_RATIO && !unit[0] && found->value >= 100 * allowed->low &&
      found->value <= 100 * allowed->high)
    ebi_read_error(reader, value, "out-of-range",
                   "%s \"%s\" is out of range: %s to %s; did you mean \"%s %%\"?", key.text,
                   text.text, low, high, text.text);
  else if (isinf(allowed->low))
    ebi_read_error(reader, value, "out-of-range", "%s \"%s\" is out of range: at most %s%s%s",
                   key.text, text.text, high, blank, unit);
  else if (isinf(allowed->high))
    ebi_read_error(reader, value, "out-of-range", "%s \"%s\" is out of range: at least %s%s%s",
                   key.text, text.text, low, blank, unit);
  else
    ebi_read_error(reader, value, "out-of-range", "%s \"%s\" is out of range: %s to %s%s%s",
                   key.text, text.text, low, high, blank, unit);
}

/* Records what is wrong with a quantity that could not be read. */
static void bad_quantity(ebi_reader *reader, const ebi_yaml *value, const ebi_quantity *found,
                         const range *allowed) {
  ebi_quoted key = ebi_quote(key_of(value));
  char unit[64];
  snprintf(unit, sizeof unit, "%.*s", found->unit_length > 40 ? 40 : (int)found->unit_length,
           found->unit);
  switch (found->fault) {
  case EBI_QUANTITY_NUMBER:
    bad_number(reader, value, found->number, allowed->kind);
    break;
  case EBI_QUANTITY_NO_UNIT:
    no_unit(reader, value, allowed);
    break;
  case EBI_QUANTITY_UNKNOWN_UNIT:
    ebi_read_error(reader, value, "unit-unknown",
                   "%s \"%s\": \"%s\" is not a unit known here; %s is written in %s", key.text,
                   ebi_quote(value->text).text, ebi_quote(unit).text, ebi_kind_name(allowed->kind),
                   ebi_kind_units(allowed->kind));
    break;
  default:
    ebi_read_error(reader, value, "unit-wrong",
                   "%s \"%s\": \"%s\" does not measure %s; write it in %s", key.text,
                   ebi_quote(value->text).text, ebi_quote(unit).text, ebi_kind_name(allowed->kind),
                   ebi_kind_units(allowed->kind));
  }
}

bool ebi_read_given(ebi_reader *reader, const ebi_yaml *value, ebi_kind kind, double low,
                    double high, ebi_given *given) {
  range allowed = {kind, low, high};
  if (!is_scalar(reader, value, ebi_kind_name(kind)))
    return false;
  ebi_quantity found = ebi_quantity_read(value->text, value->length, kind);
  if (found.fault != EBI_QUANTITY_OK) {
    bad_quantity(reader, value, &found, &allowed);
    return false;
  }
  if (!(found.value >= low && found.value <= high)) {
    out_of_range(reader, value, &found, &allowed);
    return false;
  }
  *given = (ebi_given){found.value, true, value->where};
  return true;
}

bool ebi_read_count(ebi_reader *reader, const ebi_yaml *value, double low, double high,
                    ebi_given *given) {
  ebi_given read = {0};
  if (!ebi_read_given(reader, value, EBI_NUMBER, low, high, &read))
    return false;
  if (read.value != floor(read.value)) {
    ebi_read_error(reader, value, "not-whole", "%s \"%s\" must be a whole number",
                   ebi_quote(key_of(value)).text, ebi_quote(value->text).text);
    return false;
  }
  *given = read;
  return true;
}

/* ---- words ------------------------------------------------------------- */

bool ebi_read_text(ebi_reader *reader, const ebi_yaml *value, const char **text) {
  if (!is_scalar(reader, value, "a text"))
    return false;
  *text = value->text;
  return true;
}

bool ebi_read_bool(ebi_reader *reader, const ebi_yaml *value, bool *flag) {
  if (!is_scalar(reader, value, "yes or no"))
    return false;
  bool yes = strcmp(value->text, "yes") == 0 || strcmp(value->text, "true") == 0;
  bool no = strcmp(value->text, "no") == 0 || strcmp(value->text, "false") == 0;
  if (!yes && !no) {
    ebi_read_error(reader, value, "word-unknown", "%s \"%s\": write yes or no",
                   ebi_quote(key_of(value)).text, ebi_quote(value->text).text);
    return false;
  }
  *flag = yes;
  return true;
}

/* "a, b or c", as far as there is room. */
static void join_words(const char *const *words, size_t count, char *list, size_t size) {
  size_t used = 0;
  list[0] = '\0';
  for (size_t i = 0; i < count; i++) {
    const char *between = i == 0 ? "" : i + 1 == count ? " or " : ", ";
    int wrote = snprintf(list + used, size - used, "%s%s", between, words[i]);
    if (wrote < 0 || (size_t)wrote >= size - used) {
      list[used] = '\0';
      return;
    }
    used += (size_t)wrote;
  }
}

bool ebi_read_word(ebi_reader *reader, const ebi_yaml *value, const char *const *words,
                   const char **word) {
  if (!is_scalar(reader, value, "one word"))
    return false;
  size_t count = 0;
  for (; words[count]; count++) {
    if (strcmp(words[count], value->text) == 0) {
      *word = words[count];
      return true;
    }
  }
  if (ebi_diag_errors(reader->context) > EBI_DIAG_MAX) {
    ebi_read_error(reader, value, "word-unknown", "unknown word"); /* counted, not shown */
    return false;
  }
  const char *nearest = ebi_text_nearest(value->text, words, count);
  char list[512];
  join_words(words, count, list, sizeof list);
  ebi_read_error(reader, value, "word-unknown", "\"%s\" is not a word for \"%s\"; %s%s%s",
                 ebi_quote(value->text).text, ebi_quote(key_of(value)).text,
                 nearest ? "did you mean \"" : "write ", nearest ? nearest : list,
                 nearest ? "\"?" : "");
  return false;
}

bool ebi_read_texts(ebi_reader *reader, const ebi_yaml *value, const char *const **texts,
                    size_t *count) {
  bool list = value->kind == EBI_YAML_SEQUENCE;
  size_t n = list ? value->count : 1;
  const char **read = EBI_NEW_ARRAY(reader->arena, const char *, n);
  bool good = read != NULL;
  if (!read)
    ebi_read_memory(reader, value);
  for (size_t i = 0; read && i < n; i++)
    good = ebi_read_text(reader, list ? value->items[i] : value, &read[i]) && good;
  if (read && n == 0) {
    ebi_read_error(reader, value, "value-missing", "%s is an empty list",
                   ebi_quote(key_of(value)).text);
    return false;
  }
  if (!good)
    return false;
  *texts = read;
  *count = n;
  return true;
}
