#include "sheet.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

struct cli_sheet {
  size_t columns;
  char align[24];
  char **cells;
  size_t count, capacity;
  bool failed;
};

cli_sheet *sheet_new(const char *align) {
  cli_sheet *made = calloc(1, sizeof *made);
  if (!made)
    return NULL;
  made->columns = strlen(align);
  memcpy(made->align, align, made->columns);
  return made;
}

void sheet_free(cli_sheet *sheet) {
  for (size_t i = 0; sheet && i < sheet->count; i++)
    free(sheet->cells[i]);
  if (sheet)
    free(sheet->cells);
  free(sheet);
}

static bool make_room(cli_sheet *sheet) {
  if (sheet->count < sheet->capacity)
    return true;
  size_t capacity = sheet->capacity ? 2 * sheet->capacity : 64;
  char **cells = realloc(sheet->cells, capacity * sizeof *cells);
  if (!cells) {
    sheet->failed = true;
    return false;
  }
  sheet->cells = cells;
  sheet->capacity = capacity;
  return true;
}

void sheet_cell(cli_sheet *sheet, const char *format, ...) {
  if (!sheet || !make_room(sheet))
    return;
  va_list arguments, again;
  va_start(arguments, format);
  va_copy(again, arguments);
  int length = vsnprintf(NULL, 0, format, arguments);
  char *cell = length >= 0 ? malloc((size_t)length + 1) : NULL;
  if (cell) {
    vsnprintf(cell, (size_t)length + 1, format, again);
    sheet->cells[sheet->count++] = cell;
  } else
    sheet->failed = true;
  va_end(again);
  va_end(arguments);
}

void sheet_skip(cli_sheet *sheet) {
  sheet_cell(sheet, "%s", "");
}

void sheet_value(cli_sheet *sheet, const cli_unit *unit, double si) {
  if (isnan(si)) {
    sheet_cell(sheet, "-");
    return;
  }
  double value = unit_value(unit, si);
  /* No "-0.0" on paper. */
  if (fabs(value) < 0.5 * pow(10, -unit->decimals))
    value = 0;
  sheet_cell(sheet, "%.*f", unit->decimals, value);
}

size_t sheet_width(const char *text) {
  size_t width = 0;
  for (; *text; text++)
    width += ((unsigned char)*text & 0xC0) != 0x80;
  return width;
}

static size_t column_width(const cli_sheet *sheet, size_t column) {
  size_t width = 0;
  for (size_t i = column; i < sheet->count; i += sheet->columns) {
    size_t cell = sheet_width(sheet->cells[i]);
    width = cell > width ? cell : width;
  }
  return width;
}

static bool rest_is_empty(const cli_sheet *sheet, size_t from, size_t column) {
  for (; column < sheet->columns && from < sheet->count; column++, from++)
    if (sheet->cells[from][0])
      return false;
  return true;
}

static void print_row(const cli_sheet *sheet, size_t first, const size_t *widths, FILE *out) {
  for (size_t c = 0; c < sheet->columns && first + c < sheet->count; c++) {
    if (rest_is_empty(sheet, first + c, c))
      break;
    const char *cell = sheet->cells[first + c];
    int gap = (int)(widths[c] - sheet_width(cell));
    bool last = rest_is_empty(sheet, first + c + 1, c + 1);
    if (c)
      fputs("  ", out);
    if (sheet->align[c] == 'r')
      fprintf(out, "%*s%s", gap, "", cell);
    else
      fprintf(out, "%s%*s", cell, last ? 0 : gap, "");
  }
  fputc('\n', out);
}

bool sheet_print(const cli_sheet *sheet, FILE *out) {
  if (!sheet_complete(sheet))
    return false;
  size_t widths[24];
  for (size_t c = 0; c < sheet->columns; c++)
    widths[c] = column_width(sheet, c);
  for (size_t i = 0; i < sheet->count; i += sheet->columns)
    print_row(sheet, i, widths, out);
  return true;
}

bool sheet_finish(cli_sheet *sheet, FILE *out) {
  fputc('\n', out);
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

size_t sheet_columns(const cli_sheet *sheet) {
  return sheet->columns;
}

size_t sheet_rows(const cli_sheet *sheet) {
  return (sheet->count + sheet->columns - 1) / sheet->columns;
}

const char *sheet_text(const cli_sheet *sheet, size_t row, size_t column) {
  size_t at = row * sheet->columns + column;
  return at < sheet->count ? sheet->cells[at] : "";
}

bool sheet_right(const cli_sheet *sheet, size_t column) {
  return sheet->align[column] == 'r';
}

bool sheet_complete(const cli_sheet *sheet) {
  return sheet && !sheet->failed;
}
