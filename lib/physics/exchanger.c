/* exchanger.c - effectiveness of a counterflow heat exchanger
 *
 * Kays & London, Compact Heat Exchangers; written with d = 1 - C so that
 * nothing cancels as C comes near 1. */

#include <math.h>

#include "evenbreath.h"

/* (1 - E)/(1 - C E) with E = exp(-ntu d); 1 - C E = d + C (1 - E). */
double eb_counterflow_effectiveness(double ntu, double capacity_ratio) {
  double d = 1.0 - capacity_ratio;
  if (!(ntu >= 0.0) || !isfinite(ntu) || !(d >= 0.0 && d <= 1.0))
    return NAN;
  if (d == 0.0 || ntu == 0.0)
    return ntu / (1.0 + ntu);
  double missing = -expm1(-ntu * d);
  return missing / (d + capacity_ratio * missing);
}

/* ln((1 - C e)/(1 - e))/d; the quotient is 1 + e d/(1 - e). */
double eb_counterflow_ntu(double effectiveness, double capacity_ratio) {
  double d = 1.0 - capacity_ratio;
  if (!(effectiveness >= 0.0 && effectiveness < 1.0) || !(d >= 0.0 && d <= 1.0))
    return NAN;
  double balanced = effectiveness / (1.0 - effectiveness);
  return d == 0.0 ? balanced : log1p(balanced * d) / d;
}
