/* year.c - the year by months: heat that the air takes and gets back, electricity, the saving */

#include <math.h>
#include <string.h>

#include "drawing/chart.h"
#include "drawing/grid.h"
#include "drawing/marks.h"
#include "drawing/pens.h"
#include "drawing/picture.h"
#include "figures.h"

static const double heat_height = 210, power_height = 110, band_height = 26, bar_share = 0.62;

/* ---- What a month is made of ---- */

typedef struct month_heat {
  double house; /* the heating would need it without this air */
  double air;   /* it needs it for the air */
  double saved; /* the exchanger gives it back */
} month_heat;

static month_heat heat_of(const eb_energy_month *month) {
  month_heat heat = {.saved = fmax(month->recovered_heat_kwh, 0)};
  heat.air = fmin(fmax(month->ventilation_heat_kwh - month->recovered_heat_kwh, 0),
                  fmax(month->net_heat_kwh, 0));
  heat.house = fmax(month->net_heat_kwh - heat.air, 0);
  return heat;
}

static double most_heat(const eb_energy *energy) {
  double most = 1;
  for (int i = 0; i < 12; i++) {
    month_heat heat = heat_of(&energy->months[i]);
    most =
        fmax(most, fmax(heat.house + heat.air + heat.saved, energy->months[i].baseline_heat_kwh));
  }
  return most;
}

static chart_axis heat_axis(const eb_energy *energy) {
  return chart_axis_over(0, most_heat(energy), 6);
}

static double most_power(const eb_energy *energy) {
  double most = 0.1;
  for (int i = 0; i < 12; i++)
    most = fmax(most, energy->months[i].fan_kwh + energy->months[i].frost_kwh);
  return most;
}

/* ---- Columns ---- */

/* The column of a month: its left edge, and its width. */
static double column_x(const chart_area *chart, int month, double *width) {
  double each = chart->plot.width / 12;
  *width = bar_share * each;
  return chart->plot.x + month * each + (each - *width) / 2;
}

/* Part of a month's column, on what is there already. */
static double stack(const chart_area *chart, int month, mark_fill fill, double from, double value) {
  double width, x = column_x(chart, month, &width);
  double top = chart_y(chart, from + value);
  if (value > 0)
    mark_box(chart->page, fill, (canvas_box){x, top, width, chart_y(chart, from) - top});
  return from + value;
}

static void month_names_below(const chart_area *chart) {
  double bottom = chart->plot.y + chart->plot.height, each = chart->plot.width / 12;
  for (int i = 0; i < 12; i++)
    canvas_text(chart->page, chart_small, CANVAS_MIDDLE, chart->plot.x + (i + 0.5) * each,
                bottom + 2, month_names[i]);
  pen_plain(chart->page);
  cairo_move_to(chart->page->cairo, chart->plot.x, bottom);
  cairo_line_to(chart->page->cairo, chart->plot.x + chart->plot.width, bottom);
  cairo_stroke(chart->page->cairo);
}

/* What the baseline needs: a bar across the column, wider than it. */
static void baseline_bar(canvas *page, double x, double width, double y) {
  pen_grey(page, 0, 2);
  cairo_move_to(page->cairo, x, y);
  cairo_line_to(page->cairo, x + width, y);
  cairo_stroke(page->cairo);
  pen_plain(page);
}

static double heat_legend(canvas *page, double width, double y, const eb_energy *energy) {
  char text[160];
  mark_legend legend = legend_begin(page, 0, y, width);
  canvas_box room = legend_entry(&legend, "given back by the exchanger");
  mark_box(page, FILL_HATCHED, (canvas_box){room.x, room.y + 1, room.width, room.height - 2});
  room = legend_entry(&legend, "heating for the air all the same");
  mark_box(page, FILL_DARK, (canvas_box){room.x, room.y + 1, room.width, room.height - 2});
  room = legend_entry(&legend, "heating for walls, windows and leaks, after sun and people");
  mark_box(page, FILL_LIGHT, (canvas_box){room.x, room.y + 1, room.width, room.height - 2});
  snprintf(text, sizeof text, "heating with %s instead", energy->baseline_name);
  room = legend_entry(&legend, text);
  baseline_bar(page, room.x, room.width, room.y + room.height / 2);
  return legend_height(&legend) + 8;
}

