/* readings_columns.c - the columns of readings typed row by row, and what stands in their cells */

#include <string.h>

#include "input/readings_rows.h"

#include "base/text.h"
#include "input/quote.h"

typedef struct column_word {
  const char *word;
  int column;
} column_word;

static const column_word column_words[] = {
    {"round", EBI_COLUMN_ROUND},  {"level", EBI_COLUMN_LEVEL},   {"terminal", EBI_COLUMN_TERMINAL},
    {"run", EBI_COLUMN_TERMINAL}, {"room", EBI_COLUMN_TERMINAL}, {"opening", EBI_COLUMN_OPENING},
    {"flow", EBI_COLUMN_FLOW},    {"unit", EBI_COLUMN_UNIT},     {"note", EBI_COLUMN_NOTE},
    {"side", EBI_COLUMN_SIDE}};

const ebi_yaml *ebi_rows_scalar(ebi_rows *r, const char *text, ebi_where where, const char *key) {
  ebi_yaml *node = EBI_NEW(r->reader->arena, ebi_yaml);
  if (!node || !text) {
    r->failed = true;
    return NULL;
  }
  *node = (ebi_yaml){
      .kind = EBI_YAML_SCALAR, .where = where, .text = text, .length = strlen(text), .key = key};
  return node;
}

/* ---- The header -------------------------------------------------------- */

void ebi_rows_lower(char *text) {
  for (; *text; text++)
    if (*text >= 'A' && *text <= 'Z')
      *text = (char)(*text - 'A' + 'a');
}

/* "Flow (l/s)" is the word "flow" and the unit l/s. */
static char *split_unit(ebi_rows *r, const ebi_yaml *cell, const char **unit) {
  size_t word = strcspn(cell->text, "(");
  bool has_unit = word < cell->length && cell->text[cell->length - 1] == ')';
  *unit = NULL;
  if (has_unit)
    *unit = ebi_arena_text_n(r->reader->arena, cell->text + word + 1, cell->length - word - 2);
  else
    word = cell->length;
  while (word > 0 && cell->text[word - 1] == ' ')
    word--;
  char *text = ebi_arena_text_n(r->reader->arena, cell->text, word);
  r->failed = r->failed || !text || (has_unit && !*unit);
  if (text)
    ebi_rows_lower(text);
  return text;
}

static void unknown_column(ebi_rows *r, const ebi_yaml *cell, const char *word) {
  const char *words[EBI_COUNT_OF(column_words)];
  for (size_t i = 0; i < EBI_COUNT_OF(column_words); i++)
    words[i] = column_words[i].word;
  const char *nearest = ebi_text_nearest(word, words, EBI_COUNT_OF(words));
  if (nearest)
    ebi_read_error(r->reader, cell, "column-unknown", "\"%s\" is no column; did you mean \"%s\"?",
                   ebi_quote(cell->text).text, nearest);
  else
    ebi_read_error(r->reader, cell, "column-unknown",
                   "\"%s\" is no column: they are round, level, terminal, side, opening, flow, "
                   "unit and note",
                   ebi_quote(cell->text).text);
}

static void read_column(ebi_rows *r, const ebi_yaml *cell, int index) {
  const char *unit;
  char *word = split_unit(r, cell, &unit);
  if (!word)
    return;
  for (size_t i = 0; i < EBI_COUNT_OF(column_words); i++) {
    int column = column_words[i].column;
    if (strcmp(column_words[i].word, word) != 0)
      continue;
    if (r->at[column] >= 0)
      ebi_read_error(r->reader, cell, "column-twice", "column \"%s\" stands twice",
                     ebi_quote(cell->text).text);
    r->at[column] = index;
    r->unit[column] = unit;
    return;
  }
  unknown_column(r, cell, word);
}

bool ebi_rows_header(ebi_rows *r) {
  const ebi_sheet_row *header = &r->sheet->rows[0];
  for (int i = 0; i < EBI_COLUMNS; i++)
    r->at[i] = -1;
  for (size_t i = 0; i < header->n_cells; i++)
    if (header->cells[i].length > 0)
      read_column(r, &header->cells[i], (int)i);
  if (r->at[EBI_COLUMN_TERMINAL] < 0 || r->at[EBI_COLUMN_FLOW] < 0)
    ebi_read_error(r->reader, &header->cells[0], "column-missing",
                   "the first row must name the columns terminal and flow, for example "
                   "level%cterminal%cflow%cunit%cnote",
                   r->sheet->separator, r->sheet->separator, r->sheet->separator,
                   r->sheet->separator);
  return r->at[EBI_COLUMN_TERMINAL] >= 0 && r->at[EBI_COLUMN_FLOW] >= 0;
}

/* ---- Cells ------------------------------------------------------------- */

const ebi_yaml *ebi_rows_cell(const ebi_rows *r, const ebi_sheet_row *row,
                              ebi_column_of_rows column) {
  int at = r->at[column];
  return at >= 0 && (size_t)at < row->n_cells && row->cells[at].length > 0 ? &row->cells[at] : NULL;
}

static bool is_digit(char byte) {
  return byte >= '0' && byte <= '9';
}

/* Where cells are not parted by commas, a comma between digits is the decimal sign. */
static void decimal_point(const ebi_rows *r, char *text) {
  char *comma = strchr(text, ',');
  if (r->sheet->separator == ',' || !comma || comma == text || strchr(comma + 1, ',') ||
      strchr(text, '.'))
    return;
  if (is_digit(comma[-1]) && is_digit(comma[1]))
    *comma = '.';
}

static bool is_bare(const char *text) {
  double value;
  size_t used;
  return ebi_number_read(text, strlen(text), &value, &used) == EBI_NUMBER_OK &&
         used == strlen(text);
}

const ebi_yaml *ebi_rows_value(ebi_rows *r, const ebi_yaml *cell, size_t start, size_t length,
                               const char *unit, const char *header_unit) {
  char *text = ebi_arena_text_n(r->reader->arena, cell->text + start, length);
  ebi_where where = cell->where;
  where.column += (int)start;
  if (text) {
    decimal_point(r, text);
    unit = unit || !is_bare(text) ? unit : header_unit;
    if (unit)
      text = ebi_arena_format(r->reader->arena, "%s %s", text, unit);
  }
  return ebi_rows_scalar(r, text, where, cell->key);
}

const ebi_yaml *ebi_rows_flow(ebi_rows *r, const ebi_yaml *cell, const char *unit,
                              const char *header_unit) {
  static const char between[] = " / ";
  size_t count = 1, start = 0;
  for (const char *at = cell->text; (at = strstr(at, between)); at += sizeof between - 1)
    count++;
  if (count == 1)
    return ebi_rows_value(r, cell, 0, cell->length, unit, header_unit);
  const ebi_yaml **items = EBI_NEW_ARRAY(r->reader->arena, const ebi_yaml *, count);
  ebi_yaml *list = EBI_NEW(r->reader->arena, ebi_yaml);
  for (size_t i = 0; items && i < count; i++) {
    const char *end = strstr(cell->text + start, between);
    size_t length = end ? (size_t)(end - cell->text) - start : cell->length - start;
    items[i] = ebi_rows_value(r, cell, start, length, unit, header_unit);
    start += length + sizeof between - 1;
  }
  r->failed = r->failed || !items || !list;
  if (list)
    *list = (ebi_yaml){.kind = EBI_YAML_SEQUENCE,
                       .where = cell->where,
                       .items = items,
                       .count = items ? count : 0,
                       .key = cell->key};
  return list;
}
