/* layouts.c - houses side by side: their main figures as bars, and which is better in what
 *
 * The rows are those of `compare` in which one can be better than another. */

#include <math.h>
#include <string.h>

#include "compare.h"
#include "drawing/chart.h"
#include "drawing/grid.h"
#include "drawing/marks.h"
#include "drawing/pens.h"
#include "drawing/picture.h"
#include "run.h"

_Static_assert((int)COMPARE_CELL <= (int)GRID_CELL, "a figure of `compare` fits a cell");

enum { WHAT, UNIT, HOUSE, PLOT, VALUE, BETTER, COLUMNS };
static const double plot_least = 120, row_gap = 3, bar_share = 0.7;

typedef struct side_by_side {
  const cli_run *runs;
  size_t count;
  const eb_comparison *comparison;
} side_by_side;

/* ---- Which rows, and what stands in them ---- */

static bool can_win(const eb_compare_row *row, size_t count) {
  size_t known = 0;
  for (size_t h = 0; h < count; h++)
    known += isfinite(row->values[h]);
  return row->sense != EB_SENSE_NONE && known >= 2;
}

/* All of them alike are named below instead. */
static bool is_shown(const side_by_side *table, const eb_compare_row *row) {
  char better[COMPARE_CELL];
  compare_better(table->runs, table->count, row, better);
  return can_win(row, table->count) && strcmp(better, "same") != 0;
}

static bool begins_group(const side_by_side *table, size_t number) {
  for (size_t r = number; r-- > 0;)
    if (is_shown(table, &table->comparison->rows[r]))
      return strcmp(table->comparison->rows[r].group, table->comparison->rows[number].group) != 0;
  return true;
}

/* What a row is about, at its first line; then the line of each house. */
static grid_row about_of(const side_by_side *table, const eb_compare_row *row) {
  cli_unit unit = compare_unit_of(table->runs, row);
  grid_row line = {.text = {row->what}};
  grid_print(&line, UNIT, "%s", unit.name);
  compare_better(table->runs, table->count, row, line.printed[BETTER]);
  return line;
}

static grid_row line_of(const side_by_side *table, const eb_compare_row *row, size_t house) {
  cli_unit unit = compare_unit_of(table->runs, row);
  grid_row line = {.text = {NULL, NULL, table->runs[house].label}, .bold = row->better == house};
  compare_value(&unit, row, house, line.printed[VALUE]);
  return line;
}

/* Rounded as it is compared: what is nought on paper has no bar. */
static double shown(const eb_compare_row *row, const cli_unit *unit, size_t house) {
  return unit_value(unit, round(row->values[house] / row->step) * row->step);
}

/* From nought, or from the lowest where some are below. */
static chart_axis axis_of(const side_by_side *table, const eb_compare_row *row) {
  cli_unit unit = compare_unit_of(table->runs, row);
  chart_axis axis = {0, 0, 1};
  for (size_t h = 0; h < table->count; h++) {
    if (!isfinite(row->values[h]))
      continue;
    axis.low = fmin(axis.low, shown(row, &unit, h));
    axis.high = fmax(axis.high, shown(row, &unit, h));
    if (row->of && isfinite(row->of[h]))
      axis.high = fmax(axis.high, row->of[h]);
  }
  if (!(axis.high > axis.low))
    axis.high = axis.low + 1;
  return axis;
}

/* ---- Drawing ---- */

static const grid_row head = {.text = {[HOUSE] = "", [BETTER] = "better"}, .bold = true};

static double lay_out(grid_sheet *grid, canvas *page, double width, const side_by_side *table) {
  static const grid_kind kinds[COLUMNS] = {GRID_NAME, GRID_LEFT,  GRID_LEFT,
                                           GRID_PLOT, GRID_RIGHT, GRID_LEFT};
  grid_begin(grid, page);
  for (int c = 0; c < COLUMNS; c++)
    grid_column(grid, kinds[c], c == PLOT ? plot_least : 0);
  grid_widen_head(grid, &head);
  for (size_t r = 0; r < table->comparison->n_rows; r++) {
    const eb_compare_row *row = &table->comparison->rows[r];
    grid_row line = about_of(table, row);
    if (!is_shown(table, row))
      continue;
    grid_widen(grid, &line);
    for (size_t h = 0; h < table->count; h++) {
      line = line_of(table, row, h);
      grid_widen(grid, &line);
    }
  }
  return grid_place(grid, 0, width);
}

/* The bar of a house; the better one's is full, the others' are hatched. */
static void bar(const grid_sheet *grid, const side_by_side *table, const eb_compare_row *row,
                size_t house, double y, double height) {
  cli_unit unit = compare_unit_of(table->runs, row);
  chart_axis axis = axis_of(table, row);
  double x = grid->x[PLOT], width = grid->width[PLOT];
  if (!isfinite(row->values[house]))
    return;
  double from = chart_along(&axis, x, width, 0);
  double to = chart_along(&axis, x, width, shown(row, &unit, house));
  mark_box(grid->page, row->better == house ? FILL_MIDDLE : FILL_LIGHT,
           (canvas_box){fmin(from, to), y + (1 - bar_share) / 2 * height, fabs(to - from),
                        bar_share * height});
  pen_grey(grid->page, 0.3, 0.8);
  cairo_move_to(grid->page->cairo, from, y);
  cairo_line_to(grid->page->cairo, from, y + height);
  cairo_stroke(grid->page->cairo);
  pen_plain(grid->page);
}

