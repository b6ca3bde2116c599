/* choose.c - the cheapest choice of sizes on a tree: frontiers from the ends to the root */

#include "numeric/choose.h"

#include <math.h>
#include <string.h>

typedef struct point {
  double pressure, price;
  double below;  /* pressure left to what follows the edge */
  size_t choice; /* of the edge */
} point;

/* Pressure rising, price falling. */
typedef struct frontier {
  const point *points;
  size_t count;
} frontier;

/* Of an edge: with its choices up to each (never_larger), or with all of them only. */
typedef struct edge_state {
  frontier *up_to;
  size_t *children;
  size_t n_children;
} edge_state;

typedef struct job {
  ebi_arena *arena;
  const ebi_choice_tree *tree;
  edge_state *edges; /* the last is above all roots */
  point *now, *next; /* being merged; grown together */
  size_t room;
  const frontier **meeting; /* of the children of one edge */
  size_t *at;               /* places in them */
  size_t largest;
} job;

/* ---- The tree ---- */

static size_t place_of(const job *j, size_t parent) {
  return parent == EBI_NO_EDGE ? j->tree->count : parent;
}

static bool gather_children(job *j) {
  size_t n = j->tree->count;
  size_t *all = EBI_NEW_ARRAY(j->arena, size_t, n + 1);
  if (all == NULL)
    return false;
  for (size_t i = 0; i < n; i++)
    j->edges[place_of(j, j->tree->edges[i].parent)].n_children++;
  for (size_t i = 0; i <= n; i++) {
    j->edges[i].children = all;
    all += j->edges[i].n_children;
    j->edges[i].n_children = 0;
  }
  for (size_t i = 0; i < n; i++) {
    edge_state *parent = &j->edges[place_of(j, j->tree->edges[i].parent)];
    parent->children[parent->n_children++] = i;
  }
  return true;
}

/* ---- Frontiers that meet ---- */

/* The frontier of a child under an edge of this size; NULL: it would be larger. */
static const frontier *child_frontier(const job *j, size_t child, double size) {
  const ebi_choice_edge *edge = &j->tree->edges[child];
  if (!j->tree->never_larger)
    return &j->edges[child].up_to[edge->count - 1];
  size_t n = edge->count;
  while (n > 0 && edge->choices[n - 1].size > size)
    n--;
  return n > 0 && j->edges[child].up_to[n - 1].count > 0 ? &j->edges[child].up_to[n - 1] : NULL;
}

/* The last point that asks no more than `pressure`; count > 0 and the first asks no more. */
static size_t last_within(const frontier *f, double pressure) {
  size_t low = 0, high = f->count;
  while (high - low > 1) {
    size_t middle = low + (high - low) / 2;
    if (f->points[middle].pressure <= pressure)
      low = middle;
    else
      high = middle;
  }
  return low;
}

/* Room for `count` points in both buffers; keeps those of `now`. */
static bool make_room(job *j, size_t count) {
  if (count <= j->room)
    return true;
  size_t room = count + count / 2;
  point *now = EBI_NEW_ARRAY(j->arena, point, room), *next = EBI_NEW_ARRAY(j->arena, point, room);
  if (now == NULL || next == NULL)
    return false;
  if (j->room > 0)
    memcpy(now, j->now, j->room * sizeof *now);
  j->now = now;
  j->next = next;
  j->room = room;
  return true;
}

/* Sets where each child starts and returns the least pressure all of them can do with;
 * HUGE_VAL: one of them cannot be under this size. */
static double start_meeting(job *j, const edge_state *state, double size, size_t *most) {
  double pressure = 0.0;
  *most = 1;
  for (size_t i = 0; i < state->n_children; i++) {
    j->meeting[i] = child_frontier(j, state->children[i], size);
    if (j->meeting[i] == NULL)
      return HUGE_VAL;
    double least = j->meeting[i]->points[0].pressure;
    pressure = i == 0 ? least : fmax(pressure, least);
    *most += j->meeting[i]->count;
  }
  return pressure;
}

static double next_pressure(const job *j, size_t n_children) {
  double pressure = HUGE_VAL;
  for (size_t i = 0; i < n_children; i++)
    if (j->at[i] + 1 < j->meeting[i]->count)
      pressure = fmin(pressure, j->meeting[i]->points[j->at[i] + 1].pressure);
  return pressure;
}

/* What follows the edge under one of its sizes: prices add at the larger pressure. */
static bool meet(job *j, size_t number, double size, frontier *result) {
  const edge_state *state = &j->edges[number];
  double end = number < j->tree->count ? j->tree->edges[number].end : -1.0;
  size_t most, count = 0;
  double pressure = start_meeting(j, state, size, &most);
  *result = (frontier){NULL, 0};
  if (pressure == HUGE_VAL)
    return true;
  if (end >= 0.0)
    pressure = state->n_children == 0 ? end : fmax(pressure, end);
  point *points = EBI_NEW_ARRAY(j->arena, point, most);
  if (points == NULL)
    return false;
  for (size_t i = 0; i < state->n_children; i++)
    j->at[i] = last_within(j->meeting[i], pressure);
  while (pressure < HUGE_VAL) {
    double price = 0.0;
    for (size_t i = 0; i < state->n_children; i++) {
      const frontier *f = j->meeting[i];
      while (j->at[i] + 1 < f->count && f->points[j->at[i] + 1].pressure <= pressure)
        j->at[i]++;
      price += f->points[j->at[i]].price;
    }
    points[count++] = (point){.pressure = pressure, .price = price};
    pressure = next_pressure(j, state->n_children);
  }
  *result = (frontier){points, count};
  return true;
}

