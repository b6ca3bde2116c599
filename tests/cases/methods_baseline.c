/* methods_baseline.c - the air of what the energy is compared with, as case rows ask for it */

#include <math.h>

#include "design/energy.h"
#include "methods.h"

/* n50, fans, volume, sheltered sides, wind -> effective air change. The other figures are those
 * of SAP 10.2, worksheet (8) and (18)-(24d), from memory. */
static eb_status baseline_air(const double *in, int n_in, double *out) {
  (void)n_in;
  ebi_baseline baseline = {.floor_air_change = 0.5,
                           .quadratic = 0.5,
                           .natural_from = 1.0,
                           .leakage_divisor = 20.0,
                           .opening_flow = 10.0 / 3600.0,
                           .shelter_per_side = 0.075,
                           .sheltered_sides = in[3],
                           .wind_reference = 4.0,
                           .wind = {in[4]}};
  ebi_climate climate = {.hitchin_k = 0.71}; /* no wind of its own */
  eb_house house = {.baseline = &baseline, .climate = &climate};
  ebi_energy_inputs inputs = {.house = &house,
                              .volume_m3 = in[2],
                              .baseline_n50 = in[0],
                              .baseline_fans = in[1],
                              .baseline_given = NAN};
  *out = ebi_energy_baseline_air(&inputs, 0, 1.0);
  return isfinite(*out) ? EB_OK : EB_E_RANGE;
}

const case_method case_methods_baseline[] = {{"baseline.air", 5, 1, baseline_air},
                                             {NULL, 0, 0, NULL}};
