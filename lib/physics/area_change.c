/* area_change.c - losses where a duct changes its size
 *
 * Formulas of Idelchik, Handbook of Hydraulic Resistance, 2006: sudden
 * expansion diag. 4-1 (Borda-Carnot), sudden contraction diag. 4-9, conical
 * expansion diag. 5-4. Conical contraction: SMACNA HVAC Systems Duct Design
 * 1990, table 14-12 A. All on the velocity in the small section. */

#include "physics/losses.h"

#include <math.h>

double ebi_expansion_sudden(double small, double large) {
  double missing = 1.0 - small / large;
  return missing * missing;
}

double ebi_contraction_sudden(double small, double large) {
  return 0.5 * pow(1.0 - small / large, 0.75);
}

double ebi_expansion_conical(double small, double large, double angle) {
  double fullness = 0.9455 * -expm1(-0.0541 * angle);
  return fullness * pow(1.0 - small / large, 1.92);
}

/* ---- Conical contraction ---- */

#define RATIOS 4
#define ANGLES 9

static const double ratios[RATIOS] = {2.0, 4.0, 6.0, 10.0};
static const double angles[ANGLES] = {10.0, 15.0, 40.0, 50.0, 60.0, 90.0, 120.0, 150.0, 180.0};
static const double contractions[ANGLES][RATIOS] = {
    {0.05, 0.05, 0.05, 0.05}, {0.05, 0.04, 0.04, 0.05}, {0.05, 0.04, 0.04, 0.05},
    {0.06, 0.07, 0.07, 0.08}, {0.06, 0.07, 0.07, 0.08}, {0.12, 0.17, 0.18, 0.19},
    {0.18, 0.27, 0.28, 0.29}, {0.24, 0.35, 0.36, 0.37}, {0.26, 0.41, 0.42, 0.43}};

/* The interval of `at` that x lies in, and how far along it; level outside. */
static int interval(const double *at, int count, double x, double *share) {
  int i = 0;
  while (i < count - 2 && at[i + 1] < x)
    i++;
  *share = fmin(fmax((x - at[i]) / (at[i + 1] - at[i]), 0.0), 1.0);
  return i;
}

/* Straight between the table's ratios and angles. Below its least ratio, 2, the figure for 2
 * holds, or that of the sudden contraction where that is less, which ends at none. */
double ebi_contraction_conical(double small, double large, double angle) {
  double across, down;
  int r = interval(ratios, RATIOS, large / small, &across);
  int a = interval(angles, ANGLES, angle, &down);
  double upper = contractions[a][r] + across * (contractions[a][r + 1] - contractions[a][r]);
  double lower =
      contractions[a + 1][r] + across * (contractions[a + 1][r + 1] - contractions[a + 1][r]);
  double coefficient = upper + down * (lower - upper);
  return large < ratios[0] * small ? fmin(coefficient, ebi_contraction_sudden(small, large))
                                   : coefficient;
}
