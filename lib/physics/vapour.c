/* vapour.c - water vapour at saturation, over ice and over water */

#include "physics/moist.h"

#include <math.h>

#include "physics/air.h"

#define ZERO_CELSIUS 273.15 /* K */
#define TRIPLE_POINT_K (ZERO_CELSIUS + EBI_TRIPLE_POINT)
#define LEAST_C (-100.0)
#define MOST_C 200.0
#define LEAST_OVER_WATER_C (-60.0)
#define MOST_OVER_WATER_C 100.0
#define NEWTON_STEPS 40
#define ROUNDING 1e-12

/* ln of a pressure [Pa], and its derivative by temperature [1/K]. */
typedef struct logarithm {
  double value, slope;
} logarithm;

/* Hyland and Wexler 1983 as in ASHRAE Handbook Fundamentals 2021, ch. 1 eq. (6) (constants from
 * memory, as psychrolib 1.1.1 has them). Fitted for 0..200 C; below 0 C it stands for supercooled
 * water. */
static logarithm over_water(double kelvin) {
  return (logarithm){-5.8002206e3 / kelvin + 1.3914993 - 4.8640239e-2 * kelvin +
                         4.1764768e-5 * kelvin * kelvin - 1.4452093e-8 * kelvin * kelvin * kelvin +
                         6.5459673 * log(kelvin),
                     5.8002206e3 / (kelvin * kelvin) - 4.8640239e-2 + 2.0 * 4.1764768e-5 * kelvin -
                         3.0 * 1.4452093e-8 * kelvin * kelvin + 6.5459673 / kelvin};
}

/* The same, eq. (5); fitted for -100..0 C. */
static logarithm over_ice(double kelvin) {
  double square = kelvin * kelvin;
  return (logarithm){
      -5.6745359e3 / kelvin + 6.3925247 - 9.677843e-3 * kelvin + 6.2215701e-7 * square +
          2.0747825e-9 * square * kelvin - 9.484024e-13 * square * square + 4.1635019 * log(kelvin),
      5.6745359e3 / square - 9.677843e-3 + 2.0 * 6.2215701e-7 * kelvin +
          3.0 * 2.0747825e-9 * square - 4.0 * 9.484024e-13 * square * kelvin + 4.1635019 / kelvin};
}

typedef logarithm (*phase)(double kelvin);

static phase phase_at(double temperature_c) {
  return temperature_c <= EBI_TRIPLE_POINT ? over_ice : over_water;
}

static double saturation(phase over, double temperature_c) {
  return exp(over(temperature_c + ZERO_CELSIUS).value);
}

double eb_vapour_saturation(double temperature_c) {
  if (!(temperature_c >= LEAST_C && temperature_c <= MOST_C))
    return NAN;
  return saturation(phase_at(temperature_c), temperature_c);
}

double eb_vapour_saturation_water(double temperature_c) {
  if (!(temperature_c >= LEAST_OVER_WATER_C && temperature_c <= MOST_OVER_WATER_C))
    return NAN;
  return saturation(over_water, temperature_c);
}

/* Temperature [K] by Newton's steps in 1/T, by which ln p is so nearly straight that they hold from
 * the triple point to both ends of the fits (the tests walk through all of it). */
static double kelvin_of(phase over, double ln_pressure) {
  double kelvin = TRIPLE_POINT_K;
  for (int i = 0; i < NEWTON_STEPS; i++) {
    logarithm at = over(kelvin);
    double inverse = 1.0 / kelvin + (at.value - ln_pressure) / (kelvin * kelvin * at.slope);
    double next = 1.0 / inverse, step = next - kelvin;
    kelvin = next;
    if (fabs(step) <= 1e-15 * kelvin)
      break;
  }
  return kelvin;
}

/* Both fits meet at the triple point but for one part in 10^8. */
double ebi_saturation_temperature(double vapour_pa) {
  if (!(vapour_pa >= eb_vapour_saturation(LEAST_C) && vapour_pa <= eb_vapour_saturation(MOST_C)))
    return NAN;
  double ln_pressure = log(vapour_pa);
  bool ice = ln_pressure <= over_ice(TRIPLE_POINT_K).value;
  double found = kelvin_of(ice ? over_ice : over_water, ln_pressure) - ZERO_CELSIUS;
  return ice ? fmin(found, EBI_TRIPLE_POINT) : fmax(found, EBI_TRIPLE_POINT);
}

/* Supercooled water is in balance with more vapour than ice. */
double ebi_vapour_pressure(double temperature_c, double humidity) {
  double full = eb_vapour_saturation(temperature_c), most = full;
  if (temperature_c < EBI_TRIPLE_POINT && temperature_c >= LEAST_OVER_WATER_C)
    most = saturation(over_water, temperature_c);
  double vapour = humidity * full;
  return humidity >= 0.0 && vapour <= most * (1.0 + ROUNDING) ? vapour : (double)NAN;
}

/* Exact for saturated air. */
static double dew_point(double temperature_c, double vapour) {
  double found = ebi_saturation_temperature(vapour), full = eb_vapour_saturation(temperature_c);
  return vapour == full || (vapour < full && found > temperature_c) ? temperature_c : found;
}

double eb_dew_point(double temperature_c, double humidity) {
  return dew_point(temperature_c, ebi_vapour_pressure(temperature_c, humidity));
}

/* Ice grows on a surface below 0 C from the frost point on, before dew would. */
double ebi_dew_point(double temperature_c, double humidity) {
  if (!(humidity > 0.0 && humidity <= 1.0))
    return NAN;
  return dew_point(temperature_c, humidity * eb_vapour_saturation_water(temperature_c));
}
