/* air_quality.c - carbon dioxide in a well-mixed room, and what people give off */

#include "physics/air_quality.h"

#include <math.h>

double eb_co2_rise(double generation, double flow) {
  double rise = generation / flow;
  return generation >= 0.0 && flow > 0.0 && isfinite(rise) ? rise : (double)NAN;
}

/* rise = start E + G/q (1 - E), E = exp(-q t/V); (1 - E)/q is t/V as q vanishes. */
double eb_co2_after(double generation, double flow, double volume_m3, double start,
                    double seconds) {
  if (!(generation >= 0.0) || !(flow >= 0.0) || !(volume_m3 > 0.0) || !(start >= 0.0) ||
      !(seconds >= 0.0))
    return NAN;
  double changes = flow * seconds / volume_m3;
  double gained =
      flow > 0.0 ? generation / flow * -expm1(-changes) : generation * seconds / volume_m3;
  double rise = start * exp(-changes) + gained;
  return isfinite(rise) ? rise : (double)NAN;
}

/* MJ/day = slope mass + constant, by age. */
typedef struct schofield {
  double to_age, slope[2], constant[2]; /* male, female */
} schofield;

double ebi_basal_metabolism(double mass_kg, double age, bool female) {
  static const schofield rows[] = {
      {3.0, {0.249, 0.244}, {-0.127, -0.130}}, {10.0, {0.095, 0.085}, {2.110, 2.033}},
      {18.0, {0.074, 0.056}, {2.754, 2.898}},  {30.0, {0.063, 0.062}, {2.896, 2.036}},
      {60.0, {0.048, 0.034}, {3.653, 3.538}},  {150.0, {0.049, 0.038}, {2.459, 2.755}}};
  if (!(mass_kg > 0.0 && mass_kg <= 500.0) || !(age >= 0.0 && age <= 150.0))
    return NAN;
  const schofield *row = rows;
  while (age >= row->to_age && row < rows + sizeof rows / sizeof rows[0] - 1)
    row++;
  double basal = row->slope[female] * mass_kg + row->constant[female];
  return basal > 0.0 ? basal : (double)NAN;
}

double ebi_co2_generation(double quotient, double basal_mj_day, double met, double temperature_c,
                          double pressure_pa) {
  if (!(quotient > 0.0) || !(basal_mj_day > 0.0) || !(met > 0.0) || !(temperature_c > -273.15) ||
      !(pressure_pa > 0.0))
    return NAN;
  double litres =
      quotient * basal_mj_day * met * (temperature_c + 273.15) / (pressure_pa / 1000.0) * 0.000211;
  return isfinite(litres) ? litres / 1000.0 : (double)NAN;
}

double ebi_co2_generation_by_surface(double surface_m2, double met, double quotient) {
  if (!(surface_m2 > 0.0) || !(met > 0.0) || !(quotient > 0.0))
    return NAN;
  double litres = 0.00276 * surface_m2 * met * quotient / (0.23 * quotient + 0.77);
  return isfinite(litres) ? litres / 1000.0 : (double)NAN;
}
