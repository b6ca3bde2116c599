/* climate.c - degree-days of a climate's months, by what the climate has */

#include "design/climate.h"

#include <math.h>

#include "evenbreath.h"
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
  (void)climate;
  return weather == EBI_WEATHER_MONTHS ? "Hitchin 1983" : "";
}

double ebi_climate_degree_days(const ebi_climate *climate, ebi_weather weather, int month,
                               double base_c) {
  (void)weather;
  return eb_degree_days_monthly(base_c, climate->mean_c[month], climate->days[month],
                                climate->hitchin_k);
}

/* A central difference; the monthly rules are smooth. */
double ebi_climate_days_below(const ebi_climate *climate, ebi_weather weather, int month,
                              double base_c) {
  const double step = 1e-4;
  return (ebi_climate_degree_days(climate, weather, month, base_c + step) -
          ebi_climate_degree_days(climate, weather, month, base_c - step)) /
         (2.0 * step);
}

double ebi_climate_cold_degree_days(const ebi_climate *climate, ebi_weather weather, int month,
                                    double base_c) {
  (void)weather;
  return ebi_degree_days_normal(base_c, climate->mean_c[month], climate->days[month],
                                ebi_degree_days_spread(climate->hitchin_k));
}

double ebi_climate_cold_days(const ebi_climate *climate, ebi_weather weather, int month,
                             double base_c) {
  const double step = 1e-4;
  return (ebi_climate_cold_degree_days(climate, weather, month, base_c + step) -
          ebi_climate_cold_degree_days(climate, weather, month, base_c - step)) /
         (2.0 * step);
}
