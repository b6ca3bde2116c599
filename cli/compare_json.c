/* compare_json.c - the JSON part of evenbreath compare */

#include <math.h>
#include <string.h>

#include "compare.h"
#include "json.h"

/* As the other commands give them: a unit of JSON for one of the library. */
typedef struct json_unit {
  const char *si, *name;
  double factor;
} json_unit;

static json_unit unit_of(const char *si, const char *currency) {
  static const json_unit known[] = {{"m3/s", "l/s", 1e3},
                                    {"W/(m3/s)", "W/(l/s)", 1e-3},
                                    {"1", "%", 100},
                                    {"dB", "dB(A)", 1},
                                    {"number", "", 1}};
  if (strcmp(si, "money") == 0)
    return (json_unit){si, *currency ? currency : "money", 1};
  for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
    if (strcmp(si, known[i].si) == 0)
      return known[i];
  return (json_unit){si, si, 1};
}

static json_t *numbers_json(const double *numbers, size_t count, double factor) {
  json_t *array = json_array();
  for (size_t i = 0; i < count; i++)
    json_add(array, isfinite(numbers[i]) ? json_real(numbers[i] * factor) : json_null());
  return array;
}

static json_t *texts_json(const char *const *texts, size_t count) {
  json_t *array = json_array();
  for (size_t i = 0; i < count; i++)
    json_add(array, texts[i] && *texts[i] ? json_string(texts[i]) : json_null());
  return array;
}

static json_t *row_json(const eb_compare_row *row, size_t count) {
  json_unit unit = unit_of(row->unit, row->currency);
  json_t *object = json_object();
  bool won = row->better != EB_NO_HOUSE;
  json_put_text(object, "group", row->group);
  json_put_text(object, "what", row->what);
  json_put_text(object, "unit", unit.name);
  json_put(object, "values", numbers_json(row->values, count, unit.factor));
  if (row->of)
    json_put(object, "of", numbers_json(row->of, count, 1));
  if (row->where)
    json_put(object, "where", texts_json(row->where, count));
  if (row->at_least) {
    json_t *bounds = json_array();
    for (size_t i = 0; i < count; i++)
      json_add(bounds, json_boolean(row->at_least[i]));
    json_put(object, "at_least", bounds);
  }
  json_put(object, "better", won ? json_integer((json_int_t)row->better) : json_null());
  json_put(object, "difference", won ? json_real(row->ahead * unit.factor) : json_null());
  return object;
}

static json_t *difference_json(const eb_difference *difference, size_t count) {
  json_unit unit = unit_of(difference->unit, "");
  json_t *object = json_object();
  json_put_text(object, "part", difference->part);
  json_put(object, "name", *difference->name ? json_string(difference->name) : json_null());
  json_put_text(object, "what", difference->what);
  json_put_text(object, "unit", unit.name);
  json_put(object, "values",
           difference->texts ? texts_json(difference->texts, count)
                             : numbers_json(difference->numbers, count, unit.factor));
  return object;
}

static json_t *house_json(const cli_run *run) {
  json_t *object = json_object(), *set = json_array();
  json_put_text(object, "file", run->path);
  json_put_text(object, "dwelling", eb_house_dwelling(run->house));
  json_put_text(object, "label", run->label);
  for (size_t i = 0; i < run->n_overrides; i++)
    json_add(set, json_string(run->options->overrides[i]));
  json_put(object, "set", set);
  return object;
}

bool compare_json(const cli_run *runs, size_t count, json_t *object) {
  const eb_comparison *all = runs[count].comparison;
  json_t *houses = json_array(), *rows = json_array(), *differences = json_array();
  for (size_t i = 0; i < count; i++)
    json_add(houses, house_json(&runs[i]));
  for (size_t i = 0; i < all->n_rows; i++)
    json_add(rows, row_json(&all->rows[i], count));
  for (size_t i = 0; i < all->n_differences; i++)
    json_add(differences, difference_json(&all->differences[i], count));
  json_put(object, "houses", houses);
  json_put(object, "rows", rows);
  json_put(object, "differences", differences);
  return json_complete();
}
