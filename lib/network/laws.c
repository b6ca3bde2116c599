/* laws.c - what elements in series come to
 *
 * In the direction of a slot, with q its flow at 1.2 kg/m3:
 *
 *     drop = q |q| (square + friction f),    square forward or backward.
 *
 * Colebrook's x = 1/sqrt(f) is the root of x + c ln(a + b x), a = `rough` and
 * b = `viscous`/|q|. It is carried from step to step of a solve, and one step
 * of Newton's method on it, with one logarithm, is taken at each new flow: its
 * error is less than a tenth of the square of what it moved by (the function's
 * curvature over twice its slope is c r^2/(2 + 2 c r) with r = b/(a + b x) at
 * most 1/x, and x is above 3), so that where nothing has moved by 1e-8 all
 * laws are exact to rounding. */

#include "network/laws.h"

#include <math.h>

#include "network/law.h"
#include "numeric/logarithm.h"
#include "physics/friction.h"

#define COLEBROOK_C 0.86858896380650365530 /* 2/ln 10 */

/* Where x starts, and what keeps it there where there is no duct: 10^(-6.5/2). */
#define X_START 6.5
#define ROUGH_FOR_START 5.6234132519034908e-4

size_t ebi_laws_blocks(const ebi_topology *t) {
  return (t->n_slots + EBI_LANES - 1) / EBI_LANES;
}

/* ---- Putting together ---- */

typedef struct record {
  double forward, backward, friction, viscous, rough, slow;
} record;

static const record NO_DUCT = {0.0, 0.0, 0.0, 0.0, ROUGH_FOR_START, 0.0};

/* Darcy-Weisbach with scale the actual flow of one tube by the part's flow. */
static void add_duct(record *r, const ebi_element *element, ebi_air_state air, double scale) {
  const ebi_section *section = &element->as.duct.section;
  double bore = section->hydraulic, area = section->area, velocity = scale / area;
  double reynolds = velocity * bore * air.density / air.viscosity; /* by flow */
  r->friction = 0.5 * air.density * velocity * velocity * element->as.duct.length / bore;
  r->viscous = 2.51 / reynolds;
  r->rough = element->as.duct.roughness / (3.7 * bore);
  r->slow = fmax(r->slow, EBI_REYNOLDS_TURBULENT / reynolds);
}

static bool add_square(record *r, const ebi_element *element, ebi_air_state air, double per_ref) {
  ebi_square square;
  if (!ebi_element_square(element, air, &square))
    return false;
  r->forward += square.forward * per_ref * per_ref;
  r->backward += square.backward * per_ref * per_ref;
  r->slow = fmax(r->slow, square.above / per_ref);
  return true;
}

/* False where the record cannot say it all: then no flow is fast enough for it. */
static bool put_together(record *r, const ebi_net_part *part) {
  double per_ref = ebi_per_ref(part->air);
  for (uint32_t i = 0; i < part->count; i++) {
    const ebi_element *element = &part->elements[i];
    if (element->kind == EBI_ELEMENT_DUCT && r->friction == 0.0)
      add_duct(r, element, part->air, per_ref / element->parallel);
    else if (!add_square(r, element, part->air, per_ref))
      return false;
  }
  r->forward *= part->factor;
  r->backward *= part->factor;
  r->friction *= part->factor;
  return part->count > 0;
}

static void place(ebi_laws *l, size_t lane, const record *r, bool turned) {
  l->forward[lane] = turned ? r->backward : r->forward;
  l->backward[lane] = turned ? r->forward : r->backward;
  l->friction[lane] = r->friction;
  l->viscous[lane] = r->viscous;
  l->rough[lane] = r->rough;
  l->slow[lane] = r->slow;
  l->x[lane] = X_START;
}

void ebi_laws_compile(const ebi_network *network, ebi_topology *t) {
  size_t lanes = ebi_laws_blocks(t) * EBI_LANES;
  t->bent = false;
  for (size_t i = 0; i < lanes; i++) {
    record r = NO_DUCT;
    if (i >= t->n_slots) {
      r.slow = 1.0;
    } else if (!put_together(&r, ebi_part_at(network, t->slot[i].part))) {
      r = NO_DUCT;
      r.slow = INFINITY;
    }
    t->work.flow[i] = 0.0;
    if (i < t->n_slots) {
      t->bent = t->bent || ebi_part_at(network, t->slot[i].part)->exponent != 0.0;
      double start = ebi_part_start(ebi_part_at(network, t->slot[i].part));
      t->work.flow[i] = t->slot[i].turned ? -start : start;
    }
    place(&t->laws[i / EBI_LANES], i % EBI_LANES, &r, i < t->n_slots && t->slot[i].turned);
  }
}

/* ---- Taking ---- */

typedef struct sums {
  double norm[EBI_LANES], worst[EBI_LANES], flow[EBI_LANES], drop[EBI_LANES], moved[EBI_LANES];
} sums;

/* Inlined into functions for other machines, which a plain inline function is not. */
#if defined __GNUC__
#define INLINE __attribute__((always_inline))
#else
#define INLINE
#endif

/* A few slots. Each loop runs over lanes without branches, so that a compiler makes vectors of it;
 * `drop` and `slope` are right where flow is not slow. */
