/* tee_law.c - one tee law over all six patterns of flow
 *
 * In each pattern one port carries the common flow (combined C, straight S or
 * branch B) and the two others share it, dividing or joining. The published
 * coefficients hold where the common port is the combined one, and there they
 * are used as they are. The four other patterns are a fallback:
 *
 *   common S   the run is used the other way round: the same coefficients with
 *              combined and straight changed over and an angle of 180 - a;
 *   common B   (bull-head) where air joins, the formula for that; where it
 *              divides, each of the run's two ends is taken as a branch at 90
 *              degrees of the branch duct.
 *
 * Neighbouring patterns meet where one flow is zero; there the fallback is
 * shifted onto the published pattern, and the bull-head onto the reversed run.
 * The shift goes linearly with the share of flow; in a bull-head, whose figures
 * are published, with its fourth power, so that it is small where both sides flow. So drops are
 * continuous over all flows, of second degree in them, and their slopes have kinks where a flow is
 * zero. */

#include "network/tee_law.h"

#include <math.h>

typedef enum port { C, S, B } port;

/* A pattern of flow. Of the two sharing ports `first` has the share 1 - q. */
typedef struct pattern {
  port common, first, second;
  bool divides;
} pattern;

static const pattern DIVIDING_C = {C, S, B, true}, JOINING_C = {C, S, B, false};
static const pattern DIVIDING_S = {S, C, B, true}, JOINING_S = {S, C, B, false};
static const pattern DIVIDING_B = {B, C, S, true}, JOINING_B = {B, C, S, false};

/* Coefficients from the common port to the others on the common velocity, positive as a
 * loss where air divides and negative as one where it joins. */
typedef struct coefficients {
  double first, second, first_slope, second_slope;
} coefficients;

static double area(const ebi_tee_shape *shape, port p) {
  return p == C ? shape->combined : p == S ? shape->straight : shape->branch;
}

static ebi_tee_loss published(const ebi_tee_shape *shape, double q, bool divides) {
  return divides ? ebi_tee_diverging(shape, q) : ebi_tee_converging(shape, q);
}

static coefficients along_run(const ebi_tee_shape *shape, double q, bool divides) {
  double sign = divides ? 1.0 : -1.0;
  ebi_tee_loss loss = published(shape, q, divides);
  return (coefficients){sign * loss.straight, sign * loss.branch, sign * loss.straight_slope,
                        sign * loss.branch_slope};
}

static coefficients bull_head_dividing(const ebi_tee_shape *shape, double q) {
  ebi_tee_shape to_c = {shape->branch, shape->straight, shape->combined, 90.0};
  ebi_tee_shape to_s = {shape->branch, shape->combined, shape->straight, 90.0};
  ebi_tee_loss first = ebi_tee_diverging(&to_c, 1.0 - q), second = ebi_tee_diverging(&to_s, q);
  return (coefficients){first.branch, second.branch, -first.branch_slope, second.branch_slope};
}

static coefficients bull_head_joining(const ebi_tee_shape *shape, double q) {
  ebi_tee_shape stem = {shape->branch, shape->combined, shape->straight, 90.0};
  ebi_tee_loss loss = ebi_tee_bull_head_converging(&stem, q);
  return (coefficients){-loss.straight, -loss.branch, -loss.straight_slope, -loss.branch_slope};
}

static coefficients raw(const ebi_tee_shape *shape, const pattern *p, double q) {
  if (p->common == B)
    return p->divides ? bull_head_dividing(shape, q) : bull_head_joining(shape, q);
  if (p->common == C)
    return along_run(shape, q, p->divides);
  ebi_tee_shape turned = {shape->straight, shape->combined, shape->branch, 180.0 - shape->angle};
  return along_run(&turned, q, p->divides);
}

/* The first and second coefficient of `p` that agree with those of its neighbour `n` (at the
 * neighbour's share `q`) where one flow is zero: the same pressures, on the common area of p. */
static void at_neighbour(const ebi_tee_shape *shape, const pattern *p, const pattern *n, double q,
                         double *first, double *second) {
  coefficients k = raw(shape, n, q);
  double ratio = area(shape, p->common) / area(shape, n->common), pressure[3];
  pressure[n->common] = 0.0;
  pressure[n->first] = -k.first * ratio * ratio;
  pressure[n->second] = -k.second * ratio * ratio;
  *first = pressure[p->common] - pressure[p->first];
  *second = pressure[p->common] - pressure[p->second];
}

/* Shifts the fallback onto its neighbours `at0` (second flow zero) and `at1` (first flow zero),
 * NULL where it stands as it is. */
