/* air.c - dry air as an ideal gas; viscosity and pressure of the standard atmosphere */

#include "physics/air.h"

#include <math.h>

#define ZERO_CELSIUS 273.15 /* K */

/* Ideal gas law; the gas constant stands in ASHRAE Handbook Fundamentals 2017, ch. 1
 * (from memory). */
double eb_air_density(double temperature_c, double pressure_pa) {
  if (!(temperature_c > -ZERO_CELSIUS) || !(pressure_pa > 0.0) || !isfinite(temperature_c) ||
      !isfinite(pressure_pa))
    return NAN;
  return pressure_pa / (EBI_AIR_GAS_CONSTANT * (temperature_c + ZERO_CELSIUS));
}

/* Sutherland's law with the constants of the US Standard Atmosphere 1976. */
double eb_air_viscosity(double temperature_c) {
  if (!(temperature_c > -ZERO_CELSIUS) || !isfinite(temperature_c))
    return NAN;
  double kelvin = temperature_c + ZERO_CELSIUS;
  return 1.458e-6 * kelvin * sqrt(kelvin) / (kelvin + 110.4);
}

/* ASHRAE Handbook Fundamentals 2017, ch. 1 eq. (3) (from memory; within 0.01 % of the
 * US Standard Atmosphere 1976 to 2000 m). */
double eb_air_pressure(double altitude_m) {
  if (!(altitude_m >= -500.0 && altitude_m <= 11000.0))
    return NAN;
  return 101325.0 * pow(1.0 - 2.25577e-5 * altitude_m, 5.2559);
}

double eb_air_heat_capacity(double temperature_c, double pressure_pa) {
  return eb_air_density(temperature_c, pressure_pa) * EBI_AIR_CP / 3600.0;
}

ebi_air_state ebi_air_at(double temperature_c, double pressure_pa) {
  return (ebi_air_state){.density = eb_air_density(temperature_c, pressure_pa),
                         .viscosity = eb_air_viscosity(temperature_c)};
}

double ebi_stack_pressure(double density_around, double density, double rise) {
  return EBI_GRAVITY * (density_around - density) * rise;
}
