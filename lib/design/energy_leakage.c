/* energy_leakage.c - what the year saves at other leakages, and where it ceases to save */

#include "design/energy.h"

#include <math.h>

#include "numeric/root.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])

/* What a search is about. */
typedef struct search {
  const ebi_energy_inputs *in;
  const eb_energy *energy;
  bool money;
} search;

static eb_leakage_point point_at(const ebi_energy_inputs *given, const eb_energy *energy,
                                 double n50) {
  const eb_house *house = given->house;
  const ebi_energy_shift none = EBI_NO_SHIFT;
  ebi_energy_inputs in = *given;
  in.n50 = in.baseline_n50 = n50;
  ebi_energy_needs needs;
  ebi_energy_needs_of(&in, ebi_climate_finest(house->climate), &none, &needs);
  double heat = ebi_energy_sum(needs.baseline.heat_kwh) - ebi_energy_sum(needs.recovery.heat_kwh);
  double electricity = energy->saving_electricity_kwh, q50 = NAN;
  if (house->envelope_area.given)
    q50 = n50 * in.volume_m3 / house->envelope_area.value;
  return (eb_leakage_point){n50, q50, heat, electricity, ebi_money_saved(house, heat, electricity)};
}

static double saving_at(double n50, void *data) {
  const search *s = data;
  eb_leakage_point point = point_at(s->in, s->energy, n50);
  return s->money ? point.saving_money : point.saving_heat_kwh;
}

/* The first crossing on the way up from a house without leaks. */
static eb_status break_even(const search *of, eb_leakage_point *point) {
  search s = *of;
  double low = 0.0, at = NAN, before = saving_at(low, &s);
  *point = (eb_leakage_point){NAN, NAN, NAN, NAN, NAN};
  while (low < EBI_LEAKIEST && (saving_at(low + 1.0, &s) > 0.0) == (before > 0.0))
    low += 1.0;
  if (!(low < EBI_LEAKIEST))
    return EB_OK;
  eb_status status = ebi_root((ebi_function){saving_at, &s}, low, low + 1.0, 1e-6, &at);
  if (status == EB_OK)
    *point = point_at(s.in, s.energy, at);
  return status;
}

eb_status ebi_energy_leakage_curve(const ebi_energy_inputs *in, const eb_energy *energy,
                                   ebi_leakage_curve *curve) {
  static const double leakages[] = {0.3, 0.6, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0};
  eb_leakage_point *points = EBI_NEW_ARRAY(in->arena, eb_leakage_point, LENGTH(leakages));
  if (points == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < LENGTH(leakages); i++)
    points[i] = point_at(in, energy, leakages[i]);
  *curve = (ebi_leakage_curve){.points = points,
                               .n_points = LENGTH(leakages),
                               .break_even_money = {NAN, NAN, NAN, NAN, NAN}};
  eb_status status = break_even(&(search){in, energy, false}, &curve->break_even_heat);
  if (status == EB_OK && in->house->electricity.given && in->house->heating.given)
    status = break_even(&(search){in, energy, true}, &curve->break_even_money);
  return status;
}
