/* moist.c - air that carries water vapour */

#include <math.h>

#include "physics/air.h"

#define ZERO_CELSIUS 273.15 /* K */
#define VAPOUR_SHARE 0.378  /* a vapour molecule weighs 0.622 of the air it displaces */
#define LEAST_DEW_POINT (-100.0)
#define NEWTON_STEPS 20

/* ln of the vapour pressure [Pa] at saturation over water: Hyland and Wexler 1983 as given in
 * ASHRAE Handbook Fundamentals 2017, ch. 1 eq. (6) (constants from memory, checked against its
 * table values at 0 and 20 C). Fitted for 0..200 C; below 0 C it stands for supercooled water. */
static double ln_saturation(double kelvin) {
  return -5.8002206e3 / kelvin + 1.3914993 - 4.8640239e-2 * kelvin +
         4.1764768e-5 * kelvin * kelvin - 1.4452093e-8 * kelvin * kelvin * kelvin +
         6.5459673 * log(kelvin);
}

/* Its derivative by temperature [1/K]. */
static double ln_saturation_slope(double kelvin) {
  return 5.8002206e3 / (kelvin * kelvin) - 4.8640239e-2 + 2.0 * 4.1764768e-5 * kelvin -
         3.0 * 1.4452093e-8 * kelvin * kelvin + 6.5459673 / kelvin;
}

static bool in_range(double temperature_c) {
  return temperature_c >= -60.0 && temperature_c <= 100.0;
}

double ebi_vapour_saturation(double temperature_c) {
  return in_range(temperature_c) ? exp(ln_saturation(temperature_c + ZERO_CELSIUS)) : (double)NAN;
}

double eb_air_density_moist(double temperature_c, double pressure_pa, double humidity) {
  double dry = eb_air_density(temperature_c, pressure_pa);
  if (!(temperature_c >= -40.0 && temperature_c <= 100.0) || !(humidity >= 0.0 && humidity <= 1.0))
    return NAN;
  double vapour = humidity * ebi_vapour_saturation(temperature_c);
  if (!(vapour <= pressure_pa))
    return NAN;
  return dry * (1.0 - VAPOUR_SHARE * vapour / pressure_pa);
}

/* Newton's steps in 1/T, by which ln p is nearly straight. */
double ebi_dew_point(double temperature_c, double humidity) {
  if (!in_range(temperature_c) || !(humidity > 0.0 && humidity <= 1.0))
    return NAN;
  double start = temperature_c + ZERO_CELSIUS, kelvin = start;
  double wanted = ln_saturation(start) + log(humidity);
  for (int i = 0; i < NEWTON_STEPS; i++) {
    double excess = ln_saturation(kelvin) - wanted;
    double inverse = 1.0 / kelvin + excess / (kelvin * kelvin * ln_saturation_slope(kelvin));
    double next = fmin(1.0 / inverse, start), step = next - kelvin;
    kelvin = next;
    if (fabs(step) <= 1e-13 * kelvin)
      break;
  }
  double dew_point = kelvin - ZERO_CELSIUS;
  return dew_point >= LEAST_DEW_POINT ? dew_point : (double)NAN;
}

/* The vapour hardly changes the viscosity: that of dry air stands. */
ebi_air_state ebi_air_moist_at(double temperature_c, double pressure_pa, double vapour_pa) {
  ebi_air_state air = ebi_air_at(temperature_c, pressure_pa);
  if (vapour_pa > 0.0)
    air.density *=
        1.0 - VAPOUR_SHARE * fmin(vapour_pa, ebi_vapour_saturation(temperature_c)) / pressure_pa;
  return air;
}
