/* rounds.c - balancing: what each round read at each terminal, and what it will be, against what
 * the rule allows
 *
 * Along the line a flow is in percent of the terminal's design, so that small terminals are seen as
 * well as large ones. A level that was read has a part of its own, the one at which valves are set
 * first. */

#include <math.h>
#include <string.h>

#include "balance.h"
#include "drawing/chart.h"
#include "drawing/grid.h"
#include "drawing/marks.h"
#include "drawing/pens.h"
#include "drawing/picture.h"

enum { NAME, PLOT, DESIGN, FIRST_ROUND, MOST_ROUNDS = 6 };
static const double plot_least = 150, row_gap = 6, line_height = 7.5, mark_size = 6.5;
static const size_t many = 24;                         /* terminals */
static const double axis_most = 250, axis_least = -50; /* percent; further off is an arrow */

/* One level and the rounds that are shown of it, the last ones. */
typedef struct level_part {
  const eb_balance *balance;
  const cli_unit *flow;
  const char *level;
  bool set; /* valves are set at it: the prediction is of it */
  const eb_balance_round *rounds[MOST_ROUNDS];
  size_t n_rounds, left_out;
  chart_axis axis;
} level_part;

/* ---- What is shown of a level ---- */

/* So many that rows must be low: all rounds then share a line. */
static bool crowded(const level_part *part) {
  return part->balance->n_terminals > many;
}

/* Lines of a row: one a round, so that none hides another, and the prediction's. */
static size_t line_count(const level_part *part) {
  size_t rounds = crowded(part) && part->n_rounds > 1 ? 1 : part->n_rounds;
  return rounds + (part->set ? 1 : 0);
}

static size_t prediction_column(const level_part *part) {
  return FIRST_ROUND + part->n_rounds;
}

static double percent(double flow, double design) {
  return design > 0 ? 100 * flow / design : (double)NAN;
}

static void widen(double *low, double *high, double value) {
  if (isfinite(value)) {
    *low = fmin(*low, fmax(value, axis_least));
    *high = fmax(*high, fmin(value, axis_most));
  }
}

static void find_axis(level_part *part) {
  const eb_balance *balance = part->balance;
  double low = 85, high = 115;
  for (size_t i = 0; i < balance->n_terminals; i++) {
    const eb_balance_terminal *t = &balance->terminals[i];
    for (size_t r = 0; r < part->n_rounds; r++) {
      const eb_balance_reading *reading = &part->rounds[r]->readings[i];
      widen(&low, &high, percent(reading->measured_m3_s, reading->design_m3_s));
    }
    if (!part->set)
      continue;
    widen(&low, &high, percent(t->predicted_m3_s - t->predicted_error_m3_s, t->design_m3_s));
    widen(&low, &high, percent(t->predicted_m3_s + t->predicted_error_m3_s, t->design_m3_s));
    widen(&low, &high, percent(t->low_m3_s, t->design_m3_s));
    widen(&low, &high, percent(t->high_m3_s, t->design_m3_s));
  }
  part->axis = chart_axis_over(low, high, 7);
}

static void take_round(level_part *part, const eb_balance_round *round) {
  if (part->n_rounds == MOST_ROUNDS) {
    memmove(&part->rounds[0], &part->rounds[1], (MOST_ROUNDS - 1) * sizeof part->rounds[0]);
    part->n_rounds--;
    part->left_out++;
  }
  part->rounds[part->n_rounds++] = round;
}

static level_part part_of(const cli_run *run, const char *level) {
  const eb_balance *balance = run->balance;
  level_part part = {.balance = balance,
                     .flow = &run->options->units->flow,
                     .level = level,
                     .set = strcmp(level, balance->set_level) == 0};
  for (size_t r = 0; r < balance->n_rounds; r++)
    if (strcmp(balance->rounds[r].level, level) == 0)
      take_round(&part, &balance->rounds[r]);
  find_axis(&part);
  return part;
}

/* ---- Words and figures ---- */

static const eb_balance_reading *last_reading(const level_part *part, size_t terminal) {
  return part->n_rounds > 0 ? &part->rounds[part->n_rounds - 1]->readings[terminal] : NULL;
}

static double design_of(const level_part *part, size_t terminal) {
  const eb_balance_reading *reading = last_reading(part, terminal);
  return reading ? reading->design_m3_s : part->balance->terminals[terminal].design_m3_s;
}

static void print_flow(const level_part *part, grid_row *row, size_t column, double flow,
                       const char *mark) {
  if (isfinite(flow))
    grid_print(row, column, "%.*f%s", part->flow->decimals, unit_value(part->flow, flow), mark);
  else
    grid_print(row, column, "-");
}

