/* exchanger.c - effectiveness of heat exchangers by their kind and size
 *
 * Kays & London, Compact Heat Exchangers; counterflow is written with d = 1 - C so that nothing
 * cancels as C comes near 1. */

#include "physics/exchanger.h"

#include <math.h>

#include "numeric/root.h"

#define MOST_UNITS 500.0 /* exp(-NTU) of the series must not vanish */

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

/* Mason 1954 (from memory): sum over n of g_n(NTU) g_n(C NTU)/(C NTU), where g_n(x) is the chance
 * that a Poisson count of mean x is above n. Each g comes from the last by one term. */
double eb_crossflow_effectiveness(double ntu, double capacity_ratio) {
  if (!(ntu >= 0.0 && ntu <= MOST_UNITS) || !(capacity_ratio >= 0.0 && capacity_ratio <= 1.0))
    return NAN;
  double other = capacity_ratio * ntu;
  if (other < 1e-12) /* the limit of C = 0 */
    return -expm1(-ntu);
  double term[] = {exp(-ntu), exp(-other)};
  double above[] = {-expm1(-ntu), -expm1(-other)};
  double sum = 0.0, product = above[0] * above[1];
  for (int n = 1; product > 1e-17 * sum; n++) {
    sum += product;
    term[0] *= ntu / n;
    term[1] *= other / n;
    above[0] = fmax(above[0] - term[0], 0.0);
    above[1] = fmax(above[1] - term[1], 0.0);
    product = above[0] * above[1];
  }
  return sum / other;
}

typedef struct wanted {
  double effectiveness, capacity_ratio;
} wanted;

static double lacking(double ntu, void *data) {
  const wanted *want = data;
  return eb_crossflow_effectiveness(ntu, want->capacity_ratio) - want->effectiveness;
}

/* Counterflow never needs more units, so the search starts just below its and doubles. */
double ebi_crossflow_ntu(double effectiveness, double capacity_ratio) {
  wanted want = {effectiveness, capacity_ratio};
  double low = 0.999 * eb_counterflow_ntu(effectiveness, capacity_ratio), high = low, ntu = NAN;
  if (low == 0.0)
    return 0.0;
  while (high < MOST_UNITS && lacking(high, &want) < 0.0) {
    low = high;
    high = fmin(2.0 * high, MOST_UNITS);
  }
  if (!(high <= MOST_UNITS) ||
      ebi_root((ebi_function){lacking, &want}, low, high, 1e-12, &ntu) != EB_OK)
    return NAN;
  return ntu;
}

double ebi_crossflow_most(void) {
  return eb_crossflow_effectiveness(MOST_UNITS, 1.0);
}

double eb_parallel_flow_effectiveness(double ntu, double capacity_ratio) {
  if (!(ntu >= 0.0) || !isfinite(ntu) || !(capacity_ratio >= 0.0 && capacity_ratio <= 1.0))
    return NAN;
  return -expm1(-ntu * (1.0 + capacity_ratio)) / (1.0 + capacity_ratio);
}
