/* grid.h - rows of words and figures in columns that are measured, one of them free for drawing
 *
 * Everything is measured first: grid_widen for each row, then grid_place; then it is drawn. */

#ifndef CLI_DRAWING_GRID_H
#define CLI_DRAWING_GRID_H

#include "drawing/canvas.h"

enum { GRID_COLUMNS = 24, GRID_CELL = 64 };

typedef enum grid_kind {
  GRID_LEFT,  /* words */
  GRID_RIGHT, /* figures */
  GRID_NAME,  /* words that may be long: they are broken into lines */
  GRID_PLOT   /* left free; takes the room that is left over */
} grid_kind;

typedef struct grid_sheet {
  canvas *page;
  size_t n_columns;
  grid_kind kind[GRID_COLUMNS];
  double natural[GRID_COLUMNS]; /* widest text, or the least width of a plot */
  double head[GRID_COLUMNS];    /* of the head on one line */
  double x[GRID_COLUMNS], width[GRID_COLUMNS];
  double left, right; /* of all columns */
} grid_sheet;

/* The words of a row, which can be copied: those that stand elsewhere, and those of grid_print. */
typedef struct grid_row {
  const char *text[GRID_COLUMNS]; /* NULL: what is printed, if anything */
  char printed[GRID_COLUMNS][GRID_CELL];
  bool bold;
} grid_row;

void grid_begin(grid_sheet *grid, canvas *page);
void grid_column(grid_sheet *grid, grid_kind kind, double least);

#if defined __GNUC__
__attribute__((format(printf, 3, 4)))
#endif
void grid_print(grid_row *row, size_t column, const char *format, ...);

void grid_widen(grid_sheet *grid, const grid_row *row);

/* The same of a head, whose words are broken into lines where the columns would be too wide. */
void grid_widen_head(grid_sheet *grid, const grid_row *row);

/* Sets the columns from `x` on; returns by how much all must be drawn smaller to fit into the
 * width, 1 where they do as they are. The grid is then as wide as the width over that. */
double grid_place(grid_sheet *grid, double x, double width);

/* Height of a row, and the row itself from `y` on; both give the height. */
double grid_row_height(const grid_sheet *grid, const grid_row *row);
double grid_draw(const grid_sheet *grid, const grid_row *row, double y);

/* A head, all of whose cells may take several lines. */
double grid_draw_head(const grid_sheet *grid, const grid_row *row, double y);

/* A thin line over all columns. */
void grid_rule(const grid_sheet *grid, double y);

#endif
