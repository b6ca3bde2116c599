/* evidence.c - how much better another explanation would account for the data */

#include <math.h>

#include "numeric/cholesky.h"
#include "numeric/fit.h"

/* I + J J'. */
static void fill_covariance(const ebi_fit_problem *problem, const ebi_fit *fit, double *s) {
  size_t n = problem->n_unknowns, m = problem->n_data;
  for (size_t i = 0; i < m; i++)
    for (size_t k = 0; k <= i; k++) {
      double sum = i == k ? 1.0 : 0.0;
      for (size_t j = 0; j < n; j++)
        sum += fit->jacobian[i * n + j] * fit->jacobian[k * n + j];
      s[i * m + k] = s[k * m + i] = sum;
    }
}

static double product(const double *a, const double *b, size_t count) {
  double sum = 0.0;
  for (size_t i = 0; i < count; i++)
    sum += a[i] * b[i];
  return sum;
}

/* What the data lie off with every unknown as expected: the law is straight. */
static void fill_lack(const ebi_fit_problem *problem, const ebi_fit *fit, double *lack) {
  size_t n = problem->n_unknowns;
  for (size_t i = 0; i < problem->n_data; i++)
    lack[i] = fit->residuals[i] - product(&fit->jacobian[i * n], fit->unknowns, n);
}

eb_status ebi_evidence_new(ebi_arena *arena, const ebi_fit_problem *problem, const ebi_fit *fit,
                           ebi_evidence *evidence) {
  size_t m = problem->n_data;
  *evidence = (ebi_evidence){.n_data = m,
                             .inverse = EBI_NEW_ARRAY(arena, double, m *m + 1),
                             .lack = EBI_NEW_ARRAY(arena, double, m + 1),
                             .pull = EBI_NEW_ARRAY(arena, double, m + 1)};
  if (evidence->inverse == NULL || evidence->lack == NULL || evidence->pull == NULL)
    return EB_E_MEMORY;
  if (m == 0)
    return EB_OK;
  fill_covariance(problem, fit, evidence->inverse);
  if (!ebi_cholesky(evidence->inverse, m))
    return EB_E_DIVERGED;
  ebi_cholesky_invert(evidence->inverse, m);
  fill_lack(problem, fit, evidence->lack);
  for (size_t i = 0; i < m; i++)
    evidence->pull[i] = product(&evidence->inverse[i * m], evidence->lack, m);
  evidence->chi = product(evidence->lack, evidence->pull, m);
  return EB_OK;
}

double ebi_evidence_of_data(const ebi_evidence *evidence, const double *other) {
  size_t m = evidence->n_data;
  double chi = 0.0;
  for (size_t i = 0; i < m; i++)
    chi += other[i] * product(&evidence->inverse[i * m], other, m);
  return 0.5 * (evidence->chi - chi);
}

/* By the matrix determinant lemma and Sherman and Morrison's formula. */
double ebi_evidence_of_cause(const ebi_evidence *evidence, const double *direction, double mean,
                             double deviation, double *amount) {
  size_t m = evidence->n_data;
  double along = product(direction, evidence->pull, m), stiff = 0.0;
  for (size_t i = 0; i < m; i++)
    stiff += direction[i] * product(&evidence->inverse[i * m], direction, m);
  double variance = deviation * deviation, widened = 1.0 + variance * stiff;
  double left = along - mean * stiff; /* of the pull once the mean is taken off */
  if (amount != NULL)
    *amount = mean + variance * left / widened;
  return mean * along - 0.5 * mean * mean * stiff + 0.5 * variance * left * left / widened -
         0.5 * log(widened);
}