static grid_row row_of(const level_part *part, size_t terminal, char name[256]) {
  const eb_balance_terminal *t = &part->balance->terminals[terminal];
  grid_row row = {.text = {name}};
  snprintf(name, 256, "%zu %.110s, %.110s", t->turn, t->run, t->room);
  print_flow(part, &row, DESIGN, design_of(part, terminal), "");
  for (size_t r = 0; r < part->n_rounds; r++) {
    const eb_balance_reading *reading = &part->rounds[r]->readings[terminal];
    bool misses = isfinite(reading->measured_m3_s) && !reading->passes;
    print_flow(part, &row, FIRST_ROUND + r, reading->measured_m3_s, misses ? " !" : "");
  }
  if (part->set)
    grid_print(&row, prediction_column(part), "%.*f ±%.*f", part->flow->decimals,
               unit_value(part->flow, t->predicted_m3_s), part->flow->decimals,
               unit_value(part->flow, t->predicted_error_m3_s));
  return row;
}

static grid_row head_of(const level_part *part) {
  grid_row row = {.text = {"Terminal", NULL, "design"}, .bold = true};
  for (size_t r = 0; r < part->n_rounds; r++)
    grid_print(&row, FIRST_ROUND + r, "round %zu", part->rounds[r]->number);
  if (part->set)
    grid_print(&row, prediction_column(part), "will be");
  return row;
}

static double lay_out(grid_sheet *grid, canvas *page, double width, const level_part *part) {
  grid_row head = head_of(part);
  grid_begin(grid, page);
  grid_column(grid, GRID_NAME, 0);
  grid_column(grid, GRID_PLOT, plot_least);
  for (size_t c = DESIGN; c < prediction_column(part) + part->set; c++)
    grid_column(grid, GRID_RIGHT, 0);
  grid_widen_head(grid, &head);
  for (size_t t = 0; t < part->balance->n_terminals; t++) {
    char name[256];
    grid_row row = row_of(part, t, name);
    grid_widen(grid, &row);
  }
  return grid_place(grid, 0, width);
}

/* ---- Marks ---- */

/* With a line at each end that the rule has. */
static void allowed_band(canvas *page, canvas_box box, bool low, bool high) {
  cairo_set_source_rgb(page->cairo, 0.87, 0.93, 0.87);
  cairo_rectangle(page->cairo, box.x, box.y, box.width, box.height);
  cairo_fill(page->cairo);
  pen_grey(page, 0.45, 0.7);
  for (int end = low ? 0 : 1; end < (high ? 2 : 1); end++) {
    cairo_move_to(page->cairo, box.x + end * box.width, box.y);
    cairo_line_to(page->cairo, box.x + end * box.width, box.y + box.height);
  }
  cairo_stroke(page->cairo);
  pen_plain(page);
}

static void aim_mark(canvas *page, double x, double y, double height) {
  pen_grey(page, 0, 1);
  cairo_set_dash(page->cairo, (const double[]){2, 1.5}, 2, 0);
  cairo_move_to(page->cairo, x, y);
  cairo_line_to(page->cairo, x, y + height);
  cairo_stroke(page->cairo);
  pen_plain(page);
}

static void error_bar(canvas *page, double from, double to, double y) {
  pen_grey(page, 0, 1.6);
  cairo_move_to(page->cairo, from, y);
  cairo_line_to(page->cairo, to, y);
  cairo_move_to(page->cairo, from, y - 3);
  cairo_line_to(page->cairo, from, y + 3);
  cairo_move_to(page->cairo, to, y - 3);
  cairo_line_to(page->cairo, to, y + 3);
  cairo_stroke(page->cairo);
  pen_plain(page);
}

static void round_mark(canvas *page, size_t number, bool misses, double x, double y) {
  if (misses)
    cairo_set_source_rgb(page->cairo, 0.75, 0.1, 0.1);
  else
    cairo_set_source_rgb(page->cairo, 0.10, 0.35, 0.80);
  mark_point(page, number, x, y, mark_size);
  pen_plain(page);
}

/* Off the scale: a point that shows where it went. */
static void arrow(canvas *page, bool right, double x, double y) {
  double tip = right ? x + 1 : x - 1, back = right ? x - 6 : x + 6;
  cairo_set_source_rgb(page->cairo, 0.75, 0.1, 0.1);
  cairo_move_to(page->cairo, tip, y);
  cairo_line_to(page->cairo, back, y - 4);
  cairo_line_to(page->cairo, back, y + 4);
  cairo_close_path(page->cairo);
  cairo_fill(page->cairo);
  pen_plain(page);
}

typedef struct row_plot {
  const grid_sheet *grid;
  const level_part *part;
  size_t terminal;
  double y, height;
} row_plot;

