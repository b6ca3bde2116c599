/* wrapped.h - texts side by side, each wrapped at blanks within its column */

#ifndef CLI_WRAPPED_H
#define CLI_WRAPPED_H

#include <stddef.h>
#include <stdio.h>

#define WRAPPED_COLUMNS 24

/* Writes one row of up to WRAPPED_COLUMNS cells, two blanks apart, in as many
 * lines as it takes. Words wider than their column are cut. */
void wrapped_row(const char *const *cells, const size_t *widths, size_t count, FILE *out);

#endif
