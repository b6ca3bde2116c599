/* tee.c - total-pressure losses of the two paths through a tee or wye
 *
 * Idelchik, Handbook of Hydraulic Resistance, 2006, sections 7-15 and 7-16
 * with tables 7-1 to 7-5 and diagrams 7-20 and 7-29, for the straight duct as
 * large as the combined one and the branch of any size. On the combined
 * velocity. With q the branch's share of the flow and r = Fc/Fs:
 *
 *   joining, branch     A (1 + (q r)^2 - 2 (Fc/Fst)(1 - q)^2 - 2 r q^2 cos a)
 *   joining, straight   1 - (1 - q)^2 - (1.4 - q) q^2 sin a - 2 K r q cos a
 *   dividing, branch    A' (1 + (q r)^2 - 2 q r cos a)
 *   dividing, straight  tau q^2
 *   bull-head joining   A (1 + r^2 + 3 r^2 (q^2 - q))   (diag. 7-29)
 *
 * A, K, A' and tau are given in pieces of q. Where two pieces meet they jump or
 * bend; the smoothed coefficients go from one to the other by a cubic over
 * 0.05 of q at either side, and are as published elsewhere. Outside 0..1 the
 * coefficients go on straight. */

#include "physics/losses.h"

#include <math.h>

#define BLEND 0.05 /* half width in q */

typedef struct slope_value {
  double y, slope;
} slope_value;

/* Two straight pieces a + b q that meet at `joint`; a joint above 1 means one piece only. */
typedef struct pieces {
  double a0, b0, a1, b1, joint;
} pieces;

#define ONE_PIECE 9.0

static slope_value pieces_at(const pieces *p, double q, double half_width) {
  double left = p->a0 + p->b0 * q, right = p->a1 + p->b1 * q;
  if (q <= p->joint - half_width)
    return (slope_value){left, p->b0};
  if (q > p->joint + half_width)
    return (slope_value){right, p->b1};
  double t = (q - p->joint + half_width) / (2.0 * half_width);
  double share = t * t * (3.0 - 2.0 * t), share_slope = 3.0 * t * (1.0 - t) / half_width;
  return (slope_value){left + (right - left) * share,
                       p->b0 + (p->b1 - p->b0) * share + (right - left) * share_slope};
}

static slope_value product(slope_value a, slope_value b) {
  return (slope_value){a.y * b.y, a.slope * b.y + a.y * b.slope};
}

static double cos_degrees(double angle) {
  return angle == 90.0 ? 0.0 : cos(angle * (3.14159265358979323846 / 180.0));
}

static double sin_degrees(double angle) {
  return sin(angle * (3.14159265358979323846 / 180.0));
}

static slope_value dividing_branch(const ebi_tee_shape *s, double q, double half_width) {
  pieces a = {1.0, -0.6, 0.6, 0.0, 0.6};
  if (s->branch <= 0.35 * s->combined)
    a = (pieces){1.1, -0.7, 0.85, 0.0, 0.4};
  double r = s->combined / s->branch, c = cos_degrees(s->angle);
  slope_value rest = {1.0 + r * q * (r * q - 2.0 * c), 2.0 * r * (r * q - c)};
  return product(pieces_at(&a, q, half_width), rest);
}

static slope_value dividing_straight(const ebi_tee_shape *s, double q, double half_width) {
  pieces tau = {-2.0, 4.0, -0.3, 0.6, 0.5};
  if (s->branch <= 0.4 * s->combined)
    tau = (pieces){0.4, 0.0, 0.0, 0.0, ONE_PIECE};
  return product(pieces_at(&tau, q, half_width), (slope_value){q * q, 2.0 * q});
}

