/* curve.c - Steffen's monotone cubic interpolation
 *
 * M. Steffen, Astronomy & Astrophysics 239 (1990) 443-450: the slope in a
 * point is that of the parabola through it and its neighbours, held to twice
 * the smaller of the two adjoining secants and 0 at an extremum; at the ends it
 * is that of the secant, as in GSL. Written here because an arena keeps the
 * points, while objects of GSL would have to be freed one by one. */

#include "numeric/curve.h"

#include <math.h>
#include <stddef.h>

struct ebi_curve {
  const double *x, *y, *slope;
  size_t count;
};

static double sign(double x) {
  return (double)(x > 0.0) - (double)(x < 0.0);
}

/* Slope in point i from the secants at its two sides; eq. (11) of Steffen. */
static double slope_inside(const double *x, const double *y, size_t i) {
  double before = x[i] - x[i - 1], after = x[i + 1] - x[i];
  double s0 = (y[i] - y[i - 1]) / before, s1 = (y[i + 1] - y[i]) / after;
  double parabola = (s0 * after + s1 * before) / (before + after);
  return (sign(s0) + sign(s1)) * fmin(fmin(fabs(s0), fabs(s1)), 0.5 * fabs(parabola));
}

static void find_slopes(const double *x, const double *y, size_t count, double *slope) {
  size_t last = count - 1;
  if (last == 0) {
    slope[0] = 0.0;
    return;
  }
  slope[0] = (y[1] - y[0]) / (x[1] - x[0]);
  slope[last] = (y[last] - y[last - 1]) / (x[last] - x[last - 1]);
  for (size_t i = 1; i < last; i++)
    slope[i] = slope_inside(x, y, i);
}

ebi_curve *ebi_curve_new(ebi_arena *arena, const double *x, const double *y, size_t count) {
  ebi_curve *curve = EBI_NEW(arena, ebi_curve);
  double *points = ebi_arena_array(arena, count, 3 * sizeof *points);
  if (curve == NULL || points == NULL)
    return NULL;
  for (size_t i = 0; i < count; i++) {
    points[i] = x[i];
    points[count + i] = y[i];
  }
  find_slopes(points, points + count, count, points + 2 * count);
  *curve =
      (ebi_curve){.x = points, .y = points + count, .slope = points + 2 * count, .count = count};
  return curve;
}

/* The last point of `values` (rising, or falling where `up` is -1) that is not above v; at most
 * the last but one. */
static size_t interval(const double *values, size_t count, double v, double up) {
  size_t low = 0, high = count - 1;
  while (high - low > 1) {
    size_t middle = low + (high - low) / 2;
    if (up * values[middle] <= up * v)
      low = middle;
    else
      high = middle;
  }
  return low;
}

static ebi_curve_value inside(const ebi_curve *curve, size_t i, double x) {
  double width = curve->x[i + 1] - curve->x[i], t = x - curve->x[i];
  double secant = (curve->y[i + 1] - curve->y[i]) / width;
  double s0 = curve->slope[i], s1 = curve->slope[i + 1];
  double a = (s0 + s1 - 2.0 * secant) / (width * width);
  double b = (3.0 * secant - 2.0 * s0 - s1) / width;
  return (ebi_curve_value){.y = curve->y[i] + t * (s0 + t * (b + t * a)),
                           .slope = s0 + t * (2.0 * b + t * 3.0 * a)};
}

static ebi_curve_value beyond(const ebi_curve *curve, size_t end, double x) {
  return (ebi_curve_value){.y = curve->y[end] + curve->slope[end] * (x - curve->x[end]),
                           .slope = curve->slope[end],
                           .outside = true};
}

ebi_curve_value ebi_curve_at(const ebi_curve *curve, double x) {
  size_t last = curve->count - 1;
  if (x < curve->x[0])
    return beyond(curve, 0, x);
  if (x > curve->x[last])
    return beyond(curve, last, x);
  if (last == 0 || x == curve->x[last])
    return (ebi_curve_value){.y = curve->y[last], .slope = curve->slope[last]};
  return inside(curve, interval(curve->x, curve->count, x, 1.0), x);
}

ebi_curve_value ebi_curve_held(const ebi_curve *curve, double x) {
  return ebi_curve_at(curve, fmin(fmax(x, ebi_curve_first(curve)), ebi_curve_last(curve)));
}

/* Newton's method kept inside a bracket that halving narrows where a step would leave it. */
static double inverse_inside(const ebi_curve *curve, size_t i, double y, double up) {
  double low = curve->x[i], high = curve->x[i + 1], x = 0.5 * (low + high);
  for (int step = 0; step < 100 && low < high; step++) {
    ebi_curve_value at = inside(curve, i, x);
    double miss = up * (at.y - y);
    if (miss == 0.0)
      break;
    if (miss > 0.0)
      high = x;
    else
      low = x;
    double next = x - (at.y - y) / at.slope;
    if (!(next > low && next < high))
      next = 0.5 * (low + high);
    if (fabs(next - x) <= 1e-16 * fabs(x))
      break;
    x = next;
  }
  return x;
}

double ebi_curve_inverse(const ebi_curve *curve, double y, bool *clipped) {
  size_t last = curve->count - 1;
  double up = curve->y[last] < curve->y[0] ? -1.0 : 1.0;
  *clipped = up * y < up * curve->y[0] || up * y > up * curve->y[last];
  if (up * y <= up * curve->y[0])
    return curve->x[0];
  if (up * y >= up * curve->y[last])
    return curve->x[last];
  return inverse_inside(curve, interval(curve->y, curve->count, y, up), y, up);
}

double ebi_curve_first(const ebi_curve *curve) {
  return curve->x[0];
}

double ebi_curve_last(const ebi_curve *curve) {
  return curve->x[curve->count - 1];
}
