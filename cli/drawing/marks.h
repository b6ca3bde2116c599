/* marks.h - marks, fills and lines that differ in grey too, and the legend that names them */

#ifndef CLI_DRAWING_MARKS_H
#define CLI_DRAWING_MARKS_H

#include "drawing/canvas.h"

/* A mark in the colour that is set, another for each number up to 15: round, square, pointed,
 * crosswise; then the same hollow, dotted, struck through. */
void mark_point(canvas *page, size_t number, double x, double y, double size);

typedef enum mark_fill {
  FILL_LIGHT,   /* grey */
  FILL_DARK,    /* red, dark */
  FILL_HATCHED, /* green strokes on white */
  FILL_MIDDLE,  /* blue, between light and dark */
  FILL_CROSSED  /* the same as strokes both ways on white */
} mark_fill;

/* A box so filled, with a thin rim. */
void mark_box(canvas *page, mark_fill fill, canvas_box box);

/* A legend in a row, that goes on in the next line where it must. */
typedef struct mark_legend {
  canvas *page;
  canvas_box box; /* height: of what is set */
  double x;
} mark_legend;

mark_legend legend_begin(canvas *page, double x, double y, double width);

/* Sets the words and leaves room before them for what they name; returns that room. */
canvas_box legend_entry(mark_legend *legend, const char *text);

/* Height of it all. */
double legend_height(const mark_legend *legend);

#endif
