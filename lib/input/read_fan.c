/* read_fan.c - the fans of a unit: curves at several speeds
 *
 *   fans:                        # or one `fan:` for two alike
 *     supply:
 *       basis: total             # or static, where the sheet says so
 *       power: each              # or both: the column is of both fans together
 *       mode: speed              # or flow or pressure: what the controller keeps
 *       curves:
 *         - {speed: 100 %, columns: [l/s, Pa, W], points: [[0, 420, 30], [40, 360, 45]]}
 *         - {speed: 60 %, columns: [l/s, Pa, W], points: [...]}
 *
 * Flow rises from point to point; the power column may be missing. Curves may
 * stand in any order of speed. */

#include <math.h>
#include <stdlib.h>

#include "input/read_unit.h"

static const char *const basis_words[] = {"total", "static", NULL};
static const char *const power_words[] = {"each", "both", NULL};

/* In the order of ebi_fan_mode. */
static const char *const mode_words[] = {"speed", "flow", "pressure", NULL};

typedef struct fan_keys {
  const char *basis, *power, *mode;
  ebi_fan_data *fan;
} fan_keys;

typedef struct speed_key {
  ebi_given speed;
} speed_key;

static const ebi_column curve_columns[] = {
    {EBI_FLOW, 0, 10, "flow"}, {EBI_PRESSURE, 0, 1e5, "pressure"}, {EBI_POWER, 0, 1e5, "power"}};

static const ebi_field curve_fields[] = {
    {.key = "speed",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .offset = offsetof(speed_key, speed),
     .kind = EBI_RATIO,
     .low = 0.01,
     .high = 1,
     .about = "share of the top speed"},
    {.key = "columns",
     .type = EBI_FIELD_IGNORED,
     .required = true,
     EBI_HOLDS(.type = EBI_FIELD_HEADS, EBI_COLUMNS_OF(curve_columns), .least = 2),
     .about = "[l/s, Pa, W]"},
    {.key = "points",
     .type = EBI_FIELD_IGNORED,
     .required = true,
     EBI_HOLDS(.type = EBI_FIELD_POINTS, EBI_COLUMNS_OF(curve_columns), .least = 2),
     .about = "[[0, 420, 30], ...]"}};

/* Flow, pressure and power where there is a third column. */
static bool read_points(ebi_reader *reader, const ebi_yaml *value, ebi_fan_curve_data *curve) {
  const ebi_yaml *heads = ebi_yaml_get(value, "columns");
  size_t n_columns = heads->kind == EBI_YAML_SEQUENCE && heads->count == 2 ? 2 : 3;
  const double *rows;
  size_t n_rows;
  if (!ebi_read_table(reader, value, curve_columns, n_columns, &rows, &n_rows, NULL))
    return false;
  ebi_fan_point *points = EBI_NEW_ARRAY(reader->arena, ebi_fan_point, n_rows);
  if (points == NULL) {
    ebi_read_no_memory(reader, value);
    return false;
  }
  for (size_t i = 0; i < n_rows; i++) {
    const double *row = rows + i * n_columns;
    points[i] = (ebi_fan_point){row[0], row[1], n_columns == 3 ? row[2] : (double)NAN};
  }
  curve->points = points;
  curve->n_points = n_rows;
  return true;
}

static void read_curve(ebi_reader *reader, const ebi_yaml *value, ebi_fan_curve_data *curve) {
  speed_key key = {0};
  size_t mark = ebi_diag_errors(reader->context);
  ebi_fields_read(reader, value, "a fan curve", curve_fields,
                  sizeof curve_fields / sizeof curve_fields[0], &key);
  curve->where = value->where;
  curve->speed = key.speed.value;
  if (ebi_diag_errors(reader->context) != mark || !read_points(reader, value, curve))
    return;
  if (curve->n_points < 2)
    ebi_read_error(reader, value, "curve-short", "a fan curve needs two points at least");
}

static int by_speed(const void *a, const void *b) {
  const ebi_fan_curve_data *left = a, *right = b;
  return (left->speed > right->speed) - (left->speed < right->speed);
}

