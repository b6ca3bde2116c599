/* sort.h - numbers in rising order, through GSL's heap sort
 *
 * The C library's qsort may ask for memory, past the library's one door. */

#ifndef EBI_SORT_H
#define EBI_SORT_H

#include <stddef.h>

/* In place; finite numbers. */
void ebi_sort_rising(double *values, size_t n);

#endif
