/* flow_draw.c - draws the strips, and what stands at head and foot of every page */

#include <cairo-pdf.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

#include "drawing/flow_set.h"
#include "drawing/pens.h"

static const canvas_font small = {.size = 7.5};

static void rule(canvas *page, double lightness, double x0, double x1, double y) {
  pen_grey(page, lightness, 0.5);
  cairo_move_to(page->cairo, x0, y);
  cairo_line_to(page->cairo, x1, y);
  cairo_stroke(page->cairo);
  pen_plain(page);
}

/* One line of a layout, its right end at `right` where that is above 0. Drops the layout. */
static void show_line(canvas *page, PangoLayout *layout, int line, double size, double x,
                      double right, double y) {
  PangoLayoutLine *shown = pango_layout_get_line_readonly(layout, line);
  if (shown) {
    PangoRectangle extent;
    pango_layout_line_get_extents(shown, NULL, &extent);
    double width = (double)extent.width / PANGO_SCALE;
    cairo_move_to(page->cairo, right > 0 ? right - width : x, y + size * 1.02);
    pango_cairo_show_layout_line(page->cairo, shown);
  }
  g_object_unref(layout);
}

/* ---- Tables ---- */

static void draw_row_line(canvas *page, const flow *pages, const flow_block *block, size_t row,
                          int line, double y) {
  double x = flow_left;
  size_t columns = flow_spans(block, row) ? 1 : sheet_columns(block->sheet);
  for (size_t c = 0; c < columns; c++) {
    double right = x + block->widths[c];
    if (!flow_cell(block, row, c))
      rule(page, 0, x, right, y + flow_line_height(block));
    else
      show_line(page, flow_cell_layout(page, pages, block, row, c), line, block->font.size, x,
                sheet_right(block->sheet, c) ? right : 0, y);
    x = right + flow_gap;
  }
}

static double table_right(const flow_block *block) {
  double right = flow_left - flow_gap;
  for (size_t c = 0; c < sheet_columns(block->sheet); c++)
    right += block->widths[c] + flow_gap;
  return right;
}

static bool ends_row(const flow *pages, size_t at) {
  const flow_strip *strip = &pages->strips[at], *next = strip + 1;
  return at + 1 == pages->n_strips || next->block != strip->block || next->row != strip->row;
}

static void draw_table_strip(canvas *page, const flow *pages, size_t at, double y) {
  const flow_strip *strip = &pages->strips[at];
  const flow_block *block = &pages->blocks[strip->block];
  draw_row_line(page, pages, block, strip->row, strip->line, y);
  if (ends_row(pages, at))
    rule(page, strip->row + 1 == block->heads ? 0.2 : 0.88, flow_left, table_right(block),
         y + strip->height + 0.5);
}

/* The strip is of a table that began on an earlier page. */
static bool goes_on(const flow *pages, const flow_strip *strip) {
  const flow_block *block = &pages->blocks[strip->block];
  return block->kind == FLOW_TABLE && block->page < strip->page;
}

static bool is_head(const flow *pages, size_t at, size_t block) {
  return at < pages->n_strips && pages->strips[at].block == block &&
         pages->strips[at].row < pages->blocks[block].heads;
}

static void repeat_heads(canvas *page, const flow *pages, size_t at) {
  size_t block = pages->strips[at].block;
  size_t first = at;
  while (first > 0 && pages->strips[first - 1].block == block)
    first--;
  double y = flow_top;
  for (size_t i = first; is_head(pages, i, block); i++) {
    y += pages->strips[i].before;
    draw_table_strip(page, pages, i, y);
    y += pages->strips[i].height;
  }
}

/* ---- Other strips ---- */

static void draw_text(canvas *page, const flow *pages, const flow_strip *strip) {
  const flow_block *block = &pages->blocks[strip->block];
  double indent = flow_indent(block->style);
  if (block->style == FLOW_ITEM && strip->line == 0)
    show_line(page, canvas_layout(page, block->font, "\xE2\x80\x93", 0), 0, block->font.size,
              flow_left, 0, strip->y);
  show_line(page, canvas_layout(page, block->font, block->text, flow_width(pages) - indent),
            strip->line, block->font.size, flow_left + indent, 0, strip->y);
}

static void draw_picture(canvas *page, const flow *pages, const flow_strip *strip) {
  const flow_block *block = &pages->blocks[strip->block];
  canvas_box box = {flow_left, strip->y, flow_width(pages), strip->height};
  cairo_save(page->cairo);
  picture_draw(block->one, page, box, block->runs, block->count);
  cairo_restore(page->cairo);
  pen_plain(page);
}

