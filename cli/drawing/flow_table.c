/* flow_table.c - how wide the columns of a table are, and what stands in its cells */

#include <math.h>
#include <string.h>

#include "drawing/flow_set.h"

static const double largest = 8, smallest = 5.5, size_step = 0.5;
static const double longest_word = 105;               /* longer ones are broken */
static const double widest_head = 58;                 /* of words; longer ones take a second line */
static const double wide_fill = 240, least_fill = 60; /* lines to write on */
enum { SHORT_WORD = 8 };

static bool blank_to_fill(const char *text) {
  return *text && text[strspn(text, "_")] == '\0';
}

const char *flow_cell(const flow_block *block, size_t row, size_t column) {
  const char *text = sheet_text(block->sheet, row, column);
  if (blank_to_fill(text))
    return NULL;
  return column == 0 && strncmp(text, "  ", 2) == 0 ? text + 2 : text;
}

bool flow_spans(const flow_block *block, size_t row) {
  const char *first = sheet_text(block->sheet, row, 0);
  if (row < block->heads || !*first || *first == ' ' || blank_to_fill(first))
    return false;
  for (size_t c = 1; c < sheet_columns(block->sheet); c++)
    if (*sheet_text(block->sheet, row, c))
      return false;
  return sheet_columns(block->sheet) > 1;
}

static canvas_font font_of(const flow_block *block, size_t row) {
  canvas_font font = block->font;
  font.bold = row < block->heads || flow_spans(block, row);
  return font;
}

/* Short words are whole: no "l/" at the end of a line and "s" on the next. */
static PangoLayout *lay(canvas *page, canvas_font font, const char *text, double width) {
  PangoLayout *layout = canvas_layout(page, font, text, width);
  PangoAttrList *whole = pango_attr_list_new();
  for (const char *word = text; *word;) {
    size_t length = strcspn(word, " \n");
    if (length > 1 && length <= SHORT_WORD) {
      PangoAttribute *unbroken = pango_attr_allow_breaks_new(FALSE);
      unbroken->start_index = (guint)(word - text);
      unbroken->end_index = (guint)((size_t)(word - text) + length);
      pango_attr_list_insert(whole, unbroken);
    }
    word += length;
    word += strspn(word, " \n");
  }
  pango_layout_set_attributes(layout, whole);
  pango_attr_list_unref(whole);
  return layout;
}

PangoLayout *flow_cell_layout(canvas *page, const flow *pages, const flow_block *block, size_t row,
                              size_t column) {
  const char *text = flow_cell(block, row, column);
  double width = flow_spans(block, row) ? flow_width(pages) : block->widths[column];
  return lay(page, font_of(block, row), text ? text : "", fmax(width, 1) + 0.5);
}

/* Width of a text on one line, and of its longest word. */
static void measure(canvas *page, canvas_font font, const char *text, double *line, double *word) {
  double height;
  canvas_measure(page, font, text, line, &height);
  *word = *line;
  if (!strchr(text, ' '))
    return;
  PangoLayout *layout = lay(page, font, text, 1);
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD);
  int width;
  pango_layout_get_size(layout, &width, NULL);
  *word = (double)width / PANGO_SCALE;
  g_object_unref(layout);
}

/* Numbers are not broken; words may be. */
static void measure_column(canvas *page, const flow_block *block, size_t column, double *least,
                           double *whole) {
  *least = *whole = 0;
  for (size_t r = 0; r < sheet_rows(block->sheet); r++) {
    const char *text = flow_cell(block, r, column);
    double line = wide_fill, word = least_fill;
    if (flow_spans(block, r))
      continue;
    if (text)
      measure(page, font_of(block, r), text, &line, &word);
    bool number = sheet_right(block->sheet, column) && r >= block->heads;
    *least = fmax(*least, number ? line : fmin(word, longest_word));
    *whole = fmax(*whole, r < block->heads ? fmax(word, fmin(line, widest_head)) : line);
  }
  *least = fmin(*least, *whole);
}

static double sum(const double *values, size_t count) {
  double all = 0;
  for (size_t i = 0; i < count; i++)
    all += values[i];
  return all;
}

/* Between their least and whole widths; all less than that where even the least do not fit. */
static void share(flow_block *block, const double *least, const double *whole, size_t count,
                  double room) {
  double narrow = sum(least, count), wide = sum(whole, count);
  for (size_t c = 0; c < count; c++)
    if (wide <= room)
      block->widths[c] = whole[c];
    else if (narrow > room)
      block->widths[c] = least[c] * room / narrow;
    else
      block->widths[c] = least[c] + (whole[c] - least[c]) * (room - narrow) / (wide - narrow);
}

void flow_set_columns(canvas *page, const flow *pages, flow_block *block) {
  double least[FLOW_COLUMNS], whole[FLOW_COLUMNS];
  size_t count = sheet_columns(block->sheet);
  double room = flow_width(pages) - flow_gap * (double)(count - 1);
  block->font = (canvas_font){.size = largest + size_step};
  do {
    block->font.size -= size_step;
    for (size_t c = 0; c < count; c++)
      measure_column(page, block, c, &least[c], &whole[c]);
  } while (sum(least, count) > room && block->font.size > smallest);
  share(block, least, whole, count, room);
}
