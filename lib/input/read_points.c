/* read_points.c - curves with a range for each column */

#include <math.h>

#include "input/load.h"

enum { MOST_COLUMNS = 8 };

void ebi_read_no_memory(ebi_reader *reader, const ebi_yaml *node) {
  ebi_read_error(reader, node, "memory", "memory ran out");
}

/* Says which number of a row is out of its range; in SI where it has a unit. */
static bool in_range(ebi_reader *reader, const ebi_yaml *row, const ebi_column *column,
                     double value) {
  if (value >= column->low && value <= column->high)
    return true;
  ebi_shown found = ebi_quantity_show(value, column->kind);
  ebi_shown low = ebi_quantity_show(column->low, column->kind);
  ebi_shown high = ebi_quantity_show(column->high, column->kind);
  ebi_read_error(reader, row, "out-of-range",
                 "the %s %.12g%s%s is out of range: %.12g to %.12g is allowed", column->what,
                 found.value, found.unit[0] ? " " : "", found.unit, low.value, high.value);
  return false;
}

bool ebi_read_table(ebi_reader *reader, const ebi_yaml *value, const ebi_column *columns,
                    size_t n_columns, const double **rows, size_t *n_rows,
                    const char *const **units) {
  ebi_kind kinds[MOST_COLUMNS];
  size_t mark = ebi_diag_errors(reader->context);
  for (size_t i = 0; i < n_columns && i < MOST_COLUMNS; i++)
    kinds[i] = columns[i].kind;
  if (!ebi_read_columns(reader, value, kinds, n_columns, rows, n_rows, units)) {
    if (ebi_diag_errors(reader->context) == mark)
      ebi_read_no_memory(reader, value);
    return false;
  }
  const ebi_yaml *points = ebi_yaml_get(value, "points");
  bool good = true;
  for (size_t i = 0; i < *n_rows; i++)
    for (size_t j = 0; j < n_columns; j++)
      good = in_range(reader, points->items[i], &columns[j], (*rows)[i * n_columns + j]) && good;
  return good;
}

static const ebi_field curve_keys[] = {
    {.key = "columns", .type = EBI_FIELD_IGNORED, .required = true, .about = "their units"},
    {.key = "points", .type = EBI_FIELD_IGNORED, .required = true, .about = "a list of rows"},
};

bool ebi_read_points(ebi_reader *reader, const ebi_yaml *value, const ebi_column columns[2],
                     const ebi_point **points, size_t *n_points, const char **x_unit) {
  const double *rows;
  size_t n_rows;
  const char *const *units;
  size_t mark = ebi_diag_errors(reader->context);
  if (value->kind == EBI_YAML_MAPPING)
    ebi_fields_read(reader, value, "a curve", curve_keys, 2, NULL); /* no other keys */
  if (ebi_diag_errors(reader->context) != mark)
    return false;
  if (!ebi_read_table(reader, value, columns, 2, &rows, &n_rows, &units))
    return false;
  ebi_point *read = EBI_NEW_ARRAY(reader->arena, ebi_point, n_rows);
  if (read == NULL) {
    ebi_read_no_memory(reader, value);
    return false;
  }
  for (size_t i = 0; i < n_rows; i++)
    read[i] = (ebi_point){rows[2 * i], rows[2 * i + 1]};
  *points = read;
  *n_points = n_rows;
  if (x_unit != NULL)
    *x_unit = units[0];
  return true;
}
