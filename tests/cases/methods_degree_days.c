/* methods_degree_days.c - degree-days and base temperature, as case rows ask for them */

#include <math.h>

#include "methods.h"
#include "numeric/root.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

/* Physics functions answer NAN outside their range. */
static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

/* base, mean, days, k */
METHOD(degree_days_monthly) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_monthly(in[0], in[1], in[2], in[3]));
}

/* base, mean, days, standard deviation of the daily means */
METHOD(degree_days_iso) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_iso(in[0], in[1], in[2], in[3]));
}

METHOD(degree_days_normal) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_normal(in[0], in[1], in[2], in[3]));
}

/* Cooling is heating on the mirrored scale. */
METHOD(cooling_days_normal) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_normal(-in[0], -in[1], in[2], in[3]));
}

/* base, mean, days, standard deviation of the twelve means */
METHOD(degree_days_erbs) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_erbs(in[0], in[1], in[2], in[3]));
}

/* base, max, min */
METHOD(degree_days_min_max) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_min_max(in[0], in[1], in[2]));
}

METHOD(cooling_days_min_max) {
  IGNORE_COUNT;
  return checked(out, eb_cooling_days_min_max(in[0], in[1], in[2]));
}

/* base, max, min */
METHOD(degree_days_middle) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_middle(in[0], in[1], in[2]));
}

METHOD(degree_days_sine) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_sine(in[0], in[1], in[2]));
}

/* indoor, limit, mean of the day */
METHOD(degree_days_jump) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_jump(in[0], in[1], in[2]));
}

/* base, then the maxima of a month's days, then their minima -> four cases, middles, mean maximum
 * and minimum */
METHOD(degree_days_days) {
  int n = (n_in - 1) / 2;
  out[0] = out[1] = out[2] = out[3] = 0.0;
  for (int i = 0; i < n; i++) {
    double max = in[1 + i], min = in[1 + n + i];
    out[0] += eb_degree_days_min_max(in[0], max, min);
    out[1] += eb_degree_days_middle(in[0], max, min);
    out[2] += max / n;
    out[3] += min / n;
  }
  return EB_OK;
}

static const double days_of[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};

