/* money.c - money over the years: present value, payback, internal rate
 *
 * Textbook engineering economy: payments at the end of each year, the first not yet grown, each
 * brought to today by the interest. Interest and growth are of one kind, both above inflation or
 * both with it. */

#include <float.h>
#include <math.h>

#include "evenbreath.h"
#include "numeric/root.h"

#define RATE_TOLERANCE 1e-12

static bool is_rate(double rate) {
  return rate > -1.0 && rate < HUGE_VAL;
}

static bool is_span(double years) {
  return years >= 0.0 && years < HUGE_VAL;
}

/* What a payment weighs against that of the year before: ln((1 + growth)/(1 + interest)). */
static double log_step(double interest, double growth) {
  return log1p((growth - interest) / (1.0 + interest));
}

double eb_annuity_factor(double interest, double years) {
  if (!is_rate(interest) || !is_span(years))
    return NAN;
  return interest == 0.0 ? years : -expm1(-years * log1p(interest)) / interest;
}

/* The sum of (1 + g)^(k-1)/(1 + r)^k up to n, (e^(n x) - 1)/((1 + r)(e^x - 1)): nothing cancels as
 * r comes near g, where it is n/(1 + r). */
static double growing_factor(double interest, double growth, double years) {
  double step = log_step(interest, growth);
  double sum = step == 0.0 ? years : expm1(years * step) / expm1(step);
  return sum / (1.0 + interest);
}

double eb_net_present_value(double price, double yearly, double interest, double growth,
                            double years) {
  if (!isfinite(price) || !isfinite(yearly) || !is_rate(interest) || !is_rate(growth) ||
      !is_span(years))
    return NAN;
  return yearly * growing_factor(interest, growth, years) - price;
}

double eb_payback(double price, double yearly) {
  if (!isfinite(price) || !isfinite(yearly))
    return NAN;
  if (price <= 0.0 && yearly >= 0.0)
    return 0.0;
  return price > 0.0 && yearly > 0.0 ? price / yearly : (double)NAN;
}

/* growing_factor() solved for the years: ln(1 + price/yearly (1 + r)(e^x - 1))/x. */
double eb_discounted_payback(double price, double yearly, double interest, double growth) {
  double simple = eb_payback(price, yearly);
  if (!is_rate(interest) || !is_rate(growth))
    return NAN;
  if (!(simple > 0.0))
    return simple;
  double step = log_step(interest, growth), sum = simple * (1.0 + interest);
  if (step == 0.0)
    return sum;
  double grown = sum * expm1(step);
  return grown > -1.0 ? log1p(grown) / step : (double)NAN;
}

typedef struct offer {
  double price, yearly, growth, years;
} offer;

static double value_at(double interest, void *data) {
  const offer *o = data;
  double value = o->yearly * growing_factor(interest, o->growth, o->years) - o->price;
  return fmin(value, DBL_MAX);
}

/* The first payment alone is worth the price at yearly/price - 1, and payments without end are
 * at growth + yearly/price: the rate lies between. */
double eb_internal_rate(double price, double yearly, double growth, double years) {
  offer o = {price, yearly, growth, years};
  double share = yearly / price, rate = NAN;
  if (!(price > 0.0) || !(yearly > 0.0) || !isfinite(share) || !is_rate(growth) ||
      !(years >= 1.0) || !is_span(years))
    return NAN;
  double low = share * (1.0 - 1e-9) - 1.0, high = growth + share * (1.0 + 1e-9);
  if (ebi_root((ebi_function){value_at, &o}, low, high, RATE_TOLERANCE, &rate) != EB_OK)
    return NAN;
  return rate;
}

double eb_annual_cost(double price, double interest, double years) {
  double factor = eb_annuity_factor(interest, years);
  return factor > 0.0 && isfinite(price) ? price / factor : (double)NAN;
}
