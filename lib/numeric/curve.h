/* curve.h - a smooth curve through points that never overshoots
 *
 * Steffen's monotone interpolation (1990), as GSL has it: monotone between
 * neighbouring points, one continuous derivative. Outside the points it goes
 * on straight with the end slope; `outside` tells. */

#ifndef EBI_CURVE_H
#define EBI_CURVE_H

#include "base/arena.h"

typedef struct ebi_curve ebi_curve;

typedef struct ebi_curve_value {
  double y, slope;
  bool outside;
} ebi_curve_value;

/* x rising strictly, count >= 1 (1: constant, 2: straight). Copied into the
 * arena. NULL when memory ran out. */
ebi_curve *ebi_curve_new(ebi_arena *arena, const double *x, const double *y, size_t count);
ebi_curve_value ebi_curve_at(const ebi_curve *curve, double x);

/* The same, held at the ends outside the points. */
ebi_curve_value ebi_curve_held(const ebi_curve *curve, double x);

/* The x where a strictly monotone curve has the value y, clipped to the ends;
 * *clipped tells. */
double ebi_curve_inverse(const ebi_curve *curve, double y, bool *clipped);
double ebi_curve_first(const ebi_curve *curve);
double ebi_curve_last(const ebi_curve *curve);

#endif
