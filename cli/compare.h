/* compare.h - houses side by side: the pieces of evenbreath compare */

#ifndef CLI_COMPARE_H
#define CLI_COMPARE_H

#include "command.h"

bool compare_text(const cli_run *runs, size_t count, FILE *out);
bool compare_json(const cli_run *runs, size_t count, json_t *object);

/* The unit in which people read a figure given in `unit` of the library; `step`
 * is what it is rounded to. */
cli_unit compare_unit(const cli_units *units, const char *unit, const char *currency, double step);

/* What differs between the files, as text. */
void differences_text(const cli_run *runs, size_t count, FILE *out);

#endif
