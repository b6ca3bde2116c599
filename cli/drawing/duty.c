/* duty.c - what the fans raise and what the ducts ask, and where they meet at each level
 *
 * A part for each side: the fan at the speeds of its sheet and of the levels, the ducts as the
 * valves stand, the duties as marks; below it the figures of the marks. */

#include <math.h>
#include <string.h>

#include "controller.h"
#include "drawing/chart.h"
#include "drawing/grid.h"
#include "drawing/labels.h"
#include "drawing/marks.h"
#include "drawing/pens.h"
#include "drawing/picture.h"

static const double chart_height = 230, mark_size = 7, same = 0.01;

typedef struct fan_side {
  const eb_ducts *ducts;
  const cli_units *units;
  bool supply;
} fan_side;

/* ---- What a side has ---- */

static const eb_side_state *state_of(const fan_side *side, size_t level) {
  const eb_level_state *state = &side->ducts->levels[level];
  return side->supply ? &state->supply : &state->extract;
}

static size_t sheet_curves(const fan_side *side, const eb_curve **curves) {
  *curves = side->supply ? side->ducts->supply_sheet_curves : side->ducts->extract_sheet_curves;
  return side->supply ? side->ducts->n_supply_sheet_curves : side->ducts->n_extract_sheet_curves;
}

static bool has_side(const eb_ducts *ducts, bool supply) {
  const eb_curve *curves;
  const fan_side side = {ducts, NULL, supply};
  return sheet_curves(&side, &curves) > 0;
}

static double flow_shown(const fan_side *side, double flow) {
  return unit_value(&side->units->flow, flow);
}

static double pressure_shown(const fan_side *side, double pressure) {
  return unit_value(&side->units->pressure, pressure);
}

/* Pressure of a curve at a flow; NAN beside it. */
static double pressure_at(const eb_curve *curve, double flow) {
  for (size_t i = 1; i < curve->n_points; i++) {
    const eb_curve_point *a = &curve->points[i - 1], *b = &curve->points[i];
    if (flow >= a->flow_m3_s && flow <= b->flow_m3_s && b->flow_m3_s > a->flow_m3_s)
      return a->pressure_pa + (b->pressure_pa - a->pressure_pa) * (flow - a->flow_m3_s) /
                                  (b->flow_m3_s - a->flow_m3_s);
  }
  return NAN;
}

/* The first level whose valves stand so that the ducts ask the same. */
static size_t same_ducts_as(const fan_side *side, size_t level) {
  const eb_side_state *own = state_of(side, level);
  for (size_t l = 0; l < level; l++) {
    double other = pressure_at(&state_of(side, l)->duct_curve, own->fan_flow_m3_s);
    if (fabs(other - own->pressure_pa) <= same * fabs(own->pressure_pa))
      return l;
  }
  return level;
}

/* ---- Curves ---- */

static void take_in(const fan_side *side, const eb_curve *curve, double *flow, double *pressure) {
  for (size_t i = 0; i < curve->n_points; i++) {
    *flow = fmax(*flow, flow_shown(side, curve->points[i].flow_m3_s));
    *pressure = fmax(*pressure, pressure_shown(side, curve->points[i].pressure_pa));
  }
}

/* As far as the fan goes at its fastest. */
static void find_axes(const fan_side *side, chart_axis *x, chart_axis *y) {
  double flow = 0, pressure = 0;
  const eb_curve *curves;
  size_t count = sheet_curves(side, &curves);
  for (size_t i = 0; i < count; i++)
    take_in(side, &curves[i], &flow, &pressure);
  for (size_t l = 0; l < side->ducts->n_levels; l++)
    take_in(side, &state_of(side, l)->fan_curve, &flow, &pressure);
  *x = chart_axis_over(0, flow, 8);
  *y = chart_axis_over(0, pressure, 6);
}

static void trace(const chart_area *chart, const fan_side *side, const eb_curve *curve) {
  for (size_t i = 0; i < curve->n_points; i++)
    cairo_line_to(chart->page->cairo, chart_x(chart, flow_shown(side, curve->points[i].flow_m3_s)),
                  chart_y(chart, pressure_shown(side, curve->points[i].pressure_pa)));
  cairo_stroke(chart->page->cairo);
}

static void duct_pen(canvas *page) {
  pen_grey(page, 0, 1.3);
  cairo_set_dash(page->cairo, (const double[]){5, 3}, 2, 0);
}

static void fan_pen(canvas *page, bool supply) {
  pen_take(page, supply ? PEN_SUPPLY : PEN_EXTRACT, 1.8);
  cairo_set_dash(page->cairo, NULL, 0, 0);
}

static void sheet_pen(canvas *page) {
  pen_grey(page, 0.5, 0.8);
  cairo_set_dash(page->cairo, (const double[]){1, 2}, 2, 0);
}

