/* degree_days_month.c - degree-days of a month from its mean temperature */

#include "physics/degree_days.h"

#include <math.h>

#include "evenbreath.h"
#include "physics/degree_days_normal.h"

#define LN_2 0.69314718055994531

static bool month(double base_c, double mean_c, double days, double spread) {
  return isfinite(base_c - mean_c) && days > 0.0 && isfinite(days) && spread > 0.0 &&
         isfinite(spread);
}

/* ---- Hitchin, and ISO 15927-6 ------------------------------------------- */

/* Hitchin 1983, Building Services Engineering Research and Technology 4(1), as in CIBSE TM41:2006
 * ch. 2 (formula from memory): D = N x/(1 - exp(-k x)), x = base - mean. Near x = 0 its series.
 * Where exp(-k x) overflows the result is 0, as it should be. */
double eb_degree_days_monthly(double base_c, double mean_c, double days, double k) {
  double x = base_c - mean_c, kx = k * x;
  if (!month(base_c, mean_c, days, k))
    return NAN;
  if (fabs(kx) < 1e-4)
    return days * (1.0 / k + 0.5 * x + k * x * x / 12.0);
  return days * -x / expm1(-kx);
}

/* With u = k x: N (1 - (1 + u) exp(-u))/(1 - exp(-u))^2, near 0 its series; of -u what is left
 * of N. */
double ebi_days_below_monthly(double base_c, double mean_c, double days, double k) {
  double u = fabs(k * (base_c - mean_c));
  double share = 0.5 + u / 6.0 - u * u * u / 180.0;
  if (u > 2e-3) {
    double e = expm1(-u);
    share = -(e + u * (e + 1.0)) / (e * e);
  }
  return days * (base_c >= mean_c ? share : 1.0 - share);
}

double eb_degree_days_iso(double base_c, double mean_c, double days, double deviation_k) {
  if (!month(base_c, mean_c, days, deviation_k))
    return NAN;
  return eb_degree_days_monthly(base_c, mean_c, days, ebi_degree_days_spread(deviation_k));
}

/* ---- Erbs, Klein and Beckman -------------------------------------------- */

/* Erbs, Klein & Beckman 1983, ASHRAE Journal, June (constants from memory): s_m sqrt(N), with
 * s_m = 1.45 - 0.0290 Tm + 0.0664 s_year the standard deviation of the month's mean from year to
 * year. */
static double spread_of(double mean_c, double days, double yearly_deviation_k) {
  return (1.45 - 0.0290 * mean_c + 0.0664 * yearly_deviation_k) * sqrt(days);
}

/* The slope of the rule is a logistic distribution of the scale spread/(2 x 1.698). */
double ebi_erbs_deviation(double mean_c, double days, double yearly_deviation_k) {
  return 0.534099 * spread_of(mean_c, days, yearly_deviation_k); /* pi/(2 x 1.698 x sqrt(3)) */
}

static double log_of_cosh(double x) {
  return fabs(x) + log1p(exp(-2.0 * fabs(x))) - LN_2;
}

/* D = s_m N^1.5 (h/2 + ln cosh(1.698 h)/3.396 + 0.2041), h = x/(s_m sqrt(N)): the root of N
 * stands in h alone, and 1.698 goes without it. */
double eb_degree_days_erbs(double base_c, double mean_c, double days, double yearly_deviation_k) {
  double spread = spread_of(mean_c, days, yearly_deviation_k);
  if (!month(base_c, mean_c, days, spread) || !(yearly_deviation_k >= 0.0))
    return NAN;
  double h = (base_c - mean_c) / spread;
  return fmax(days * spread * (0.5 * h + log_of_cosh(1.698 * h) / 3.396 + 0.2041), 0.0);
}

/* The last digit of 0.2041 makes the sum 0 already a little above h = -infinity. */
double ebi_days_below_erbs(double base_c, double mean_c, double days, double yearly_deviation_k) {
  double h = (base_c - mean_c) / spread_of(mean_c, days, yearly_deviation_k);
  bool none = eb_degree_days_erbs(base_c, mean_c, days, yearly_deviation_k) == 0.0;
  return none ? 0.0 : days * 0.5 * (1.0 + tanh(1.698 * h));
}