static coefficients shifted(const ebi_tee_shape *shape, const pattern *p, double q,
                            const pattern *at0, double q0, const pattern *at1, double q1) {
  coefficients k = raw(shape, p, q), start = raw(shape, p, 0.0), end = raw(shape, p, 1.0);
  double first0 = start.first, second0 = start.second, first1 = end.first, second1 = end.second;
  if (at0 != NULL)
    at_neighbour(shape, p, at0, q0, &first0, &second0);
  if (at1 != NULL)
    at_neighbour(shape, p, at1, q1, &first1, &second1);
  double first_start = first0 - start.first, first_end = first1 - end.first;
  double second_start = second0 - start.second, second_end = second1 - end.second;
  double power = p->common == B ? 4.0 : 1.0;
  double at_start = pow(1.0 - q, power), at_end = pow(q, power);
  double falls = power * pow(1.0 - q, power - 1.0), rises = power * pow(q, power - 1.0);
  k.first += at_start * first_start + at_end * first_end;
  k.second += at_start * second_start + at_end * second_end;
  k.first_slope += rises * first_end - falls * first_start;
  k.second_slope += rises * second_end - falls * second_start;
  return k;
}

static coefficients all_coefficients(const ebi_tee_shape *shape, const pattern *p, double q) {
  switch (p->common) {
  case S: /* without branch flow: the plain run, declared either way */
    return shifted(shape, p, q, p->divides ? &JOINING_C : &DIVIDING_C, 0.0, NULL, 0.0);
  case B: /* without flow at S: the branch alone from or to C; without flow at C: to or from S */
    return shifted(shape, p, q, p->divides ? &JOINING_C : &DIVIDING_C, 1.0,
                   p->divides ? &JOINING_S : &DIVIDING_S, 1.0);
  default:
    return raw(shape, p, q);
  }
}

static const pattern *pattern_of(double straight, double branch) {
  double combined = straight + branch;
  if (straight >= 0.0 && branch >= 0.0)
    return &DIVIDING_C;
  if (straight <= 0.0 && branch <= 0.0)
    return &JOINING_C;
  if (branch < 0.0)
    return combined >= 0.0 ? &JOINING_S : &DIVIDING_B;
  return combined >= 0.0 ? &JOINING_B : &DIVIDING_S;
}

/* Pressures of the three ports against the common one, and their slopes by the flow into
 * each of the two others. */
typedef struct port_pressures {
  double p[3], by_first[3], by_second[3];
} port_pressures;

static port_pressures pressures(const pattern *p, const coefficients *k, double factor,
                                double first, double second) {
  double common = first + second, q = second / common;
  port_pressures r = {{0.0}, {0.0}, {0.0}};
  double twice = 2.0 * factor * common, turn = factor * common;
  r.p[p->first] = -factor * common * common * k->first;
  r.p[p->second] = -factor * common * common * k->second;
  r.by_first[p->first] = -twice * k->first + turn * q * k->first_slope;
  r.by_first[p->second] = -twice * k->second + turn * q * k->second_slope;
  r.by_second[p->first] = -twice * k->first - turn * (1.0 - q) * k->first_slope;
  r.by_second[p->second] = -twice * k->second - turn * (1.0 - q) * k->second_slope;
  return r;
}

/* Weights of the straight and branch flow (from the combined port) in the flow into a port. */
static const double BY_S[3] = {-1.0, 1.0, 0.0}, BY_B[3] = {-1.0, 0.0, 1.0};

ebi_tee_drop ebi_tee_drops(const ebi_tee_shape *shape, ebi_air_state air, double straight,
                           double branch) {
  if (straight == 0.0 && branch == 0.0)
    return (ebi_tee_drop){0.0, 0.0, 0.0, 0.0, 0.0, 0.0};
  const pattern *p = pattern_of(straight, branch);
  double sign = p->divides ? 1.0 : -1.0; /* all flows turned where air joins */
  double first = sign * (BY_S[p->first] * straight + BY_B[p->first] * branch);
  double second = sign * (BY_S[p->second] * straight + BY_B[p->second] * branch);
  coefficients k = all_coefficients(shape, p, second / (first + second));
  double of = area(shape, p->common), factor = 0.5 * air.density / (of * of);
  port_pressures r = pressures(p, &k, factor, first, second);
  double by_s[3], by_b[3];
  for (int i = 0; i < 3; i++) {
    by_s[i] = sign * (BY_S[p->first] * r.by_first[i] + BY_S[p->second] * r.by_second[i]);
    by_b[i] = sign * (BY_B[p->first] * r.by_first[i] + BY_B[p->second] * r.by_second[i]);
  }
  return (ebi_tee_drop){.straight = r.p[C] - r.p[S],
                        .branch = r.p[C] - r.p[B],
                        .straight_by_s = by_s[C] - by_s[S],
                        .straight_by_b = by_b[C] - by_b[S],
                        .branch_by_s = by_s[C] - by_s[B],
                        .branch_by_b = by_b[C] - by_b[B]};
}