static void draw_curves(const chart_area *chart, const fan_side *side) {
  canvas *page = chart->page;
  const eb_curve *curves;
  size_t count = sheet_curves(side, &curves);
  chart_clip(chart);
  for (size_t i = 0; i < count; i++) {
    sheet_pen(page);
    trace(chart, side, &curves[i]);
  }
  for (size_t l = 0; l < side->ducts->n_levels; l++) {
    fan_pen(page, side->supply);
    trace(chart, side, &state_of(side, l)->fan_curve);
    duct_pen(page);
    if (same_ducts_as(side, l) == l)
      trace(chart, side, &state_of(side, l)->duct_curve);
  }
  chart_unclip(chart);
  pen_plain(page);
}

/* ---- Words beside them ---- */

/* A curve keeps words off: small boxes along it. */
static void keep_off(label_set *labels, const chart_area *chart, const fan_side *side,
                     const eb_curve *curve) {
  for (size_t i = 1; i < curve->n_points; i++) {
    const eb_curve_point *a = &curve->points[i - 1], *b = &curve->points[i];
    for (int part = 0; part < 4; part++) {
      double share = part / 4.0;
      double flow = a->flow_m3_s + share * (b->flow_m3_s - a->flow_m3_s);
      double pressure = a->pressure_pa + share * (b->pressure_pa - a->pressure_pa);
      labels_keep_off(labels,
                      (canvas_box){chart_x(chart, flow_shown(side, flow)) - 2,
                                   chart_y(chart, pressure_shown(side, pressure)) - 2, 4, 4});
    }
  }
}

/* Those of the ducts, in which the duties lie; fans' curves may run behind words. */
static void keep_off_ducts(label_set *labels, const chart_area *chart, const fan_side *side) {
  for (size_t l = 0; l < side->ducts->n_levels; l++)
    if (same_ducts_as(side, l) == l)
      keep_off(labels, chart, side, &state_of(side, l)->duct_curve);
}

/* The speed at the left end of a curve of the sheet, where they lie furthest apart. */
static void name_speeds(label_set *labels, const chart_area *chart, const fan_side *side) {
  const eb_curve *curves;
  size_t count = sheet_curves(side, &curves);
  for (size_t i = count; i-- > 0;) {
    char text[32];
    snprintf(text, sizeof text, "%.0f %%", 100 * curves[i].speed);
    const eb_curve_point *first = &curves[i].points[0];
    labels_put(labels, chart_small, chart_x(chart, flow_shown(side, first->flow_m3_s)),
               chart_y(chart, pressure_shown(side, first->pressure_pa)), text);
  }
}

static void mark_duties(label_set *labels, const chart_area *chart, const fan_side *side) {
  for (size_t l = 0; l < side->ducts->n_levels; l++) {
    const eb_side_state *state = state_of(side, l);
    double x = chart_x(chart, flow_shown(side, state->fan_flow_m3_s));
    double y = chart_y(chart, pressure_shown(side, state->pressure_pa));
    pen_grey(chart->page, 0, 1);
    mark_point(chart->page, l, x, y, mark_size);
    labels_keep_off(labels, (canvas_box){x - 4, y - 4, 8, 8});
  }
  pen_plain(chart->page);
  for (size_t l = 0; l < side->ducts->n_levels; l++) {
    const eb_side_state *state = state_of(side, l);
    labels_put(labels, chart_bold, chart_x(chart, flow_shown(side, state->fan_flow_m3_s)),
               chart_y(chart, pressure_shown(side, state->pressure_pa)),
               side->ducts->levels[l].name);
  }
}

static double draw_chart(canvas *page, double width, double y, const fan_side *side) {
  char x_title[64], y_title[96];
  chart_area chart;
  chart_axis x_axis, y_axis;
  label_set labels;
  find_axes(side, &x_axis, &y_axis);
  snprintf(x_title, sizeof x_title, "air through the fan, %s", side->units->flow.name);
  snprintf(y_title, sizeof y_title, "Pressure raised, from spigot to spigot, %s",
           side->units->pressure.name);
  chart_begin(&chart, page, (canvas_box){0, y, width, chart_height}, x_axis, y_axis, x_title,
              y_title);
  draw_curves(&chart, side);
  labels_begin(&labels, page, chart.plot);
  keep_off_ducts(&labels, &chart, side);
  mark_duties(&labels, &chart, side);
  name_speeds(&labels, &chart, side);
  return y + chart_height;
}

/* ---- Figures ---- */

enum { MARK, LEVEL, FLOW, FAN_FLOW, PRESSURE, SIGNAL, POWER, SPARE, COLUMNS };

