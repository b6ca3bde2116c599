/* flow_set.h - what flow is made of: blocks, and the strips that they are cut into */

#ifndef CLI_DRAWING_FLOW_SET_H
#define CLI_DRAWING_FLOW_SET_H

#include "drawing/flow.h"

#define FLOW_COLUMNS 24

typedef enum flow_kind {
  FLOW_SECTION,
  FLOW_HEADING,
  FLOW_PARAGRAPH,
  FLOW_TABLE,
  FLOW_PICTURE,
  FLOW_CONTENTS
} flow_kind;

typedef struct flow_block {
  flow_kind kind;
  char *text; /* NULL where it has none */
  flow_style style;
  bool fresh;
  cli_sheet *sheet;
  size_t heads;
  canvas_font font;            /* of text and of a table's cells */
  double widths[FLOW_COLUMNS]; /* of a table's columns */
  double heads_height;
  const picture *one;
  const cli_run *runs;
  size_t count;
  int page; /* that it begins on */
  double y;
} flow_block;

/* What is not cut further: a line of text or of a table's row, or a picture. */
typedef struct flow_strip {
  size_t block, row;
  int line;
  double height, before; /* `before` is left out at the top of a page */
  bool keep;             /* on one page with the next */
  int page;
  double y;
} flow_strip;

struct flow {
  char *title;
  double width, height; /* of the page */
  flow_block *blocks;
  size_t n_blocks, blocks_capacity;
  flow_strip *strips;
  size_t n_strips, strips_capacity;
  int pages;
  bool failed;
};

static const double flow_left = 54, flow_right = 45, flow_top = 62, flow_bottom = 56;
static const double flow_gap = 9;      /* between columns */
static const double flow_pitch = 1.32; /* from line to line, of the size of the letters */

double flow_width(const flow *pages);

/* How far a paragraph of that style is moved in. */
double flow_indent(flow_style style);

double flow_line_height(const flow_block *block);

/* Chooses size of letters and widths of columns. */
void flow_set_columns(canvas *page, const flow *pages, flow_block *block);

/* A cell's text as it is set, NULL where it is a line to write on. */
const char *flow_cell(const flow_block *block, size_t row, size_t column);

/* True where a row's first cell stands alone and heads what follows. */
bool flow_spans(const flow_block *block, size_t row);

/* A layout of a cell in its column. g_object_unref it. */
PangoLayout *flow_cell_layout(canvas *page, const flow *pages, const flow_block *block, size_t row,
                              size_t column);

/* Cuts the blocks into strips and gives each its page and place. */
void flow_set(canvas *page, flow *pages);

void flow_draw(canvas *page, const flow *pages);

#endif
