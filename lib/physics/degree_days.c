/* degree_days.c - how much and how long it is colder than a base */

#include <math.h>

#include "evenbreath.h"

/* Hitchin 1983, Building Services Engineering Research and Technology 4(1), as in CIBSE TM41:2006
 * ch. 2 (formula from memory): D = N x/(1 - exp(-k x)), x = base - mean. Near x = 0 its series.
 * Where exp(-k x) overflows the result is 0, as it should be. */
double eb_degree_days_monthly(double base_c, double mean_c, double days, double k) {
  double x = base_c - mean_c, kx = k * x;
  if (!isfinite(x) || !(days > 0.0) || !(k > 0.0) || !isfinite(days) || !isfinite(k))
    return NAN;
  if (fabs(kx) < 1e-4)
    return days * (1.0 / k + 0.5 * x + k * x * x / 12.0);
  return days * -x / expm1(-kx);
}

/* The four cases of the British and Irish meteorological services. */
double eb_degree_days_min_max(double base_c, double max_c, double min_c) {
  double mean = 0.5 * (max_c + min_c);
  if (!isfinite(base_c) || !isfinite(mean) || !(max_c >= min_c))
    return NAN;
  if (min_c >= base_c)
    return 0.0;
  if (mean > base_c)
    return 0.25 * (base_c - min_c);
  if (max_c >= base_c)
    return 0.5 * (base_c - min_c) - 0.25 * (max_c - base_c);
  return base_c - mean;
}

double eb_base_temperature(double indoor_c, double gains_w, double heat_loss_w_k) {
  if (!isfinite(indoor_c) || !isfinite(gains_w) || !isfinite(heat_loss_w_k) ||
      !(heat_loss_w_k > 0.0))
    return NAN;
  return indoor_c - gains_w / heat_loss_w_k;
}
