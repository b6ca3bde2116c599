/* sparse.h - sparse linear systems: CHOLMOD for symmetric positive definite
 * ones, KLU for the rest. The pattern is analysed once, values change. */

#ifndef EBI_SPARSE_H
#define EBI_SPARSE_H

#include "base/arena.h"

typedef struct ebi_sparse ebi_sparse;

typedef enum ebi_sparse_kind { EBI_SPARSE_SYMMETRIC, EBI_SPARSE_GENERAL } ebi_sparse_kind;

/* A system of `n` unknowns with `count` entries at (row[i], column[i]);
 * entries at the same place add up. Of a symmetric one give both triangles or
 * only one: entries above the diagonal are ignored. */
EB_MUST_USE eb_status ebi_sparse_new(ebi_arena *arena, ebi_sparse_kind kind, size_t n,
                                     const size_t *row, const size_t *column, size_t count,
                                     ebi_sparse **sparse);
void ebi_sparse_free(ebi_sparse *sparse);

/* Solves with `values` (count of them, order of ebi_sparse_new); `rhs` becomes
 * the solution. EB_E_NO_SOLUTION where the matrix is singular or, of a
 * symmetric one, not positive definite. */
EB_MUST_USE eb_status ebi_sparse_solve(ebi_sparse *sparse, const double *values, double *rhs);

#endif
