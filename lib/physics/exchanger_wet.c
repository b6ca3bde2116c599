/* exchanger_wet.c - a heat exchanger whose extract air drops water, or that hands moisture over */

#include <math.h>

#include "evenbreath.h"
#include "physics/air.h"
#include "physics/moist.h"

/* The supply ratio stands as it is dry, which is on the safe side: the heat that the vapour gives
 * off only lifts the exhaust air's temperature. */
eb_wet_exchange eb_exchanger_wet(double outdoor_c, double outdoor_humidity, double extract_c,
                                 double extract_humidity, double dry_air_kg_s, double supply_ratio,
                                 double pressure_pa) {
  const eb_wet_exchange none = {NAN, NAN, NAN, NAN, NAN, NAN, NAN};
  double outdoor = eb_humidity_ratio(outdoor_c, outdoor_humidity, pressure_pa);
  double extract = eb_humidity_ratio(extract_c, extract_humidity, pressure_pa);
  double rise = supply_ratio * (extract_c - outdoor_c);
  if (isnan(outdoor) || isnan(extract) || !(outdoor_c <= extract_c) || !(supply_ratio >= 0.0) ||
      !(supply_ratio <= 1.0) || !(dry_air_kg_s > 0.0) || isinf(dry_air_kg_s))
    return none;
  double heat = (EBI_AIR_CP + EBI_VAPOUR_CP * outdoor) * rise;
  ebi_cooled_air end = ebi_cool_air(extract_c, extract, heat, pressure_pa);
  if (isnan(end.temperature_c) || isnan(end.frozen))
    return none;
  double water = dry_air_kg_s * fmax(extract - end.humidity_ratio, 0.0);
  return (eb_wet_exchange){
      .heat_w = dry_air_kg_s * heat,
      .supply_c = outdoor_c + rise,
      .exhaust_c = end.temperature_c,
      .dry_exhaust_c = extract_c - heat / (EBI_AIR_CP + EBI_VAPOUR_CP * extract),
      .condensate_kg_s = water,
      .latent_w = EBI_VAPOUR_HEAT * water,
      .frost_kg_s = end.frozen * water,
  };
}

/* Humidity ratios as temperatures, each with its own ratio: EN 13141-7 (from memory). */
eb_moisture_core eb_exchanger_moisture(double outdoor_c, double outdoor_humidity, double extract_c,
                                       double extract_humidity, double sensible_ratio,
                                       double moisture_ratio, double pressure_pa) {
  const eb_moisture_core none = {NAN, NAN, NAN};
  double outdoor = eb_humidity_ratio(outdoor_c, outdoor_humidity, pressure_pa);
  double extract = eb_humidity_ratio(extract_c, extract_humidity, pressure_pa);
  if (isnan(outdoor) || isnan(extract) || !(sensible_ratio >= 0.0 && sensible_ratio <= 1.0) ||
      !(moisture_ratio >= 0.0 && moisture_ratio <= 1.0))
    return none;
  double supply_c = outdoor_c + sensible_ratio * (extract_c - outdoor_c);
  double supply = outdoor + moisture_ratio * (extract - outdoor);
  supply = fmin(supply, ebi_saturation_ratio(supply_c, pressure_pa));
  double before = eb_moist_enthalpy(outdoor_c, outdoor);
  double most = eb_moist_enthalpy(extract_c, extract) - before;
  double gain = eb_moist_enthalpy(supply_c, supply) - before;
  return (eb_moisture_core){supply_c, supply, most == 0.0 ? (double)NAN : gain / most};
}
