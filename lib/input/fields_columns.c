/* fields_columns.c - curves: {columns: [mm, l/s], points: [[2, 0.8], ...]}
 *
 * The unit stands once, over the column; the numbers below it are bare, as on
 * a maker's sheet. */

#include <string.h>

#include "input/fields.h"
#include "input/quote.h"

typedef struct curve_column {
  const char *unit;
  ebi_kind kind;
} curve_column;

/* Reads the units over the columns. NULL after an error. */
static curve_column *read_heads(ebi_reader *reader, const ebi_yaml *heads, const ebi_kind *kinds,
                                size_t n_columns) {
  if (heads->kind != EBI_YAML_SEQUENCE || heads->count != n_columns) {
    ebi_read_error(reader, heads, "columns", "columns must be a list of %zu units", n_columns);
    return NULL;
  }
  curve_column *columns = EBI_NEW_ARRAY(reader->arena, curve_column, n_columns);
  bool good = columns != NULL;
  if (!columns)
    ebi_read_memory(reader, heads);
  for (size_t i = 0; columns && i < n_columns; i++) {
    double si = 0;
    columns[i].kind = kinds[i];
    if (!ebi_read_text(reader, heads->items[i], &columns[i].unit)) {
      good = false;
    } else if (kinds[i] != EBI_NUMBER && !ebi_unit_to_si(1, columns[i].unit, kinds[i], &si)) {
      ebi_read_error(reader, heads->items[i], "unit-wrong",
                     "column %zu has the unit \"%s\"; %s is due, in %s", i + 1,
                     ebi_quote(columns[i].unit).text, ebi_kind_name(kinds[i]),
                     ebi_kind_units(kinds[i]));
      good = false;
    }
  }
  return good ? columns : NULL;
}

static bool read_cell(ebi_reader *reader, const ebi_yaml *cell, const curve_column *column,
                      double *si) {
  ebi_given number = {0};
  if (cell->kind == EBI_YAML_SCALAR) {
    ebi_quantity found = ebi_quantity_read(cell->text, cell->length, EBI_NUMBER);
    if (found.fault != EBI_QUANTITY_OK && found.fault != EBI_QUANTITY_NUMBER) {
      ebi_read_error(reader, cell, "unit-wrong",
                     "\"%s\" has a unit of its own; the column says %s: write the number alone",
                     ebi_quote(cell->text).text, ebi_quote(column->unit).text);
      return false;
    }
  }
  if (!ebi_read_given(reader, cell, EBI_NUMBER, -1e12, 1e12, &number))
    return false;
  *si = number.value;
  return column->kind == EBI_NUMBER || ebi_unit_to_si(number.value, column->unit, column->kind, si);
}

static bool read_row(ebi_reader *reader, const ebi_yaml *row, const curve_column *columns,
                     size_t n_columns, double *cells) {
  if (row->kind != EBI_YAML_SEQUENCE || row->count != n_columns) {
    ebi_read_error(reader, row, "columns",
                   "each point must be a list of %zu numbers, one for each column", n_columns);
    return false;
  }
  bool good = true;
  for (size_t i = 0; i < n_columns; i++)
    good = read_cell(reader, row->items[i], &columns[i], &cells[i]) && good;
  return good;
}

/* Reads the rows one after the other; the first column must rise. */
static bool read_rows(ebi_reader *reader, const ebi_yaml *points, const curve_column *columns,
                      size_t n_columns, double *rows) {
  bool good = true;
  for (size_t i = 0; i < points->count; i++) {
    double *row = rows + i * n_columns;
    bool read = read_row(reader, points->items[i], columns, n_columns, row);
    if (good && read && i > 0 && row[0] <= row[-(ptrdiff_t)n_columns]) {
      ebi_read_error(reader, points->items[i], "not-rising",
                     "the first number of each point must be larger than that of the point "
                     "before");
      read = false;
    }
    good = good && read;
  }
  return good;
}

/* The units alone, where they are asked for. */
static bool hand_units(ebi_reader *reader, const ebi_yaml *value, const curve_column *columns,
                       size_t n_columns, const char *const **units) {
  if (!units)
    return true;
  const char **texts = EBI_NEW_ARRAY(reader->arena, const char *, n_columns);
  if (!texts) {
    ebi_read_memory(reader, value);
    return false;
  }
  for (size_t i = 0; i < n_columns; i++)
    texts[i] = columns[i].unit;
  *units = texts;
  return true;
}

bool ebi_read_columns(ebi_reader *reader, const ebi_yaml *value, const ebi_kind *kinds,
                      size_t n_columns, const double **rows, size_t *n_rows,
                      const char *const **units) {
  const ebi_yaml *heads = ebi_yaml_get(value, "columns");
  const ebi_yaml *points = ebi_yaml_get(value, "points");
  if (!heads || !points) {
    ebi_read_error(reader, value, "columns",
                   "a curve is written {columns: [unit, unit], points: [[1, 2], [3, 4]]}");
    return false;
  }
  const curve_column *columns = read_heads(reader, heads, kinds, n_columns);
  if (!columns)
    return false;
  if (points->kind != EBI_YAML_SEQUENCE || points->count == 0) {
    ebi_read_error(reader, points, "columns", "points must be a list of points");
    return false;
  }
  double *cells = EBI_NEW_ARRAY(reader->arena, double, points->count *n_columns);
  if (!cells)
    ebi_read_memory(reader, points);
  if (!cells || !read_rows(reader, points, columns, n_columns, cells) ||
      !hand_units(reader, value, columns, n_columns, units))
    return false;
  *rows = cells;
  *n_rows = points->count;
  return true;
}