static double heat_chart(canvas *page, double width, double y, const eb_energy *energy) {
  chart_area chart;
  chart_begin(&chart, page, (canvas_box){0, y, width, heat_height}, (chart_axis){0, 12, 12},
              heat_axis(energy), NULL, "Heat, kWh a month");
  for (int i = 0; i < 12; i++) {
    month_heat heat = heat_of(&energy->months[i]);
    double at = stack(&chart, i, FILL_LIGHT, 0, heat.house);
    at = stack(&chart, i, FILL_DARK, at, heat.air);
    stack(&chart, i, FILL_HATCHED, at, heat.saved);
    double wide, x = column_x(&chart, i, &wide);
    baseline_bar(page, x - 0.15 * wide, 1.3 * wide,
                 chart_y(&chart, energy->months[i].baseline_heat_kwh));
  }
  month_names_below(&chart);
  return heat_height;
}

static double power_legend(canvas *page, double width, double y) {
  mark_legend legend = legend_begin(page, 0, y, width);
  canvas_box room = legend_entry(&legend, "fans");
  mark_box(page, FILL_MIDDLE, (canvas_box){room.x, room.y + 1, room.width, room.height - 2});
  room = legend_entry(&legend, "frost protection");
  mark_box(page, FILL_CROSSED, (canvas_box){room.x, room.y + 1, room.width, room.height - 2});
  return legend_height(&legend) + 8;
}

/* Its months stand below those of the heat. */
static double power_chart(canvas *page, double width, double y, const eb_energy *energy) {
  chart_area chart;
  chart_axis axis = chart_axis_over(0, most_power(energy), 4), heat = heat_axis(energy);
  double in = fmax(chart_left(page, &heat) - chart_left(page, &axis), 0);
  chart_begin(&chart, page, (canvas_box){in, y, width - in, power_height}, (chart_axis){0, 12, 12},
              axis, NULL, NULL);
  canvas_text(page, chart_plain, CANVAS_LEFT, 0, y, "Electricity, kWh a month");
  for (int i = 0; i < 12; i++) {
    double at = stack(&chart, i, FILL_MIDDLE, 0, energy->months[i].fan_kwh);
    stack(&chart, i, FILL_CROSSED, at, energy->months[i].frost_kwh);
  }
  month_names_below(&chart);
  return power_height;
}

/* ---- The saving ---- */

static const char *verb(double saved) {
  return saved < 0 ? "costs" : "saves";
}

static double saving_words(canvas *page, double width, double y, const eb_energy *energy) {
  char text[512];
  size_t at = (size_t)snprintf(
      text, sizeof text, "Against %.60s it %s %s kWh of heat a year (%.0f %% sure: %s to %s)",
      energy->baseline_name, verb(energy->saving_heat_kwh),
      figure_two(fabs(energy->saving_heat_kwh)).text, 100 * energy->range_confidence,
      figure_two(energy->range_low_kwh).text, figure_two(energy->range_high_kwh).text);
  at += (size_t)snprintf(text + at, sizeof text - at, ", %s %s kWh of electricity",
                         verb(energy->saving_electricity_kwh),
                         figure_two(fabs(energy->saving_electricity_kwh)).text);
  if (energy->saving.given)
    snprintf(text + at, sizeof text - at, " and %s %s %.20s", verb(energy->saving.money),
             figure_two(fabs(energy->saving.money)).text, energy->saving.currency);
  return canvas_paragraph(page, chart_bold, CANVAS_LEFT, 0, y, width, text) + 4;
}

/* A bar to the saving, and over it the line of where it may truly lie. */
static double saving_band(canvas *page, double width, double y, const eb_energy *energy) {
  double low = fmin(0, energy->range_low_kwh), high = fmax(0, energy->range_high_kwh);
  chart_axis axis =
      chart_axis_over(fmin(low, energy->saving_heat_kwh), fmax(high, energy->saving_heat_kwh), 8);
  double left = 20, wide = width - 2 * left, middle = y + band_height / 2;
  double from = chart_along(&axis, left, wide, 0);
  double to = chart_along(&axis, left, wide, energy->saving_heat_kwh);
  double height = chart_scale(page, &axis, left, wide, y, y + band_height);
  mark_box(page, FILL_HATCHED, (canvas_box){fmin(from, to), middle - 7, fabs(to - from), 14});
  double ends[] = {chart_along(&axis, left, wide, energy->range_low_kwh),
                   chart_along(&axis, left, wide, energy->range_high_kwh)};
  pen_grey(page, 0, 1.6);
  cairo_move_to(page->cairo, ends[0], middle);
  cairo_line_to(page->cairo, ends[1], middle);
  for (int i = 0; i < 2; i++) {
    cairo_move_to(page->cairo, ends[i], middle - 5);
    cairo_line_to(page->cairo, ends[i], middle + 5);
  }
  cairo_stroke(page->cairo);
  pen_plain(page);
  y += band_height + height;
  canvas_text(page, chart_plain, CANVAS_RIGHT, width, y, "heat saved, kWh a year");
  return band_height + height + chart_line(page, chart_plain);
}

