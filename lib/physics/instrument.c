/* instrument.c - what a flow instrument shows against what flows
 *
 * Densities: from Bernoulli's law and from the mass that cools (commissioning practice; own
 * derivation). Hoods: two-position method of instrument makers, own derivation. */

#include "physics/instrument.h"

#include <math.h>

#include "evenbreath.h"

double ebi_pressure_instrument_factor(double density) {
  return density > 0.0 ? sqrt(EB_REFERENCE_DENSITY / density) : (double)NAN;
}

double ebi_thermal_instrument_factor(double density) {
  return density > 0.0 ? EB_REFERENCE_DENSITY / density : (double)NAN;
}

double ebi_flow_without_hood(double read, double hood, double branch) {
  if (!(read >= 0.0) || !(hood >= 0.0) || !(branch > 0.0))
    return NAN;
  return read * sqrt(1.0 + hood / branch);
}

/* (K_b + K_1) q_1^2 = (K_b + K_2) q_2^2 */
double ebi_branch_by_two_positions(double open_hood, double closed_hood, double open_flow,
                                   double closed_flow) {
  double open = open_flow * open_flow, closed = closed_flow * closed_flow;
  if (!(open > closed) || !(closed_hood > open_hood))
    return NAN;
  double branch = (closed_hood * closed - open_hood * open) / (open - closed);
  return branch > 0.0 ? branch : (double)NAN;
}
