/* readings_csv.c - comma-separated values as a phone's spreadsheet writes them, into cells
 *
 * RFC 4180 with what spreadsheets make of it: semicolons where the comma is the decimal sign, tabs,
 * a byte order mark, any end of line. Each cell keeps where it stands. */

#include <string.h>

#include "input/readings_read.h"
#include "input/tree_scan.h"

#define CELLS_AT_MOST 64 /* of a row */

typedef struct parser {
  eb_context *context;
  ebi_arena *arena;
  const char *name, *bytes;
  size_t length, at;
  int line, column; /* of `at`; columns count characters */
  char separator;
  ebi_sheet_row *rows;
  size_t n_rows, capacity;
  ebi_yaml cells[CELLS_AT_MOST]; /* of the row being read */
  size_t n_cells, n_all;         /* n_all: of all rows */
  eb_status status;
} parser;

static eb_status stop(parser *p, ebi_where where, eb_status status, const char *code,
                      const char *text) {
  ebi_diag(p->context, EB_ERROR, code, where, NULL, "%s", text);
  return p->status = status;
}

static ebi_where here(const parser *p) {
  return (ebi_where){p->name, p->line, p->column};
}

/* ---- Bytes ------------------------------------------------------------- */

static bool more(const parser *p) {
  return p->at < p->length && p->status == EB_OK;
}

static bool at_line_end(const parser *p) {
  return p->bytes[p->at] == '\n' || p->bytes[p->at] == '\r';
}

/* Goes on by a byte; CRLF counts as one end of line. */
static void step(parser *p) {
  char byte = p->bytes[p->at++];
  bool pair = byte == '\r' && p->at < p->length && p->bytes[p->at] == '\n';
  if (pair)
    return;
  if (byte == '\n' || byte == '\r') {
    p->line++;
    p->column = 1;
  } else if (((unsigned char)byte & 0xC0u) != 0x80u) { /* not within a character */
    p->column++;
  }
}

static void end_line(parser *p) {
  int line = p->line;
  while (more(p) && p->line == line && at_line_end(p))
    step(p);
}

/* Blanks that are not the separator. */
static bool is_blank(const parser *p, char byte) {
  return (byte == ' ' || byte == '\t') && byte != p->separator;
}

static void skip_blanks(parser *p) {
  while (more(p) && is_blank(p, p->bytes[p->at]))
    step(p);
}

/* The sign that stands most often in the first line, outside quotes. */
static char separator_of(const char *bytes, size_t length) {
  static const char signs[] = {',', ';', '\t'};
  size_t counts[sizeof signs] = {0}, best = 0;
  bool quoted = false;
  for (size_t i = 0; i < length && bytes[i] != '\n' && bytes[i] != '\r'; i++) {
    quoted = quoted != (bytes[i] == '"');
    for (size_t k = 0; k < sizeof signs && !quoted; k++)
      counts[k] += bytes[i] == signs[k];
  }
  for (size_t k = 1; k < sizeof signs; k++)
    best = counts[k] > counts[best] ? k : best;
  return signs[best];
}

/* ---- Cells ------------------------------------------------------------- */

static void add_cell(parser *p, ebi_where where, char *text, size_t length, bool quoted) {
  if (!text) {
    p->status = EB_E_MEMORY;
    return;
  }
  while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
    length--;
  text[length] = '\0';
  if (p->n_cells == CELLS_AT_MOST)
    stop(p, where, EB_E_LIMIT, "too-many-cells", "a row has more than 64 cells");
  else if (++p->n_all > EBI_TREE_NODES)
    stop(p, where, EB_E_LIMIT, "too-many-values", "the file holds more than 4000000 values");
  else
    p->cells[p->n_cells++] = (ebi_yaml){
        .kind = EBI_YAML_SCALAR, .where = where, .text = text, .length = length, .quoted = quoted};
}