static slope_value joining_branch(const ebi_tee_shape *s, double q, double half_width) {
  pieces a = {0.9, -0.9, 0.55, 0.0, 0.4};
  if (s->branch <= 0.35 * s->combined)
    a = (pieces){1.0, 0.0, 0.0, 0.0, ONE_PIECE};
  double r = s->combined / s->branch, rest_q = 1.0 - q, main = s->combined / s->straight;
  double square = r * r - 2.0 * r * cos_degrees(s->angle);
  slope_value rest = {1.0 + square * q * q - 2.0 * main * rest_q * rest_q,
                      2.0 * square * q + 4.0 * main * rest_q};
  return product(pieces_at(&a, q, half_width), rest);
}

static slope_value joining_straight(const ebi_tee_shape *s, double q, double half_width) {
  pieces k = {0.5, 0.0, 0.0, 0.8, 0.6};
  if (s->branch <= 0.35 * s->combined)
    k = (pieces){0.0, 0.8, 0.0, 0.0, ONE_PIECE};
  double c = 2.0 * s->combined / s->branch * cos_degrees(s->angle), sine = sin_degrees(s->angle);
  slope_value turn = product(pieces_at(&k, q, half_width), (slope_value){c * q, c});
  return (slope_value){q * (2.0 - q) - (1.4 - q) * q * q * sine - turn.y,
                       2.0 - 2.0 * q - (2.8 - 3.0 * q) * q * sine - turn.slope};
}

/* One side of a bull-head, by its own share and its own area. */
static slope_value bull_head_side(double combined, double side, double q, double half_width) {
  pieces a = {0.9, -0.9, 0.55, 0.0, 0.4};
  if (side <= 0.35 * combined)
    a = (pieces){1.0, 0.0, 0.0, 0.0, ONE_PIECE};
  double square = combined / side * (combined / side);
  slope_value rest = {1.0 + square * (1.0 + 3.0 * q * (q - 1.0)), 3.0 * square * (2.0 * q - 1.0)};
  return product(pieces_at(&a, q, half_width), rest);
}

static slope_value bull_head_branch(const ebi_tee_shape *s, double q, double half_width) {
  return bull_head_side(s->combined, s->branch, q, half_width);
}

static slope_value bull_head_straight(const ebi_tee_shape *s, double q, double half_width) {
  slope_value own = bull_head_side(s->combined, s->straight, 1.0 - q, half_width);
  return (slope_value){own.y, -own.slope};
}

typedef slope_value (*coefficient)(const ebi_tee_shape *shape, double q, double half_width);

static ebi_tee_loss both(const ebi_tee_shape *shape, double q, double half_width,
                         coefficient straight, coefficient branch) {
  double inside = fmin(fmax(q, 0.0), 1.0);
  slope_value s = straight(shape, inside, half_width), b = branch(shape, inside, half_width);
  return (ebi_tee_loss){.straight = s.y + s.slope * (q - inside),
                        .straight_slope = s.slope,
                        .branch = b.y + b.slope * (q - inside),
                        .branch_slope = b.slope};
}

ebi_tee_loss ebi_tee_diverging(const ebi_tee_shape *shape, double q) {
  return both(shape, q, BLEND, dividing_straight, dividing_branch);
}

ebi_tee_loss ebi_tee_converging(const ebi_tee_shape *shape, double q) {
  return both(shape, q, BLEND, joining_straight, joining_branch);
}

ebi_tee_loss ebi_tee_bull_head_converging(const ebi_tee_shape *shape, double q) {
  return both(shape, q, BLEND, bull_head_straight, bull_head_branch);
}

ebi_tee_loss ebi_tee_bull_head_converging_published(const ebi_tee_shape *shape, double q) {
  return both(shape, q, 0.0, bull_head_straight, bull_head_branch);
}

ebi_tee_loss ebi_tee_diverging_published(const ebi_tee_shape *shape, double q) {
  return both(shape, q, 0.0, dividing_straight, dividing_branch);
}

ebi_tee_loss ebi_tee_converging_published(const ebi_tee_shape *shape, double q) {
  return both(shape, q, 0.0, joining_straight, joining_branch);
}