/* What it is about may take more lines than there are houses. */
static double row_height(const grid_sheet *grid, const side_by_side *table,
                         const eb_compare_row *row) {
  grid_row first = about_of(table, row);
  double line = chart_line(grid->page, chart_plain);
  return fmax(grid_row_height(grid, &first), line * (double)table->count);
}

static double draw_row(const grid_sheet *grid, const side_by_side *table, const eb_compare_row *row,
                       double y) {
  double line = chart_line(grid->page, chart_plain);
  grid_row about = about_of(table, row);
  double height = row_height(grid, table, row);
  grid_draw(grid, &about, y);
  for (size_t h = 0; h < table->count; h++) {
    grid_row own = line_of(table, row, h);
    grid_draw(grid, &own, y + line * (double)h);
    bar(grid, table, row, h, y + line * (double)h, line);
  }
  return y + height + row_gap;
}

static double draw_rows(const grid_sheet *grid, const side_by_side *table, double y) {
  for (size_t r = 0; r < table->comparison->n_rows; r++) {
    const eb_compare_row *row = &table->comparison->rows[r];
    if (!is_shown(table, row))
      continue;
    if (begins_group(table, r)) {
      canvas_text(grid->page, chart_bold, CANVAS_LEFT, 0, y + 3, compare_group_title(row->group));
      y += chart_line(grid->page, chart_bold) + 3;
      grid_rule(grid, y);
      y += 3;
    }
    y = draw_row(grid, table, row, y);
  }
  return y;
}

static double names(canvas *page, double width, double y, const side_by_side *table) {
  double line = chart_line(page, chart_bold);
  for (size_t h = 0; h < table->count; h++) {
    const cli_run *run = &table->runs[h];
    const char *dwelling = eb_house_dwelling(run->house);
    char text[1200];
    snprintf(text, sizeof text, "%.800s%s%.300s", run->path, *dwelling ? ": " : "", dwelling);
    canvas_text(page, chart_bold, CANVAS_LEFT, 0, y, run->label);
    y += fmax(canvas_paragraph(page, chart_plain, CANVAS_LEFT, 30, y, width - 30, text), line);
  }
  return y + 4;
}

static double legend_of(canvas *page, double width, double y) {
  mark_legend legend = legend_begin(page, 0, y, width);
  canvas_box room = legend_entry(&legend, "wins its row (* and bold)");
  mark_box(page, FILL_MIDDLE, (canvas_box){room.x, room.y + 2, room.width, room.height - 4});
  room = legend_entry(&legend, "does not");
  mark_box(page, FILL_LIGHT, (canvas_box){room.x, room.y + 2, room.width, room.height - 4});
  return y + legend_height(&legend) + 6;
}

/* In which there is nothing to choose between them. */
static double alike(canvas *page, double width, double y, const side_by_side *table) {
  char text[2048] = "";
  size_t at = 0;
  for (size_t r = 0; r < table->comparison->n_rows; r++) {
    const eb_compare_row *row = &table->comparison->rows[r];
    if (can_win(row, table->count) && !is_shown(table, row) && at + 128 < sizeof text)
      at += (size_t)snprintf(text + at, sizeof text - at, "%s%.100s",
                             at ? ", " : "The same in all: ", row->what);
  }
  return at ? y + 6 + canvas_paragraph(page, chart_plain, CANVAS_LEFT, 0, y + 6, width, text) : y;
}

static double show(canvas *page, double width, const cli_run *runs, size_t count) {
  const side_by_side table = {runs, count, runs[count].comparison};
  grid_sheet grid;
  double scale = lay_out(&grid, page, width, &table);
  cairo_save(page->cairo);
  cairo_scale(page->cairo, scale, scale);
  double y = names(page, width / scale, 0, &table);
  y = legend_of(page, width / scale, y);
  grid_draw_head(&grid, &head, y + 3); /* in the line of the first group */
  y = draw_rows(&grid, &table, y);
  y = alike(page, width / scale, y, &table);
  cairo_restore(page->cairo);
  return y * scale;
}

/* Into runs[count], which has a context of its own. */
static eb_status together(cli_run *runs, size_t count) {
  for (size_t i = 0; i < count; i++)
    run_set_label(&runs[i], i);
  runs[count] = (cli_run){.options = runs[0].options, .path = "evenbreath"};
  eb_status status = run_open(&runs[count]);
  return status ? status : compare_together(runs, count);
}

static const char *lacks(const cli_run *runs, size_t count) {
  (void)runs;
  return count > 1 ? NULL : "it is one house only: name another to compare it with";
}

const picture picture_layouts = {
    .name = "layouts",
    .title = "Which is better, and in what",
    .about = "the main figures of two houses or more as bars, and which is better in what",
    .files = PICTURE_HOUSES,
    .show = show,
    .calculate = compare_rest,
    .together = together,
    .lacks = lacks,
};