static void plain_cell(parser *p) {
  ebi_where where = here(p);
  size_t start = p->at;
  while (more(p) && !at_line_end(p) && p->bytes[p->at] != p->separator)
    step(p);
  size_t length = p->at - start;
  add_cell(p, where, ebi_arena_text_n(p->arena, p->bytes + start, length), length, false);
}

/* Bytes up to the quote that closes, or to the end of the file. */
static size_t quoted_bytes(const parser *p) {
  size_t i = p->at + 1;
  for (; i < p->length; i++)
    if (p->bytes[i] == '"' && !(i + 1 < p->length && p->bytes[i + 1] == '"'))
      break;
    else if (p->bytes[i] == '"')
      i++;
  return i - p->at;
}

/* "" within quotes is one of them. An end of line there is a blank. */
static void quoted_cell(parser *p) {
  ebi_where where = here(p);
  size_t length = 0, end = p->at + quoted_bytes(p);
  if (end >= p->length) {
    stop(p, where, EB_E_SYNTAX, "quote-open", "the quote that begins here is not closed");
    return;
  }
  char *text = ebi_arena_array(p->arena, end - p->at + 1, 1);
  for (step(p); text && p->at < end; step(p)) {
    if (p->bytes[p->at] == '"')
      step(p);
    text[length++] = at_line_end(p) ? ' ' : p->bytes[p->at];
  }
  step(p);
  skip_blanks(p);
  if (more(p) && !at_line_end(p) && p->bytes[p->at] != p->separator)
    stop(p, here(p), EB_E_SYNTAX, "quote-closed",
         "text after a closing quote: double the quotes within quotes");
  else
    add_cell(p, where, text, length, true);
}

/* ---- Rows -------------------------------------------------------------- */

static bool is_blank_row(const parser *p) {
  for (size_t i = 0; i < p->n_cells; i++)
    if (p->cells[i].length > 0)
      return false;
  return true;
}

static void keep_row(parser *p) {
  if (p->status != EB_OK || is_blank_row(p))
    return;
  ebi_yaml *cells = EBI_NEW_ARRAY(p->arena, ebi_yaml, p->n_cells);
  if (!cells || !ebi_arena_grow(p->arena, &p->rows, &p->capacity, p->n_rows, sizeof *p->rows)) {
    p->status = EB_E_MEMORY;
    return;
  }
  memcpy(cells, p->cells, p->n_cells * sizeof *cells);
  p->rows[p->n_rows++] = (ebi_sheet_row){cells, p->n_cells};
}

static void read_row(parser *p) {
  p->n_cells = 0;
  for (bool again = true; again && p->status == EB_OK;) {
    skip_blanks(p);
    if (more(p) && p->bytes[p->at] == '"')
      quoted_cell(p);
    else
      plain_cell(p);
    again = more(p) && p->bytes[p->at] == p->separator;
    if (again)
      step(p);
  }
  end_line(p);
  keep_row(p);
}

eb_status ebi_sheet_parse(eb_context *context, ebi_arena *arena, const char *name,
                          const char *bytes, size_t length, ebi_sheet *sheet) {
  eb_status status = ebi_tree_scan(context, name, bytes, length);
  if (status != EB_OK)
    return status;
  size_t mark = ebi_tree_bom(bytes, length);
  parser *p = EBI_NEW(arena, parser);
  if (!p)
    return EB_E_MEMORY;
  *p = (parser){.context = context,
                .arena = arena,
                .name = name,
                .bytes = bytes,
                .length = length,
                .at = mark,
                .line = 1,
                .column = 1,
                .separator = separator_of(bytes + mark, length - mark)};
  while (more(p))
    read_row(p);
  if (p->status == EB_OK && p->n_rows == 0)
    stop(p, (ebi_where){name, 1, 1}, EB_E_SYNTAX, "empty",
         "the file is empty: its first row names "
         "the columns, such as "
         "level,terminal,flow,unit,note");
  *sheet = (ebi_sheet){p->rows, p->n_rows, p->separator};
  return p->status;
}
