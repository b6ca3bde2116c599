/* flow_set.c - cuts blocks into strips, and puts the strips on pages */

#include "drawing/flow_set.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- Cutting ---- */

static void add(flow *pages, flow_strip strip) {
  if (pages->failed)
    return;
  if (pages->n_strips == pages->strips_capacity) {
    size_t capacity = pages->strips_capacity ? 2 * pages->strips_capacity : 256;
    flow_strip *strips = realloc(pages->strips, capacity * sizeof *strips);
    pages->failed = !strips;
    if (!strips)
      return;
    pages->strips = strips;
    pages->strips_capacity = capacity;
  }
  pages->strips[pages->n_strips++] = strip;
}

static int count_lines(PangoLayout *layout) {
  int lines = pango_layout_get_line_count(layout);
  g_object_unref(layout);
  return lines;
}

/* No first and no last line of a paragraph stands alone on a page. */
static bool keep_line(int line, int lines) {
  return line + 1 < lines && (line == 0 || line + 2 == lines);
}

/* A paragraph between a heading and what it introduces. */
static bool introduces(const flow *pages, size_t at) {
  flow_kind before = at > 0 ? pages->blocks[at - 1].kind : FLOW_TABLE;
  flow_kind after = at + 1 < pages->n_blocks ? pages->blocks[at + 1].kind : FLOW_SECTION;
  return pages->blocks[at].kind == FLOW_PARAGRAPH && pages->blocks[at].style == FLOW_PLAIN &&
         (before == FLOW_SECTION || before == FLOW_HEADING) && after != FLOW_SECTION;
}

static void cut_text(canvas *page, flow *pages, size_t at) {
  const flow_block *block = &pages->blocks[at];
  bool title = block->kind != FLOW_PARAGRAPH, opens = introduces(pages, at);
  double width = flow_width(pages) - flow_indent(block->style);
  int lines = count_lines(canvas_layout(page, block->font, block->text, width));
  double before = block->kind == FLOW_SECTION ? 20 : block->kind == FLOW_HEADING ? 12 : 3.5;
  for (int i = 0; i < lines; i++)
    add(pages, (flow_strip){.block = at,
                            .line = i,
                            .height = flow_line_height(block) + (title && i + 1 == lines ? 3 : 0),
                            .before = i ? 0 : before,
                            .keep = title || opens || keep_line(i, lines)});
}

static int row_lines(canvas *page, const flow *pages, const flow_block *block, size_t row) {
  int lines = 1;
  size_t columns = flow_spans(block, row) ? 1 : sheet_columns(block->sheet);
  for (size_t c = 0; c < columns; c++) {
    int cell = count_lines(flow_cell_layout(page, pages, block, row, c));
    lines = cell > lines ? cell : lines;
  }
  return lines;
}

static bool row_to_fill(const flow_block *block, size_t row) {
  for (size_t c = 0; c < sheet_columns(block->sheet); c++)
    if (!flow_cell(block, row, c))
      return true;
  return false;
}

/* Heads go with the first row, and the last row with the one before it. */
static bool keep_row(const flow_block *block, size_t row) {
  size_t rows = sheet_rows(block->sheet);
  return row + 1 < rows && (row < block->heads || flow_spans(block, row) || row + 2 == rows);
}

static void cut_row(canvas *page, flow *pages, size_t at, size_t row) {
  flow_block *block = &pages->blocks[at];
  int lines = row_lines(page, pages, block, row);
  double height = flow_line_height(block), before = row == 0 ? 5 : 2;
  if (row >= block->heads && flow_spans(block, row))
    before += 4;
  if (row_to_fill(block, row))
    before += 9; /* room for a hand */
  for (int i = 0; i < lines; i++)
    add(pages, (flow_strip){.block = at,
                            .row = row,
                            .line = i,
                            .height = height + (i + 1 == lines ? 1.5 : 0),
                            .before = i ? 0 : before,
                            .keep = i + 1 < lines || keep_row(block, row)});
  if (row < block->heads)
    block->heads_height += before + height * lines + 1.5;
}

