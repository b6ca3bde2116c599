/* methods_outdoor.c - air through the envelope, carbon dioxide indoors and the yardstick of the
 * European Union, as case rows ask for them */

#include <math.h>

#include "methods.h"
#include "physics/air_quality.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

/* ---- Envelope ---- */

METHOD(infiltration_quadrature) {
  IGNORE_COUNT;
  return checked(out, eb_infiltration_quadrature(in[0], in[1], in[2]));
}

METHOD(infiltration_half) {
  IGNORE_COUNT;
  return checked(out, eb_infiltration_half(in[0], in[1], in[2]));
}

/* leakage area, stack, wind, difference, wind speed */
METHOD(infiltration_basic) {
  IGNORE_COUNT;
  return checked(out, eb_infiltration_basic(in[0], in[1], in[2], in[3], in[4]));
}

/* coefficient, exponent, stack, wind, shelter, speed multiplier, difference, wind speed */
METHOD(infiltration_enhanced) {
  IGNORE_COUNT;
  eb_enhanced_leakage house = {in[0], in[1], in[2], in[3], in[4], in[5]};
  return checked(out, eb_infiltration_enhanced(&house, in[6], in[7]));
}

/* leakage area, height, difference, flue area, 1 for cooling */
METHOD(infiltration_quick) {
  IGNORE_COUNT;
  return checked(out, eb_infiltration_quick(in[0], in[1], in[2], in[3], in[4] > 0.0));
}

/* supply, extract, infiltration, recovery of the balanced part, difference, heat of the air per
 * volume [J/(m3 K)] -> heating power by ch. 17 eq. (15) */
METHOD(infiltration_load) {
  IGNORE_COUNT;
  double balanced = fmin(in[0], in[1]), unbalanced = fabs(in[0] - in[1]);
  double flow = eb_infiltration_half((1.0 - in[3]) * balanced, unbalanced, in[2]);
  return checked(out, flow * in[4] * in[5]);
}

/* ---- The yardstick ---- */

/* ratio, power, control, exponent, ducting, hours, difference, defrost hours and difference */
METHOD(specific_energy) {
  IGNORE_COUNT;
  eb_specific_energy_inputs inputs = {in[0], in[1], in[2], in[3], in[4],
                                      in[5], in[6], in[7], in[8]};
  return checked(out, eb_specific_energy(&inputs));
}

/* What the defrost term adds. */
METHOD(specific_energy_defrost) {
  IGNORE_COUNT;
  eb_specific_energy_inputs inputs = {0.85, 0.35, 0.85, 2.0, 1.1, 5112.0, 9.5, in[0], in[1]};
  double with = eb_specific_energy(&inputs);
  inputs.defrost_hours = 0.0;
  return checked(out, with - eb_specific_energy(&inputs));
}

/* Class as 0 for A+, 1 for A and so on. */
METHOD(specific_energy_class) {
  IGNORE_COUNT;
  const char *letter = eb_specific_energy_class(in[0]);
  if (letter == NULL)
    return EB_E_RANGE;
  *out = letter[1] == '+' ? 0.0 : letter[0] - 'A' + 1.0;
  return EB_OK;
}

/* ---- Carbon dioxide ---- */

METHOD(co2_rise) {
  IGNORE_COUNT;
  return checked(out, eb_co2_rise(in[0], in[1]));
}

/* outdoors, generation, flow */
METHOD(co2_indoors) {
  IGNORE_COUNT;
  return checked(out, in[0] + eb_co2_rise(in[1], in[2]));
}

/* generation, flow, volume, start, time */
METHOD(co2_after) {
  IGNORE_COUNT;
  return checked(out, eb_co2_after(in[0], in[1], in[2], in[3], in[4]));
}

/* mass, age, 1 for a woman, activity, respiratory quotient, temperature, pressure */
METHOD(co2_generation) {
  IGNORE_COUNT;
  double basal = ebi_basal_metabolism(in[0], in[1], in[2] > 0.0);
  return checked(out, ebi_co2_generation(in[4], basal, in[3], in[5], in[6]));
}

METHOD(co2_generation_by_surface) {
  IGNORE_COUNT;
  return checked(out, ebi_co2_generation_by_surface(in[0], in[1], in[2]));
}

const case_method case_methods_outdoor[] = {
    {"infiltration.quadrature", 3, 1, infiltration_quadrature},
    {"infiltration.half", 3, 1, infiltration_half},
    {"infiltration.basic", 5, 1, infiltration_basic},
    {"infiltration.enhanced", 8, 1, infiltration_enhanced},
    {"infiltration.quick", 5, 1, infiltration_quick},
    {"infiltration.load", 6, 1, infiltration_load},
    {"yardstick.energy", 9, 1, specific_energy},
    {"yardstick.defrost", 2, 1, specific_energy_defrost},
    {"yardstick.class", 1, 1, specific_energy_class},
    {"co2.rise", 2, 1, co2_rise},
    {"co2.indoors", 3, 1, co2_indoors},
    {"co2.after", 5, 1, co2_after},
    {"co2.generation", 7, 1, co2_generation},
    {"co2.by_surface", 3, 1, co2_generation_by_surface},
    {NULL, 0, 0, NULL}};