/* ---- The figures ---- */

enum { NAME, DEGREES, AIR, SAVED, NET, BASELINE, FANS, FROST, COLUMNS };

static grid_row month_row(const cli_units *units, int i, const eb_energy_month *m) {
  grid_row row = {.text = {month_names[i]}};
  grid_print(&row, DEGREES, "%.1f", unit_value(&units->temperature, m->outdoor_c));
  grid_print(&row, AIR, "%.0f", m->ventilation_heat_kwh);
  grid_print(&row, SAVED, "%.0f", m->recovered_heat_kwh);
  grid_print(&row, NET, "%.0f", m->net_heat_kwh);
  grid_print(&row, BASELINE, "%.0f", m->baseline_heat_kwh);
  grid_print(&row, FANS, "%.1f", m->fan_kwh);
  grid_print(&row, FROST, "%.1f", m->frost_kwh);
  return row;
}

static grid_row year_row(const eb_energy *energy) {
  grid_row row = {.text = {"Year"}, .bold = true};
  grid_print(&row, AIR, "%.0f", energy->ventilation_heat_kwh);
  grid_print(&row, SAVED, "%.0f", energy->recovered_heat_kwh);
  grid_print(&row, NET, "%.0f", energy->net_heat_kwh);
  grid_print(&row, BASELINE, "%.0f", energy->baseline_heat_kwh);
  grid_print(&row, FANS, "%.1f", energy->fan_kwh);
  grid_print(&row, FROST, "%.1f", energy->frost_kwh);
  return row;
}

static double figures(canvas *page, double width, double y, const cli_units *units,
                      const eb_energy *energy) {
  grid_sheet grid;
  grid_row head = {.text = {"kWh", units->temperature.name, "heat for the air", "given back",
                            "heating", "with baseline", "fans", "frost"},
                   .bold = true};
  grid_row rows[13];
  grid_begin(&grid, page);
  for (int c = 0; c < COLUMNS; c++)
    grid_column(&grid, c == NAME ? GRID_LEFT : GRID_RIGHT, 0);
  grid_widen_head(&grid, &head);
  for (int i = 0; i < 13; i++) {
    rows[i] = i < 12 ? month_row(units, i, &energy->months[i]) : year_row(energy);
    grid_widen(&grid, &rows[i]);
  }
  double scale = grid_place(&grid, 0, width), at = 0;
  cairo_save(page->cairo);
  cairo_translate(page->cairo, 0, y);
  cairo_scale(page->cairo, scale, scale);
  at += grid_draw_head(&grid, &head, at);
  for (int i = 0; i < 13; i++) {
    if (i == 0 || i == 12)
      grid_rule(&grid, at);
    at += grid_draw(&grid, &rows[i], at);
  }
  cairo_restore(page->cairo);
  return at * scale;
}

/* ---- The whole ---- */

static double show(canvas *page, double width, const cli_run *runs, size_t count) {
  const eb_energy *energy = runs[0].energy;
  double y = 0;
  (void)count;
  y += heat_legend(page, width, y, energy);
  y += heat_chart(page, width, y, energy) + 10;
  y += power_legend(page, width, y);
  y += power_chart(page, width, y, energy) + 10;
  y += saving_words(page, width, y, energy);
  y += saving_band(page, width, y, energy) + 10;
  return y + figures(page, width, y, runs[0].options->units, energy);
}

static eb_status calculate(cli_run *run) {
  if (run->energy)
    return EB_OK;
  return eb_energy_year(run->context, run->house, run->rates, run->ducts, NULL, run->ledger,
                        &run->energy);
}

static const char *lacks(const cli_run *runs, size_t count) {
  (void)count;
  return eb_house_has_climate(runs[0].house) ? NULL : "it names no climate (site: climate:)";
}

const picture picture_year = {
    .name = "year",
    .title = "The year",
    .about = "heat of the air by month, what is given back, electricity, and the saving",
    .show = show,
    .calculate = calculate,
    .lacks = lacks,
};
