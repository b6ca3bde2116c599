/* cholesky.c - triangular factor of a symmetric positive definite matrix
 *
 * Golub & Van Loan, Matrix Computations, algorithm 4.2.1 (from memory). */

#include "numeric/cholesky.h"

#include <math.h>

bool ebi_cholesky(double *a, size_t n) {
  for (size_t j = 0; j < n; j++) {
    for (size_t i = j; i < n; i++) {
      double sum = a[i * n + j];
      for (size_t k = 0; k < j; k++)
        sum -= a[i * n + k] * a[j * n + k];
      if (i > j)
        a[i * n + j] = sum / a[j * n + j];
      else if (sum > 0.0)
        a[j * n + j] = sqrt(sum);
      else
        return false;
    }
  }
  return true;
}

/* The factor's inverse in its place. */
static void invert_lower(double *l, size_t n) {
  for (size_t j = 0; j < n; j++) {
    l[j * n + j] = 1.0 / l[j * n + j];
    for (size_t i = j + 1; i < n; i++) {
      double sum = 0.0;
      for (size_t k = j; k < i; k++)
        sum -= l[i * n + k] * l[k * n + j];
      l[i * n + j] = sum / l[i * n + i];
    }
  }
}

/* Rising rows: what is still to be used stands below. */
void ebi_cholesky_invert(double *l, size_t n) {
  invert_lower(l, n);
  for (size_t i = 0; i < n; i++)
    for (size_t j = 0; j <= i; j++) {
      double sum = 0.0;
      for (size_t k = i; k < n; k++)
        sum += l[k * n + i] * l[k * n + j];
      l[i * n + j] = sum;
    }
  for (size_t i = 0; i < n; i++)
    for (size_t j = i + 1; j < n; j++)
      l[i * n + j] = l[j * n + i];
}
