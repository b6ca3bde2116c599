/* linear.h - slopes that can be divided by, and two equations */

#ifndef EBI_LINEAR_H
#define EBI_LINEAR_H

#include <stdbool.h>

/* Slopes are not taken below this where they are divided by [Pa/(m3/s)]. */
#define EBI_LEAST_SLOPE 1e-6

/* Sums of one and a product are not divided by below this. */
#define EBI_LEAST_SCALE 1e-2

double ebi_usable_slope(double slope);

/* Solves a x = b for two right-hand sides (columns of b) with partial
 * pivoting. False where the matrix is singular to rounding. */
bool ebi_solve_2x2(double a[2][2], double b[2][2], double x[2][2]);

#endif
