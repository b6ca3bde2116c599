/* sizing_search.c - sizes of least life-cycle cost
 *
 * What a tee or reducer takes depends on the sizes of both neighbours. With the neighbours
 * frozen at sizes tried before, each run's drop depends on its own size alone, and the
 * cheapest choice is found exactly (numeric/choose.h). Those sizes are the next to be
 * frozen. Of all that were met the one with the least real cost, all losses as they are,
 * is kept; then single runs are tried one size up and down until none is better. So the
 * result is never dearer than the first frozen optimum; it need not be the real optimum,
 * and the last frozen optimum tells how far it can be.
 *
 * In a side with loops the tree is the one left when each loop is broken at its smallest
 * flow; the real cost is that of the loops, with their flows. */

#include <math.h>
#include <string.h>

#include "design/sizing.h"

#define FREEZES 8
#define LOCAL_ROUNDS 12
#define BOOST_TRIES 6
#define BETTER 1e-9 /* share of the cost by which another must be better */

/* Sizes of all edges with what they cost. */
typedef struct outcome {
  size_t *size;
  double excess; /* Pa above what the limits let be */
  double pressure, cost;
} outcome;

/* ---- The real cost ---- */

double ebi_sizing_price(const ebi_sizing_side *s) {
  double sum = 0.0;
  for (size_t e = 0; e < s->n_edges; e++)
    sum += s->edges[e].sizes[s->edges[e].size].price;
  return sum;
}

bool ebi_sizing_falls(const ebi_sizer *sizer, const ebi_sizing_side *s, size_t number) {
  const ebi_size_edge *edge = &s->edges[number];
  if (!sizer->given->never_larger || !edge->open || edge->outside || edge->parent == EBI_NONE ||
      edge->chord)
    return true;
  const ebi_size_edge *parent = &s->edges[edge->parent];
  return edge->sizes[edge->size].area <= parent->sizes[parent->size].area * (1.0 + 1e-9);
}

static bool all_fall(const ebi_sizer *sizer, const ebi_sizing_side *s) {
  for (size_t e = 0; e < s->n_edges; e++)
    if (!ebi_sizing_falls(sizer, s, e))
      return false;
  return true;
}

/* Round loops velocities follow the sizes: by how much they are above the limits, in all, as
 * velocity pressures [Pa]. */
static double speeding(const ebi_sizer *sizer, const ebi_sizing_side *s) {
  double sum = 0.0;
  for (size_t e = 0; e < s->n_edges; e++) {
    const ebi_size_edge *edge = &s->edges[e];
    double most = sizer->velocity[edge->place], has = ebi_sizing_velocity(s, e, edge->size);
    if (edge->open && has > most * (1.0 + 1e-9))
      sum += 0.5 * EB_REFERENCE_DENSITY * (has * has - most * most);
  }
  return sum;
}

/* Of the sizes as they stand. */
static eb_status value(const ebi_sizer *sizer, ebi_sizing_side *s, outcome *now) {
  eb_status status = ebi_sizing_pressure(s, EBI_DESIGN_FLOW, &now->pressure);
  now->excess = fmax(now->pressure - s->most_pa, 0.0) + (s->looped ? speeding(sizer, s) : 0.0);
  now->cost = ebi_sizing_price(s) + s->per_pa * now->pressure;
  return status;
}

static bool better(const outcome *a, const outcome *b) {
  if (a->excess > 0.0 || b->excess > 0.0)
    return a->excess < b->excess - 1e-9;
  return a->cost < b->cost - BETTER * fabs(b->cost);
}

static void keep(const ebi_sizing_side *s, outcome *best, const outcome *now) {
  size_t *size = best->size;
  *best = *now;
  best->size = size;
  for (size_t e = 0; e < s->n_edges; e++)
    size[e] = s->edges[e].size;
}

static void put_all(ebi_sizing_side *s, const size_t *size) {
  for (size_t e = 0; e < s->n_edges; e++)
    ebi_sizing_put(s, e, size[e]);
}

/* ---- The frozen problem ---- */

typedef struct frozen {
  ebi_choice_tree tree;
  ebi_choice_edge *edges;
  size_t *first;  /* place of an edge's first choice in the list of all */
  size_t *size;   /* of which each choice is */
  size_t *choice; /* found */
} frozen;

