/* diagnose_figures.c - what one round of temperatures says, with its 95 % limits */

#include "design/diagnose.h"

#include <math.h>

#include "physics/air.h"
#include "physics/moist.h"

static double finite(double value) {
  return isfinite(value) ? value : (double)NAN;
}

/* ---- Ratios: EN 13141-7, from memory ---- */

static double span(const ebi_unit_reading *r) {
  return r->x[EBI_IN_EXTRACT] - r->x[EBI_IN_OUTDOOR];
}

double ebi_unit_supply_ratio(const ebi_unit_reading *r) {
  return finite((r->x[EBI_IN_SUPPLY] - r->x[EBI_IN_OUTDOOR]) / span(r));
}

double ebi_unit_extract_ratio(const ebi_unit_reading *r) {
  return finite((r->x[EBI_IN_EXTRACT] - r->x[EBI_IN_EXHAUST]) / span(r));
}

/* Heat capacity per volume of the supply air. */
static double capacity(const ebi_unit_reading *r) {
  return eb_air_heat_capacity(r->x[EBI_IN_SUPPLY], r->pressure_pa);
}

double ebi_unit_fan_heat(const ebi_unit_reading *r) {
  return eb_fan_warming(r->fan_power_w * r->x[EBI_IN_FAN_SHARE], r->x[EBI_IN_SUPPLY_FLOW],
                        capacity(r));
}

/* NAN where neither the fan's warmth nor a leak is known: there is nothing to correct. */
double ebi_unit_corrected_ratio(const ebi_unit_reading *r) {
  double warmth = ebi_unit_fan_heat(r);
  if (isnan(warmth) && r->leak == 0.0)
    return NAN;
  double ratio = eb_ratio_without_fan(r->x[EBI_IN_OUTDOOR], r->x[EBI_IN_SUPPLY],
                                      r->x[EBI_IN_EXTRACT], isnan(warmth) ? 0.0 : warmth);
  return finite((ratio - r->leak) / (1.0 - r->leak));
}

/* Of a dry unit that only its two airs exchange heat in: what one gains the other loses. */
double ebi_unit_flow_ratio(const ebi_unit_reading *r) {
  double ratio =
      (r->x[EBI_IN_EXTRACT] - r->x[EBI_IN_EXHAUST]) / (r->x[EBI_IN_SUPPLY] - r->x[EBI_IN_OUTDOOR]);
  return ratio > 0.0 ? finite(ratio) : (double)NAN;
}

/* ---- Flows ---- */

/* Without the extract's humidity both airs count as dry, so that their ratio is not one-sided. */
double ebi_unit_dry_air(const ebi_unit_reading *r, ebi_unit_input flow) {
  bool supply = flow == EBI_IN_SUPPLY_FLOW;
  double own_c = r->x[supply ? EBI_IN_SUPPLY : EBI_IN_EXTRACT], ratio = 0.0;
  if (!isnan(r->x[EBI_IN_HUMIDITY]))
    ratio = supply ? eb_humidity_ratio(r->x[EBI_IN_OUTDOOR], r->outdoor_humidity, r->pressure_pa)
                   : eb_humidity_ratio(own_c, r->x[EBI_IN_HUMIDITY], r->pressure_pa);
  return finite(r->x[flow] / eb_moist_volume(own_c, isnan(ratio) ? 0.0 : ratio, r->pressure_pa));
}

double ebi_unit_measured_flow_ratio(const ebi_unit_reading *r) {
  return finite(ebi_unit_dry_air(r, EBI_IN_SUPPLY_FLOW) / ebi_unit_dry_air(r, EBI_IN_EXTRACT_FLOW));
}

double ebi_unit_recovered(const ebi_unit_reading *r) {
  double gain = r->x[EBI_IN_SUPPLY] - r->x[EBI_IN_OUTDOOR];
  return finite(ebi_unit_dry_air(r, EBI_IN_SUPPLY_FLOW) * EBI_AIR_CP * gain);
}

/* ---- Water ---- */

/* The extract air gives off what the supply takes, and its fan brings the supply no heat of the
 * extract's. One flow known stands for both. */
double ebi_unit_condensate(const ebi_unit_reading *r) {
  double corrected = ebi_unit_corrected_ratio(r), humidity = r->x[EBI_IN_HUMIDITY];
  double ratio = isnan(corrected) ? ebi_unit_supply_ratio(r) : corrected;
  double supply = ebi_unit_dry_air(r, EBI_IN_SUPPLY_FLOW);
  double extract = ebi_unit_dry_air(r, EBI_IN_EXTRACT_FLOW);
  double outdoor = eb_humidity_ratio(r->x[EBI_IN_OUTDOOR], r->outdoor_humidity, r->pressure_pa);
  double inside = eb_humidity_ratio(r->x[EBI_IN_EXTRACT], humidity, r->pressure_pa);
  if (isnan(extract))
    extract = supply;
  if (isnan(supply))
    supply = extract;
  if (isnan(outdoor) || isnan(inside) || isnan(extract) || !(span(r) > 0.0))
    return NAN;
  double heat = (EBI_AIR_CP + EBI_VAPOUR_CP * outdoor) * fmin(fmax(ratio, 0.0), 1.0) * span(r);
  ebi_cooled_air end =
      ebi_cool_air(r->x[EBI_IN_EXTRACT], inside, heat * supply / extract, r->pressure_pa);
  return finite(extract * fmax(inside - end.humidity_ratio, 0.0));
}

/* ---- Limits ---- */

/* Half the change between a standard uncertainty below and above. */
static double effect(ebi_unit_figure figure, const ebi_unit_reading *reading, int input) {
  ebi_unit_reading shifted = *reading;
  const double part = 1e-3; /* of it: the slope, as the GUM has it */
  shifted.x[input] = reading->x[input] + part * reading->u[input];
  double above = figure(&shifted);
  shifted.x[input] = reading->x[input] - part * reading->u[input];
  return (above - figure(&shifted)) / (2.0 * part);
}

eb_estimate ebi_unit_estimate(ebi_unit_figure figure, const ebi_unit_reading *reading) {
  double value = figure(reading), variance = 0.0;
  if (isnan(value))
    return (eb_estimate){NAN, NAN, NAN};
  for (int i = 0; i < EBI_UNIT_INPUTS; i++) {
    if (isnan(reading->x[i]) || reading->u[i] == 0.0)
      continue;
    double one = effect(figure, reading, i);
    variance += one * one;
  }
  double half = EBI_LIMITS_95 * sqrt(variance);
  if (!isfinite(half))
    return (eb_estimate){NAN, NAN, NAN};
  return (eb_estimate){value, value - half, value + half};
}
