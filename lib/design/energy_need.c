/* energy_need.c - what the heating must add, month by month, and what crosses the exchanger */

#include "design/energy.h"

#include <math.h>

#define HOURS_PER_DAY 24.0
#define SECONDS_PER_HOUR 3600.0

double ebi_energy_sum(const double months[EBI_MONTHS]) {
  double sum = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++)
    sum += months[i];
  return sum;
}

/* ---- Needs -------------------------------------------------------------- */

/* What all needs of a calculation share. */
typedef struct year {
  const ebi_energy_inputs *in;
  ebi_weather weather;
  const ebi_energy_shift *shift;
} year;

/* A way to run the house in a month, its base temperature following from loss and gains: */
typedef struct way {
  double heat_loss; /* W/K */
  double fan_heat;  /* W beside the gains */
  double beside;    /* kWh that the heating must add, whatever the degree-days */
} way;

/* Its heat [kWh], and the degree-days that make most of it. */
static double heat_of(const year *y, int month, way w, double *degree_days) {
  const ebi_energy_inputs *in = y->in;
  double gains = in->gains_of[month] * y->shift->gains + w.fan_heat;
  double base = eb_base_temperature(in->indoor_c, gains, w.heat_loss);
  *degree_days =
      y->shift->degree_days * ebi_climate_degree_days(in->house->climate, y->weather, month, base);
  double heat = HOURS_PER_DAY * w.heat_loss * *degree_days / 1000.0 + w.beside;
  return w.beside < 0.0 ? fmax(heat, 0.0) : heat;
}

static void set_month(const year *y, ebi_energy_need *need, int month, way w) {
  need->heat_loss[month] = w.heat_loss;
  need->heat_kwh[month] = heat_of(y, month, w, &need->degree_days[month]);
}

/* The same system without its exchanger has its fans' warmth too; any other baseline has not. */
double ebi_energy_baseline_fan_heat(const ebi_energy_inputs *in) {
  bool same = in->house->baseline->kind == EBI_BASELINE_SAME_SYSTEM && isnan(in->baseline_given);
  return same ? in->fan_heat_w : 0.0;
}

/* Heat losses [W/K] that are alike in all months. */
typedef struct losses {
  ebi_energy_air air;
  double fabric, closed, ventilation, net; /* closed: with leaks; net: with the system as it is */
  double room;                             /* for each air change an hour */
} losses;

static losses losses_of(const ebi_energy_inputs *in, const ebi_energy_shift *shift) {
  losses l = {.air = ebi_energy_year_air(in, shift),
              .fabric = in->fabric_w_k * shift->heat_loss,
              .room = in->air_capacity * in->volume_m3};
  double ducts = in->duct_lost_w_k + in->duct_shared_w_k * l.air.ratio;
  l.ventilation = in->air_capacity * l.air.flow * SECONDS_PER_HOUR;
  l.closed = l.fabric + l.room * l.air.infiltration;
  l.net = l.closed + l.ventilation * (1.0 - l.air.ratio) + ducts;
  return l;
}

/* Air that frost protection warms comes warmer to the rooms by 1 - ratio of it: so much colder
 * goes out what would have warmed it. */
static way as_it_is(const year *y, const losses *l, const ebi_energy_frost *frost) {
  double beside = frost->lost_kwh - frost->warmed_kwh * (1.0 - l->air.ratio);
  return (way){l->net, y->in->fan_heat_w, beside * y->shift->degree_days};
}

/* Without the exchanger all of it would come. */
static way without_recovery(const year *y, const losses *l, const ebi_energy_frost *frost) {
  return (way){l->closed + l->ventilation, y->in->fan_heat_w,
               -frost->warmed_kwh * y->shift->degree_days};
}

static way baseline_of(const year *y, const losses *l, double air_change) {
  return (way){l->fabric + l->room * air_change, ebi_energy_baseline_fan_heat(y->in), 0.0};
}

