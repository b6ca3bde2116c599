/* flexible.c - what flexible duct loses that is not fully stretched
 *
 * ASHRAE Handbook Fundamentals 2021 (SI) ch. 21 eqs. 22-23: a pressure drop
 * correction factor 1 + 0.58 Kc exp(-0.00496 D), Kc the percentage of length
 * lost and D the bore in mm. It stands for non-metallic duct with a wire helix,
 * on its loss with the roughness of the stretched duct. Tried from 150 to
 * 400 mm and up to 30 % (range from memory). */

#include "physics/flexible.h"

#include <math.h>

#define LEAST_BORE 0.150
#define LARGEST_BORE 0.400
#define LEAST_STRETCHED 0.70
#define ROUNDING 1e-9

double ebi_flexible_factor(double stretched, double bore) {
  double lost_percent = 100.0 * (1.0 - stretched);
  return 1.0 + 0.58 * lost_percent * exp(-4.96 * bore);
}

bool ebi_flexible_measured(double stretched, double bore) {
  bool sizes = bore >= LEAST_BORE - ROUNDING && bore <= LARGEST_BORE + ROUNDING;
  return stretched >= 1.0 || (sizes && stretched >= LEAST_STRETCHED - ROUNDING);
}
