/* flow.c - collects what is to be printed, and prints it */

#include "drawing/flow.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "drawing/flow_set.h"
#include "output.h"

flow *flow_new(const char *title, const cli_paper *paper) {
  flow *pages = calloc(1, sizeof *pages);
  if (!pages)
    return NULL;
  pages->width = paper->width;
  pages->height = paper->height;
  pages->title = strdup(title);
  pages->failed = !pages->title;
  /* It is the title of the file too, which programs print as it is. */
  for (char *at = pages->title; at && *at; at++)
    if ((unsigned char)*at < ' ' || *at == '\x7f')
      *at = ' ';
  return pages;
}

void flow_free(flow *pages) {
  if (!pages)
    return;
  for (size_t i = 0; i < pages->n_blocks; i++) {
    free(pages->blocks[i].text);
    sheet_free(pages->blocks[i].sheet);
  }
  free(pages->blocks);
  free(pages->strips);
  free(pages->title);
  free(pages);
}

/* NULL when memory ran out. */
static flow_block *add(flow *pages, flow_kind kind) {
  if (!pages || pages->failed)
    return NULL;
  if (pages->n_blocks == pages->blocks_capacity) {
    size_t capacity = pages->blocks_capacity ? 2 * pages->blocks_capacity : 64;
    flow_block *blocks = realloc(pages->blocks, capacity * sizeof *blocks);
    pages->failed = !blocks;
    if (!blocks)
      return NULL;
    pages->blocks = blocks;
    pages->blocks_capacity = capacity;
  }
  flow_block *block = &pages->blocks[pages->n_blocks++];
  *block = (flow_block){.kind = kind};
  return block;
}

static void add_titled(flow *pages, flow_kind kind, const char *title, double size, bool fresh) {
  flow_block *block = add(pages, kind);
  if (!block)
    return;
  block->font = (canvas_font){.size = size, .bold = true};
  block->fresh = fresh;
  block->text = strdup(title);
  pages->failed = !block->text;
}

void flow_section(flow *pages, const char *title, bool fresh) {
  add_titled(pages, FLOW_SECTION, title, 15, fresh);
}

void flow_heading(flow *pages, const char *title) {
  add_titled(pages, FLOW_HEADING, title, 10.5, false);
}

void flow_text(flow *pages, flow_style style, const char *format, ...) {
  flow_block *block = add(pages, FLOW_PARAGRAPH);
  if (!block)
    return;
  block->style = style;
  block->font = (canvas_font){.size = style == FLOW_SMALL ? 7.5 : 9, .bold = style == FLOW_BOLD};
  va_list arguments, again;
  va_start(arguments, format);
  va_copy(again, arguments);
  int length = vsnprintf(NULL, 0, format, arguments);
  block->text = length >= 0 ? malloc((size_t)length + 1) : NULL;
  if (block->text)
    vsnprintf(block->text, (size_t)length + 1, format, again);
  pages->failed = !block->text;
  va_end(again);
  va_end(arguments);
}

void flow_table(flow *pages, cli_sheet *sheet, size_t heads) {
  flow_block *block = sheet_complete(sheet) ? add(pages, FLOW_TABLE) : NULL;
  if (!block) {
    sheet_free(sheet);
    if (pages)
      pages->failed = true;
    return;
  }
  block->sheet = sheet;
  block->heads = heads;
}

void flow_picture(flow *pages, const picture *one, const cli_run *runs, size_t count) {
  flow_block *block = add(pages, FLOW_PICTURE);
  if (!block)
    return;
  block->one = one;
  block->runs = runs;
  block->count = count;
}

void flow_contents(flow *pages) {
  flow_block *block = add(pages, FLOW_CONTENTS);
  if (block)
    block->font = (canvas_font){.size = 9};
}

double flow_width(const flow *pages) {
  return pages->width - flow_left - flow_right;
}

double flow_indent(flow_style style) {
  return style == FLOW_ITEM ? 12 : 0;
}

double flow_line_height(const flow_block *block) {
  return block->font.size * flow_pitch;
}

static bool print_into(flow *pages, FILE *out) {
  canvas page;
  if (!pages || pages->failed) {
    fputs("evenbreath: memory ran out\n", stderr);
    return false;
  }
  if (!canvas_open(&page, CANVAS_PDF, pages->width, pages->height, out))
    return false;
  flow_set(&page, pages);
  if (pages->failed)
    fputs("evenbreath: memory ran out\n", stderr);
  else
    flow_draw(&page, pages);
  return canvas_close(&page) && !pages->failed;
}

bool flow_print(flow *pages, FILE *out) {
  cli_output drawn;
  if (!output_open(&drawn)) {
    fputs("evenbreath: memory ran out\n", stderr);
    return false;
  }
  return output_pass(&drawn, print_into(pages, drawn.stream), out);
}
