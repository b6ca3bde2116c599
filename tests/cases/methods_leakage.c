/* methods_leakage.c - leakage of ducts, as case rows ask for it */

#include <math.h>

#include "methods.h"
#include "physics/duct_leakage.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

static eb_status known_class(char class, double pressure, double *out) {
  double c = ebi_duct_leakage_coefficient(class);
  *out = ebi_duct_leakage_flow(c, pressure);
  return c > 0.0 ? EB_OK : EB_E_RANGE;
}

/* class as 1 for A, 2 for B and so on; pressure */
METHOD(duct_leakage_letter) {
  IGNORE_COUNT;
  return known_class((char)('A' - 1 + (int)in[0]), in[1], out);
}

/* number of the air tightness class, pressure */
METHOD(duct_leakage_number) {
  IGNORE_COUNT;
  return known_class((char)('0' + (int)in[0]), in[1], out);
}

/* class as 1 for A, pressure, surface -> leakage */
METHOD(duct_leakage_surface) {
  IGNORE_COUNT;
  eb_status status = duct_leakage_letter(in, n_in, out);
  *out *= in[2];
  return status;
}

/* coefficient, pressure, surface -> leakage */
METHOD(duct_leakage_coefficient) {
  IGNORE_COUNT;
  *out = ebi_duct_leakage_flow(in[0], in[1]) * in[2];
  return EB_OK;
}

/* share, flow, surface, pressure -> coefficient */
METHOD(duct_leakage_class_for) {
  IGNORE_COUNT;
  *out = ebi_duct_leakage_class_for(in[0], in[1], in[2], in[3]);
  return isfinite(*out) ? EB_OK : EB_E_RANGE;
}

/* share, flow, surface of the section, of the system -> leakage of the section allowed, and of
 * the coefficient that Eq. 37 gives at a pressure */
METHOD(duct_leakage_allowed) {
  IGNORE_COUNT;
  out[0] = ebi_duct_leakage_allowed(in[0], in[1], in[2], in[3]);
  double c = ebi_duct_leakage_class_for(in[0], in[1], in[3], in[4]);
  out[1] = ebi_duct_leakage_flow(c, in[4]) * in[2];
  return isfinite(out[0]) && isfinite(out[1]) ? EB_OK : EB_E_RANGE;
}

const case_method case_methods_leakage[] = {
    {"duct_leakage.letter", 2, 1, duct_leakage_letter},
    {"duct_leakage.number", 2, 1, duct_leakage_number},
    {"duct_leakage.surface", 3, 1, duct_leakage_surface},
    {"duct_leakage.coefficient", 3, 1, duct_leakage_coefficient},
    {"duct_leakage.class_for", 4, 1, duct_leakage_class_for},
    {"duct_leakage.allowed", 5, 2, duct_leakage_allowed},
    {NULL, 0, 0, NULL}};
