/* pens.c - what the kinds of air are drawn with */

#include "drawing/pens.h"

typedef struct pen {
  const char *letters, *name;
  double red, green, blue;
  double dash[4]; /* in widths of the line, ended by 0 */
} pen;

static const pen pens[] = {
    {"ODA", "outdoor air", 0.10, 0.55, 0.20, {6, 2}},
    {"SUP", "supply air", 0.10, 0.35, 0.80, {0}},
    {"ETA", "extract air", 0.85, 0.65, 0.00, {3, 1.5}},
    {"EHA", "exhaust air", 0.48, 0.30, 0.15, {6, 1.5, 1.5, 1.5}},
    {"TRA", "transfer air", 0.45, 0.45, 0.45, {1, 2}},
};

const char *pen_letters(pen_air air) {
  return pens[air].letters;
}

const char *pen_name(pen_air air) {
  return pens[air].name;
}

void pen_take(canvas *page, pen_air air, double width) {
  const pen *look = &pens[air];
  if (width > 0)
    cairo_set_line_width(page->cairo, width);
  width = cairo_get_line_width(page->cairo);
  double dash[4];
  int count = 0;
  while (count < 4 && look->dash[count] > 0) {
    dash[count] = look->dash[count] * width;
    count++;
  }
  cairo_set_dash(page->cairo, dash, count, 0);
  cairo_set_source_rgb(page->cairo, look->red, look->green, look->blue);
}

void pen_grey(canvas *page, double lightness, double width) {
  cairo_set_line_width(page->cairo, width);
  cairo_set_dash(page->cairo, NULL, 0, 0);
  cairo_set_source_rgb(page->cairo, lightness, lightness, lightness);
}

void pen_plain(canvas *page) {
  pen_grey(page, 0, 0.7);
}
