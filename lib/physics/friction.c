/* friction.c - Colebrook-White to the last bits, and the bridge to laminar flow */

#include "physics/friction.h"

#include <math.h>
#include <stddef.h>

#include "evenbreath.h"

/* Colebrook-White (Colebrook 1939) in x = 1/sqrt(f): x + c ln(a + b x) = 0 with c = 2/ln 10,
 * a = roughness/(3.7 diameter), b = 2.51/Re. */
#define COLEBROOK_C 0.86858896380650365530

/* One step of Householder's third order on F(x) = x + c ln(a + b x), with r = b/(a + b x):
 * F' = 1 + c r, F'' = -c r^2, F''' = 2 c r^3. */
static double householder(double x, double a, double b) {
  double inside = a + b * x, r = b / inside;
  double f = x + COLEBROOK_C * log(inside);
  double f1 = 1.0 + COLEBROOK_C * r, f2 = -COLEBROOK_C * r * r, f3 = -2.0 * f2 * r;
  return x - f * (f1 * f1 - 0.5 * f * f2) / (f1 * (f1 * f1 - f * f2) + f * f * f3 / 6.0);
}

/* F is concave and rising, so Newton from the left of the root rises to it. The start is one
 * Newton step from a + b x = 1, which lies left of the root however small Re is. */
static double root_of_slow_flow(double a, double b) {
  double x = (1.0 - a) * COLEBROOK_C / (1.0 + COLEBROOK_C * b);
  for (int i = 0; i < 60; i++) {
    double inside = a + b * x;
    double next = x - (x + COLEBROOK_C * log(inside)) / (1.0 + COLEBROOK_C * b / inside);
    if (next <= x)
      break;
    x = next;
  }
  return x;
}

/* 1/sqrt(f). In turbulent flow x lies between 3 and 17, so the start a + 7 b is near enough for
 * two steps to reach the last bits. */
static double colebrook_root(double reynolds, double relative_roughness) {
  double a = relative_roughness / 3.7, b = 2.51 / reynolds;
  if (reynolds < 1000.0)
    return root_of_slow_flow(a, b);
  double start = -COLEBROOK_C * log(a + 7.0 * b);
  return householder(householder(start, a, b), a, b);
}

/* f and the logarithmic slope d ln f / d ln Re, from the implicit derivative of F. */
static double colebrook(double reynolds, double relative_roughness, double *log_slope) {
  double x = colebrook_root(reynolds, relative_roughness);
  double b = 2.51 / reynolds, inside = relative_roughness / 3.7 + b * x;
  *log_slope = -2.0 * COLEBROOK_C * b / (inside + COLEBROOK_C * b);
  return 1.0 / (x * x);
}

/* Cubic Hermite of ln f in t = ln(Re/2000)/ln 2. */
static double bridge(double reynolds, double relative_roughness, double laminar,
                     double *log_slope) {
  double slope1;
  double end = colebrook(EBI_REYNOLDS_TURBULENT, relative_roughness, &slope1);
  double width = log(EBI_REYNOLDS_TURBULENT / EBI_REYNOLDS_LAMINAR);
  double t = log(reynolds / EBI_REYNOLDS_LAMINAR) / width;
  double y0 = log(laminar / EBI_REYNOLDS_LAMINAR), rise = log(end) - y0;
  double m0 = -width, m1 = slope1 * width;
  double c2 = 3.0 * rise - 2.0 * m0 - m1, c3 = m0 + m1 - 2.0 * rise;
  *log_slope = (m0 + t * (2.0 * c2 + t * 3.0 * c3)) / width;
  return exp(y0 + t * (m0 + t * (c2 + t * c3)));
}

double ebi_friction(double reynolds, double relative_roughness, double laminar, double *slope) {
  double f, log_slope = -1.0;
  if (reynolds <= EBI_REYNOLDS_LAMINAR)
    f = laminar / reynolds;
  else if (reynolds < EBI_REYNOLDS_TURBULENT)
    f = bridge(reynolds, relative_roughness, laminar, &log_slope);
  else
    f = colebrook(reynolds, relative_roughness, &log_slope);
  if (slope != NULL)
    *slope = log_slope * f / reynolds;
  return f;
}

static int in_range(double reynolds, double relative_roughness) {
  return reynolds > 0.0 && isfinite(reynolds) && relative_roughness >= 0.0 &&
         relative_roughness <= 0.05;
}

double eb_friction_factor(double reynolds, double relative_roughness, double laminar_constant) {
  if (!in_range(reynolds, relative_roughness) ||
      !(laminar_constant >= 40.0 && laminar_constant <= 100.0))
    return NAN;
  return ebi_friction(reynolds, relative_roughness, laminar_constant, NULL);
}

double eb_colebrook(double reynolds, double relative_roughness) {
  if (!in_range(reynolds, relative_roughness))
    return NAN;
  double log_slope;
  return colebrook(reynolds, relative_roughness, &log_slope);
}
