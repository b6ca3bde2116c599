/* methods_baseline.c - the air of what the energy is compared with, as case rows ask for it */

#include <math.h>

#include "design/energy.h"
#include "methods.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

/* Figures of SAP 10.2, worksheet (8) and (18)-(24d), from memory. */
static ebi_baseline sap(ebi_baseline_kind kind, double sheltered_sides, double wind) {
  return (ebi_baseline){.kind = kind,
                        .floor_air_change = 0.5,
                        .quadratic = 0.5,
                        .natural_from = 1.0,
                        .leakage_divisor = 20.0,
                        .opening_flow = 10.0 / 3600.0,
                        .shelter_per_side = 0.075,
                        .sheltered_sides = sheltered_sides,
                        .wind_reference = 4.0,
                        .wind = {wind}};
}

static eb_status air_of(const ebi_baseline *baseline, double n50, double fans, double volume,
                        double extract, double *out) {
  const ebi_energy_shift none = EBI_NO_SHIFT;
  ebi_climate climate = {.hitchin_k = 0.71}; /* no wind of its own */
  eb_house house = {.baseline = baseline, .climate = &climate};
  ebi_energy_inputs inputs = {.house = &house,
                              .volume_m3 = volume,
                              .baseline_n50 = n50,
                              .baseline_fans = fans,
                              .baseline_given = NAN};
  ebi_energy_air air = {.extract = extract};
  return checked(out, ebi_energy_baseline_change(&inputs, &none, &air, 0));
}

/* n50, fans, volume, sheltered sides, wind -> effective air change */
METHOD(baseline_air) {
  IGNORE_COUNT;
  ebi_baseline baseline = sap(EBI_BASELINE_NATIONAL, in[3], in[4]);
  return air_of(&baseline, in[0], in[1], in[2], 0.0, out);
}

/* n50, air change of the extract -> effective air change; no shelter, wind as the divisor has it */
METHOD(baseline_extract) {
  IGNORE_COUNT;
  const double volume = 217.3;
  ebi_baseline baseline = sap(EBI_BASELINE_EXTRACT, 0.0, 4.0);
  baseline.opening_flow = 0.0;
  return air_of(&baseline, in[0], 3.0, volume, in[1] * volume / 3600.0, out);
}

/* n50, fans, volume, sheltered sides, wind -> leaks */
METHOD(baseline_leaks) {
  IGNORE_COUNT;
  ebi_baseline baseline = sap(EBI_BASELINE_NATIONAL, in[3], in[4]);
  return checked(out, ebi_baseline_leaks(&baseline, in[0], in[1] * 10.0 / in[2], in[4]));
}

/* n50, sheltered sides, wind, air change of balanced fans, their ratio, its factor in use */
METHOD(baseline_balanced) {
  IGNORE_COUNT;
  ebi_baseline baseline = sap(EBI_BASELINE_NATIONAL, in[1], in[2]);
  double leaks = ebi_baseline_leaks(&baseline, in[0], 0.0, in[2]);
  return checked(out, eb_infiltration_half(in[3] * (1.0 - in[4] * in[5]), 0.0, leaks));
}

/* ---- Heat of the air ---- */

/* A year whose every month lies so far below the base that degree-days are plain sums. */
static void cold_year(ebi_climate *climate, double degree_days) {
  *climate = (ebi_climate){.hitchin_k = 1000.0};
  for (int i = 0; i < EBI_MONTHS; i++) {
    climate->days[i] = 365.0 / 12.0;
    climate->mean_c[i] = 20.0 - degree_days / 365.0;
  }
}

/* heat capacity, flow, ratio, degree-days, baseline's air change, volume -> heat losses of the air
 * after recovery and of the baseline's; a year's heat of the air without recovery, and recovered;
 * of a house that loses by its air alone and has no gains */
METHOD(air_heat) {
  IGNORE_COUNT;
  const ebi_energy_shift none = EBI_NO_SHIFT;
  const double fabric = 1e-9; /* a heat loss of 0 has no base temperature */
  ebi_climate climate;
  cold_year(&climate, in[3]);
  ebi_unit unit = {.has_exchanger = true};
  ebi_baseline baseline = {.kind = EBI_BASELINE_MEASURED};
  eb_house house = {.climate = &climate, .unit = &unit, .baseline = &baseline};
  ebi_energy_level level = {.name = "normal", .hours = 24.0, .supply = in[1], .extract = in[1]};
  ebi_energy_inputs inputs = {.house = &house,
                              .indoor_c = 20.0,
                              .fabric_w_k = fabric,
                              .volume_m3 = in[5],
                              .air_capacity = in[0],
                              .shielding = 0.07,
                              .ratio = in[2],
                              .measured_unbalance = NAN,
                              .levels = &level,
                              .n_levels = 1,
                              .baseline_given = in[4]};
  ebi_energy_needs needs;
  ebi_energy_needs_of(&inputs, EBI_WEATHER_MONTHS, &none, &needs);
  double heat = ebi_energy_sum(needs.no_recovery.heat_kwh);
  out[0] = needs.recovery.heat_loss[0] - fabric;
  out[1] = needs.baseline.heat_loss[0] - fabric;
  out[2] = heat;
  out[3] = heat - ebi_energy_sum(needs.recovery.heat_kwh);
  return isfinite(out[0]) && isfinite(out[1]) && isfinite(out[2]) && isfinite(out[3]) ? EB_OK
                                                                                      : EB_E_RANGE;
}

/* specific fan power, flow -> power, electricity of a year */
METHOD(extract_fans) {
  IGNORE_COUNT;
  ebi_climate climate;
  cold_year(&climate, 0.0);
  ebi_baseline baseline = {.kind = EBI_BASELINE_EXTRACT, .fan_specific_power = in[0]};
  eb_house house = {.climate = &climate, .baseline = &baseline};
  ebi_energy_inputs inputs = {.house = &house, .baseline_given = NAN};
  ebi_energy_air air = {.extract = in[1]};
  out[1] = ebi_energy_baseline_fans(&inputs, &air, 77.7);
  return checked(out, out[1] * 1000.0 / 8760.0);
}

const case_method case_methods_baseline[] = {{"baseline.air", 5, 1, baseline_air},
                                             {"baseline.extract", 2, 1, baseline_extract},
                                             {"baseline.leaks", 5, 1, baseline_leaks},
                                             {"baseline.balanced", 6, 1, baseline_balanced},
                                             {"baseline.air_heat", 6, 4, air_heat},
                                             {"baseline.fans", 2, 2, extract_fans},
                                             {NULL, 0, 0, NULL}};
