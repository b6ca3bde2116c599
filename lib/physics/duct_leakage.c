/* duct_leakage.c - air through the joints and seams of ducts */

#include "physics/duct_leakage.h"

#include <math.h>
#include <stddef.h>

/* EN 12237:2003 and EN 1507 (A to D), EN 16798-3:2017 (the numbers), quoted from the limit table
 * of a published sheet; in m3/(s m2 Pa^0.65). Classes A to D are numbers 5 to 2. */
static const struct {
  char letter, number;
  double coefficient;
} classes[] = {
    {0, '6', 0.0675e-3},  {'A', '5', 0.027e-3}, {'B', '4', 0.009e-3},
    {'C', '3', 0.003e-3}, {'D', '2', 0.001e-3}, {0, '1', 0.00033e-3},
};

double ebi_duct_leakage_coefficient(char class) {
  if (class == 0)
    return 0.0;
  for (size_t i = 0; i < sizeof classes / sizeof classes[0]; i++) {
    if (class == classes[i].letter || class == classes[i].number)
      return classes[i].coefficient;
  }
  return 0.0;
}

double ebi_duct_leakage_flow(double c, double pressure) {
  return copysign(c * pow(fabs(pressure), EBI_DUCT_LEAKAGE_EXPONENT), pressure);
}

/* ASHRAE HoF 2021 ch. 21 Eq. 37 */
double ebi_duct_leakage_class_for(double share, double flow, double surface, double pressure) {
  if (!(surface > 0.0) || !(pressure > 0.0))
    return NAN;
  return share * flow / surface / pow(pressure, EBI_DUCT_LEAKAGE_EXPONENT);
}

/* ASHRAE HoF 2021 ch. 21 Eq. 39; what Eq. 38 gives with the class of Eq. 37, whose print there
 * divides by the pressure term and must multiply. */
double ebi_duct_leakage_allowed(double share, double flow, double section, double system) {
  if (!(system > 0.0))
    return NAN;
  return share * flow * (section / system);
}
