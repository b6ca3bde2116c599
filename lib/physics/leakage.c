/* leakage.c - air through the envelope beside balanced or unbalanced fans */

#include <math.h>

#include "evenbreath.h"

/* EN ISO 13789:2007 annex C (formula from memory): n50 e/(1 + f/e (dn/n50)^2). A tight house with
 * unbalanced fans leaks nothing more than the unbalance. */
double eb_infiltration(double n50_per_h, double unbalance_per_h, double e, double f) {
  if (!(n50_per_h >= 0.0) || !isfinite(n50_per_h) || !isfinite(unbalance_per_h) || !(e > 0.0) ||
      !isfinite(e) || !(f >= 0.0) || !isfinite(f))
    return NAN;
  if (n50_per_h == 0.0)
    return 0.0;
  double relative = unbalance_per_h / n50_per_h;
  return n50_per_h * e / (1.0 + f / e * relative * relative);
}
