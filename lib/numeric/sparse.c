/* sparse.c - CHOLMOD and KLU behind one door
 *
 * CHOLMOD: Chen, Davis, Hager & Rajamanickam 2008, simplicial LL' in the order
 * of AMD (duct cores are far too thin for supernodes). KLU: Davis & Palamadai
 * Natarajan 2010, block triangular form with partial pivoting; it is factored
 * afresh each time, so that a solution does not depend on the pivots of an
 * earlier one. */

#include "numeric/sparse.h"

#include <limits.h>
#include <math.h>
#include <string.h>
#include <suitesparse/cholmod.h>
#include <suitesparse/klu.h>

struct ebi_sparse {
  ebi_sparse_kind kind;
  int n;
  size_t count;
  int *start, *row; /* columns compressed, rows rising in each */
  double *entries;
  int *place; /* of each given entry in `entries`, or -1: ignored */

  cholmod_common common;
  cholmod_sparse matrix;
  cholmod_factor *factor;
  cholmod_dense *solution, *work_y, *work_e;

  klu_common klu;
  klu_symbolic *symbolic;
};

/* ---- Pattern ---- */

static bool used(ebi_sparse_kind kind, size_t row, size_t column) {
  return kind == EBI_SPARSE_GENERAL || row >= column;
}

/* Lists the used entries sorted by `key`, keeping the order they are in. */
static void sort_by(const size_t *key, const int *from, int *to, int many, int *offset, int n) {
  memset(offset, 0, ((size_t)n + 1) * sizeof *offset);
  for (int i = 0; i < many; i++)
    offset[key[from[i]] + 1]++;
  for (int k = 0; k < n; k++)
    offset[k + 1] += offset[k];
  for (int i = 0; i < many; i++)
    to[offset[key[from[i]]]++] = from[i];
}

/* Entries at the same place share one number. `order` lists them by column, then row. */
static void compress(ebi_sparse *s, const size_t *row, const size_t *column, const int *order,
                     int many) {
  int next = 0;
  memset(s->start, 0, ((size_t)s->n + 1) * sizeof *s->start);
  for (int i = 0; i < many; i++) {
    int e = order[i], last = i > 0 ? order[i - 1] : -1;
    if (last < 0 || row[e] != row[last] || column[e] != column[last]) {
      s->row[next++] = (int)row[e];
      s->start[column[e] + 1]++;
    }
    s->place[e] = next - 1;
  }
  for (int k = 0; k < s->n; k++)
    s->start[k + 1] += s->start[k];
}

static eb_status pattern(ebi_arena *arena, ebi_sparse *s, const size_t *row, const size_t *column) {
  size_t n = (size_t)s->n;
  s->start = EBI_NEW_ARRAY(arena, int, n + 1);
  s->row = EBI_NEW_ARRAY(arena, int, s->count);
  s->entries = EBI_NEW_ARRAY(arena, double, s->count);
  s->place = EBI_NEW_ARRAY(arena, int, s->count);
  int *first = EBI_NEW_ARRAY(arena, int, s->count), *second = EBI_NEW_ARRAY(arena, int, s->count);
  int *offset = EBI_NEW_ARRAY(arena, int, n + 1);
  if (s->start == NULL || s->row == NULL || s->entries == NULL || s->place == NULL ||
      first == NULL || second == NULL || offset == NULL)
    return EB_E_MEMORY;
  int many = 0;
  for (size_t i = 0; i < s->count; i++) {
    s->place[i] = -1;
    if (used(s->kind, row[i], column[i]))
      first[many++] = (int)i;
  }
  sort_by(row, first, second, many, offset, s->n);
  sort_by(column, second, first, many, offset, s->n);
  compress(s, row, column, first, many);
  return EB_OK;
}

/* ---- CHOLMOD ---- */

static eb_status cholmod_status(const cholmod_common *common) {
  return common->status == CHOLMOD_OUT_OF_MEMORY ? EB_E_MEMORY : EB_E_NO_SOLUTION;
}

static eb_status cholmod_prepare(ebi_sparse *s) {
  cholmod_start(&s->common);
  s->common.print = 0;
  s->common.try_catch = 1;
  s->common.nmethods = 1;
  s->common.method[0].ordering = CHOLMOD_AMD;
  s->common.supernodal = CHOLMOD_SIMPLICIAL;
  s->common.final_ll = 1;
  s->matrix = (cholmod_sparse){.nrow = (size_t)s->n,
                               .ncol = (size_t)s->n,
                               .nzmax = (size_t)s->start[s->n],
                               .p = s->start,
                               .i = s->row,
                               .x = s->entries,
                               .stype = -1,
                               .itype = CHOLMOD_INT,
                               .xtype = CHOLMOD_REAL,
                               .dtype = CHOLMOD_DOUBLE,
                               .sorted = 1,
                               .packed = 1};
  s->factor = cholmod_analyze(&s->matrix, &s->common);
  return s->factor != NULL ? EB_OK : cholmod_status(&s->common);
}

