/* energy_need.c - what the heating must add, month by month */

#include "design/energy.h"

#include "physics/degree_days_normal.h"

double ebi_energy_sum(const double months[EBI_MONTHS]) {
  double sum = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++)
    sum += months[i];
  return sum;
}

/* A month at a heat loss, with the base temperature that goes with it. */
static void set_month(const ebi_energy_inputs *in, ebi_energy_need *need, int month,
                      double heat_loss) {
  const ebi_climate *climate = in->house->climate;
  double base = eb_base_temperature(in->indoor_c, in->gains_w, heat_loss);
  double degree_days = eb_degree_days_monthly(base, climate->mean_c[month], climate->days[month],
                                              climate->hitchin_k);
  need->heat_loss[month] = heat_loss;
  need->degree_days[month] = degree_days;
  need->heat_kwh[month] = 24.0 * heat_loss * degree_days / 1000.0;
}

void ebi_energy_needs_of(const ebi_energy_inputs *in, const ebi_energy_shift *shift,
                         ebi_energy_needs *needs) {
  ebi_energy_air air = ebi_energy_year_air(in, shift);
  double ventilation = in->air_capacity * air.flow * 3600.0;
  double room = in->air_capacity * in->volume_m3; /* W/K for each air change an hour */
  double closed = in->fabric_w_k + room * air.infiltration;
  needs->air = air;
  for (int i = 0; i < EBI_MONTHS; i++) {
    double baseline = ebi_energy_baseline_air(in, i, shift->infiltration);
    needs->baseline_air_change[i] = baseline;
    set_month(in, &needs->no_air, i, closed);
    set_month(in, &needs->no_recovery, i, closed + ventilation);
    set_month(in, &needs->recovery, i, closed + ventilation * (1.0 - air.ratio));
    set_month(in, &needs->baseline, i, in->fabric_w_k + room * baseline);
  }
}

/* The preheater warms outdoor air to the temperature below which it works. */
double ebi_energy_frost(const ebi_energy_inputs *in, double flow, int month) {
  const ebi_unit *unit = in->house->unit;
  const ebi_climate *climate = in->house->climate;
  if (unit->frost != EBI_FROST_PREHEATER || !unit->frost_below.given)
    return 0.0;
  double degree_days =
      ebi_degree_days_normal(unit->frost_below.value, climate->mean_c[month], climate->days[month],
                             ebi_degree_days_spread(climate->hitchin_k));
  return 24.0 * in->air_capacity * flow * 3600.0 * degree_days / 1000.0;
}
