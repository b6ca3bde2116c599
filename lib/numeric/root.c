/* root.c - Brent's method of GSL behind checks that keep its error handler out of reach */

#include "numeric/root.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

#define STEPS_MAX 200
#define STATE_DOUBLES 32 /* GSL 2.7 uses 8 */

/* GSL calls its handler where a value is not finite, so such a value is noted here and shown to
 * it as a zero, which ends the search. */
typedef struct watched {
  ebi_function f;
  bool failed;
} watched;

static double watched_call(double x, void *data) {
  watched *w = data;
  double y = w->f.call(x, w->f.data);
  if (isfinite(y))
    return y;
  w->failed = true;
  return 0.0;
}

static eb_status iterate(gsl_root_fsolver *solver, const watched *w, double tolerance,
                         double *root) {
  for (int step = 0; step < STEPS_MAX; step++) {
    if (gsl_root_fsolver_iterate(solver) != GSL_SUCCESS || w->failed)
      return EB_E_DIVERGED;
    double low = gsl_root_fsolver_x_lower(solver), high = gsl_root_fsolver_x_upper(solver);
    if (gsl_root_test_interval(low, high, tolerance, 0.0) == GSL_SUCCESS) {
      *root = gsl_root_fsolver_root(solver);
      return EB_OK;
    }
  }
  return EB_E_DIVERGED;
}

/* Brent's own state stands on the stack: a root takes no memory, so that plain physics may ask
 * for one. */
static eb_status solve_inside(watched *w, double low, double high, double tolerance, double *root) {
  double state[STATE_DOUBLES];
  gsl_root_fsolver solver = {.type = gsl_root_fsolver_brent, .state = state};
  gsl_function function = {.function = watched_call, .params = w};
  if (solver.type->size > sizeof state)
    return EB_E_MEMORY;
  if (gsl_root_fsolver_set(&solver, &function, low, high) != GSL_SUCCESS || w->failed)
    return EB_E_DIVERGED;
  return iterate(&solver, w, tolerance, root);
}

eb_status ebi_root(ebi_function f, double low, double high, double tolerance, double *root) {
  if (!isfinite(low) || !isfinite(high) || !(low < high) || !(tolerance > 0.0))
    return EB_E_ARGUMENT;
  watched w = {.f = f};
  double at_low = watched_call(low, &w), at_high = watched_call(high, &w);
  if (w.failed)
    return EB_E_DIVERGED;
  if (at_low == 0.0 || at_high == 0.0) {
    *root = at_low == 0.0 ? low : high;
    return EB_OK;
  }
  if ((at_low < 0.0) == (at_high < 0.0))
    return EB_E_NO_SOLUTION;
  return solve_inside(&w, low, high, tolerance, root);
}

double ebi_root_rising(ebi_function f, double low, double high, double tolerance) {
  double root = NAN;
  if (f.call(low, f.data) >= 0.0)
    return low;
  if (f.call(high, f.data) <= 0.0)
    return high;
  return ebi_root(f, low, high, tolerance, &root) == EB_OK ? root : (double)NAN;
}
