#include "csv.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

static void begin_field(cli_csv *csv) {
  if (csv->column++ > 0)
    fputc(',', csv->out);
}

/* Commas, quotes and line ends (RFC 4180, 2.6); blanks at an end, which some readers drop. */
static bool needs_quotes(const char *text) {
  size_t length = strlen(text);
  return text[strcspn(text, ",\"\r\n")] != '\0' ||
         (length > 0 && (text[0] == ' ' || text[length - 1] == ' '));
}

static void put_doubled(FILE *out, const char *text) {
  for (; *text; text++) {
    if (*text == '"')
      fputc('"', out);
    fputc(*text, out);
  }
}

void csv_texts(cli_csv *csv, const char *const *texts, size_t count) {
  bool quoted = false;
  for (size_t i = 0; i < count; i++)
    quoted = quoted || needs_quotes(texts[i]);
  begin_field(csv);
  if (quoted)
    fputc('"', csv->out);
  for (size_t i = 0; i < count; i++) {
    fputs(i ? "; " : "", csv->out);
    put_doubled(csv->out, texts[i]);
  }
  if (quoted)
    fputc('"', csv->out);
}

void csv_text(cli_csv *csv, const char *text) {
  csv_texts(csv, &text, 1);
}

void csv_number(cli_csv *csv, double value) {
  begin_field(csv);
  if (isfinite(value))
    fprintf(csv->out, "%.12g", value);
}

void csv_end(cli_csv *csv) {
  fputs("\r\n", csv->out);
  csv->column = 0;
}

void csv_heads(cli_csv *csv, const char *const *names, size_t count) {
  for (size_t i = 0; i < count; i++)
    csv_text(csv, names[i]);
  csv_end(csv);
}
