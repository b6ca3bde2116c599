/* linear.c - two equations with partial pivoting */

#include "network/linear.h"

#include <math.h>

#define SINGULAR 1e-14

double ebi_usable_slope(double slope) {
  return slope > EBI_LEAST_SLOPE ? slope : EBI_LEAST_SLOPE;
}

bool ebi_solve_2x2(double a[2][2], double b[2][2], double x[2][2]) {
  int top = fabs(a[0][0]) >= fabs(a[1][0]) ? 0 : 1, low = 1 - top;
  if (a[top][0] == 0.0)
    return false;
  double factor = a[low][0] / a[top][0], taken = factor * a[top][1];
  double pivot = a[low][1] - taken;
  if (!(fabs(pivot) > SINGULAR * (fabs(a[low][1]) + fabs(taken))))
    return false;
  for (int k = 0; k < 2; k++) {
    x[1][k] = (b[low][k] - factor * b[top][k]) / pivot;
    x[0][k] = (b[top][k] - a[top][1] * x[1][k]) / a[top][0];
  }
  return true;
}
