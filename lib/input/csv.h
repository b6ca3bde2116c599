/* csv.h - rows of a table in text, each cell with its place
 *
 * Cells are parted by ',' or ';', whichever the header has; blanks about them
 * and one pair of '"' are taken off. Empty lines and those that begin with '#'
 * are passed over. UTF-8 with or without BOM; LF or CRLF. */

#ifndef EBI_CSV_H
#define EBI_CSV_H

#include "base/context.h"

#define EBI_CSV_CELLS 64 /* of a row; what is further right is not looked at */

typedef struct ebi_csv_cell {
  const char *text; /* not ended */
  size_t length;
  int column;
} ebi_csv_cell;

typedef struct ebi_csv {
  eb_context *context;
  const char *file, *bytes;
  size_t length, at;
  int line; /* of the row in `cells` */
  char separator;
  ebi_csv_cell cells[EBI_CSV_CELLS];
  size_t n_cells; /* of the whole row, also where it is more than are kept */
} ebi_csv;

/* At the header, which finds the separator. False where there is none. */
bool ebi_csv_start(ebi_csv *csv, eb_context *context, const char *file, const char *bytes,
                   size_t length);

/* The next row; false at the end. */
bool ebi_csv_next(ebi_csv *csv);

/* How many rows come after this one. */
size_t ebi_csv_rest(const ebi_csv *csv);

/* The cell as it is shown in a message, cut. */
typedef struct ebi_csv_words {
  char text[72];
} ebi_csv_words;
ebi_csv_words ebi_csv_show(const ebi_csv_cell *cell);

/* The place of a column, counted from 1, in the line of the row. */
ebi_where ebi_csv_where(const ebi_csv *csv, int column);

#endif