static double year(double base, const double *means, double k, double february) {
  const double days[12] = {31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  double sum = 0.0;
  for (int i = 0; i < 12; i++)
    sum += eb_degree_days_monthly(base, means[i], days[i], k);
  return sum;
}

/* base, k, twelve means */
METHOD(degree_days_year) {
  IGNORE_COUNT;
  return checked(out, year(in[0], in + 2, in[1], 28.0));
}

/* base, twelve means: what days of the month's mean would give */
METHOD(degree_days_plain_year) {
  IGNORE_COUNT;
  double sum = 0.0;
  for (int i = 0; i < 12; i++)
    sum += days_of[i] * eb_degree_days_jump(in[0], in[0], in[1 + i]);
  return checked(out, sum);
}

/* base, standard deviation of the daily means, twelve means */
METHOD(degree_days_normal_year) {
  IGNORE_COUNT;
  double sum = 0.0;
  for (int i = 0; i < 12; i++)
    sum += eb_degree_days_normal(in[0], in[2 + i], days_of[i], in[1]);
  return checked(out, sum);
}

/* base, twelve means */
METHOD(degree_days_erbs_year) {
  IGNORE_COUNT;
  double sum = 0.0, mean = 0.0, squares = 0.0;
  for (int i = 0; i < 12; i++)
    mean += in[1 + i] / 12.0;
  for (int i = 0; i < 12; i++)
    squares += (in[1 + i] - mean) * (in[1 + i] - mean);
  for (int i = 0; i < 12; i++)
    sum += eb_degree_days_erbs(in[0], in[1 + i], days_of[i], sqrt(squares / 11.0));
  return checked(out, sum);
}

/* heat loss, base, k, twelve means -> kWh */
METHOD(degree_days_energy) {
  IGNORE_COUNT;
  return checked(out, 0.024 * in[0] * year(in[1], in + 3, in[2], 28.0));
}

/* degree-days, heat loss of the fabric, air change, volume, heat capacity of air, efficiency */
METHOD(degree_days_heating) {
  IGNORE_COUNT;
  return checked(out, 0.024 * in[0] * (in[1] + in[2] * in[3] * in[4]) / in[5]);
}

/* base, k, first year, twelve means of each year -> mean, standard deviation, least and greatest
 * of the years */
METHOD(degree_days_years) {
  int count = (n_in - 3) / 12;
  double sum = 0.0, squares = 0.0, least = INFINITY, most = -INFINITY;
  for (int i = 0; i < count; i++) {
    bool leap = fmod(in[2] + i, 4.0) == 0.0; /* none of the rows holds 1900 or 2100 */
    double d = year(in[0], in + 3 + 12 * i, in[1], leap ? 29.0 : 28.0);
    sum += d;
    squares += d * d;
    least = fmin(least, d);
    most = fmax(most, d);
  }
  out[1] = count > 1 ? sqrt((squares - sum * sum / count) / (count - 1)) : 0.0;
  out[2] = least;
  out[3] = most;
  return checked(out, sum / count);
}

/* The mean alone. */
METHOD(degree_days_years_mean) {
  double all[4];
  eb_status status = degree_days_years(in, n_in, all);
  *out = all[0];
  return status;
}

/* indoor, gains, heat loss without and with recovery, k, twelve means -> degree-days and need
 * without, degree-days and need with, saving */
METHOD(degree_days_saving) {
  IGNORE_COUNT;
  for (int i = 0; i < 2; i++) {
    out[2 * i] = year(eb_base_temperature(in[0], in[1], in[2 + i]), in + 5, in[4], 28.0);
    out[2 * i + 1] = 0.024 * in[2 + i] * out[2 * i];
  }
  out[4] = out[1] - out[3];
  return EB_OK;
}

static double month_excess(double mean, void *data) {
  const double *in = data; /* base, degree-days, days */
  return eb_degree_days_monthly(in[0], mean, in[2], 0.71) - in[1];
}

static eb_status other_base(double base, double degree_days, double days, double other,
                            double *out) {
  double data[3] = {base, degree_days, days}, mean;
  eb_status status = ebi_root((ebi_function){month_excess, data}, -40.0, 40.0, 1e-10, &mean);
  if (status == EB_OK)
    *out = eb_degree_days_monthly(other, mean, days, 0.71);
  return status;
}

/* base, degree-days at it, days, other base -> degree-days at the other base */
METHOD(degree_days_other_base) {
  IGNORE_COUNT;
  return other_base(in[0], in[1], in[2], in[3], out);
}

/* base, other base, degree-days of twelve months at the base -> the year's at the other */
METHOD(degree_days_other_base_year) {
  IGNORE_COUNT;
  eb_status status = EB_OK;
  *out = 0.0;
  for (int i = 0; status == EB_OK && i < 12; i++) {
    double month = 0.0;
    status = other_base(in[0], in[2 + i], days_of[i], in[1], &month);
    *out += month;
  }
  return status;
}

METHOD(base_temperature) {
  IGNORE_COUNT;
  return checked(out, eb_base_temperature(in[0], in[1], in[2]));
}

const case_method case_methods_degree_days[] = {
    {"degree_days.monthly", 4, 1, degree_days_monthly},
    {"degree_days.iso", 4, 1, degree_days_iso},
    {"degree_days.min_max", 3, 1, degree_days_min_max},
    {"degree_days.cooling_min_max", 3, 1, cooling_days_min_max},
    {"degree_days.year", 14, 1, degree_days_year},
    {"degree_days.years", CASE_ANY, 4, degree_days_years},
    {"degree_days.years_mean", CASE_ANY, 1, degree_days_years_mean},
    {"degree_days.saving", 17, 5, degree_days_saving},
    {"degree_days.other_base", 4, 1, degree_days_other_base},
    {"base_temperature", 3, 1, base_temperature},
    {"degree_days.normal", 4, 1, degree_days_normal},
    {"degree_days.cooling_normal", 4, 1, cooling_days_normal},
    {"degree_days.erbs", 4, 1, degree_days_erbs},
    {"degree_days.middle", 3, 1, degree_days_middle},
    {"degree_days.sine", 3, 1, degree_days_sine},
    {"degree_days.jump", 3, 1, degree_days_jump},
    {"degree_days.days", CASE_ANY, 4, degree_days_days},
    {"degree_days.plain_year", 13, 1, degree_days_plain_year},
    {"degree_days.normal_year", 14, 1, degree_days_normal_year},
    {"degree_days.erbs_year", 13, 1, degree_days_erbs_year},
    {"degree_days.energy", 15, 1, degree_days_energy},
    {"degree_days.heating", 6, 1, degree_days_heating},
    {"degree_days.other_base_year", 14, 1, degree_days_other_base_year},
    {NULL, 0, 0, NULL}};
