/* marks.c - marks, fills and the legend that names them */

#include "drawing/marks.h"

#include <math.h>

#include "drawing/chart.h"
#include "drawing/pens.h"

enum { SHAPES = 4 };

static void polygon(cairo_t *cairo, double x, double y, double radius, int corners, double turn) {
  for (int i = 0; i < corners; i++) {
    double angle = turn + 2 * acos(-1.0) * i / corners;
    cairo_line_to(cairo, x + radius * cos(angle), y + radius * sin(angle));
  }
  cairo_close_path(cairo);
}

static void outline(cairo_t *cairo, size_t shape, double x, double y, double radius) {
  double quarter = acos(-1.0) / 2;
  cairo_new_path(cairo);
  switch (shape) {
  case 0:
    cairo_arc(cairo, x, y, radius, 0, 4 * quarter);
    break;
  case 1:
    polygon(cairo, x, y, 1.25 * radius, 4, quarter / 2);
    break;
  case 2:
    polygon(cairo, x, y, 1.3 * radius, 3, -quarter);
    break;
  default:
    polygon(cairo, x, y, 1.3 * radius, 4, 0);
  }
}

/* In a hollow mark: nothing, a dot, a stroke. */
static void inside(cairo_t *cairo, size_t kind, double x, double y, double radius) {
  if (kind == 1) {
    cairo_arc(cairo, x, y, 0.4 * radius, 0, 4 * acos(-1.0));
    cairo_fill(cairo);
  } else if (kind > 1) {
    cairo_move_to(cairo, x - radius, y);
    cairo_line_to(cairo, x + radius, y);
    cairo_stroke(cairo);
  }
}

void mark_point(canvas *page, size_t number, double x, double y, double size) {
  cairo_t *cairo = page->cairo;
  double radius = size / 2;
  outline(cairo, number % SHAPES, x, y, radius);
  cairo_set_line_width(cairo, 1.2);
  cairo_set_dash(cairo, NULL, 0, 0);
  if (number < SHAPES) {
    cairo_fill(cairo);
    return;
  }
  cairo_pattern_t *colour = cairo_pattern_reference(cairo_get_source(cairo));
  cairo_set_source_rgb(cairo, 1, 1, 1);
  cairo_fill_preserve(cairo);
  cairo_set_source(cairo, colour);
  cairo_pattern_destroy(colour);
  cairo_stroke(cairo);
  inside(cairo, number / SHAPES - 1, x, y, radius);
}

/* Strokes upward to the right, or to the left. */
static void strokes(cairo_t *cairo, canvas_box box, bool left) {
  for (double at = -box.height; at < box.width; at += 4) {
    cairo_move_to(cairo, box.x + at, box.y + (left ? 0 : box.height));
    cairo_line_to(cairo, box.x + at + box.height, box.y + (left ? box.height : 0));
  }
  cairo_stroke(cairo);
}

static const struct {
  double red, green, blue;
  bool stroked, both_ways;
} fills[] = {[FILL_LIGHT] = {0.82, 0.82, 0.82, false, false},
             [FILL_DARK] = {0.62, 0.16, 0.10, false, false},
             [FILL_HATCHED] = {0.10, 0.45, 0.28, true, false},
             [FILL_MIDDLE] = {0.35, 0.52, 0.78, false, false},
             [FILL_CROSSED] = {0.15, 0.30, 0.60, true, true}};

void mark_box(canvas *page, mark_fill fill, canvas_box box) {
  cairo_t *cairo = page->cairo;
  bool stroked = fills[fill].stroked;
  cairo_save(cairo);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_clip_preserve(cairo);
  cairo_set_source_rgb(cairo, stroked ? 1 : fills[fill].red, stroked ? 1 : fills[fill].green,
                       stroked ? 1 : fills[fill].blue);
  cairo_fill(cairo);
  cairo_set_source_rgb(cairo, fills[fill].red, fills[fill].green, fills[fill].blue);
  cairo_set_line_width(cairo, 0.9);
  cairo_set_dash(cairo, NULL, 0, 0);
  if (stroked)
    strokes(cairo, box, false);
  if (fills[fill].both_ways)
    strokes(cairo, box, true);
  cairo_restore(cairo);
  pen_grey(page, 0.3, 0.5);
  cairo_rectangle(cairo, box.x, box.y, box.width, box.height);
  cairo_stroke(cairo);
  pen_plain(page);
}

/* ---- Legend ---- */

static const double sample = 24; /* width of what is named */

mark_legend legend_begin(canvas *page, double x, double y, double width) {
  return (mark_legend){.page = page, .box = {x, y, width, 0}, .x = x};
}

canvas_box legend_entry(mark_legend *legend, const char *text) {
  canvas *page = legend->page;
  double width, line, height = chart_line(page, chart_plain);
  canvas_measure(page, chart_plain, text, &width, &line);
  double end = legend->box.x + legend->box.width;
  if (legend->x > legend->box.x && legend->x + sample + 4 + width > end) {
    legend->x = legend->box.x;
    legend->box.height += height + 2;
  }
  double y = legend->box.y + legend->box.height;
  canvas_box room = {legend->x, y, sample, height};
  if (legend->x + sample + 4 + width > end) { /* alone too long: broken */
    double taken = canvas_paragraph(page, chart_plain, CANVAS_LEFT, legend->x + sample + 4, y,
                                    end - legend->x - sample - 4, text);
    legend->box.height += taken - height;
    legend->x = end;
  } else {
    canvas_text(page, chart_plain, CANVAS_LEFT, legend->x + sample + 4, y, text);
    legend->x += sample + 4 + width + 16;
  }
  return room;
}

double legend_height(const mark_legend *legend) {
  return legend->box.height + chart_line(legend->page, chart_plain);
}