/* Where a flow lies, held within the scale. */
static double place(const row_plot *plot, double flow) {
  const chart_axis *axis = &plot->part->axis;
  double value = percent(flow, design_of(plot->part, plot->terminal));
  value = fmin(fmax(value, axis->low), axis->high);
  return chart_along(axis, plot->grid->x[PLOT], plot->grid->width[PLOT], value);
}

static void plot_band(const row_plot *plot) {
  const eb_balance_terminal *t = &plot->part->balance->terminals[plot->terminal];
  const eb_balance_reading *reading = last_reading(plot->part, plot->terminal);
  double low = reading ? reading->low_m3_s : t->low_m3_s;
  double high = reading ? reading->high_m3_s : t->high_m3_s;
  double left = isfinite(low) ? place(plot, low) : plot->grid->x[PLOT];
  double right = isfinite(high) ? place(plot, high) : plot->grid->x[PLOT] + plot->grid->width[PLOT];
  allowed_band(plot->grid->page, (canvas_box){left, plot->y + 1, right - left, plot->height - 2},
               isfinite(low), isfinite(high));
}

/* A row is cut into lines, with some room above and below. */
static double line_of(const row_plot *plot, size_t line) {
  double edge = crowded(plot->part) ? 1 : row_gap / 2 + 1;
  double share = ((double)line + 0.5) / (double)line_count(plot->part);
  return plot->y + edge + (plot->height - 2 * edge) * share;
}

static void plot_rounds(const row_plot *plot) {
  const level_part *part = plot->part;
  for (size_t r = 0; r < part->n_rounds; r++) {
    const eb_balance_reading *reading = &part->rounds[r]->readings[plot->terminal];
    double y = line_of(plot, crowded(part) ? 0 : r);
    double value = percent(reading->measured_m3_s, reading->design_m3_s);
    if (!isfinite(value))
      continue;
    if (value < part->axis.low || value > part->axis.high)
      arrow(plot->grid->page, value > part->axis.high, place(plot, reading->measured_m3_s), y);
    else
      round_mark(plot->grid->page, r, !reading->passes, place(plot, reading->measured_m3_s), y);
  }
}

static void plot_prediction(const row_plot *plot) {
  const eb_balance_terminal *t = &plot->part->balance->terminals[plot->terminal];
  double y = line_of(plot, line_count(plot->part) - 1);
  aim_mark(plot->grid->page, place(plot, t->target_m3_s), plot->y + 1, plot->height - 2);
  error_bar(plot->grid->page, place(plot, t->predicted_m3_s - t->predicted_error_m3_s),
            place(plot, t->predicted_m3_s + t->predicted_error_m3_s), y);
  pen_grey(plot->grid->page, 0, 1);
  mark_point(plot->grid->page, 7, place(plot, t->predicted_m3_s), y, mark_size);
  pen_plain(plot->grid->page);
}

/* ---- Rows ---- */

static double row_height(const grid_sheet *grid, const level_part *part, const grid_row *row) {
  double gap = crowded(part) ? 0.6 * row_gap : row_gap;
  return fmax(grid_row_height(grid, row), line_height * (double)line_count(part)) + gap;
}

static bool begins_side(const eb_balance *balance, size_t t) {
  return t == 0 || balance->terminals[t].supply != balance->terminals[t - 1].supply;
}

static double rows_height(const grid_sheet *grid, const level_part *part) {
  double sum = 0;
  for (size_t t = 0; t < part->balance->n_terminals; t++) {
    char name[256];
    grid_row row = row_of(part, t, name);
    sum += row_height(grid, part, &row);
    sum += begins_side(part->balance, t) ? chart_line(grid->page, chart_bold) : 0;
  }
  return sum;
}

static double draw_rows(const grid_sheet *grid, const level_part *part, double y) {
  for (size_t t = 0; t < part->balance->n_terminals; t++) {
    char name[256];
    grid_row row = row_of(part, t, name);
    double height = row_height(grid, part, &row);
    if (begins_side(part->balance, t)) {
      canvas_text(grid->page, chart_bold, CANVAS_LEFT, 0, y,
                  part->balance->terminals[t].supply ? "Supply air" : "Extract air");
      y += chart_line(grid->page, chart_bold);
    }
    row_plot plot = {grid, part, t, y, height};
    plot_band(&plot);
    plot_rounds(&plot);
    if (part->set)
      plot_prediction(&plot);
    grid_draw(grid, &row, y + (height - grid_row_height(grid, &row)) / 2);
    y += height;
    grid_rule(grid, y);
  }
  return y;
}

/* ---- The whole ---- */