void ebi_energy_needs_of(const ebi_energy_inputs *in, ebi_weather weather,
                         const ebi_energy_shift *shift, ebi_energy_needs *needs) {
  const year y = {in, weather, shift};
  const losses l = losses_of(in, shift);
  needs->air = l.air;
  for (int i = 0; i < EBI_MONTHS; i++) {
    double change = ebi_energy_baseline_change(in, shift, &l.air, i);
    needs->baseline_air_change[i] = change;
    needs->frost[i] = ebi_energy_frost_of(in, weather, &l.air, i);
    set_month(&y, &needs->no_air, i, (way){l.closed, 0.0, 0.0});
    set_month(&y, &needs->no_recovery, i, without_recovery(&y, &l, &needs->frost[i]));
    set_month(&y, &needs->recovery, i, as_it_is(&y, &l, &needs->frost[i]));
    set_month(&y, &needs->baseline, i, baseline_of(&y, &l, change));
  }
}

double ebi_energy_saving_of(const ebi_energy_inputs *in, ebi_weather weather,
                            const ebi_energy_shift *shift) {
  const year y = {in, weather, shift};
  const losses l = losses_of(in, shift);
  double saving = 0.0, degree_days;
  for (int i = 0; i < EBI_MONTHS; i++) {
    double change = ebi_energy_baseline_change(in, shift, &l.air, i);
    ebi_energy_frost frost = ebi_energy_frost_of(in, weather, &l.air, i);
    saving += heat_of(&y, i, baseline_of(&y, &l, change), &degree_days) -
              heat_of(&y, i, as_it_is(&y, &l, &frost), &degree_days);
  }
  return saving;
}

/* ---- What crosses the exchanger ----------------------------------------- */

/* Kelvin-days between indoors and what is outdoors, of the days colder than a limit: the sum of
 * Ti - T over T < limit is D(limit) + (Ti - limit) N(limit). */
static double kelvin_days(const ebi_energy_inputs *in, ebi_weather weather, int month,
                          double limit_c) {
  const ebi_climate *climate = in->house->climate;
  return ebi_climate_degree_days(climate, weather, month, limit_c) +
         (in->indoor_c - limit_c) * ebi_climate_days_below(climate, weather, month, limit_c);
}

static double base_of(const ebi_energy_inputs *in, const ebi_energy_needs *needs, int month) {
  return eb_base_temperature(in->indoor_c, in->gains_of[month] + in->fan_heat_w,
                             needs->recovery.heat_loss[month]);
}

/* A house that is not heated floats at To + G/H; the bypass opens when that passes its limit. */
double ebi_energy_bypass_c(const ebi_energy_inputs *in, const ebi_energy_needs *needs, int month) {
  const ebi_unit *unit = in->house->unit;
  if (!unit->bypass_opens_above.given)
    return in->indoor_c;
  double above_outdoors = in->indoor_c - base_of(in, needs, month);
  double opens = fmax(unit->bypass_opens_above.value, in->indoor_c) - above_outdoors;
  if (unit->bypass_closes_below.given)
    opens = fmax(opens, unit->bypass_closes_below.value);
  return fmin(opens, in->indoor_c);
}

ebi_energy_recovered ebi_energy_recovered_of(const ebi_energy_inputs *in, ebi_weather weather,
                                             const ebi_energy_needs *needs) {
  const ebi_climate *climate = in->house->climate;
  double flow = in->air_capacity * needs->air.flow * SECONDS_PER_HOUR; /* W/K */
  double per_day = HOURS_PER_DAY * flow * needs->air.ratio / 1000.0;
  ebi_energy_recovered recovered;
  for (int i = 0; i < EBI_MONTHS; i++) {
    double all = ebi_climate_degree_days(climate, weather, i, in->indoor_c);
    double opens = ebi_energy_bypass_c(in, needs, i), shut = all;
    if (opens < in->indoor_c)
      shut = kelvin_days(in, weather, i, opens);
    double uncrossed = needs->frost[i].uncrossed_kwh;
    recovered.gross[i] = per_day * (shut + in->bypass_residual * (all - shut)) - uncrossed;
    recovered.heating[i] = per_day * kelvin_days(in, weather, i, base_of(in, needs, i)) - uncrossed;
    recovered.heating[i] = fmax(recovered.heating[i], 0.0);
  }
  return recovered;
}
