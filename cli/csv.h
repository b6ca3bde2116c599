/* csv.h - comma-separated values after RFC 4180 */

#ifndef CLI_CSV_H
#define CLI_CSV_H

#include <stdio.h>

/* Writes fields one after the other; a line ends with csv_end (CR LF). */
typedef struct cli_csv {
  FILE *out;
  int column;
} cli_csv;

/* Quoted where it must be. */
void csv_text(cli_csv *csv, const char *text);

/* Several texts in one field, apart by "; ". */
void csv_texts(cli_csv *csv, const char *const *texts, size_t count);

/* At most 12 significant digits; nothing where it is not finite. */
void csv_number(cli_csv *csv, double value);

void csv_end(cli_csv *csv);

/* A line of names. */
void csv_heads(cli_csv *csv, const char *const *names, size_t count);

#endif
