/* measured.c - pictures whose height follows from their words */

#include "drawing/measured.h"

double measured_height(measured_picture show, const cli_run *runs, size_t count, double width) {
  canvas page;
  if (!canvas_open(&page, CANVAS_PNG, 1, 1, NULL))
    return width; /* it has said why; opening the page will fail alike */
  double height = show(&page, width, runs, count);
  canvas_close(&page);
  return height;
}

void measured_draw(measured_picture show, canvas *page, canvas_box box, const cli_run *runs,
                   size_t count) {
  double height = measured_height(show, runs, count, box.width);
  double scale = height > box.height ? box.height / height : 1;
  cairo_save(page->cairo);
  cairo_translate(page->cairo, box.x, box.y);
  cairo_scale(page->cairo, scale, scale);
  show(page, box.width / scale, runs, count); /* broken into fewer lines, so no higher */
  cairo_restore(page->cairo);
}