static grid_row row_of(const fan_side *side, size_t level) {
  const eb_side_state *state = state_of(side, level);
  const cli_unit *flow = &side->units->flow, *pressure = &side->units->pressure;
  grid_row row = {.text = {NULL, side->ducts->levels[level].name}};
  grid_print(&row, FLOW, "%.*f", flow->decimals, flow_shown(side, state->flow_m3_s));
  grid_print(&row, FAN_FLOW, "%.*f", flow->decimals, flow_shown(side, state->fan_flow_m3_s));
  grid_print(&row, PRESSURE, "%.*f", pressure->decimals, pressure_shown(side, state->pressure_pa));
  grid_print(&row, SIGNAL, "%s", controller_text(&side->ducts->controller, state->signal).text);
  if (state->fan_power_w > 0)
    grid_print(&row, POWER, "%.1f", state->fan_power_w);
  else
    grid_print(&row, POWER, "-");
  if (state->limited)
    grid_print(&row, SPARE, "none: at its end");
  else
    grid_print(&row, SPARE, "%.*f", pressure->decimals, pressure_shown(side, state->spare_pa));
  return row;
}

static double draw_figures(canvas *page, double width, double y, const fan_side *side) {
  grid_sheet grid;
  grid_row head = {.text = {NULL, "Level"}, .bold = true};
  const cli_units *units = side->units;
  grid_print(&head, FLOW, "rooms %s", units->flow.name);
  grid_print(&head, FAN_FLOW, "fan %s", units->flow.name);
  grid_print(&head, PRESSURE, "%s", units->pressure.name);
  grid_print(&head, SIGNAL, "signal");
  grid_print(&head, POWER, "W");
  grid_print(&head, SPARE, "spare %s", units->pressure.name);
  grid_begin(&grid, page);
  for (int c = 0; c < COLUMNS; c++)
    grid_column(&grid, c == LEVEL ? GRID_NAME : c == MARK ? GRID_LEFT : GRID_RIGHT, 8);
  grid_widen_head(&grid, &head);
  for (size_t l = 0; l < side->ducts->n_levels; l++) {
    grid_row row = row_of(side, l);
    grid_widen(&grid, &row);
  }
  double scale = grid_place(&grid, 0, width), at = 0;
  cairo_save(page->cairo);
  cairo_translate(page->cairo, 0, y);
  cairo_scale(page->cairo, scale, scale);
  at += grid_draw_head(&grid, &head, at);
  grid_rule(&grid, at);
  for (size_t l = 0; l < side->ducts->n_levels; l++) {
    grid_row row = row_of(side, l);
    double height = grid_draw(&grid, &row, at);
    pen_grey(page, 0, 1);
    mark_point(page, l, grid.x[MARK] + 4, at + height / 2, mark_size);
    pen_plain(page);
    at += height;
  }
  cairo_restore(page->cairo);
  return y + at * scale;
}

/* ---- The whole ---- */

static double legend_of(canvas *page, double width, double y, bool supply) {
  mark_legend legend = legend_begin(page, 0, y, width);
  static const char *const words[] = {"the fan at the speed of a level",
                                      "the fan at the speeds of its sheet",
                                      "the ducts, valves as they stand"};
  for (int i = 0; i < 3; i++) {
    canvas_box room = legend_entry(&legend, words[i]);
    if (i == 0)
      fan_pen(page, supply);
    else if (i == 1)
      sheet_pen(page);
    else
      duct_pen(page);
    cairo_move_to(page->cairo, room.x, room.y + room.height / 2);
    cairo_line_to(page->cairo, room.x + room.width, room.y + room.height / 2);
    cairo_stroke(page->cairo);
    pen_plain(page);
  }
  return y + legend_height(&legend) + 4;
}

static double show_side(canvas *page, double width, double y, const fan_side *side) {
  char text[320];
  const char *set = side->ducts->set_level, *index = "";
  for (size_t l = 0; l < side->ducts->n_levels; l++)
    if (strcmp(side->ducts->levels[l].name, set) == 0)
      index = state_of(side, l)->index_run;
  snprintf(text, sizeof text, "%s fan%s%.200s", side->supply ? "Supply" : "Extract",
           *index ? ", index run " : "", index);
  y += canvas_paragraph(page, chart_bold, CANVAS_LEFT, 0, y, width, text) + 3;
  y = legend_of(page, width, y, side->supply);
  y = draw_chart(page, width, y, side) + 4;
  return draw_figures(page, width, y, side);
}

static double show(canvas *page, double width, const cli_run *runs, size_t count) {
  double y = 0;
  (void)count;
  for (int s = 0; s < 2; s++) {
    const fan_side side = {runs[0].ducts, runs[0].options->units, s == 0};
    if (has_side(runs[0].ducts, side.supply))
      y = show_side(page, width, y > 0 ? y + 18 : 0, &side);
  }
  return y;
}

static const char *lacks(const cli_run *runs, size_t count) {
  (void)count;
  if (!runs[0].ducts)
    return "it has no ducts";
  return has_side(runs[0].ducts, true) || has_side(runs[0].ducts, false)
             ? NULL
             : "its ducts were calculated without curves";
}

const picture picture_duty = {
    .name = "duty",
    .title = "The fans' duties",
    .about = "fan curves, what the ducts ask, and where they meet at each level",
    .show = show,
    .lacks = lacks,
};
