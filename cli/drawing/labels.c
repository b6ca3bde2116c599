/* labels.c - words in a plot, none on another */

#include "drawing/labels.h"

#include <math.h>

#include "drawing/pens.h"

static const double near = 7, ring = 11; /* from the point to the words; between two tries */
enum { RINGS = 8, DIRECTIONS = 16 };

void labels_begin(label_set *labels, canvas *page, canvas_box within) {
  labels->page = page;
  labels->within = within;
  labels->count = 0;
}

void labels_keep_off(label_set *labels, canvas_box box) {
  if (labels->count < LABELS_MOST)
    labels->taken[labels->count++] = box;
}

static bool meet(canvas_box a, canvas_box b) {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

static bool is_free(const label_set *labels, canvas_box box) {
  canvas_box in = labels->within;
  if (box.x < in.x || box.y < in.y || box.x + box.width > in.x + in.width ||
      box.y + box.height > in.y + in.height || labels->count == LABELS_MOST)
    return false;
  for (size_t i = 0; i < labels->count; i++)
    if (meet(box, labels->taken[i]))
      return false;
  return true;
}

/* The box whose nearest point lies at a distance in a direction, right of the point first. */
static canvas_box box_at(double x, double y, double width, double height, double distance,
                         int direction) {
  static const int order[DIRECTIONS] = {0, 15, 1, 14, 2, 8, 7, 9, 13, 3, 6, 10, 12, 4, 11, 5};
  double angle = 2 * acos(-1.0) * order[direction] / DIRECTIONS;
  double right = cos(angle), down = sin(angle);
  return (canvas_box){x + right * (distance + width / 2) - width / 2,
                      y + down * (distance + height / 2) - height / 2, width, height};
}

/* A line to the words, which later words keep off. */
static void lead(label_set *labels, double x, double y, canvas_box box) {
  double end_x = fmin(fmax(x, box.x), box.x + box.width);
  double end_y = fmin(fmax(y, box.y + 2), box.y + box.height - 2);
  pen_grey(labels->page, 0.4, 0.5);
  cairo_move_to(labels->page->cairo, x, y);
  cairo_line_to(labels->page->cairo, end_x, end_y);
  cairo_stroke(labels->page->cairo);
  for (int i = 1; i < 8; i++)
    labels_keep_off(labels,
                    (canvas_box){x + (end_x - x) * i / 8 - 1, y + (end_y - y) * i / 8 - 1, 2, 2});
}

/* On white, so that a curve behind does not strike them through. */
static void set_words(const label_set *labels, canvas_font font, canvas_box box, const char *text) {
  cairo_set_source_rgb(labels->page->cairo, 1, 1, 1);
  cairo_rectangle(labels->page->cairo, box.x - 1, box.y + 1, box.width + 2, box.height - 2);
  cairo_fill(labels->page->cairo);
  pen_plain(labels->page);
  canvas_text(labels->page, font, CANVAS_LEFT, box.x, box.y, text);
}

bool labels_put(label_set *labels, canvas_font font, double x, double y, const char *text) {
  double width, height;
  canvas_measure(labels->page, font, text, &width, &height);
  for (int r = 0; r < RINGS; r++)
    for (int d = 0; d < DIRECTIONS; d++) {
      canvas_box box = box_at(x, y, width, height, near + r * ring, d);
      if (!is_free(labels, box))
        continue;
      if (r > 0)
        lead(labels, x, y, box);
      set_words(labels, font, box, text);
      labels_keep_off(labels, (canvas_box){box.x - 4, box.y, box.width + 8, box.height});
      return true;
    }
  return false;
}
