/* tank.c - a tank of hot water and what heats it
 *
 * M dT/dt = P r(T) - L - d (T - T_cold): the right side is a straight line a + b x between two
 * points of the ratio, so that t = M ln(1 + b x/a)/b. Own calculation, from the balance. */

#include "physics/tank.h"

#include <math.h>
#include <stdbool.h>

double ebi_tank_content(double volume_m3, double from_c, double to_c) {
  return volume_m3 * EBI_WATER_HEAT * (to_c - from_c);
}

double ebi_tank_ratio(const ebi_tank *tank, double tank_c) {
  const ebi_ratio_point *points = tank->ratios;
  size_t last = tank->n_ratios - 1;
  if (tank_c <= points[0].tank_c)
    return points[0].ratio;
  for (size_t i = 0; i < last; i++)
    if (tank_c <= points[i + 1].tank_c)
      return points[i].ratio + (points[i + 1].ratio - points[i].ratio) *
                                   (tank_c - points[i].tank_c) /
                                   (points[i + 1].tank_c - points[i].tank_c);
  return points[last].ratio;
}

/* What heats the water [W], losses and draw taken off. */
static double net(const ebi_tank *tank, double tank_c) {
  return tank->power * ebi_tank_ratio(tank, tank_c) - tank->loss -
         tank->draw * EBI_WATER_HEAT * (tank_c - tank->cold_c);
}

/* Between two points of the ratio. False where the heating stands still on the way. */
static bool heat_part(const ebi_tank *tank, double from, double to, ebi_tank_run *run) {
  double mass = tank->volume * EBI_WATER_HEAT, rise = to - from;
  double start = net(tank, from), end = net(tank, to);
  if (!(start > 0.0) || !(end > 0.0)) {
    run->stands_c = start > 0.0 ? from + rise * start / (start - end) : from;
    return false;
  }
  double bend = end / start - 1.0;
  double stretch = fabs(bend) > 1e-6 ? log1p(bend) / bend : 1.0 - bend / 2.0;
  double seconds = mass * rise / start * stretch;
  /* mean of x/rise over time, for the heat that is drawn meanwhile */
  double place = fabs(bend) > 1e-4 ? (1.0 / stretch - 1.0) / bend : 0.5 - bend / 12.0;
  double drawn = tank->draw * EBI_WATER_HEAT * (from + rise * place - tank->cold_c);
  run->seconds += seconds;
  run->electricity_j += tank->power * seconds;
  run->heat_j += mass * rise + (tank->loss + drawn) * seconds;
  return true;
}

ebi_tank_run ebi_tank_heat(const ebi_tank *tank, double from_c, double to_c) {
  const ebi_tank_run none = {NAN, NAN, NAN, NAN};
  ebi_tank_run run = {0.0, 0.0, 0.0, NAN};
  if (!(tank->volume > 0.0) || !(tank->power > 0.0) || !(tank->loss >= 0.0) ||
      !(tank->draw >= 0.0) || tank->n_ratios == 0 || !(to_c >= from_c))
    return none;
  double from = from_c;
  for (size_t i = 0; i <= tank->n_ratios; i++) {
    double to = i < tank->n_ratios ? fmin(tank->ratios[i].tank_c, to_c) : to_c;
    if (!(to > from))
      continue;
    if (!heat_part(tank, from, to, &run))
      return (ebi_tank_run){NAN, NAN, NAN, run.stands_c};
    from = to;
  }
  return run;
}
