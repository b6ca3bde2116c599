/* diagnose_model.c - what the four sensors of a unit would show in a given plight
 *
 * A counterflow or crossflow exchanger of constant UA between the flows that really pass it, with
 * what goes past it, leaks, fans and ducts between it and the sensors. */

#include "design/diagnose.h"

#include <math.h>

#include "physics/air.h"
#include "physics/exchanger.h"
#include "physics/moist.h"

/* The supply takes up to twice what even flows could. */
#define MOST_FLOW_RATIO 2.0

ebi_wet_line ebi_wet_line_of(double extract_c, double humidity, double outdoor_c,
                             double pressure_pa) {
  ebi_wet_line line = {.step = 0.0, .dew_c = NAN};
  double ratio = eb_humidity_ratio(extract_c, humidity, pressure_pa);
  double most = MOST_FLOW_RATIO * EBI_AIR_CP * (extract_c - outdoor_c);
  line.dew_c = ebi_dew_point_of_ratio(isnan(ratio) ? 0.0 : ratio, pressure_pa);
  if (isnan(ratio) || !(most > 0.0) || !(line.dew_c > -100.0))
    return line;
  double step = most / (EBI_WET_POINTS - 1);
  for (int i = 0; i < EBI_WET_POINTS; i++) {
    line.exhaust_c[i] = ebi_cool_air(extract_c, ratio, step * i, pressure_pa).temperature_c;
    if (isnan(line.exhaust_c[i]))
      return line;
  }
  line.step = step;
  return line;
}

/* Extract air after giving off heat [J/kg]. */
static double cooled(const ebi_wet_line *line, double extract_c, double heat, bool *wet) {
  double dry = extract_c - heat / EBI_AIR_CP, at = line->step > 0.0 ? heat / line->step : -1.0;
  *wet = line->step > 0.0 && dry < line->dew_c;
  if (!*wet || !(at >= 0.0) || at >= EBI_WET_POINTS - 1)
    return dry;
  int i = (int)at;
  return line->exhaust_c[i] + (at - i) * (line->exhaust_c[i + 1] - line->exhaust_c[i]);
}

ebi_unit_shown ebi_unit_show(const ebi_unit_plight *p, bool crossflow, double outdoor_c,
                             double extract_c, const ebi_wet_line *line) {
  double cold_c = outdoor_c + p->outdoor_gain * (extract_c - outdoor_c);
  double warm_c = extract_c + (p->extract_fan_first ? p->extract_fan_k : 0.0);
  double fresh = p->flow_ratio * (1.0 - p->leak);          /* outdoor air, per extract air */
  double passing = fresh * (1.0 - p->bypassed);            /* of it, through the exchanger */
  double used = fmax(1.0 - p->flow_ratio * p->leak, 0.05); /* extract air there */
  ebi_unit_shown shown = {.wet = false};
  cold_c = fmax(cold_c, p->preheated_to);
  double ratio =
      passing > 1e-6 ? ebi_exchanger_ratios(crossflow, p->size, passing, used).supply_ratio : 0.0;
  double gain = ratio * (warm_c - cold_c) * (1.0 - p->bypassed);
  shown.supply_c = (1.0 - p->leak) * (cold_c + gain) + p->leak * extract_c + p->supply_fan_k;
  shown.supply_c += p->supply_loss * (outdoor_c - shown.supply_c);
  shown.exhaust_c = cooled(line, warm_c, EBI_AIR_CP * gain * fresh / used, &shown.wet);
  shown.exhaust_c += p->extract_fan_first ? 0.0 : p->extract_fan_k;
  shown.exhaust_c += p->exhaust_gain * (extract_c - shown.exhaust_c);
  return shown;
}
