/* area_change.c - losses where a duct changes its size
 *
 * Formulas of Idelchik, Handbook of Hydraulic Resistance, 2006: sudden
 * expansion diag. 4-1 (Borda-Carnot), sudden contraction diag. 4-9, conical
 * expansion diag. 5-4. All on the velocity in the small section. */

#include "physics/losses.h"

#include <math.h>

double ebi_expansion_sudden(double small, double large) {
  double missing = 1.0 - small / large;
  return missing * missing;
}

double ebi_contraction_sudden(double small, double large) {
  return 0.5 * pow(1.0 - small / large, 0.75);
}

double ebi_expansion_conical(double small, double large, double angle) {
  double fullness = 0.9455 * -expm1(-0.0541 * angle);
  return fullness * pow(1.0 - small / large, 1.92);
}
