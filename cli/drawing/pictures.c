/* pictures.c - the list of the drawings there are */

#include <string.h>

#include "drawing/picture.h"

const picture *const pictures[] = {
    &picture_scheme, &picture_pressures, &picture_duty,    &picture_sound,
    &picture_year,   &picture_rounds,    &picture_layouts, NULL,
};

const picture *picture_find(const char *name) {
  for (size_t i = 0; pictures[i]; i++)
    if (strcmp(pictures[i]->name, name) == 0)
      return pictures[i];
  return NULL;
}

/* Drawn once to measure. */
static double measured(const picture *one, const cli_run *runs, size_t count, double width) {
  canvas page;
  if (!canvas_open(&page, CANVAS_PNG, 1, 1, NULL))
    return width; /* it has said why; opening the page will fail alike */
  double height = one->show(&page, width, runs, count);
  canvas_close(&page);
  return height;
}

double picture_height(const picture *one, const cli_run *runs, size_t count, double width) {
  return one->show ? measured(one, runs, count, width) : one->height(runs, count, width);
}

void picture_draw(const picture *one, canvas *page, canvas_box box, const cli_run *runs,
                  size_t count) {
  if (!one->show) {
    one->draw(page, box, runs, count);
    return;
  }
  double height = measured(one, runs, count, box.width);
  double scale = height > box.height ? box.height / height : 1;
  cairo_save(page->cairo);
  cairo_translate(page->cairo, box.x, box.y);
  cairo_scale(page->cairo, scale, scale);
  one->show(page, box.width / scale, runs, count); /* broken into fewer lines, so no higher */
  cairo_restore(page->cairo);
}
