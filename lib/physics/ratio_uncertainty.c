/* ratio_uncertainty.c - how sure a temperature ratio is that three sensors tell
 *
 * GUM (JCGM 100:2008) eq. 10: independent inputs add by the squares of their effects. */

#include "physics/ratio_uncertainty.h"

#include <math.h>

#include "evenbreath.h"

/* eta = (s - o)/(e - o): its slopes are 1, -eta and -(1 - eta), each over e - o. */
double eb_ratio_uncertainty(double outdoor_c, double supply_c, double extract_c, double u_k) {
  double span = extract_c - outdoor_c, ratio = (supply_c - outdoor_c) / span;
  double u = u_k / fabs(span) * sqrt(1.0 + ratio * ratio + (1.0 - ratio) * (1.0 - ratio));
  return u_k >= 0.0 && isfinite(u) ? u : (double)NAN;
}

double ebi_residual_uncertainty(double ratio, double u) {
  return ratio < 1.0 && u >= 0.0 ? u / (1.0 - ratio) : (double)NAN;
}
