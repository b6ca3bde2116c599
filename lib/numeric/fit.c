/* fit.c - least squares with prior knowledge, through GSL's trust-region solver */

#include "numeric/fit.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <string.h>

#include "numeric/cholesky.h"

#define STEP 1e-3 /* of a standard deviation, for derivatives */
#define STEPS_AT_MOST 400 /* gross mistakes among the readings have needed 116 */
#define SAME_UNKNOWNS 1e-4
#define SAME_GRADIENT 1e-6
#define SAME_COST 0.0 /* the other two decide */

/* What GSL's callbacks need. */
typedef struct solving {
  const ebi_fit_problem *problem;
  double *shifted, *here, *moved; /* unknowns, and residuals in hand and beside */
  eb_status status;               /* the first that was not EB_OK */
} solving;

/* Data first, then the prior: each unknown over its standard deviation, which is 1. */
static int all_residuals(const gsl_vector *x, void *user, gsl_vector *f) {
  solving *s = user;
  const ebi_fit_problem *problem = s->problem;
  for (size_t i = 0; i < problem->n_unknowns; i++) {
    s->shifted[i] = gsl_vector_get(x, i);
    gsl_vector_set(f, problem->n_data + i, s->shifted[i]);
  }
  eb_status status = problem->residuals(s->shifted, gsl_vector_ptr(f, 0), problem->user);
  if (status != EB_OK && s->status == EB_OK)
    s->status = status;
  return status == EB_OK ? GSL_SUCCESS : GSL_EFAILED;
}

/* Residuals at `unknowns` into `here` and, by forward differences, slopes in rows `stride` apart:
 * their error is far below what readings tell. `unknowns` are lent and given back as they were. */
static eb_status slopes_at(const ebi_fit_problem *problem, double *unknowns, double *here,
                           double *moved, double *slopes, size_t stride) {
  eb_status status = problem->residuals(unknowns, here, problem->user);
  for (size_t j = 0; status == EB_OK && j < problem->n_unknowns; j++) {
    double kept = unknowns[j];
    unknowns[j] += STEP;
    status = problem->residuals(unknowns, moved, problem->user);
    for (size_t i = 0; status == EB_OK && i < problem->n_data; i++)
      slopes[i * stride + j] = (moved[i] - here[i]) / STEP;
    unknowns[j] = kept;
  }
  return status;
}

static int all_slopes(const gsl_vector *x, void *user, gsl_matrix *slopes) {
  solving *s = user;
  const ebi_fit_problem *problem = s->problem;
  gsl_matrix_set_zero(slopes);
  for (size_t i = 0; i < problem->n_unknowns; i++) {
    s->shifted[i] = gsl_vector_get(x, i);
    gsl_matrix_set(slopes, problem->n_data + i, i, 1.0);
  }
  eb_status status = slopes_at(problem, s->shifted, s->here, s->moved, slopes->data, slopes->tda);
  if (status != EB_OK && s->status == EB_OK)
    s->status = status;
  return status == EB_OK ? GSL_SUCCESS : GSL_EFAILED;
}

static eb_status status_of(const solving *s, int code) {
  if (s->status != EB_OK)
    return s->status;
  if (code == GSL_ENOMEM)
    return EB_E_MEMORY;
  return code == GSL_SUCCESS ? EB_OK : EB_E_DIVERGED;
}

/* ---- Taking the result out ---- */

static void take_vector(const gsl_vector *from, double *to, size_t count) {
  for (size_t i = 0; i < count; i++)
    to[i] = gsl_vector_get(from, i);
}

static void take_matrix(const gsl_matrix *from, double *to, size_t rows, size_t columns) {
  for (size_t i = 0; i < rows; i++)
    for (size_t j = 0; j < columns; j++)
      to[i * columns + j] = gsl_matrix_get(from, i, j);
}

static bool make_room(ebi_arena *arena, const ebi_fit_problem *problem, ebi_fit *fit) {
  size_t n = problem->n_unknowns, m = problem->n_data;
  if (fit->unknowns == NULL)
    fit->unknowns = EBI_NEW_ARRAY(arena, double, n + 1);
  fit->residuals = EBI_NEW_ARRAY(arena, double, m + 1);
  fit->jacobian = EBI_NEW_ARRAY(arena, double, m *n + 1);
  fit->covariance = EBI_NEW_ARRAY(arena, double, n *n + 1);
  return fit->unknowns != NULL && fit->residuals != NULL && fit->jacobian != NULL &&
         fit->covariance != NULL;
}

/* Laplace's approximation. */
static bool take_evidence(ebi_arena *arena, size_t n, ebi_fit *fit) {
  double *factor = EBI_NEW_ARRAY(arena, double, n *n);
  if (factor == NULL)
    return false;
  memcpy(factor, fit->covariance, n * n * sizeof *factor);
  fit->log_evidence = -0.5 * fit->cost;
  if (!ebi_cholesky(factor, n))
    fit->log_evidence = -HUGE_VAL;
  for (size_t i = 0; i < n; i++)
    fit->log_evidence += log(factor[i * n + i]);
  return true;
}

