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

double picture_height(const picture *one, const cli_run *runs, size_t count, double width) {
  return one->height ? one->height(runs, count, width) : width / one->aspect;
}