static inline INLINE void fast_laws(ebi_laws *l, const double *restrict flow, double *restrict drop,
                                    double *restrict slope, double *restrict moved) {
  for (int i = 0; i < EBI_LANES; i++) {
    double size = fabs(flow[i]), limit = l->slow[i], before = l->x[i];
    double forward = l->forward[i], backward = l->backward[i];
    double square = flow[i] < 0.0 ? backward : forward;
    double b = l->viscous[i] / (size < limit ? limit : size);
    double inside = l->rough[i] + b * before;
    double miss = before + COLEBROOK_C * ebi_logarithm(inside);
    double next = before - miss * inside / (inside + COLEBROOK_C * b);
    inside = l->rough[i] + b * next;
    double sum = inside + COLEBROOK_C * b, share = l->friction[i] / (next * next * sum);
    drop[i] = flow[i] * size * (square + share * sum);
    slope[i] = 2.0 * size * (square + share * inside);
    next = size < limit ? before : next;
    l->x[i] = next;
    double by = fabs(next - before), most = moved[i];
    moved[i] = by > most ? by : most;
  }
}

static inline INLINE void sum_up(const double *restrict flow, const double *restrict drop,
                                 double *restrict lack, sums *restrict s) {
  for (int i = 0; i < EBI_LANES; i++) {
    double left = lack[i] - drop[i], size = fabs(left);
    lack[i] = left;
    s->norm[i] += left * left;
    s->worst[i] = size > s->worst[i] ? size : s->worst[i];
    double flow_size = fabs(flow[i]), drop_size = fabs(drop[i]);
    s->flow[i] = flow_size > s->flow[i] ? flow_size : s->flow[i];
    s->drop[i] = drop_size > s->drop[i] ? drop_size : s->drop[i];
  }
}

static void fast_plain(ebi_laws *l, const double *restrict flow, double *restrict drop,
                       double *restrict slope, double *restrict moved) {
  fast_laws(l, flow, drop, slope, moved);
}

static void sum_plain(const double *restrict flow, const double *restrict drop,
                      double *restrict lack, sums *restrict s) {
  sum_up(flow, drop, lack, s);
}

/* The same for machines with wider vectors, to the same bits: AVX2 alone brings no fused
 * multiply-add. */
#if defined __GNUC__ && defined __x86_64__
#define WIDE __attribute__((target("avx2")))
static bool can_do_wide(void) {
  return __builtin_cpu_supports("avx2") != 0;
}
#else
#define WIDE
static bool can_do_wide(void) {
  return false;
}
#endif

WIDE static void fast_wide(ebi_laws *l, const double *restrict flow, double *restrict drop,
                           double *restrict slope, double *restrict moved) {
  fast_laws(l, flow, drop, slope, moved);
}

WIDE static void sum_wide(const double *restrict flow, const double *restrict drop,
                          double *restrict lack, sums *restrict s) {
  sum_up(flow, drop, lack, s);
}

/* Asks the elements of those of the slots from `first` on that are slow. */
static void slow_laws(const ebi_network *network, ebi_topology *t, size_t first, double *drop) {
  const double *slow = t->laws[first / EBI_LANES].slow;
  for (size_t i = 0; i < EBI_LANES && first + i < t->n_slots; i++) {
    double flow = t->work.flow[first + i];
    if (!(fabs(flow) < slow[i]))
      continue;
    ebi_slot slot = t->slot[first + i];
    double sign = slot.turned ? -1.0 : 1.0;
    ebi_drop one = ebi_part_drop(ebi_part_at(network, slot.part), sign * flow);
    drop[i] = sign * one.pa;
    t->work.slope[first + i] = one.slope;
  }
}

/* The measured exponents of those that are not slow, whose drops are without. */
static void bend_laws(const ebi_network *network, ebi_topology *t, size_t first, double *drop) {
  const double *slow = t->laws[first / EBI_LANES].slow;
  for (size_t i = 0; i < EBI_LANES && first + i < t->n_slots; i++) {
    const ebi_net_part *part = ebi_part_at(network, t->slot[first + i].part);
    double flow = t->work.flow[first + i];
    if (part->exponent == 0.0 || fabs(flow) < slow[i])
      continue;
    ebi_drop one = {drop[i], t->work.slope[first + i]};
    one = ebi_part_bent(part, one, flow);
    drop[i] = one.pa;
    t->work.slope[first + i] = one.slope;
  }
}

static double greatest(const double *values) {
  double most = values[0];
  for (int i = 1; i < EBI_LANES; i++)
    most = values[i] > most ? values[i] : most;
  return most;
}

static ebi_law_sums together(const sums *s) {
  double norm = 0.0;
  for (int i = 0; i < EBI_LANES; i++)
    norm += s->norm[i];
  return (ebi_law_sums){.norm = norm,
                        .worst = greatest(s->worst),
                        .greatest_flow = greatest(s->flow),
                        .greatest_drop = greatest(s->drop),
                        .moved = greatest(s->moved)};
}

ebi_law_sums ebi_laws_take(const ebi_network *network, ebi_topology *t) {
  const ebi_work *w = &t->work;
  bool wide = can_do_wide();
  double drop[EBI_LANES];
  sums s = {{0.0}, {0.0}, {0.0}, {0.0}, {0.0}};
  for (size_t i = 0; i < t->n_slots; i += EBI_LANES) {
    ebi_laws *laws = &t->laws[i / EBI_LANES];
    (wide ? fast_wide : fast_plain)(laws, w->flow + i, drop, w->slope + i, s.moved);
    slow_laws(network, t, i, drop);
    if (t->bent)
      bend_laws(network, t, i, drop);
    (wide ? sum_wide : sum_plain)(w->flow + i, drop, w->lack + i, &s);
  }
  return together(&s);
}