static void draw_contents(canvas *page, const flow *pages, const flow_strip *strip) {
  const flow_block *section = &pages->blocks[strip->row];
  canvas_font font = pages->blocks[strip->block].font;
  double right = pages->width - flow_right;
  char number[16], link[80];
  snprintf(number, sizeof number, "%d", section->page);
  snprintf(link, sizeof link, "page=%d pos=[%.0f %.0f]", section->page, flow_left, section->y - 10);
  cairo_tag_begin(page->cairo, CAIRO_TAG_LINK, link);
  canvas_text_within(page, font, CANVAS_LEFT, flow_left, strip->y, right - flow_left - 40,
                     section->text);
  canvas_text(page, font, CANVAS_RIGHT, right, strip->y, number);
  cairo_tag_end(page->cairo, CAIRO_TAG_LINK);
  rule(page, 0.88, flow_left, right, strip->y + strip->height);
}

static void draw_strip(canvas *page, const flow *pages, size_t at) {
  const flow_strip *strip = &pages->strips[at];
  switch (pages->blocks[strip->block].kind) {
  case FLOW_TABLE:
    draw_table_strip(page, pages, at, strip->y);
    break;
  case FLOW_PICTURE:
    draw_picture(page, pages, strip);
    break;
  case FLOW_CONTENTS:
    draw_contents(page, pages, strip);
    break;
  default:
    draw_text(page, pages, strip);
  }
}

/* ---- Pages ---- */

/* The section that the page is in, or that begins on it. */
static const char *section_of(const flow *pages, int number) {
  const char *title = "";
  for (size_t i = 0; i < pages->n_blocks; i++) {
    const flow_block *block = &pages->blocks[i];
    if (block->kind != FLOW_SECTION)
      continue;
    bool before = block->page < number || (block->page == number && block->y <= flow_top);
    if (before || !*title)
      title = block->text;
  }
  return title;
}

static void draw_frame(canvas *page, const flow *pages, int number) {
  double right = pages->width - flow_right;
  double foot = pages->height - flow_bottom + 22;
  char text[40];
  pen_grey(page, 0.25, 0.5);
  canvas_text_within(page, small, CANVAS_LEFT, flow_left, 34, 0.62 * (right - flow_left),
                     pages->title);
  canvas_text_within(page, small, CANVAS_RIGHT, right, 34, 0.35 * (right - flow_left),
                     section_of(pages, number));
  rule(page, 0.5, flow_left, right, 46);
  rule(page, 0.5, flow_left, right, foot - 4);
  pen_grey(page, 0.25, 0.5);
  canvas_text(page, small, CANVAS_LEFT, flow_left, foot, "evenbreath " EB_VERSION);
  snprintf(text, sizeof text, "page %d of %d", number, pages->pages);
  canvas_text(page, small, CANVAS_RIGHT, right, foot, text);
  pen_plain(page);
}

static void add_bookmarks(canvas *page, const flow *pages) {
  int section = CAIRO_PDF_OUTLINE_ROOT;
  for (size_t i = 0; i < pages->n_blocks; i++) {
    const flow_block *block = &pages->blocks[i];
    char place[80];
    if (block->kind != FLOW_SECTION && block->kind != FLOW_HEADING)
      continue;
    bool top = block->kind == FLOW_SECTION;
    snprintf(place, sizeof place, "page=%d pos=[%.0f %.0f]", block->page, flow_left, block->y - 10);
    int made =
        cairo_pdf_surface_add_outline(page->surface, top ? CAIRO_PDF_OUTLINE_ROOT : section,
                                      block->text, place, top ? CAIRO_PDF_OUTLINE_FLAG_BOLD : 0);
    section = top ? made : section;
  }
}

void flow_draw(canvas *page, const flow *pages) {
  int number = 0;
  cairo_pdf_surface_set_metadata(page->surface, CAIRO_PDF_METADATA_TITLE, pages->title);
  for (size_t i = 0; i < pages->n_strips; i++) {
    const flow_strip *strip = &pages->strips[i];
    if (strip->page != number) {
      if (number > 0)
        canvas_next_page(page, pages->width, pages->height);
      draw_frame(page, pages, number = strip->page);
      if (goes_on(pages, strip))
        repeat_heads(page, pages, i);
    }
    draw_strip(page, pages, i);
  }
  if (number == 0)
    draw_frame(page, pages, 1);
  add_bookmarks(page, pages);
}