static size_t count_choices(const ebi_sizing_side *s) {
  size_t count = 0;
  for (size_t e = 0; e < s->n_edges; e++)
    count += s->edges[e].n_sizes;
  return count;
}

/* The run that leads on from outdoors to the rooms: the last of those outside. */
static size_t last_outside(const ebi_sizing_side *s) {
  size_t last = EBI_NO_EDGE;
  for (size_t e = 0; e < s->n_edges; e++)
    if (s->edges[e].outside && !s->edges[e].chord)
      last = e;
  return last;
}

static bool leads_on(const ebi_sizing_side *s, size_t number, size_t outside) {
  if (number == outside)
    return s->n_edges > number + 1;
  for (size_t e = number + 1; e < s->n_edges; e++)
    if (s->edges[e].parent == number)
      return true;
  return false;
}

static size_t fill_choices(ebi_sizing_side *s, size_t number, ebi_choice *choices, size_t *sizes) {
  ebi_size_edge *edge = &s->edges[number];
  size_t now = edge->size, count = 0;
  for (size_t i = 0; i < edge->n_sizes; i++) {
    if (!edge->sizes[i].allowed)
      continue;
    ebi_sizing_put(s, number, i);
    choices[count] = (ebi_choice){.drop = ebi_sizing_drop(s, number, EBI_DESIGN_FLOW),
                                  .price = edge->sizes[i].price,
                                  .size = edge->outside ? HUGE_VAL : edge->sizes[i].area};
    sizes[count++] = i;
  }
  ebi_sizing_put(s, number, now);
  return count;
}

static eb_status freeze(const ebi_sizer *sizer, ebi_sizing_side *s, frozen *f) {
  ebi_arena *scratch = s->side->job->scratch;
  size_t n = count_choices(s), at = 0, outside = last_outside(s);
  ebi_choice *choices = EBI_NEW_ARRAY(scratch, ebi_choice, n);
  f->edges = EBI_NEW_ARRAY(scratch, ebi_choice_edge, s->n_edges);
  f->first = EBI_NEW_ARRAY(scratch, size_t, s->n_edges);
  f->choice = EBI_NEW_ARRAY(scratch, size_t, s->n_edges);
  f->size = EBI_NEW_ARRAY(scratch, size_t, n);
  if (choices == NULL || f->edges == NULL || f->first == NULL || f->choice == NULL ||
      f->size == NULL)
    return EB_E_MEMORY;
  for (size_t e = 0; e < s->n_edges; e++) {
    const ebi_size_edge *edge = &s->edges[e];
    size_t parent = edge->parent == EBI_NONE ? EBI_NO_EDGE : edge->parent;
    if (parent == EBI_NO_EDGE && !edge->outside)
      parent = outside;
    f->first[e] = at;
    f->edges[e] = (ebi_choice_edge){.parent = parent,
                                    .choices = &choices[at],
                                    .count = fill_choices(s, e, &choices[at], &f->size[at]),
                                    .end = leads_on(s, e, outside) ? -1.0 : 0.0};
    at += f->edges[e].count;
  }
  f->tree = (ebi_choice_tree){.edges = f->edges,
                              .count = s->n_edges,
                              .per_pa = s->per_pa,
                              .most_pa = s->most_pa,
                              .never_larger = sizer->given->never_larger};
  return EB_OK;
}

/* Sizes that the user wrote may fall the other way: then that is not asked. */
static eb_status solve_frozen(const ebi_sizer *sizer, ebi_sizing_side *s, frozen *f,
                              ebi_chosen *chosen) {
  eb_status status = freeze(sizer, s, f);
  if (status != EB_OK)
    return status;
  status = ebi_choose(s->side->job->scratch, &f->tree, f->choice, chosen);
  if (status == EB_E_NO_SOLUTION && isinf(chosen->pressure) && f->tree.never_larger) {
    f->tree.never_larger = false;
    status = ebi_choose(s->side->job->scratch, &f->tree, f->choice, chosen);
  }
  return status == EB_E_NO_SOLUTION ? EB_OK : status;
}

/* Freezes at the sizes in hand and goes to the optimum found. *same: it is where it was. */
static eb_status step(const ebi_sizer *sizer, ebi_sizing_side *s, bool *same) {
  frozen f;
  ebi_chosen chosen;
  eb_status status = solve_frozen(sizer, s, &f, &chosen);
  *same = true;
  for (size_t e = 0; status == EB_OK && e < s->n_edges; e++) {
    size_t size = f.size[f.first[e] + f.choice[e]];
    *same = *same && size == s->edges[e].size;
    ebi_sizing_put(s, e, size);
  }
  return status;
}

