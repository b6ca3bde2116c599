/* surface.c - humidity at the surface of a cold wall: mould and condensation
 *
 * ISO 13788 (definition of fRsi): (surface - outdoor)/(indoor - outdoor), from memory. The air at
 * the surface holds the vapour of the room. */

#include <math.h>

#include "evenbreath.h"
#include "physics/moist.h"

double eb_surface_humidity(double indoor_c, double humidity, double outdoor_c,
                           double surface_factor) {
  if (!(surface_factor >= 0.0 && surface_factor <= 1.0))
    return NAN;
  double surface_c = outdoor_c + surface_factor * (indoor_c - outdoor_c);
  return ebi_vapour_pressure(indoor_c, humidity) / eb_vapour_saturation(surface_c);
}

double eb_surface_factor_needed(double indoor_c, double humidity, double outdoor_c,
                                double surface_humidity_limit) {
  if (!(surface_humidity_limit > 0.0 && surface_humidity_limit <= 1.0) ||
      !(outdoor_c < indoor_c && outdoor_c >= -100.0))
    return NAN;
  double vapour = ebi_vapour_pressure(indoor_c, humidity);
  double surface_c = ebi_saturation_temperature(vapour / surface_humidity_limit);
  return (surface_c - outdoor_c) / (indoor_c - outdoor_c);
}
