/* duct_heat.c - heat through the wall of a duct, and what it does to the air and the surface */

#include "physics/duct_heat.h"

#include <math.h>

#define TWO_PI 6.283185307179586
#define NEWTON_STEPS 60

ebi_duct_wall ebi_duct_wall_of(double perimeter, double thickness, double conductivity) {
  return (ebi_duct_wall){.perimeter = perimeter,
                         .thickness = thickness,
                         .conductivity = conductivity,
                         .inside = EBI_DUCT_FILM,
                         .outside = EBI_DUCT_FILM};
}

/* The three resistances of a metre [m K/W]. */
typedef struct resistances {
  double inside, insulation, outside;
} resistances;

static resistances resistances_of(const ebi_duct_wall *wall) {
  double round = TWO_PI * wall->thickness, outer = wall->perimeter + round;
  resistances r = {.inside = 1.0 / (wall->inside * wall->perimeter),
                   .outside = 1.0 / (wall->outside * outer)};
  if (wall->thickness > 0.0)
    r.insulation = log1p(round / wall->perimeter) / (TWO_PI * wall->conductivity);
  return r;
}

static double sum(const resistances *r) {
  return r->inside + r->insulation + r->outside;
}

double ebi_duct_transmittance(const ebi_duct_wall *wall) {
  resistances r = resistances_of(wall);
  return 1.0 / sum(&r);
}

double ebi_duct_surface_outside(const ebi_duct_wall *wall, double air_c, double around_c) {
  resistances r = resistances_of(wall);
  return around_c + (air_c - around_c) * r.outside / sum(&r);
}

double ebi_duct_surface_inside(const ebi_duct_wall *wall, double air_c, double around_c) {
  resistances r = resistances_of(wall);
  return air_c + (around_c - air_c) * r.inside / sum(&r);
}

double ebi_duct_end_c(double start_c, double around_c, double units) {
  return around_c + (start_c - around_c) * exp(-units);
}

/* Integral of the exponential over its length: (1 - exp(-units))/units. */
double ebi_duct_mean_c(double start_c, double around_c, double units) {
  double share = 1.0;
  if (units > 0.0)
    share = isfinite(units) ? -expm1(-units) / units : 0.0;
  return around_c + (start_c - around_c) * share;
}

/* With y = ln(outer/inner perimeter) the surface keeps a share s of the difference where
 * (1 - s) exp(-y)/ho = s (1/hi + y P/(2 pi lambda)). Left less right falls and is bowed towards
 * zero, so that Newton's steps from y = 0 never pass the root. */
double ebi_duct_thickness(const ebi_duct_wall *wall, double air_c, double around_c,
                          double surface_c) {
  double share = (surface_c - around_c) / (air_c - around_c);
  if (!(share > 0.0) || !isfinite(share))
    return NAN;
  double film = (1.0 - share) / wall->outside;
  double per_y = share * wall->perimeter / (TWO_PI * wall->conductivity);
  double y = 0.0;
  for (int i = 0; i < NEWTON_STEPS; i++) {
    double left = film * exp(-y);
    double excess = left - share / wall->inside - per_y * y;
    if (!(excess > 0.0))
      break;
    double step = excess / (left + per_y);
    y += step;
    if (step <= 1e-15 * y)
      break;
  }
  return wall->perimeter / TWO_PI * expm1(y);
}