static eb_status freeze_and_repeat(const ebi_sizer *sizer, ebi_sizing_side *s, outcome *best) {
  bool same = false;
  best->cost = best->excess = HUGE_VAL;
  for (int pass = 0; pass < FREEZES && !same; pass++) {
    outcome now;
    eb_status status = step(sizer, s, &same);
    if (status == EB_OK)
      status = value(sizer, s, &now);
    if (status != EB_OK)
      return status;
    if (pass == 0 || better(&now, best))
      keep(s, best, &now);
  }
  put_all(s, best->size);
  return EB_OK;
}

/* ---- One run at a time ---- */

static eb_status try_size(const ebi_sizer *sizer, ebi_sizing_side *s, size_t number, size_t size,
                          outcome *best, bool *improved) {
  size_t before = s->edges[number].size;
  outcome now = *best;
  ebi_sizing_put(s, number, size);
  eb_status status = EB_OK;
  bool good = all_fall(sizer, s);
  if (good)
    status = value(sizer, s, &now);
  if (status == EB_OK && good && better(&now, best)) {
    keep(s, best, &now);
    *improved = true;
  } else {
    ebi_sizing_put(s, number, before);
  }
  return status;
}

/* The next to be tried: round loops whatever velocity it had at other flows. */
static size_t next_to_try(const ebi_sizing_side *s, const ebi_size_edge *edge, int step) {
  if (!s->looped)
    return ebi_sizing_next(edge, edge->size, step);
  if (step < 0 ? edge->size == 0 : edge->size + 1 == edge->n_sizes)
    return EBI_NONE;
  size_t other = step < 0 ? edge->size - 1 : edge->size + 1;
  bool good = other >= edge->too_loud && ebi_sizing_fits(&edge->copy, edge->sizes[other].duct);
  return good ? other : EBI_NONE;
}

static eb_status improve(const ebi_sizer *sizer, ebi_sizing_side *s, outcome *best) {
  bool improved = true;
  for (int round = 0; round < LOCAL_ROUNDS && improved; round++) {
    improved = false;
    for (size_t e = 0; e < s->n_edges; e++)
      for (int up = -1; up <= 1; up += 2) {
        size_t other = next_to_try(s, &s->edges[e], up);
        if (!s->edges[e].open || other == EBI_NONE)
          continue;
        eb_status status = try_size(sizer, s, e, other, best, &improved);
        if (status != EB_OK)
          return status;
      }
  }
  return EB_OK;
}

/* ---- Both, and what the fan can at boost ---- */

static eb_status search_once(const ebi_sizer *sizer, ebi_sizing_side *s) {
  outcome best = {.size = EBI_NEW_ARRAY(s->side->job->scratch, size_t, s->n_edges)};
  if (best.size == NULL)
    return EB_E_MEMORY;
  eb_status status = freeze_and_repeat(sizer, s, &best);
  if (status == EB_OK)
    status = improve(sizer, s, &best);
  put_all(s, best.size);
  if (status == EB_OK)
    status = value(sizer, s, &best); /* a looped side takes the flows of these sizes */
  s->pressure = best.pressure;
  s->cost = best.cost;
  return status;
}

static eb_status find_bound(const ebi_sizer *sizer, ebi_sizing_side *s) {
  frozen f;
  ebi_chosen chosen;
  eb_status status = solve_frozen(sizer, s, &f, &chosen);
  s->bound = chosen.cost;
  return status;
}

eb_status ebi_sizing_search(ebi_sizer *sizer, ebi_sizing_side *s) {
  eb_status status = EB_OK;
  bool enough = false;
  for (int attempt = 0; status == EB_OK && attempt < BOOST_TRIES && !enough; attempt++) {
    status = search_once(sizer, s);
    if (status == EB_OK)
      status = ebi_sizing_pressure(s, EBI_BOOST_FLOW, &s->asked_pa);
    double share = s->available_pa / s->asked_pa;
    enough = !(s->asked_pa > s->available_pa) || !(share > 0.0) || s->pressure > s->most_pa;
    if (!enough)
      s->most_pa = fmin(s->most_pa, 0.99 * share * s->pressure);
  }
  return status == EB_OK ? find_bound(sizer, s) : status;
}