static eb_status cholmod_run(ebi_sparse *s, double *rhs) {
  size_t n = (size_t)s->n;
  if (!cholmod_factorize(&s->matrix, s->factor, &s->common) || s->common.status < CHOLMOD_OK)
    return cholmod_status(&s->common);
  if (s->common.status != CHOLMOD_OK || s->factor->minor < n)
    return EB_E_NO_SOLUTION;
  cholmod_dense right = {.nrow = n,
                         .ncol = 1,
                         .nzmax = n,
                         .d = n,
                         .x = rhs,
                         .xtype = CHOLMOD_REAL,
                         .dtype = CHOLMOD_DOUBLE};
  if (!cholmod_solve2(CHOLMOD_A, s->factor, &right, NULL, &s->solution, NULL, &s->work_y,
                      &s->work_e, &s->common))
    return cholmod_status(&s->common);
  memcpy(rhs, s->solution->x, n * sizeof *rhs);
  return EB_OK;
}

/* ---- KLU ---- */

static eb_status klu_status(const klu_common *common) {
  return common->status == KLU_OUT_OF_MEMORY ? EB_E_MEMORY : EB_E_NO_SOLUTION;
}

static eb_status klu_prepare(ebi_sparse *s) {
  klu_defaults(&s->klu);
  s->klu.tol = 0.1; /* accuracy before sparsity: cores are small */
  s->symbolic = klu_analyze(s->n, s->start, s->row, &s->klu);
  return s->symbolic != NULL ? EB_OK : klu_status(&s->klu);
}

static eb_status klu_run(ebi_sparse *s, double *rhs) {
  klu_numeric *numeric = klu_factor(s->start, s->row, s->entries, s->symbolic, &s->klu);
  if (numeric == NULL)
    return klu_status(&s->klu);
  bool done = s->klu.status == KLU_OK && klu_solve(s->symbolic, numeric, s->n, 1, rhs, &s->klu);
  eb_status status = done ? EB_OK : klu_status(&s->klu);
  klu_free_numeric(&numeric, &s->klu);
  return status;
}

/* ---- The door ---- */

eb_status ebi_sparse_new(ebi_arena *arena, ebi_sparse_kind kind, size_t n, const size_t *row,
                         const size_t *column, size_t count, ebi_sparse **sparse) {
  if (n == 0 || n >= INT_MAX || count >= INT_MAX)
    return EB_E_ARGUMENT;
  ebi_sparse *s = EBI_NEW(arena, ebi_sparse);
  if (s == NULL)
    return EB_E_MEMORY;
  s->kind = kind;
  s->n = (int)n;
  s->count = count;
  eb_status status = pattern(arena, s, row, column);
  if (status != EB_OK)
    return status;
  status = kind == EBI_SPARSE_SYMMETRIC ? cholmod_prepare(s) : klu_prepare(s);
  if (status != EB_OK) {
    ebi_sparse_free(s);
    return status;
  }
  *sparse = s;
  return EB_OK;
}

void ebi_sparse_free(ebi_sparse *s) {
  if (s == NULL)
    return;
  if (s->kind == EBI_SPARSE_SYMMETRIC) {
    cholmod_free_factor(&s->factor, &s->common);
    cholmod_free_dense(&s->solution, &s->common);
    cholmod_free_dense(&s->work_y, &s->common);
    cholmod_free_dense(&s->work_e, &s->common);
    cholmod_finish(&s->common);
  } else {
    klu_free_symbolic(&s->symbolic, &s->klu);
  }
}

static bool all_finite(const double *x, int n) {
  for (int i = 0; i < n; i++) {
    if (!isfinite(x[i]))
      return false;
  }
  return true;
}

eb_status ebi_sparse_solve(ebi_sparse *s, const double *values, double *rhs) {
  memset(s->entries, 0, (size_t)s->start[s->n] * sizeof *s->entries);
  for (size_t i = 0; i < s->count; i++) {
    if (s->place[i] >= 0)
      s->entries[s->place[i]] += values[i];
  }
  if (!all_finite(s->entries, s->start[s->n]) || !all_finite(rhs, s->n))
    return EB_E_NO_SOLUTION;
  eb_status status = s->kind == EBI_SPARSE_SYMMETRIC ? cholmod_run(s, rhs) : klu_run(s, rhs);
  if (status == EB_OK && !all_finite(rhs, s->n))
    return EB_E_NO_SOLUTION;
  return status;
}
