/* wet_bulb.c - temperature to which water cools air that evaporates it
 *
 * Adiabatic saturation, ASHRAE Handbook Fundamentals 2021, ch. 1 eqs. (33) and (35) (from memory,
 * as psychrolib 1.1.1 has them): the bulb is covered with water from 0 C, with ice below. Of air
 * between about 0 and 10 C some has both a wet and a frozen bulb; the wet one is taken. */

#include <math.h>

#include "evenbreath.h"
#include "numeric/root.h"
#include "physics/air.h"
#include "physics/moist.h"

#define TOLERANCE 1e-11 /* K */

/* Heat [J/kg] that water or ice takes to evaporate from a bulb at 0 C, its change with the bulb's
 * temperature, and heat capacity [J/(kg K)] of the water or ice. */
typedef struct cover {
  double heat, heat_change, cp;
} cover;

static const cover WATER = {2501e3, -2326.0, 4186.0};
static const cover ICE = {2830e3, -240.0, 2100.0};

typedef struct bulb {
  double temperature_c, humidity_ratio, pressure_pa; /* of the air */
  cover cover;
} bulb;

/* Humidity ratio of air at which the bulb would have a temperature, over that of the air. */
static double excess(double bulb_c, void *data) {
  const bulb *b = data;
  double saturated = ebi_saturation_ratio(bulb_c, b->pressure_pa);
  double ratio = ((b->cover.heat + b->cover.heat_change * bulb_c) * saturated -
                  EBI_AIR_CP * (b->temperature_c - bulb_c)) /
                 (b->cover.heat + EBI_VAPOUR_CP * b->temperature_c - b->cover.cp * bulb_c);
  return ratio - b->humidity_ratio;
}

static double between(bulb *b, double low, double high) {
  return ebi_root_rising((ebi_function){excess, b}, low, high, TOLERANCE);
}

double eb_wet_bulb(double temperature_c, double humidity_ratio, double pressure_pa) {
  double humidity = eb_relative_humidity(temperature_c, humidity_ratio, pressure_pa);
  if (!(humidity <= 1.0 + 1e-12) || isnan(ebi_saturation_ratio(temperature_c, pressure_pa)))
    return NAN;
  double dew_point = fmax(ebi_dew_point_of_ratio(humidity_ratio, pressure_pa), -100.0);
  bulb b = {temperature_c, humidity_ratio, pressure_pa, WATER};
  if (dew_point >= temperature_c)
    return temperature_c;
  if (temperature_c >= 0.0 && excess(0.0, &b) <= 0.0)
    return between(&b, fmax(dew_point, 0.0), temperature_c);
  b.cover = ICE;
  return between(&b, dew_point, fmin(temperature_c, 0.0));
}
