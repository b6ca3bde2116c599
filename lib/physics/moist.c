/* moist.c - density of air that carries water vapour */

#include "physics/air.h"

#include <math.h>

/* Vapour pressure [Pa] at saturation over water: Hyland and Wexler 1983 as given in ASHRAE
 * Handbook Fundamentals 2017, ch. 1 eq. (6) (constants from memory, checked against its table
 * values at 0 and 20 C). Fitted for 0..200 C; below 0 C it stands for supercooled water. */
static double saturation_pressure(double kelvin) {
  return exp(-5.8002206e3 / kelvin + 1.3914993 - 4.8640239e-2 * kelvin +
             4.1764768e-5 * kelvin * kelvin - 1.4452093e-8 * kelvin * kelvin * kelvin +
             6.5459673 * log(kelvin));
}

/* A vapour molecule weighs 0.622 of the air it displaces, hence 0.378. */
double eb_air_density_moist(double temperature_c, double pressure_pa, double humidity) {
  double dry = eb_air_density(temperature_c, pressure_pa);
  if (!(temperature_c >= -40.0 && temperature_c <= 100.0) || !(humidity >= 0.0 && humidity <= 1.0))
    return NAN;
  double vapour = humidity * saturation_pressure(temperature_c + 273.15);
  if (!(vapour <= pressure_pa))
    return NAN;
  return dry * (1.0 - 0.378 * vapour / pressure_pa);
}