static eb_status take_result(ebi_arena *arena, const ebi_fit_problem *problem,
                             gsl_multifit_nlinear_workspace *work, ebi_fit *fit) {
  size_t n = problem->n_unknowns, m = problem->n_data;
  const gsl_vector *f = gsl_multifit_nlinear_residual(work);
  gsl_matrix *covariance = gsl_matrix_alloc(n, n);
  if (covariance == NULL)
    return EB_E_MEMORY;
  int code = gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(work), 0.0, covariance);
  if (code == GSL_SUCCESS) {
    take_vector(gsl_multifit_nlinear_position(work), fit->unknowns, n);
    take_vector(f, fit->residuals, m);
    take_matrix(gsl_multifit_nlinear_jac(work), fit->jacobian, m, n);
    take_matrix(covariance, fit->covariance, n, n);
    fit->cost = 0.0;
    for (size_t i = 0; i < m + n; i++)
      fit->cost += gsl_vector_get(f, i) * gsl_vector_get(f, i);
    fit->steps = (int)gsl_multifit_nlinear_niter(work);
  }
  gsl_matrix_free(covariance);
  if (code != GSL_SUCCESS || !isfinite(fit->cost))
    return EB_E_DIVERGED;
  return take_evidence(arena, n, fit) ? EB_OK : EB_E_MEMORY;
}

/* ---- The fit ---- */

static eb_status drive(ebi_arena *arena, const ebi_fit_problem *problem, solving *s, ebi_fit *fit,
                       gsl_multifit_nlinear_workspace *work) {
  gsl_multifit_nlinear_fdf functions = {.f = all_residuals,
                                        .df = all_slopes,
                                        .n = problem->n_data + problem->n_unknowns,
                                        .p = problem->n_unknowns,
                                        .params = s};
  gsl_vector_const_view start = gsl_vector_const_view_array(fit->unknowns, problem->n_unknowns);
  int why = 0;
  int code = gsl_multifit_nlinear_init(&start.vector, &functions, work);
  if (code == GSL_SUCCESS)
    code = gsl_multifit_nlinear_driver(STEPS_AT_MOST, SAME_UNKNOWNS, SAME_GRADIENT, SAME_COST, NULL,
                                       NULL, &why, work);
  if (code == GSL_ENOPROG) /* no step lowers the cost: it is as low as rounding lets it be */
    code = GSL_SUCCESS;
  eb_status status = status_of(s, code);
  return status == EB_OK ? take_result(arena, problem, work, fit) : status;
}

/* Without data all is as expected. */
static eb_status nothing_read(size_t n, ebi_fit *fit) {
  for (size_t i = 0; i < n; i++) {
    fit->unknowns[i] = 0.0;
    for (size_t j = 0; j < n; j++)
      fit->covariance[i * n + j] = i == j ? 1.0 : 0.0;
  }
  fit->cost = fit->log_evidence = 0.0;
  fit->steps = 0;
  return EB_OK;
}

eb_status ebi_fit_solve(ebi_arena *arena, const ebi_fit_problem *problem, ebi_fit *fit) {
  solving s = {.problem = problem,
               .shifted = EBI_NEW_ARRAY(arena, double, problem->n_unknowns + 1),
               .here = EBI_NEW_ARRAY(arena, double, problem->n_data + 1),
               .moved = EBI_NEW_ARRAY(arena, double, problem->n_data + 1)};
  if (problem->n_unknowns == 0)
    return EB_E_ARGUMENT;
  if (s.shifted == NULL || s.here == NULL || s.moved == NULL || !make_room(arena, problem, fit))
    return EB_E_MEMORY;
  if (problem->n_data == 0)
    return nothing_read(problem->n_unknowns, fit);
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters();
  parameters.solver = gsl_multifit_nlinear_solver_cholesky;
  gsl_multifit_nlinear_workspace *work =
      gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &parameters,
                                 problem->n_data + problem->n_unknowns, problem->n_unknowns);
  if (work == NULL)
    return EB_E_MEMORY;
  eb_status status = drive(arena, problem, &s, fit, work);
  gsl_multifit_nlinear_free(work);
  return status;
}

eb_status ebi_fit_look(ebi_arena *arena, const ebi_fit_problem *problem, ebi_fit *fit) {
  double *moved = EBI_NEW_ARRAY(arena, double, problem->n_data + 1);
  if (moved == NULL || !make_room(arena, problem, fit))
    return EB_E_MEMORY;
  return slopes_at(problem, fit->unknowns, fit->residuals, moved, fit->jacobian,
                   problem->n_unknowns);
}