static double legend_of(canvas *page, double width, double y, const level_part *part) {
  mark_legend legend = legend_begin(page, 0, y, width);
  for (size_t r = 0; r < part->n_rounds; r++) {
    char text[48];
    snprintf(text, sizeof text, "read in round %zu", part->rounds[r]->number);
    canvas_box room = legend_entry(&legend, text);
    round_mark(page, r, false, room.x + room.width / 2, room.y + room.height / 2);
  }
  canvas_box room = legend_entry(&legend, "misses the rule (red, and ! at its figure)");
  round_mark(page, 0, true, room.x + room.width / 2, room.y + room.height / 2);
  room = legend_entry(&legend, "the rule allows this");
  allowed_band(page, (canvas_box){room.x, room.y + 1, room.width, room.height - 2}, true, false);
  if (!part->set)
    return y + legend_height(&legend) + 6;
  room = legend_entry(&legend, "aimed at");
  aim_mark(page, room.x + room.width / 2, room.y, room.height);
  room = legend_entry(&legend, "will be once set as advised, 95 % sure");
  error_bar(page, room.x, room.x + room.width, room.y + room.height / 2);
  pen_grey(page, 0, 1);
  mark_point(page, 7, room.x + room.width / 2, room.y + room.height / 2, mark_size);
  pen_plain(page);
  return y + legend_height(&legend) + 6;
}

static double title_of(canvas *page, double width, double y, const level_part *part) {
  char text[320];
  size_t at = (size_t)snprintf(text, sizeof text, "At %.100s, %s", part->level, part->flow->name);
  if (part->left_out > 0)
    snprintf(text + at, sizeof text - at, " (%zu earlier round%s not shown)", part->left_out,
             part->left_out == 1 ? "" : "s");
  return y + canvas_paragraph(page, chart_bold, CANVAS_LEFT, 0, y, width, text) + 2;
}

static double show_part(canvas *page, double width, double y, const level_part *part) {
  grid_sheet grid;
  double scale = lay_out(&grid, page, width, part);
  cairo_save(page->cairo);
  cairo_translate(page->cairo, 0, y);
  cairo_scale(page->cairo, scale, scale);
  double at = title_of(page, width / scale, 0, part);
  at = legend_of(page, width / scale, at, part);
  grid_row head = head_of(part);
  at += grid_draw_head(&grid, &head, at) + 2;
  double bottom = at + rows_height(&grid, part);
  double figures = chart_scale(page, &part->axis, grid.x[PLOT], grid.width[PLOT], at, bottom);
  draw_rows(&grid, part, at);
  at = bottom + figures;
  canvas_text(page, chart_plain, CANVAS_MIDDLE, grid.x[PLOT] + grid.width[PLOT] / 2, at,
              "% of design");
  at += chart_line(page, chart_plain);
  cairo_restore(page->cairo);
  return y + at * scale;
}

static double verdict_words(canvas *page, double width, const eb_balance *balance) {
  char text[640];
  const eb_balance_status *status = &balance->status;
  snprintf(text, sizeof text, "Verdict: %s. Rule: %.200s (%.300s).", verdict_name(status->verdict),
           status->rule, status->source);
  return canvas_paragraph(page, chart_plain, CANVAS_LEFT, 0, 0, width, text) + 8;
}

static bool was_read(const eb_balance *balance, const char *level) {
  for (size_t r = 0; r < balance->n_rounds; r++)
    if (strcmp(balance->rounds[r].level, level) == 0)
      return true;
  return false;
}

static double show(canvas *page, double width, const cli_run *runs, size_t count) {
  const eb_balance *balance = runs[0].balance;
  double y = verdict_words(page, width, balance);
  level_part part = part_of(runs, balance->set_level);
  (void)count;
  y = show_part(page, width, y, &part);
  for (size_t l = 0; l < balance->n_levels; l++) {
    const char *level = balance->levels[l].name;
    if (strcmp(level, balance->set_level) == 0 || !was_read(balance, level))
      continue;
    part = part_of(runs, level);
    y = show_part(page, width, y + 12, &part);
  }
  return y;
}

/* The file of readings: of --readings, else the one after the house. */
static const char *readings_path(const cli_options *options) {
  return options->readings ? options->readings : options->n_files > 1 ? options->files[1] : NULL;
}

static eb_status calculate(cli_run *run) {
  eb_status status = EB_OK;
  if (!run->readings)
    status = eb_readings_read_file(run->context, run->house, readings_path(run->options),
                                   &run->readings);
  if (status || run->balance)
    return status;
  return eb_balance_advise(run->context, run->house, run->rates, run->readings, NULL, run->ledger,
                           &run->balance);
}

static const char *lacks(const cli_run *runs, size_t count) {
  (void)count;
  if (!runs[0].ducts)
    return "it has no ducts to balance";
  return runs[0].readings || readings_path(runs[0].options) ? NULL : "no readings were given";
}

const picture picture_rounds = {
    .name = "rounds",
    .title = "Balancing",
    .about = "what each round read at each terminal, what it will be, against what is allowed",
    .files = PICTURE_READINGS,
    .show = show,
    .calculate = calculate,
    .lacks = lacks,
};
