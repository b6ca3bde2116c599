/* chart.c - a plot with two axes */

#include "drawing/chart.h"

#include <math.h>

#include "drawing/pens.h"

const canvas_font chart_small = {.size = 8.5}, chart_plain = {.size = 9.5},
                  chart_bold = {.size = 9.5, .bold = true};

/* ---- Axes ---- */

/* The next of 1, 2, 5, 10 ... that is no less. */
static double nice_step(double least) {
  double power = pow(10, floor(log10(least)));
  double first = least / power;
  return power * (first <= 1 + 1e-9 ? 1 : first <= 2 + 1e-9 ? 2 : first <= 5 + 1e-9 ? 5 : 10);
}

chart_axis chart_axis_over(double low, double high, int most_ticks) {
  if (!(high > low))
    high = low + (low != 0 ? fabs(low) : 1);
  chart_axis axis = {.step = nice_step((high - low) / most_ticks)};
  axis.low = axis.step * floor(low / axis.step + 1e-9);
  axis.high = axis.step * ceil(high / axis.step - 1e-9);
  return axis;
}

void chart_tick_text(const chart_axis *axis, double value, char text[32]) {
  int decimals = (int)fmax(0, -floor(log10(axis->step) + 1e-9));
  if (fabs(value) < 1e-6 * axis->step)
    value = 0; /* no "-0" on paper */
  snprintf(text, 32, "%.*f", decimals, value);
}

static int tick_count(const chart_axis *axis) {
  return (int)lround((axis->high - axis->low) / axis->step);
}

double chart_along(const chart_axis *axis, double from, double length, double value) {
  return from + length * (value - axis->low) / (axis->high - axis->low);
}

double chart_x(const chart_area *chart, double value) {
  return chart_along(&chart->x, chart->plot.x, chart->plot.width, value);
}

double chart_y(const chart_area *chart, double value) {
  return chart_along(&chart->y, chart->plot.y + chart->plot.height, -chart->plot.height, value);
}

double chart_line(canvas *page, canvas_font font) {
  double width, height;
  canvas_measure(page, font, "Åg", &width, &height);
  return height;
}

static void line(canvas *page, double x1, double y1, double x2, double y2) {
  cairo_move_to(page->cairo, x1, y1);
  cairo_line_to(page->cairo, x2, y2);
  cairo_stroke(page->cairo);
}

double chart_scale(canvas *page, const chart_axis *axis, double x, double width, double top,
                   double y) {
  char text[32];
  double free = -HUGE_VAL; /* where the last figure ends */
  for (int i = 0; i <= tick_count(axis); i++) {
    double value = axis->low + i * axis->step, at = chart_along(axis, x, width, value);
    double wide, high;
    pen_grey(page, 0.85, 0.5);
    line(page, at, top, at, y);
    pen_plain(page);
    chart_tick_text(axis, value, text);
    canvas_measure(page, chart_small, text, &wide, &high);
    if (at - wide / 2 < free)
      continue;
    canvas_text(page, chart_small, CANVAS_MIDDLE, at, y + 2, text);
    free = at + wide / 2 + 3;
  }
  line(page, x, y, x + width, y);
  return chart_line(page, chart_small) + 2;
}

static double widest_tick(canvas *page, const chart_axis *axis) {
  double widest = 0;
  for (int i = 0; i <= tick_count(axis); i++) {
    char text[32];
    double wide, high;
    chart_tick_text(axis, axis->low + i * axis->step, text);
    canvas_measure(page, chart_small, text, &wide, &high);
    widest = fmax(widest, wide);
  }
  return widest;
}

double chart_left(canvas *page, const chart_axis *y) {
  return widest_tick(page, y) + 6;
}

static void y_scale(const chart_area *chart) {
  canvas *page = chart->page;
  double half = chart_line(page, chart_small) / 2;
  for (int i = 0; i <= tick_count(&chart->y); i++) {
    char text[32];
    double value = chart->y.low + i * chart->y.step, at = chart_y(chart, value);
    pen_grey(page, 0.85, 0.5);
    line(page, chart->plot.x, at, chart->plot.x + chart->plot.width, at);
    pen_plain(page);
    chart_tick_text(&chart->y, value, text);
    canvas_text(page, chart_small, CANVAS_RIGHT, chart->plot.x - 4, at - half, text);
  }
  line(page, chart->plot.x, chart->plot.y, chart->plot.x, chart->plot.y + chart->plot.height);
}

void chart_begin(chart_area *chart, canvas *page, canvas_box box, chart_axis x, chart_axis y,
                 const char *x_title, const char *y_title) {
  double small = chart_line(page, chart_small), plain = chart_line(page, chart_plain);
  double left = chart_left(page, &y), above = plain + small / 2 + 2;
  double below = (x_title ? plain : 0) + small + 4, right = widest_tick(page, &x) / 2 + 1;
  *chart = (chart_area){.page = page, .x = x, .y = y};
  chart->plot = (canvas_box){box.x + left, box.y + above, box.width - left - right,
                             box.height - above - below};
  double bottom = chart->plot.y + chart->plot.height;
  y_scale(chart);
  pen_plain(page);
  if (y_title)
    canvas_text(page, chart_plain, CANVAS_LEFT, box.x, box.y, y_title);
  if (!x_title)
    return;
  double scale = chart_scale(page, &x, chart->plot.x, chart->plot.width, chart->plot.y, bottom);
  canvas_text(page, chart_plain, CANVAS_RIGHT, box.x + box.width, bottom + scale + 1, x_title);
}

void chart_clip(const chart_area *chart) {
  cairo_save(chart->page->cairo);
  cairo_rectangle(chart->page->cairo, chart->plot.x, chart->plot.y, chart->plot.width,
                  chart->plot.height);
  cairo_clip(chart->page->cairo);
}

void chart_unclip(const chart_area *chart) {
  cairo_restore(chart->page->cairo);
}