static double room(const flow *pages) {
  return pages->height - flow_top - flow_bottom;
}

/* A small table goes to the next page rather than over two. */
static void keep_small(flow *pages, size_t first) {
  double height = 0;
  for (size_t i = first; i < pages->n_strips; i++)
    height += pages->strips[i].before + pages->strips[i].height;
  for (size_t i = first; height < 0.33 * room(pages) && i + 1 < pages->n_strips; i++)
    pages->strips[i].keep = true;
}

static void cut_table(canvas *page, flow *pages, size_t at) {
  size_t first = pages->n_strips;
  flow_set_columns(page, pages, &pages->blocks[at]);
  for (size_t r = 0; r < sheet_rows(pages->blocks[at].sheet); r++)
    cut_row(page, pages, at, r);
  keep_small(pages, first);
}

static void cut_picture(flow *pages, size_t at) {
  const flow_block *block = &pages->blocks[at];
  double height = picture_height(block->one, block->runs, block->count, flow_width(pages));
  add(pages, (flow_strip){.block = at, .height = fmin(height, room(pages) - 40), .before = 6});
}

static void cut_contents(flow *pages, size_t at) {
  for (size_t i = 0; i < pages->n_blocks; i++)
    if (pages->blocks[i].kind == FLOW_SECTION)
      add(pages, (flow_strip){.block = at,
                              .row = i,
                              .height = flow_line_height(&pages->blocks[at]),
                              .before = 1.5});
}

static void cut(canvas *page, flow *pages, size_t at) {
  switch (pages->blocks[at].kind) {
  case FLOW_TABLE:
    cut_table(page, pages, at);
    break;
  case FLOW_PICTURE:
    cut_picture(pages, at);
    break;
  case FLOW_CONTENTS:
    cut_contents(pages, at);
    break;
  default:
    cut_text(page, pages, at);
  }
}

/* ---- Placing ---- */

/* Height of what must stand on one page with the strip, itself included. */
static double kept_height(const flow *pages, size_t first) {
  double height = pages->strips[first].height;
  for (size_t i = first; pages->strips[i].keep && i + 1 < pages->n_strips; i++)
    height += pages->strips[i + 1].before + pages->strips[i + 1].height;
  return height;
}

static bool begins_page(const flow *pages, size_t at, double y) {
  const flow_strip *strip = &pages->strips[at];
  const flow_block *block = &pages->blocks[strip->block];
  if (block->fresh && strip->line == 0)
    return true;
  double bottom = pages->height - flow_bottom, kept = kept_height(pages, at);
  if (kept > room(pages))
    kept = strip->height; /* it cannot be kept together */
  return y + strip->before + kept > bottom;
}

/* The heading of a table is repeated where its rows go on. */
static double top_of(const flow *pages, const flow_strip *strip) {
  const flow_block *block = &pages->blocks[strip->block];
  bool on = block->kind == FLOW_TABLE && (strip->row >= block->heads || strip->line > 0);
  return flow_top + (on ? block->heads_height : 0);
}

static void place(flow *pages) {
  double y = flow_top;
  bool top = true;
  pages->pages = 1;
  for (size_t i = 0; i < pages->n_strips; i++) {
    flow_strip *strip = &pages->strips[i];
    if (!top && begins_page(pages, i, y)) {
      pages->pages++;
      y = top_of(pages, strip);
      top = true;
    }
    y += top && y == flow_top ? 0 : strip->before;
    strip->page = pages->pages;
    strip->y = y;
    y += strip->height;
    top = false;
    flow_block *block = &pages->blocks[strip->block];
    if (block->page == 0) {
      block->page = strip->page;
      block->y = strip->y;
    }
  }
}

void flow_set(canvas *page, flow *pages) {
  for (size_t i = 0; i < pages->n_blocks; i++)
    cut(page, pages, i);
  if (!pages->failed)
    place(pages);
}
