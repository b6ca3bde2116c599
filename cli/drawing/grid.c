/* grid.c - rows of words and figures in columns that are measured */

#include "drawing/grid.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "drawing/chart.h"
#include "drawing/pens.h"

static const double gap = 10;        /* between columns */
static const double name_least = 90; /* of a column of names that are broken */

void grid_begin(grid_sheet *grid, canvas *page) {
  grid->page = page;
  grid->n_columns = 0;
}

void grid_column(grid_sheet *grid, grid_kind kind, double least) {
  if (grid->n_columns == GRID_COLUMNS)
    return;
  grid->kind[grid->n_columns] = kind;
  grid->head[grid->n_columns] = 0;
  grid->natural[grid->n_columns++] = least;
}

void grid_print(grid_row *row, size_t column, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  vsnprintf(row->printed[column], GRID_CELL, format, arguments);
  va_end(arguments);
}

static const char *text_of(const grid_row *row, size_t column) {
  if (row->text[column])
    return row->text[column];
  return row->printed[column][0] ? row->printed[column] : NULL;
}

static canvas_font font_of(const grid_row *row) {
  return row->bold ? chart_bold : chart_plain;
}

void grid_widen(grid_sheet *grid, const grid_row *row) {
  for (size_t c = 0; c < grid->n_columns; c++) {
    double width, height;
    if (!text_of(row, c))
      continue;
    canvas_measure(grid->page, font_of(row), text_of(row, c), &width, &height);
    grid->natural[c] = fmax(grid->natural[c], ceil(width));
  }
}

static const double head_most = 80; /* of a single word; longer ones are cut in two */

static double longest_word(canvas *page, const char *text) {
  double longest = 0;
  while (*text) {
    char word[GRID_CELL];
    size_t length = strcspn(text, " ");
    double width, height;
    snprintf(word, sizeof word, "%.*s", (int)fmin((double)length, GRID_CELL - 1), text);
    canvas_measure(page, chart_bold, length < GRID_CELL ? word : "", &width, &height);
    longest = fmax(longest, length < GRID_CELL ? ceil(width) + 1 : head_most);
    text += length;
    text += strspn(text, " ");
  }
  return fmin(longest, head_most);
}

void grid_widen_head(grid_sheet *grid, const grid_row *row) {
  for (size_t c = 0; c < grid->n_columns; c++) {
    double height;
    if (!text_of(row, c))
      continue;
    grid->natural[c] = fmax(grid->natural[c], longest_word(grid->page, text_of(row, c)));
    canvas_measure(grid->page, chart_bold, text_of(row, c), &grid->head[c], &height);
  }
}

/* Heads stand on one line where there is room for all of them. */
static void straighten_heads(grid_sheet *grid, double room) {
  double more = 0;
  for (size_t c = 0; c < grid->n_columns; c++)
    more += fmax(ceil(grid->head[c]) + 1 - grid->natural[c], 0);
  for (size_t c = 0; more <= room && c < grid->n_columns; c++)
    grid->natural[c] = fmax(grid->natural[c], ceil(grid->head[c]) + 1);
}

static double sum_of(const grid_sheet *grid, grid_kind kind, bool without) {
  double sum = 0;
  for (size_t c = 0; c < grid->n_columns; c++)
    if ((grid->kind[c] == kind) != without)
      sum += grid->natural[c];
  return sum;
}

static size_t count_of(const grid_sheet *grid, grid_kind kind) {
  size_t count = 0;
  for (size_t c = 0; c < grid->n_columns; c++)
    count += grid->kind[c] == kind;
  return count;
}

static void set_widths(grid_sheet *grid, double names, double plots) {
  double wanted = sum_of(grid, GRID_NAME, false), x = grid->left;
  double plot_gain = count_of(grid, GRID_PLOT) ? plots / (double)count_of(grid, GRID_PLOT) : 0;
  for (size_t c = 0; c < grid->n_columns; c++) {
    grid->x[c] = x;
    grid->width[c] = grid->natural[c];
    if (grid->kind[c] == GRID_NAME && wanted > 0)
      grid->width[c] = ceil(names * grid->natural[c] / wanted) + 1;
    if (grid->kind[c] == GRID_PLOT)
      grid->width[c] += plot_gain;
    x += grid->width[c] + gap;
  }
  grid->right = x - gap;
}

double grid_place(grid_sheet *grid, double x, double width) {
  double slack = 1.0 + (double)count_of(grid, GRID_NAME) * 2;
  double gaps = gap * (double)(grid->n_columns - 1) + slack;
  straighten_heads(grid,
                   width - gaps - sum_of(grid, GRID_NAME, true) - sum_of(grid, GRID_NAME, false));
  double others = sum_of(grid, GRID_NAME, true) + gaps, wanted = sum_of(grid, GRID_NAME, false);
  /* As much as they like; where that is short they are broken, but not into single letters. */
  double names = fmin(wanted, fmax(width - others, name_least));
  double needed = others + names;
  grid->left = x;
  set_widths(grid, names, fmax(width - needed, 0));
  return needed > width ? width / needed : 1;
}

static bool broken(const grid_sheet *grid, size_t column) {
  return grid->kind[column] == GRID_NAME;
}

double grid_row_height(const grid_sheet *grid, const grid_row *row) {
  canvas_font font = font_of(row);
  double height = chart_line(grid->page, font);
  for (size_t c = 0; c < grid->n_columns; c++)
    if (text_of(row, c) && broken(grid, c))
      height =
          fmax(height, canvas_paragraph_height(grid->page, font, grid->width[c], text_of(row, c)));
  return height;
}

double grid_draw(const grid_sheet *grid, const grid_row *row, double y) {
  canvas_font font = font_of(row);
  double height = grid_row_height(grid, row);
  double middle = y + (height - chart_line(grid->page, font)) / 2;
  pen_plain(grid->page);
  for (size_t c = 0; c < grid->n_columns; c++) {
    const char *text = text_of(row, c);
    if (!text)
      continue;
    if (broken(grid, c))
      canvas_paragraph(grid->page, font, CANVAS_LEFT, grid->x[c], y, grid->width[c], text);
    else if (grid->kind[c] == GRID_RIGHT)
      canvas_text(grid->page, font, CANVAS_RIGHT, grid->x[c] + grid->width[c], middle, text);
    else
      canvas_text(grid->page, font, CANVAS_LEFT, grid->x[c], middle, text);
  }
  return height;
}

static double head_cell_height(const grid_sheet *grid, const grid_row *row, size_t column) {
  return canvas_paragraph_height(grid->page, chart_bold, grid->width[column], text_of(row, column));
}

double grid_draw_head(const grid_sheet *grid, const grid_row *row, double y) {
  double height = chart_line(grid->page, chart_bold);
  for (size_t c = 0; c < grid->n_columns; c++)
    if (text_of(row, c))
      height = fmax(height, head_cell_height(grid, row, c));
  pen_plain(grid->page);
  for (size_t c = 0; c < grid->n_columns; c++)
    if (text_of(row, c))
      canvas_paragraph(
          grid->page, chart_bold, grid->kind[c] == GRID_RIGHT ? CANVAS_RIGHT : CANVAS_LEFT,
          grid->x[c], y + height - head_cell_height(grid, row, c), grid->width[c], text_of(row, c));
  return height;
}

void grid_rule(const grid_sheet *grid, double y) {
  pen_grey(grid->page, 0.6, 0.5);
  cairo_move_to(grid->page->cairo, grid->left, y);
  cairo_line_to(grid->page->cairo, grid->right, y);
  cairo_stroke(grid->page->cairo);
  pen_plain(grid->page);
}
