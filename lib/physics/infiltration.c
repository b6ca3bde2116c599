/* infiltration.c - models of the air through the envelope, and how it adds to that of fans
 *
 * ASHRAE Handbook Fundamentals 2021, ch. 16 and 17. */

#include <math.h>

#include "evenbreath.h"

static bool not_negative(double value) {
  return value >= 0.0 && isfinite(value);
}

static double finite_or_nan(double value) {
  return isfinite(value) ? value : (double)NAN;
}

/* Ch. 16 eq. (51). */
double eb_infiltration_quadrature(double balanced, double unbalanced, double infiltration) {
  if (!not_negative(balanced) || !not_negative(unbalanced) || !not_negative(infiltration))
    return NAN;
  return finite_or_nan(balanced + hypot(unbalanced, infiltration));
}

/* Ch. 17 eqs. (12)-(14), after Palmiter & Bond. The national method of the United Kingdom has the
 * same for continuous extract (SAP 10.2 worksheet (24c), from memory). */
double eb_infiltration_half(double balanced, double unbalanced, double infiltration) {
  if (!not_negative(balanced) || !not_negative(unbalanced) || !not_negative(infiltration))
    return NAN;
  return finite_or_nan(balanced + fmax(unbalanced, infiltration + 0.5 * unbalanced));
}

/* Ch. 16 eq. (48) with the area in cm2: q [m3/s] = A/1000 root(Cs dT + Cw U^2). */
double eb_infiltration_basic(double leakage_area_m2, double stack, double wind, double difference_k,
                             double wind_m_s) {
  if (!not_negative(leakage_area_m2) || !not_negative(stack) || !not_negative(wind) ||
      !not_negative(difference_k) || !not_negative(wind_m_s))
    return NAN;
  return finite_or_nan(10.0 * leakage_area_m2 *
                       sqrt(stack * difference_k + wind * wind_m_s * wind_m_s));
}

/* Ch. 16 eqs. (49), (50) and (47): c Cs dT^n and c Cw (s G U)^2n. */
double eb_infiltration_enhanced(const eb_enhanced_leakage *house, double difference_k,
                                double wind_m_s) {
  if (!not_negative(house->flow_coefficient) || !not_negative(house->stack) ||
      !not_negative(house->wind) || !not_negative(difference_k) || !not_negative(wind_m_s) ||
      !(house->exponent >= 0.5 && house->exponent <= 1.0) ||
      !(house->shelter >= 0.0 && house->shelter <= 1.0) ||
      !(house->speed_multiplier >= 0.0 && house->speed_multiplier <= 2.0))
    return NAN;
  double speed = house->shelter * house->speed_multiplier * wind_m_s;
  double by_stack = house->flow_coefficient * house->stack * pow(difference_k, house->exponent);
  double by_wind = house->flow_coefficient * house->wind * pow(speed, 2.0 * house->exponent);
  return finite_or_nan(hypot(by_stack, by_wind));
}

/* Ch. 17, infiltration driving force: q [l/s] = A [cm2] (I0 + H dT (I1 + I2 A_flue/A))/1000. */
double eb_infiltration_quick(double leakage_area_m2, double height_m, double difference_k,
                             double flue_area_m2, bool cooling) {
  static const double factors[2][3] = {{51.0, 0.35, 0.23}, {25.0, 0.38, 0.12}};
  const double *of = factors[cooling];
  if (!not_negative(leakage_area_m2) || !(height_m > 0.0) || !isfinite(height_m) ||
      !not_negative(difference_k) || !not_negative(flue_area_m2) ||
      (flue_area_m2 > 0.0 && !(flue_area_m2 < 0.5 * leakage_area_m2)))
    return NAN;
  double flues = flue_area_m2 > 0.0 ? flue_area_m2 / leakage_area_m2 : 0.0;
  double driving = (of[0] + height_m * difference_k * (of[1] + of[2] * flues)) / 1000.0;
  return finite_or_nan(10.0 * leakage_area_m2 * driving); /* 1e4 cm2/m2, 1e-3 m3/l */
}
