/* climate.c - degree-days of a climate's months, by what the climate has */

#include "design/climate.h"

#include <math.h>

#include "physics/degree_days.h"
#include "physics/degree_days_normal.h"

bool ebi_climate_has(const ebi_climate *climate, ebi_weather weather) {
  return weather == EBI_WEATHER_MONTHS || (weather == EBI_WEATHER_DAYS && climate->n_days > 0) ||
         (weather == EBI_WEATHER_HOURS && climate->n_hours > 0);
}

ebi_weather ebi_climate_finest(const ebi_climate *climate) {
  ebi_weather finest = EBI_WEATHER_HOURS;
  while (!ebi_climate_has(climate, finest))
    finest--;
  return finest;
}

const char *ebi_weather_name(ebi_weather weather) {
  static const char *const names[] = {"months", "days", "hours"};
  return names[weather];
}

const char *ebi_weather_rule(const ebi_climate *climate, ebi_weather weather) {
  static const char *const month_rules[] = {[EBI_MONTH_HITCHIN] = "Hitchin 1983",
                                            [EBI_MONTH_ISO] = "ISO 15927-6",
                                            [EBI_MONTH_NORMAL] = "Schoenau and Kehrig 1990",
                                            [EBI_MONTH_ERBS] = "Erbs, Klein and Beckman 1983"};
  if (weather == EBI_WEATHER_MONTHS)
    return month_rules[climate->month_rule];
  return weather == EBI_WEATHER_DAYS ? "four cases of daily extremes" : "sum of the hours";
}

/* ---- Months ------------------------------------------------------------- */

static double spread_of(const ebi_climate *climate, int month) {
  return climate->deviation[month] > 0.0 ? climate->deviation[month]
                                         : ebi_degree_days_spread(climate->hitchin_k);
}

/* The k of Hitchin, or that of ISO 15927-6 which is the same rule. */
static double sharpness(const ebi_climate *climate, int month) {
  return climate->month_rule == EBI_MONTH_HITCHIN
             ? climate->hitchin_k
             : ebi_degree_days_spread(spread_of(climate, month));
}

static double degree_days_of_month(const ebi_climate *climate, int month, double base_c) {
  double mean = climate->mean_c[month], days = climate->days[month];
  switch (climate->month_rule) {
  case EBI_MONTH_NORMAL:
    return ebi_degree_days_normal(base_c, mean, days, spread_of(climate, month));
  case EBI_MONTH_ERBS:
    return eb_degree_days_erbs(base_c, mean, days, climate->yearly_deviation);
  case EBI_MONTH_HITCHIN:
  case EBI_MONTH_ISO:
    break;
  }
  return eb_degree_days_monthly(base_c, mean, days, sharpness(climate, month));
}

static double days_below_of_month(const ebi_climate *climate, int month, double base_c) {
  double mean = climate->mean_c[month], days = climate->days[month];
  switch (climate->month_rule) {
  case EBI_MONTH_NORMAL:
    return ebi_days_below_normal(base_c, mean, days, spread_of(climate, month));
  case EBI_MONTH_ERBS:
    return ebi_days_below_erbs(base_c, mean, days, climate->yearly_deviation);
  case EBI_MONTH_HITCHIN:
  case EBI_MONTH_ISO:
    break;
  }
  return ebi_days_below_monthly(base_c, mean, days, sharpness(climate, month));
}

/* ---- Days --------------------------------------------------------------- */

typedef double (*of_day)(double base_c, double max_c, double min_c);

static double sum_of_days(const ebi_climate *climate, int month, double base_c, of_day rule) {
  double sum = 0.0;
  for (size_t i = 0; i < climate->n_days; i++)
    if (climate->day_month[i] == month)
      sum += rule(base_c, climate->day_max[i], climate->day_min[i]);
  return sum;
}

/* ---- Hours -------------------------------------------------------------- */

/* How many of them are below the base. */
static size_t count_below(const ebi_sorted *hours, double base_c) {
  size_t low = 0, high = hours->n;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (hours->rising[middle] < base_c)
      low = middle + 1;
    else
      high = middle;
  }
  return low;
}

static double degree_days_of_hours(const ebi_sorted *hours, double base_c) {
  size_t below = count_below(hours, base_c);
  return fmax(base_c * (double)below - hours->sums[below], 0.0) / 24.0;
}

/* ---- By what there is --------------------------------------------------- */

double ebi_climate_degree_days(const ebi_climate *climate, ebi_weather weather, int month,
                               double base_c) {
  switch (weather) {
  case EBI_WEATHER_HOURS:
    return degree_days_of_hours(&climate->hours_of[month], base_c);
  case EBI_WEATHER_DAYS:
    return sum_of_days(climate, month, base_c, eb_degree_days_min_max);
  case EBI_WEATHER_MONTHS:
    break;
  }
  return degree_days_of_month(climate, month, base_c);
}

double ebi_climate_days_below(const ebi_climate *climate, ebi_weather weather, int month,
                              double base_c) {
  switch (weather) {
  case EBI_WEATHER_HOURS:
    return (double)count_below(&climate->hours_of[month], base_c) / 24.0;
  case EBI_WEATHER_DAYS:
    return sum_of_days(climate, month, base_c, ebi_days_below_min_max);
  case EBI_WEATHER_MONTHS:
    break;
  }
  return days_below_of_month(climate, month, base_c);
}

double ebi_climate_cold_degree_days(const ebi_climate *climate, ebi_weather weather, int month,
                                    double base_c) {
  if (weather != EBI_WEATHER_MONTHS)
    return ebi_climate_degree_days(climate, weather, month, base_c);
  return ebi_degree_days_normal(base_c, climate->mean_c[month], climate->days[month],
                                spread_of(climate, month));
}

double ebi_climate_cold_days(const ebi_climate *climate, ebi_weather weather, int month,
                             double base_c) {
  if (weather != EBI_WEATHER_MONTHS)
    return ebi_climate_days_below(climate, weather, month, base_c);
  return ebi_days_below_normal(base_c, climate->mean_c[month], climate->days[month],
                               spread_of(climate, month));
}
