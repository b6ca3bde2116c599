/* draws.c - draws from a normal distribution, the same ones every time */

#include "numeric/draws.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <string.h>

#include "numeric/cholesky.h"

eb_status ebi_draws_plain(ebi_arena *arena, unsigned long seed, size_t count, double **draws) {
  double *numbers = EBI_NEW_ARRAY(arena, double, count + 1);
  gsl_rng *generator = gsl_rng_alloc(gsl_rng_mt19937);
  if (numbers != NULL && generator != NULL) {
    gsl_rng_set(generator, seed);
    for (size_t i = 0; i < count; i++)
      numbers[i] = gsl_ran_gaussian_ziggurat(generator, 1.0);
    *draws = numbers;
  }
  eb_status status = numbers != NULL && generator != NULL ? EB_OK : EB_E_MEMORY;
  if (generator != NULL)
    gsl_rng_free(generator);
  return status;
}

/* One row by the lower factor, from its end, since the factor needs what stands before. */
static void turn(const double *factor, size_t n, double *row) {
  for (size_t i = n; i-- > 0;) {
    double sum = 0.0;
    for (size_t j = 0; j <= i; j++)
      sum += factor[i * n + j] * row[j];
    row[i] = sum;
  }
}

eb_status ebi_draws_together(ebi_arena *arena, unsigned long seed, const double *covariance,
                             size_t n, size_t count, double **draws) {
  double *factor = EBI_NEW_ARRAY(arena, double, n *n + 1);
  if (factor == NULL)
    return EB_E_MEMORY;
  memcpy(factor, covariance, n * n * sizeof *factor);
  if (!ebi_cholesky(factor, n))
    return EB_E_RANGE;
  eb_status status = ebi_draws_plain(arena, seed, n * count, draws);
  for (size_t i = 0; status == EB_OK && i < count; i++)
    turn(factor, n, &(*draws)[i * n]);
  return status;
}