/* ---- Sizes of one edge ---- */

static size_t keep(point *points, size_t count, point candidate) {
  if (count > 0 && candidate.price >= points[count - 1].price)
    return count;
  points[count] = candidate;
  return count + 1;
}

/* Merges `count` points of `now` with what follows, shifted by one size. Returns the new count. */
static size_t merge(job *j, size_t count, const frontier *below, const ebi_choice *choice,
                    size_t number) {
  size_t a = 0, b = 0, n = 0;
  while (a < count || b < below->count) {
    point shifted = {0};
    if (b < below->count)
      shifted = (point){below->points[b].pressure + choice->drop,
                        below->points[b].price + choice->price, below->points[b].pressure, number};
    bool own = b == below->count ||
               (a < count &&
                (j->now[a].pressure < shifted.pressure ||
                 (j->now[a].pressure == shifted.pressure && j->now[a].price <= shifted.price)));
    n = keep(j->next, n, own ? j->now[a++] : shifted);
    b += own ? 0 : 1;
  }
  point *other = j->now;
  j->now = j->next;
  j->next = other;
  return n;
}

static bool store(job *j, size_t count, frontier *result) {
  point *points = EBI_NEW_ARRAY(j->arena, point, count);
  if (points == NULL)
    return false;
  if (count > 0)
    memcpy(points, j->now, count * sizeof *points);
  *result = (frontier){points, count};
  j->largest = count > j->largest ? count : j->largest;
  return true;
}

static bool solve_edge(job *j, size_t number) {
  const ebi_choice_edge *edge = &j->tree->edges[number];
  edge_state *state = &j->edges[number];
  bool each = j->tree->never_larger;
  frontier below = {NULL, 0};
  size_t count = 0;
  state->up_to = EBI_NEW_ARRAY(j->arena, frontier, edge->count);
  if (state->up_to == NULL)
    return false;
  for (size_t c = 0; c < edge->count; c++) {
    if ((each || c == 0) && !meet(j, number, edge->choices[c].size, &below))
      return false;
    if (!make_room(j, count + below.count))
      return false;
    count = merge(j, count, &below, &edge->choices[c], c);
    if ((each || c + 1 == edge->count) && !store(j, count, &state->up_to[c]))
      return false;
  }
  return true;
}

/* ---- The optimum and the way to it ---- */

static size_t best_point(const job *j, const frontier *root) {
  size_t best = 0;
  double least = HUGE_VAL;
  for (size_t i = 0; i < root->count; i++) {
    double cost = root->points[i].price + j->tree->per_pa * root->points[i].pressure;
    if (root->points[i].pressure <= j->tree->most_pa && cost < least) {
      least = cost;
      best = i;
    }
  }
  return best;
}

/* allowed[i] and size[i]: what the edge before leaves to edge i. */
static void walk_down(const job *j, double pressure, size_t *choice, double *allowed,
                      double *size) {
  for (size_t i = 0; i < j->tree->count; i++) {
    const ebi_choice_edge *edge = &j->tree->edges[i];
    bool root = edge->parent == EBI_NO_EDGE;
    const frontier *f = child_frontier(j, i, root ? HUGE_VAL : size[edge->parent]);
    const point *p = &f->points[last_within(f, root ? pressure : allowed[edge->parent])];
    choice[i] = p->choice;
    allowed[i] = p->below;
    size[i] = edge->choices[p->choice].size;
  }
}

static bool prepare(job *j) {
  size_t n = j->tree->count;
  j->edges = EBI_NEW_ARRAY(j->arena, edge_state, n + 1);
  j->meeting = EBI_NEW_ARRAY(j->arena, const frontier *, n + 1);
  j->at = EBI_NEW_ARRAY(j->arena, size_t, n + 1);
  return j->edges != NULL && j->meeting != NULL && j->at != NULL && gather_children(j);
}

eb_status ebi_choose(ebi_arena *scratch, const ebi_choice_tree *tree, size_t *choice,
                     ebi_chosen *chosen) {
  job j = {.arena = scratch, .tree = tree};
  frontier root;
  *chosen = (ebi_chosen){.pressure = HUGE_VAL, .price = HUGE_VAL, .cost = HUGE_VAL};
  if (!prepare(&j))
    return EB_E_MEMORY;
  for (size_t i = tree->count; i-- > 0;)
    if (!solve_edge(&j, i))
      return EB_E_MEMORY;
  double *allowed = EBI_NEW_ARRAY(scratch, double, tree->count);
  double *size = EBI_NEW_ARRAY(scratch, double, tree->count);
  if (allowed == NULL || size == NULL || !meet(&j, tree->count, HUGE_VAL, &root))
    return EB_E_MEMORY;
  if (root.count == 0)
    return EB_E_NO_SOLUTION;
  const point *best = &root.points[best_point(&j, &root)];
  walk_down(&j, best->pressure, choice, allowed, size);
  *chosen = (ebi_chosen){.pressure = best->pressure,
                         .price = best->price,
                         .cost = best->price + tree->per_pa * best->pressure,
                         .frontier = j.largest};
  return best->pressure <= tree->most_pa ? EB_OK : EB_E_NO_SOLUTION;
}
