/* chart.h - a plot with two axes, and what stands in it */

#ifndef CLI_DRAWING_CHART_H
#define CLI_DRAWING_CHART_H

#include "drawing/canvas.h"

/* From low to high with a tick at each multiple of step. */
typedef struct chart_axis {
  double low, high, step;
} chart_axis;

/* Round ticks, at most so many, that take in both values. */
chart_axis chart_axis_over(double low, double high, int most_ticks);

/* A tick's figure with the digits that its step needs. */
void chart_tick_text(const chart_axis *axis, double value, char text[32]);

typedef struct chart_area {
  canvas *page;
  canvas_box plot; /* within the axes */
  chart_axis x, y;
} chart_area;

/* Draws axes, a light grid and figures into the box; `x_title` stands below at the right, `y_title`
 * above at the left, where it needs no turning of the head. Either may be NULL: no figures along
 * x; room above only. */
void chart_begin(chart_area *chart, canvas *page, canvas_box box, chart_axis x, chart_axis y,
                 const char *x_title, const char *y_title);

/* What the figures of an upright axis take at the left of the plot. */
double chart_left(canvas *page, const chart_axis *y);

/* Where a value lies on the page. */
double chart_x(const chart_area *chart, double value);
double chart_y(const chart_area *chart, double value);

/* The same along any line of the page. */
double chart_along(const chart_axis *axis, double from, double length, double value);

/* A scale with its figures below `y`, for plots of rows; grid lines go up to `top`. Returns its
 * height. */
double chart_scale(canvas *page, const chart_axis *axis, double x, double width, double top,
                   double y);

/* What is drawn between the two stays within the plot. */
void chart_clip(const chart_area *chart);
void chart_unclip(const chart_area *chart);

/* Height of a line of text. */
double chart_line(canvas *page, canvas_font font);

extern const canvas_font chart_small, chart_plain, chart_bold; /* of figures, words and heads */

#endif