/* Sorted by speed; no speed twice. */
static void sort_curves(ebi_reader *reader, const ebi_yaml *value, ebi_fan_curve_data *curves,
                        size_t n_curves) {
  qsort(curves, n_curves, sizeof *curves, by_speed);
  for (size_t i = 1; i < n_curves; i++)
    if (curves[i].speed <= curves[i - 1].speed)
      ebi_read_error(reader, value, "curve-twice", "two curves are for the speed %.12g %%",
                     100 * curves[i].speed);
}

static void read_curves(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_fan_data *fan = ((fan_keys *)record)->fan;
  if (value->kind != EBI_YAML_SEQUENCE || value->count == 0) {
    ebi_read_error(reader, value, "kind-wrong",
                   "`curves:` is a list of curves: [{speed: 100 %%, columns: [l/s, Pa, W], "
                   "points: [[0, 420, 30], [40, 360, 45]]}]");
    return;
  }
  ebi_fan_curve_data *curves = EBI_NEW_ARRAY(reader->arena, ebi_fan_curve_data, value->count);
  if (curves == NULL) {
    ebi_read_no_memory(reader, value);
    return;
  }
  size_t mark = ebi_diag_errors(reader->context);
  for (size_t i = 0; i < value->count; i++)
    read_curve(reader, value->items[i], &curves[i]);
  if (ebi_diag_errors(reader->context) == mark)
    sort_curves(reader, value, curves, value->count);
  fan->curves = curves;
  fan->n_curves = value->count;
}

static const ebi_field fan_fields[] = {
    {.key = "curves",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_curves,
     EBI_HOLDS(.type = EBI_FIELD_LIST, .least = 1,
               EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(curve_fields))),
     .about = "pressure and power against flow, one curve a speed"},
    {.key = "basis",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(fan_keys, basis),
     .words = basis_words,
     .about = "total (where not said) or static pressure"},
    {.key = "power",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(fan_keys, power),
     .words = power_words,
     .about = "each (where not said) or both: whose power the column is"},
    {.key = "mode",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(fan_keys, mode),
     .words = mode_words,
     .about = "speed (where not said), flow or pressure: what is kept while the house changes"}};

const ebi_field ebi_fan_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(fan_fields)};

static void read_one(ebi_reader *reader, const ebi_yaml *value, const char *what,
                     ebi_fan_data *fan) {
  fan_keys keys = {
      .basis = basis_words[0], .power = power_words[0], .mode = mode_words[0], .fan = fan};
  ebi_fields_read(reader, value, what, fan_fields, sizeof fan_fields / sizeof fan_fields[0], &keys);
  fan->static_basis = keys.basis == basis_words[1];
  fan->power_both = keys.power == power_words[1];
  fan->mode = EBI_FAN_SPEED;
  while (mode_words[fan->mode] != keys.mode)
    fan->mode++;
}

void ebi_unit_read_fan(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_unit *unit = record;
  read_one(reader, value, "the fan", &unit->supply_fan);
  unit->extract_fan = unit->supply_fan;
}

static void read_supply(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_one(reader, value, "the supply fan", &((ebi_unit *)record)->supply_fan);
}

static void read_extract(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_one(reader, value, "the extract fan", &((ebi_unit *)record)->extract_fan);
}

static const ebi_field fans_fields[] = {{.key = "supply",
                                         .type = EBI_FIELD_CUSTOM,
                                         .required = true,
                                         .read = read_supply,
                                         .holds = &ebi_fan_form,
                                         .about = "from the unit to the rooms"},
                                        {.key = "extract",
                                         .type = EBI_FIELD_CUSTOM,
                                         .required = true,
                                         .read = read_extract,
                                         .holds = &ebi_fan_form,
                                         .about = "from the rooms to the unit"}};

const ebi_field ebi_fans_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(fans_fields)};

void ebi_unit_read_fans(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_fields_read(reader, value, "fans", fans_fields, sizeof fans_fields / sizeof fans_fields[0],
                  record);
}
