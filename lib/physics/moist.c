/* moist.c - air that carries water vapour
 *
 * Ideal gases; ASHRAE Handbook Fundamentals 2021, ch. 1 (equations from memory, as psychrolib 1.1.1
 * has them). What is told per mass is told per kilogram of dry air, which stays as it is while
 * water comes and goes. */

#include "physics/moist.h"

#include <math.h>

#include "physics/air.h"

#define ZERO_CELSIUS 273.15  /* K */
#define VAPOUR_SHARE 0.378   /* a vapour molecule weighs 0.622 of the air it displaces */
#define VAPOUR_ROOM 1.607858 /* and takes as much room: 1/0.621945 */

static bool in_range(double temperature_c) {
  return temperature_c >= -100.0 && temperature_c <= 200.0;
}

static bool is_ratio(double humidity_ratio) {
  return humidity_ratio >= 0.0 && humidity_ratio < HUGE_VAL;
}

static bool is_pressure(double pressure_pa) {
  return pressure_pa > 0.0 && pressure_pa < HUGE_VAL;
}

double eb_air_density_moist(double temperature_c, double pressure_pa, double humidity) {
  double dry = eb_air_density(temperature_c, pressure_pa);
  if (!(temperature_c >= -40.0 && temperature_c <= 100.0) || !(humidity >= 0.0 && humidity <= 1.0))
    return NAN;
  double vapour = humidity * eb_vapour_saturation_water(temperature_c);
  if (!(vapour <= pressure_pa))
    return NAN;
  return dry * (1.0 - VAPOUR_SHARE * vapour / pressure_pa);
}

/* The vapour hardly changes the viscosity: that of dry air stands. */
ebi_air_state ebi_air_moist_at(double temperature_c, double pressure_pa, double vapour_pa) {
  ebi_air_state air = ebi_air_at(temperature_c, pressure_pa);
  if (vapour_pa > 0.0)
    air.density *= 1.0 - VAPOUR_SHARE * fmin(vapour_pa, eb_vapour_saturation_water(temperature_c)) /
                             pressure_pa;
  return air;
}

/* Eq. (20) of the chapter. */
static double ratio_of(double vapour_pa, double pressure_pa) {
  if (!is_pressure(pressure_pa) || !(vapour_pa < pressure_pa))
    return NAN;
  return EBI_VAPOUR_RATIO * vapour_pa / (pressure_pa - vapour_pa);
}

static double vapour_of(double humidity_ratio, double pressure_pa) {
  return pressure_pa * humidity_ratio / (EBI_VAPOUR_RATIO + humidity_ratio);
}

double eb_humidity_ratio(double temperature_c, double humidity, double pressure_pa) {
  return ratio_of(ebi_vapour_pressure(temperature_c, humidity), pressure_pa);
}

double ebi_saturation_ratio(double temperature_c, double pressure_pa) {
  return ratio_of(eb_vapour_saturation(temperature_c), pressure_pa);
}

double ebi_dew_point_of_ratio(double humidity_ratio, double pressure_pa) {
  double found = ebi_saturation_temperature(vapour_of(humidity_ratio, pressure_pa));
  return isnan(found) ? -HUGE_VAL : found;
}

double eb_relative_humidity(double temperature_c, double humidity_ratio, double pressure_pa) {
  if (!is_ratio(humidity_ratio) || !is_pressure(pressure_pa))
    return NAN;
  return vapour_of(humidity_ratio, pressure_pa) / eb_vapour_saturation(temperature_c);
}

/* Eq. (30). */
double eb_moist_enthalpy(double temperature_c, double humidity_ratio) {
  if (!in_range(temperature_c) || !is_ratio(humidity_ratio))
    return NAN;
  return EBI_AIR_CP * temperature_c +
         humidity_ratio * (EBI_VAPOUR_HEAT + EBI_VAPOUR_CP * temperature_c);
}

/* Eq. (26). */
double eb_moist_volume(double temperature_c, double humidity_ratio, double pressure_pa) {
  if (!in_range(temperature_c) || !is_ratio(humidity_ratio) || !is_pressure(pressure_pa))
    return NAN;
  return EBI_AIR_GAS_CONSTANT * (temperature_c + ZERO_CELSIUS) *
         (1.0 + VAPOUR_ROOM * humidity_ratio) / pressure_pa;
}
