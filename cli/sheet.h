/* sheet.h - aligned columns of text: the first to the left, numbers to the right */

#ifndef CLI_SHEET_H
#define CLI_SHEET_H

#include <stdbool.h>
#include <stdio.h>

#include "units.h"

typedef struct cli_sheet cli_sheet;

/* NULL when memory ran out; the functions below accept that, and print then
 * reports it. `left` has one letter a column: 'l' or 'r'. */
cli_sheet *sheet_new(const char *align);
void sheet_free(cli_sheet *sheet);

/* Cells fill rows from left to right. */
#if defined __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
void sheet_cell(cli_sheet *sheet, const char *format, ...);

/* An empty cell. */
void sheet_skip(cli_sheet *sheet);

/* A number of SI in a unit of the set, or "-" for NAN. */
void sheet_value(cli_sheet *sheet, const cli_unit *unit, double si);

/* Columns of a text in UTF-8: bytes that do not continue a character. */
size_t sheet_width(const char *text);

/* Writes the rows; trailing blanks are dropped. False when memory had run out. */
bool sheet_print(const cli_sheet *sheet, FILE *out);

/* An empty line and the rows; frees the sheet. */
bool sheet_finish(cli_sheet *sheet, FILE *out);

/* What stands in it, for those who lay it out otherwise. */
size_t sheet_columns(const cli_sheet *sheet);
size_t sheet_rows(const cli_sheet *sheet);
const char *sheet_text(const cli_sheet *sheet, size_t row, size_t column);
bool sheet_right(const cli_sheet *sheet, size_t column); /* a column of numbers */

/* False where memory had run out, NULL included. */
bool sheet_complete(const cli_sheet *sheet);

#endif
