/* draws.h - draws from a normal distribution, the same ones every time */

#ifndef EBI_DRAWS_H
#define EBI_DRAWS_H

#include "base/arena.h"
#include "evenbreath.h"

/* `count` standard normal numbers of a generator that starts at `seed`. */
EB_MUST_USE eb_status ebi_draws_plain(ebi_arena *arena, unsigned long seed, size_t count,
                                      double **draws);

/* `count` x `n` numbers, row by row, of mean 0 and this covariance (n x n, positive definite:
 * else EB_E_RANGE). */
EB_MUST_USE eb_status ebi_draws_together(ebi_arena *arena, unsigned long seed,
                                         const double *covariance, size_t n, size_t count,
                                         double **draws);

#endif
