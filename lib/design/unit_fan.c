/* unit_fan.c - a fan as physics wants it, from the data of a unit */

#include "design/unit_fan.h"

#include <math.h>

static double total_pressure(const ebi_fan_point *point, double outlet_area) {
  if (outlet_area <= 0.0)
    return point->pressure;
  double velocity = point->flow / outlet_area;
  return point->pressure + 0.5 * EB_REFERENCE_DENSITY * velocity * velocity;
}

static bool has_power(const ebi_fan_curve_data *curve) {
  for (size_t i = 0; i < curve->n_points; i++)
    if (!isfinite(curve->points[i].power))
      return false;
  return true;
}

static bool fill_curve(ebi_arena *arena, const ebi_fan_curve_data *from, double outlet_area,
                       ebi_fan_curve_points *to) {
  double *flow = EBI_NEW_ARRAY(arena, double, from->n_points);
  double *pressure = EBI_NEW_ARRAY(arena, double, from->n_points);
  double *power = EBI_NEW_ARRAY(arena, double, from->n_points);
  if (flow == NULL || pressure == NULL || power == NULL)
    return false;
  for (size_t i = 0; i < from->n_points; i++) {
    flow[i] = from->points[i].flow;
    pressure[i] = total_pressure(&from->points[i], outlet_area);
    power[i] = from->points[i].power;
  }
  *to = (ebi_fan_curve_points){.speed = from->speed,
                               .flow = flow,
                               .pressure = pressure,
                               .power = has_power(from) ? power : NULL,
                               .count = from->n_points};
  return true;
}

ebi_fan *ebi_unit_fan(ebi_arena *arena, const ebi_fan_data *data, double outlet_area) {
  ebi_fan_curve_points *curves = EBI_NEW_ARRAY(arena, ebi_fan_curve_points, data->n_curves);
  if (curves == NULL)
    return NULL;
  for (size_t i = 0; i < data->n_curves; i++)
    if (!fill_curve(arena, &data->curves[i], outlet_area, &curves[i]))
      return NULL;
  return ebi_fan_new(arena, curves, data->n_curves, 0.0);
}
