/* compare.h - houses side by side: the pieces of evenbreath compare */

#ifndef CLI_COMPARE_H
#define CLI_COMPARE_H

#include "command.h"

bool compare_text(const cli_run *runs, size_t count, FILE *out);
bool compare_json(const cli_run *runs, size_t count, json_t *object);

/* The unit in which people read a figure given in `unit` of the library; `step`
 * is what it is rounded to. */
cli_unit compare_unit(const cli_units *units, const char *unit, const char *currency, double step);

cli_unit compare_unit_of(const cli_run *runs, const eb_compare_row *row);

enum { COMPARE_CELL = 64 };

/* A value as it is shown, "-" where it is not known; who wins the row, and by how much; what stands
 * above a group of rows. */
void compare_value(const cli_unit *unit, const eb_compare_row *row, size_t house,
                   char text[COMPARE_CELL]);
void compare_better(const cli_run *runs, size_t count, const eb_compare_row *row,
                    char text[COMPARE_CELL]);
const char *compare_group_title(const char *group);

/* What is compared beside rates and ducts, into the run; all of them, into runs[count]. */
eb_status compare_rest(cli_run *run);
eb_status compare_together(cli_run *runs, size_t count);

/* What differs between the files, as text. */
void differences_text(const cli_run *runs, size_t count, FILE *out);

#endif
