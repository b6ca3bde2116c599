/* readings_rows.h - readings typed row by row: shared by readings_rows.c and readings_columns.c */

#ifndef EBI_READINGS_ROWS_H
#define EBI_READINGS_ROWS_H

#include "input/growing.h"
#include "input/readings_read.h"

typedef enum ebi_column_of_rows {
  EBI_COLUMN_ROUND,
  EBI_COLUMN_LEVEL,
  EBI_COLUMN_TERMINAL,
  EBI_COLUMN_OPENING,
  EBI_COLUMN_FLOW,
  EBI_COLUMN_UNIT,
  EBI_COLUMN_NOTE,
  EBI_COLUMN_SIDE,
  EBI_COLUMNS
} ebi_column_of_rows;

typedef struct ebi_rows {
  ebi_reader *reader;
  const ebi_sheet *sheet;
  int at[EBI_COLUMNS];           /* the cell of each column, -1 where there is none */
  const char *unit[EBI_COLUMNS]; /* written in the header, "flow (l/s)", or NULL */
  struct ebi_rows_round *rounds;
  size_t n_rounds, capacity;
  ebi_names names;   /* of rounds */
  const char *round; /* of the row above */
  const ebi_yaml *level;
  bool failed; /* memory ran out */
} ebi_rows;

/* Reads the first row; false after an error that makes the others pointless. */
bool ebi_rows_header(ebi_rows *r);

/* The cell of a column, NULL where it is blank. */
const ebi_yaml *ebi_rows_cell(const ebi_rows *r, const ebi_sheet_row *row,
                              ebi_column_of_rows column);

/* A node of the tree; NULL (and failed) when memory ran out or text is NULL. */
const ebi_yaml *ebi_rows_scalar(ebi_rows *r, const char *text, ebi_where where, const char *key);

/* Part of a cell with its unit: of the unit's column, else of the header where it is bare. */
const ebi_yaml *ebi_rows_value(ebi_rows *r, const ebi_yaml *cell, size_t start, size_t length,
                               const char *unit, const char *header_unit);

/* One value, or a list of readings parted by " / ". */
const ebi_yaml *ebi_rows_flow(ebi_rows *r, const ebi_yaml *cell, const char *unit,
                              const char *header_unit);

/* Letters of ASCII alone. */
void ebi_rows_lower(char *text);

#endif
