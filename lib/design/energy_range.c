/* energy_range.c - how sure the heat saved is */

#include "design/energy.h"

#include <math.h>

/* Standard deviations. Degree-days: 148.7 K day of 2377.8 between the twenty
 * years of the R data set nottem. Flow: what is set against what was meant, 10 %
 * (from memory). Ratio: three independent sensors of 0.3 K at 20 K difference.
 * Leakage from a pressure test: mean error about 40 % (ASHRAE HoF 2021 ch. 16). */
#define OF_DEGREE_DAYS 0.06
#define OF_FLOW 0.10
#define OF_RATIO 0.02
#define OF_LEAKAGE 0.40

#define NORMAL_95 1.959963984540054 /* two-sided 95 % of the normal distribution */

static double saving(const ebi_energy_inputs *in, double flow, double ratio, double leakage) {
  ebi_energy_shift shift = EBI_NO_SHIFT;
  shift.flow += flow;
  shift.ratio += ratio;
  shift.infiltration += leakage;
  ebi_energy_needs needs;
  ebi_energy_needs_of(in, &shift, &needs);
  return ebi_energy_sum(needs.baseline.heat_kwh) - ebi_energy_sum(needs.recovery.heat_kwh);
}

double ebi_energy_range(const ebi_energy_inputs *in, double saving_kwh) {
  double steps[] = {
      saving_kwh * OF_DEGREE_DAYS,
      saving(in, OF_FLOW, 0.0, 0.0) - saving_kwh,
      saving(in, 0.0, -OF_RATIO, 0.0) - saving_kwh,
      saving(in, 0.0, 0.0, OF_LEAKAGE) - saving_kwh,
  };
  double squares = 0.0;
  for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++)
    squares += steps[i] * steps[i];
  return NORMAL_95 * sqrt(squares);
}
