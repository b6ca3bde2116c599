/* coil.c - air through a cooling coil, such as the evaporator of a small heat pump
 *
 * By enthalpy, not by temperature alone: what goes into water does not cool the air. All air is
 * taken to touch the coil, the wettest case; a real coil lets some by. */

#include <math.h>

#include "evenbreath.h"
#include "physics/air.h"
#include "physics/moist.h"

eb_coil eb_cooling_coil(double inlet_c, double inlet_humidity, double dry_air_kg_s,
                        double cooling_w, double pressure_pa) {
  const eb_coil none = {NAN, NAN, NAN, NAN};
  double inlet = eb_humidity_ratio(inlet_c, inlet_humidity, pressure_pa);
  if (isnan(inlet) || !(dry_air_kg_s > 0.0) || !(cooling_w >= 0.0) || isinf(cooling_w) ||
      isinf(dry_air_kg_s))
    return none;
  double heat = cooling_w / dry_air_kg_s;
  ebi_cooled_air end = ebi_cool_air(inlet_c, inlet, heat, pressure_pa);
  if (isnan(end.temperature_c) || isnan(end.frozen))
    return none;
  double water = fmax(inlet - end.humidity_ratio, 0.0);
  double sensible = (EBI_AIR_CP + EBI_VAPOUR_CP * inlet) * (inlet_c - end.temperature_c);
  return (eb_coil){
      .outlet_c = end.temperature_c,
      .outlet_humidity_ratio = end.humidity_ratio,
      .condensate_kg_s = dry_air_kg_s * water,
      .sensible_share = water > 0.0 ? sensible / heat : 1.0,
  };
}
