/* energy_air.c - flow, heat recovery and leakage over the year */

#include "design/energy.h"

#include <math.h>
#include <string.h>

#include "physics/exchanger.h"

/* ---- The exchanger ------------------------------------------------------ */

#define MOST_RATIO 0.999 /* counterflow: 1 would take an exchanger without end */

/* Extract air in the supply; the unit's own figures of a year always have a unit. */
static double leak_inside(const ebi_unit *unit) {
  return unit->leak_inside.given ? unit->leak_inside.value : 0.0;
}

/* A measured point: its ratio without the leak, at the flow that was not leak. Size is UA over
 * the air's heat capacity: transfer units times flow. */
static double size_of(const ebi_unit *unit, double measured, double at) {
  double leak = leak_inside(unit);
  double most = unit->crossflow ? ebi_crossflow_most() : MOST_RATIO;
  double ratio = eb_ratio_without_leak(fmin(fmax(measured, leak), 1.0), leak);
  return ebi_exchanger_size(unit->crossflow, fmin(ratio, most), at * (1.0 - leak));
}

/* Each side resists half at the measured flow, and by q^-m at others. */
static double growth(const ebi_unit *unit, double at, double supply, double extract) {
  double m = unit->ratio_exponent.value, own = at * (1.0 - leak_inside(unit));
  return 2.0 / (pow(own / supply, m) + pow(own / extract, m));
}

static double size_beyond(const ebi_unit *unit, const ebi_point *end, double shift, double supply,
                          double extract) {
  return size_of(unit, end->y + shift, end->x) * growth(unit, end->x, supply, extract);
}

/* Several points of a sheet: UA between them is linear in the mean of the flows, which is exact
 * for laminar channels; interpolated ratios would not be. */
static double size_of_points(const ebi_unit *unit, double shift, double supply, double extract) {
  const ebi_point *points = unit->ratios;
  size_t last = unit->n_ratios - 1, i = 0;
  double flow = 0.5 * (supply + extract) / (1.0 - leak_inside(unit));
  if (flow <= points[0].x)
    return size_beyond(unit, &points[0], shift, supply, extract);
  if (flow >= points[last].x)
    return size_beyond(unit, &points[last], shift, supply, extract);
  while (flow > points[i + 1].x)
    i++;
  double low = size_of(unit, points[i].y + shift, points[i].x);
  double high = size_of(unit, points[i + 1].y + shift, points[i + 1].x);
  return low + (high - low) * (flow - points[i].x) / (points[i + 1].x - points[i].x);
}

static double size_at(const ebi_energy_inputs *in, double shift, double supply, double extract) {
  const ebi_unit *unit = in->house->unit;
  if (unit->n_ratios > 0)
    return size_of_points(unit, shift, supply, extract);
  if (in->ratio_at > 0.0)
    return size_of(unit, in->ratio + shift, in->ratio_at) *
           growth(unit, in->ratio_at, supply, extract);
  double at = fmax(supply, extract) / (1.0 - leak_inside(unit)); /* as it stands at every flow */
  return size_of(unit, in->ratio + shift, at);
}

eb_exchanger_ratios ebi_energy_exchanger(const ebi_energy_inputs *in, double shift, double supply,
                                         double extract) {
  return ebi_exchanger_ratios(in->house->unit->crossflow, size_at(in, shift, supply, extract),
                              supply, extract);
}

/* ---- The year ----------------------------------------------------------- */

/* EN ISO 13789:2007 annex C (from memory): several exposed facades or one. */
static bool one_facade(const eb_house *house) {
  return house->exposed_facades.given && house->exposed_facades.value <= 1.0;
}

double ebi_energy_shielding(const eb_house *house) {
  static const double several[] = {0.10, 0.07, 0.04}, one[] = {0.03, 0.02, 0.01};
  size_t shielding = 1; /* normal, where not said */
  if (house->shielding != NULL && strcmp(house->shielding, "none") == 0)
    shielding = 0;
  if (house->shielding != NULL && strcmp(house->shielding, "heavy") == 0)
    shielding = 2;
  return one_facade(house) ? one[shielding] : several[shielding];
}

/* f of the same annex. */
static double unbalance_factor(const eb_house *house) {
  return one_facade(house) ? 20.0 : 15.0;
}

/* Flows of a level through the unit's spigots to and from the rooms, by the readings' unbalance
 * where there is one: the larger stays. */
static void flows_of(const ebi_energy_inputs *in, const ebi_energy_level *level, double factor,
                     double *supply, double *extract) {
  *supply = level->supply * factor;
  *extract = level->extract * factor;
  if (isnan(in->measured_unbalance))
    return;
  double most = fmax(*supply, *extract);
  *supply = most * fmin(1.0 + in->measured_unbalance, 1.0);
  *extract = most * fmin(1.0 - in->measured_unbalance, 1.0);
}

/* What one flow lacks comes or goes through the envelope at the outdoor temperature. Air that
 * leaks inside the unit passes neither outdoors nor the exchanger. */
ebi_energy_air ebi_energy_year_air(const ebi_energy_inputs *in, const ebi_energy_shift *shift) {
  double leak = leak_inside(in->house->unit), factor = unbalance_factor(in->house);
  double flow = 0.0, recovered = 0.0, leakage = 0.0, supplied = 0.0, fresh = 0.0, extracted = 0.0;
  for (size_t i = 0; i < in->n_levels; i++) {
    double share = in->levels[i].hours / 24.0, supply, extract;
    flows_of(in, &in->levels[i], shift->flow, &supply, &extract);
    double unbalance = fabs(supply - extract) * 3600.0 / in->volume_m3;
    double outdoor = supply * (1.0 - leak), exhaust = fmax(extract - supply * leak, 0.0);
    double most = fmax(outdoor, exhaust);
    flow += share * most;
    supplied += share * supply;
    fresh += share * outdoor;
    extracted += share * extract;
    if (outdoor > 0.0 && exhaust > 0.0)
      recovered += share * most * ebi_energy_exchanger(in, shift->ratio, outdoor, exhaust).recovery;
    leakage +=
        share * eb_infiltration(in->n50 * shift->infiltration, unbalance, in->shielding, factor);
  }
  return (ebi_energy_air){.flow = flow,
                          .ratio = flow > 0.0 ? recovered / flow : 0.0,
                          .infiltration = leakage,
                          .fresh = supplied > 0.0 ? fresh / supplied : 1.0,
                          .extract = extracted};
}
