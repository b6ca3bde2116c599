/* degree_days_normal.c - degree-days where daily temperatures are spread normally */

#include "physics/degree_days_normal.h"

#include <math.h>

#define ROOT_OF_2_PI 2.5066282746310002
#define ROOT_OF_HALF 0.70710678118654752

/* Schoenau & Kehrig 1990, as in ASHRAE HoF 2021 ch. 14 eqs. 32-37:
 * D = N s (Z F(Z) + f(Z)), Z = (base - mean)/s, F and f of the normal distribution. */
double ebi_degree_days_normal(double base_c, double mean_c, double days, double spread_k) {
  double z = (base_c - mean_c) / spread_k;
  double below = 0.5 * erfc(-z * ROOT_OF_HALF);
  double density = exp(-0.5 * z * z) / ROOT_OF_2_PI;
  return fmax(days * spread_k * (z * below + density), 0.0);
}

double ebi_degree_days_spread(double k) {
  return ROOT_OF_2_PI / k;
}
