/* labels.h - words in a plot, none on another */

#ifndef CLI_DRAWING_LABELS_H
#define CLI_DRAWING_LABELS_H

#include "drawing/canvas.h"

enum { LABELS_MOST = 4096 };

/* What is taken already in an area of the page. */
typedef struct label_set {
  canvas *page;
  canvas_box within;
  canvas_box taken[LABELS_MOST];
  size_t count;
} label_set;

void labels_begin(label_set *labels, canvas *page, canvas_box within);

/* Keeps words off a place; once it is full nothing more can be put. */
void labels_keep_off(label_set *labels, canvas_box box);

/* Sets the text beside a point, as near as there is room; a thin line leads to it from further
 * off. False where there is no room at all: nothing is set then. */
bool labels_put(label_set *labels, canvas_font font, double x, double y, const char *text);

#endif
