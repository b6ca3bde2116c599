/* energy_air.c - flow, heat recovery and leakage over the year, and the baseline's air */

#include "design/energy.h"

#include <math.h>

#define UNBALANCE_FACTOR 15.0 /* f of EN ISO 13789:2007 annex C, from memory */

/* The exchanger keeps UA = NTU q (laminar channels have a constant Nusselt
 * number); what one flow lacks comes cold through the envelope. */
double ebi_exchanger_recovery(double ratio, double ratio_at, double supply, double extract) {
  double least = fmin(supply, extract), most = fmax(supply, extract);
  if (!(least > 0.0))
    return 0.0;
  double capacity_ratio = least / most;
  double ntu = eb_counterflow_ntu(ratio, 1.0) * (ratio_at > 0.0 ? ratio_at : most) / least;
  return eb_counterflow_effectiveness(ntu, capacity_ratio) * capacity_ratio;
}

ebi_energy_air ebi_energy_year_air(const ebi_energy_inputs *in, const ebi_energy_shift *shift) {
  double flow = 0.0, recovered = 0.0, leakage = 0.0;
  double ratio = fmin(fmax(in->ratio + shift->ratio, 0.0), 0.999);
  for (size_t i = 0; i < in->n_levels; i++) {
    const ebi_energy_level *level = &in->levels[i];
    double share = level->hours / 24.0;
    double supply = level->supply * shift->flow, extract = level->extract * shift->flow;
    double most = fmax(supply, extract);
    double unbalance = fabs(supply - extract) * 3600.0 / in->volume_m3;
    flow += share * most;
    recovered += share * most * ebi_exchanger_recovery(ratio, in->ratio_at, supply, extract);
    leakage += share * eb_infiltration(in->n50 * shift->infiltration, unbalance, in->shielding,
                                       UNBALANCE_FACTOR);
  }
  return (ebi_energy_air){flow, flow > 0.0 ? recovered / flow : 0.0, leakage};
}

/* Air changes [1/h] of a month. */
double ebi_energy_baseline_air(const ebi_energy_inputs *in, int month, double leakage_factor) {
  const ebi_baseline *baseline = in->house->baseline;
  const ebi_given *measured = &in->house->climate->wind_m_s[month];
  if (!isnan(in->baseline_given))
    return in->baseline_given;
  double wind = measured->given ? measured->value : baseline->wind[month];
  double sheltered = 1.0 - baseline->shelter_per_side * baseline->sheltered_sides;
  double openings = baseline->opening_flow * 3600.0 * in->baseline_fans / in->volume_m3;
  double leaks = in->baseline_n50 * leakage_factor / baseline->leakage_divisor;
  double n = (leaks + openings) * sheltered * wind / baseline->wind_reference;
  return n >= baseline->natural_from ? n : baseline->floor_air_change + baseline->quadratic * n * n;
}
