/* degree_days_normal.c - degree-days where daily temperatures are spread normally */

#include "physics/degree_days_normal.h"

#include <math.h>

#include "evenbreath.h"
#include "physics/degree_days.h"

#define ROOT_OF_2_PI 2.5066282746310002
#define ROOT_OF_HALF 0.70710678118654752

static double part_below(double z) {
  return 0.5 * erfc(-z * ROOT_OF_HALF);
}

/* Schoenau & Kehrig 1990, as in ASHRAE HoF 2021 ch. 14 eqs. 32-37:
 * D = N s (Z F(Z) + f(Z)), Z = (base - mean)/s, F and f of the normal distribution. */
double ebi_degree_days_normal(double base_c, double mean_c, double days, double spread_k) {
  double z = (base_c - mean_c) / spread_k;
  double density = exp(-0.5 * z * z) / ROOT_OF_2_PI;
  return fmax(days * spread_k * (z * part_below(z) + density), 0.0);
}

double eb_degree_days_normal(double base_c, double mean_c, double days, double deviation_k) {
  if (!isfinite(base_c - mean_c) || !(days > 0.0) || !isfinite(days) || !(deviation_k > 0.0) ||
      !isfinite(deviation_k))
    return NAN;
  return ebi_degree_days_normal(base_c, mean_c, days, deviation_k);
}

double ebi_days_below_normal(double base_c, double mean_c, double days, double deviation_k) {
  return days * part_below((base_c - mean_c) / deviation_k);
}

double ebi_degree_days_spread(double k) {
  return ROOT_OF_2_PI / k;
}
