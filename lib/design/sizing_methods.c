/* sizing_methods.c - the handbook's ways to size ducts
 *
 * Constant velocity: the smallest duct in which the air stays below the velocity of its
 * place. Equal friction: the smallest that loses no more than so much a metre. Static
 * regain: behind air of more than 5 m/s the smallest in which the pressure regained from
 * slowing it down pays for the run, R (v1^2 - v2^2) rho/2 with R = 0.75 (ASHRAE Handbook
 * Fundamentals 2009 ch. 21, from memory); slower air has nothing to regain that matters, and
 * there equal friction is used. */

#include <math.h>

#include "design/sizing.h"

#define REGAIN 0.75
#define WORTH_REGAINING 5.0 /* m/s */

/* The smallest that is allowed, and the largest. */
static size_t smallest(const ebi_size_edge *edge) {
  return edge->sizes[0].allowed ? 0 : ebi_sizing_next(edge, 0, 1);
}

static size_t largest(const ebi_size_edge *edge) {
  size_t last = edge->n_sizes - 1;
  return edge->sizes[last].allowed ? last : ebi_sizing_next(edge, last, -1);
}

/* Runs before a larger one are made as large, where their ducts are so large. */
static void widen(ebi_sizer *sizer, ebi_sizing_side *s) {
  for (size_t e = s->n_edges; e-- > 0;) {
    if (ebi_sizing_falls(sizer, s, e))
      continue;
    size_t before = s->edges[e].parent;
    for (size_t i = s->edges[before].size; i != EBI_NONE && !ebi_sizing_falls(sizer, s, e);
         i = ebi_sizing_next(&s->edges[before], i, 1))
      ebi_sizing_put(s, before, i);
  }
}

static eb_status settle(ebi_sizer *sizer, ebi_sizing_side *s) {
  widen(sizer, s);
  eb_status status = ebi_sizing_pressure(s, EBI_DESIGN_FLOW, &s->pressure);
  if (status == EB_OK)
    status = ebi_sizing_pressure(s, EBI_BOOST_FLOW, &s->asked_pa);
  if (status == EB_OK && s->looped)
    status = ebi_sizing_pressure(s, EBI_DESIGN_FLOW, &s->pressure);
  s->cost = ebi_sizing_price(s) + s->per_pa * s->pressure;
  s->bound = NAN;
  return status;
}

/* What the limits allow is slow enough already. */
eb_status ebi_sizing_by_velocity(ebi_sizer *sizer, ebi_sizing_side *s) {
  for (size_t e = 0; e < s->n_edges; e++)
    ebi_sizing_put(s, e, smallest(&s->edges[e]));
  return settle(sizer, s);
}

/* ---- Equal friction ---- */

static void put_by_friction(const ebi_sizer *sizer, ebi_sizing_side *s, size_t number) {
  const ebi_size_edge *edge = &s->edges[number];
  for (size_t i = smallest(edge); i != EBI_NONE; i = ebi_sizing_next(edge, i, 1)) {
    ebi_sizing_put(s, number, i);
    if (ebi_sizing_friction(s, number) <= sizer->friction * (1.0 + 1e-9))
      return;
  }
  ebi_sizing_put(s, number, largest(edge));
}

eb_status ebi_sizing_by_friction(ebi_sizer *sizer, ebi_sizing_side *s) {
  for (size_t e = 0; e < s->n_edges; e++)
    put_by_friction(sizer, s, e);
  return settle(sizer, s);
}

/* ---- Static regain ---- */

static bool regains(const ebi_sizing_side *s, size_t number, size_t before) {
  double density = s->side->runs[s->edges[number].run].air.density;
  double fast = ebi_sizing_velocity(s, before, s->edges[before].size);
  double slow = ebi_sizing_velocity(s, number, s->edges[number].size);
  return REGAIN * 0.5 * density * (fast * fast - slow * slow) >=
         ebi_sizing_drop(s, number, EBI_DESIGN_FLOW);
}

eb_status ebi_sizing_by_regain(ebi_sizer *sizer, ebi_sizing_side *s) {
  s->n_regained = 0;
  for (size_t e = 0; e < s->n_edges; e++) {
    const ebi_size_edge *edge = &s->edges[e];
    size_t before = edge->parent;
    put_by_friction(sizer, s, e);
    if (before == EBI_NONE || !edge->open || !s->side->supply || edge->outside ||
        ebi_sizing_velocity(s, before, s->edges[before].size) <= WORTH_REGAINING)
      continue;
    s->n_regained++;
    size_t i = smallest(edge), last = i;
    for (; i != EBI_NONE; i = ebi_sizing_next(edge, i, 1)) {
      ebi_sizing_put(s, e, last = i);
      if (regains(s, e, before))
        break;
    }
    ebi_sizing_put(s, e, last);
  }
  return settle(sizer, s);
}

/* ---- What is said once sizes stand ---- */

static void too_rough(const ebi_sizer *sizer, const ebi_sizing_side *s, size_t number) {
  const ebi_size_edge *edge = &s->edges[number];
  double friction = ebi_sizing_friction(s, number);
  if (!edge->open || friction <= sizer->friction * (1.0 + 1e-9))
    return;
  ebi_diag(sizer->job->context, EB_WARNING, "sizing-friction", edge->copy.duct_where, NULL,
           "no duct to choose from lets run %s lose only %.3g Pa/m: %s loses %.3g Pa/m. That is "
           "taken; a larger duct, or `sizing: {friction: %.3g Pa/m}`, would do",
           edge->copy.name, sizer->friction, edge->sizes[edge->size].duct->name, friction,
           ceil(10.0 * friction) / 10.0);
}

void ebi_sizing_say_method(const ebi_sizer *sizer, const ebi_sizing_side *s) {
  bool regain = sizer->method == EB_SIZING_STATIC_REGAIN;
  for (size_t e = 0; e < s->n_edges; e++)
    if (sizer->method == EB_SIZING_EQUAL_FRICTION || (regain && s->n_regained == 0))
      too_rough(sizer, s, e);
  if (regain && s->n_regained == 0)
    ebi_diag(sizer->job->context, EB_NOTE, "static-regain", ebi_sizing_where(sizer), NULL,
             "no air of the %s side before a junction is faster than %.3g m/s: there is nothing to "
             "regain that matters, and its ducts are sized by equal friction at %.3g Pa/m",
             s->side->name, WORTH_REGAINING, sizer->friction);
}
