/* cholesky.h - triangular factor of a symmetric positive definite matrix */

#ifndef EBI_CHOLESKY_H
#define EBI_CHOLESKY_H

#include <stdbool.h>
#include <stddef.h>

/* Row by row, n x n; the lower triangle becomes the factor, what stands above it is not used. False
 * where it is not positive definite or holds NAN. (GSL's own calls its handler then.) */
bool ebi_cholesky(double *matrix, size_t n);

/* The whole inverse in the place of a factor. */
void ebi_cholesky_invert(double *factor, size_t n);

#endif
