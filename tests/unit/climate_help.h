/* climate_help.h - files of weather read plainly, as they stand, beside the library's own reader */

#ifndef CLIMATE_HELP_H
#define CLIMATE_HELP_H

#include "model/tables.h"

/* "SRCDIR/PATH". */
const char *climate_help_path(ebi_arena *arena, const char *path);

/* The 8759 hours of tables/climates/seattle-hours.csv, without the first of January, which is
 * missing: what the published sums are of. k 0.71. */
ebi_climate *climate_help_seattle(ebi_arena *arena);

/* The 8759 hours of tests/data/san-francisco.csv [C]. */
size_t climate_help_san_francisco(double *hours, size_t most);

/* Daily extremes of "seattle" or "new-york", 2012 to 2015. k 0.71. */
ebi_climate *climate_help_days(ebi_arena *arena, const char *place, int year);

#endif
