/* csv.c - rows of a table in text, each cell with its place */

#include "input/csv.h"

#include <string.h>

#include "input/quote.h"

static bool blank(char c) {
  return c == ' ' || c == '\t' || c == '\r';
}

/* One past the last byte of the line from `at`, its '\n' not counted. */
static size_t line_end(const ebi_csv *csv, size_t at) {
  const char *end = memchr(csv->bytes + at, '\n', csv->length - at);
  return end ? (size_t)(end - csv->bytes) : csv->length;
}

static bool passed_over(const char *line, size_t length) {
  while (length > 0 && blank(*line)) {
    line++;
    length--;
  }
  return length == 0 || *line == '#';
}

/* Steps over lines that hold nothing; the row's span, false at the end. */
static bool find_row(ebi_csv *csv, size_t *start, size_t *end) {
  while (csv->at < csv->length) {
    *start = csv->at;
    *end = line_end(csv, csv->at);
    csv->at = *end < csv->length ? *end + 1 : csv->length;
    csv->line++;
    if (!passed_over(csv->bytes + *start, *end - *start))
      return true;
  }
  return false;
}

static ebi_csv_cell make_cell(const char *line, size_t from, size_t to) {
  while (from < to && blank(line[from]))
    from++;
  while (to > from && blank(line[to - 1]))
    to--;
  if (to - from >= 2 && line[from] == '"' && line[to - 1] == '"') {
    from++;
    to--;
  }
  return (ebi_csv_cell){line + from, to - from, (int)from + 1};
}

bool ebi_csv_next(ebi_csv *csv) {
  size_t start, end;
  if (!find_row(csv, &start, &end))
    return false;
  const char *line = csv->bytes + start;
  size_t length = end - start, from = 0;
  csv->n_cells = 0;
  for (size_t i = 0; i <= length; i++) {
    if (i < length && line[i] != csv->separator)
      continue;
    if (csv->n_cells < EBI_CSV_CELLS)
      csv->cells[csv->n_cells] = make_cell(line, from, i);
    csv->n_cells++;
    from = i + 1;
  }
  return true;
}

bool ebi_csv_start(ebi_csv *csv, eb_context *context, const char *file, const char *bytes,
                   size_t length) {
  *csv = (ebi_csv){
      .context = context, .file = file, .bytes = bytes, .length = length, .separator = ','};
  if (length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0)
    csv->at = 3;
  ebi_csv before = *csv;
  size_t start, end;
  if (!find_row(csv, &start, &end))
    return false;
  if (memchr(bytes + start, ';', end - start) != NULL)
    before.separator = ';';
  *csv = before;
  return ebi_csv_next(csv);
}

size_t ebi_csv_rest(const ebi_csv *csv) {
  ebi_csv ahead = *csv;
  size_t count = 0, start, end;
  while (find_row(&ahead, &start, &end))
    count++;
  return count;
}

ebi_csv_words ebi_csv_show(const ebi_csv_cell *cell) {
  char text[72];
  size_t length = cell->length < sizeof text ? cell->length : sizeof text - 1;
  memcpy(text, cell->text, length);
  text[length] = '\0';
  ebi_csv_words words;
  memcpy(words.text, ebi_quote(text).text, sizeof words.text);
  return words;
}

ebi_where ebi_csv_where(const ebi_csv *csv, int column) {
  return (ebi_where){csv->file, csv->line, column};
}
