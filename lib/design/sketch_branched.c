/* sketch_branched.c - trunk and branches: where the points of the tree are
 *
 * The way to a valve has five legs: up or down at the unit to its storey, across to the line of
 * the trunk, along it, off it to the valve's side, and down or up to the valve. Ways share their
 * legs as far as they are alike, and a leg that ends on the way of a longer one is part of it. */

#include <math.h>
#include <stdlib.h>

#include "design/sketch_tree.h"

enum { LEGS = 5 };

#define STOREY 1.5 /* m between valves, of heights that are not one storey */

/* A way: where each leg ends on its axis. */
typedef struct way {
  const ebi_sketch_terminal *terminal;
  double to[LEGS];
  size_t number;
} way;

typedef struct ways {
  ebi_sketching *sketching;
  ebi_sketch_tree tree;
  size_t axis[LEGS];
  way *all;
} ways;

/* ---- Ways -------------------------------------------------------------- */

static int compare(double a, double b) {
  return (a > b) - (a < b);
}

static int by_height(const void *left, const void *right) {
  const way *a = left, *b = right;
  int order = compare(a->to[4], b->to[4]);
  return order ? order : compare((double)a->number, (double)b->number);
}

static int by_side(const void *left, const void *right) {
  const way *a = left, *b = right;
  int order = compare(a->to[3], b->to[3]);
  return order ? order : compare((double)a->number, (double)b->number);
}

static int by_legs(const void *left, const void *right) {
  const way *a = left, *b = right;
  for (size_t i = 0; i < LEGS; i++)
    if (compare(a->to[i], b->to[i]))
      return compare(a->to[i], b->to[i]);
  return compare((double)a->number, (double)b->number);
}

/* One storey: its ducts lie as high as its highest valve, its trunk in the middle of the valves
 * that are not straight across from the unit. */
static void set_storey(ways *set, way *first, size_t count) {
  const double *unit = set->sketching->house->unit_at.at;
  double top = first[count - 1].to[4];
  qsort(first, count, sizeof *first, by_side);
  size_t beside = 0;
  for (size_t i = 0; i < count; i++)
    beside += compare(first[i].to[2], unit[set->axis[2]]) != 0;
  double middle = 0.0;
  size_t seen = 0;
  for (size_t i = 0; i < count; i++)
    if (compare(first[i].to[2], unit[set->axis[2]]) != 0 && seen++ == (beside - 1) / 2)
      middle = first[i].to[3];
  for (size_t i = 0; i < count; i++) {
    bool across = compare(first[i].to[2], unit[set->axis[2]]) == 0;
    first[i].to[0] = top;
    first[i].to[1] = across ? first[i].to[3] : middle;
  }
}

static bool find_ways(ways *set, const ebi_sketch_side *side) {
  set->all = EBI_NEW_ARRAY(set->sketching->scratch, way, side->n_terminals);
  for (size_t i = 0; set->all && i < side->n_terminals; i++) {
    const ebi_sketch_terminal *terminal = &side->terminals[i];
    set->all[i] = (way){.terminal = terminal, .number = i};
    for (size_t leg = 2; leg < LEGS; leg++)
      set->all[i].to[leg] = terminal->at[set->axis[leg]];
  }
  if (!set->all)
    return false;
  qsort(set->all, side->n_terminals, sizeof *set->all, by_height);
  size_t first = 0;
  for (size_t i = 1; i <= side->n_terminals; i++)
    if (i == side->n_terminals || set->all[i].to[4] - set->all[i - 1].to[4] > STOREY) {
      set_storey(set, &set->all[first], i - first);
      first = i;
    }
  qsort(set->all, side->n_terminals, sizeof *set->all, by_legs);
  return true;
}

/* ---- Points ------------------------------------------------------------ */

/* A point on that axis beyond another, or the same where there is no way between. */
static size_t add_point(ways *set, size_t parent, size_t axis, double to,
                        const ebi_sketch_terminal *terminal) {
  ebi_sketch_tree *tree = &set->tree;
  double step = parent == EBI_SKETCH_NONE ? 0.0 : to - tree->points[parent].at[axis];
  if (set->sketching->failed ||
      !ebi_arena_grow(set->sketching->scratch, &tree->points, &tree->capacity, tree->count,
                      sizeof *tree->points)) {
    set->sketching->failed = true;
    return parent;
  }
  ebi_sketch_point point = {.parent = parent,
                            .first = EBI_SKETCH_NONE,
                            .next = EBI_SKETCH_NONE,
                            .terminal = terminal,
                            .step = fabs(step),
                            .direction = terminal || parent == EBI_SKETCH_NONE
                                             ? EBI_NO_DIRECTION
                                             : (int)(2 * axis) + (step > 0)};
  const double *from =
      parent == EBI_SKETCH_NONE ? set->sketching->house->unit_at.at : tree->points[parent].at;
  for (size_t i = 0; i < 3; i++)
    point.at[i] = from[i];
  if (!terminal)
    point.at[axis] = parent == EBI_SKETCH_NONE ? point.at[axis] : to;
  tree->points[tree->count] = point;
  if (parent != EBI_SKETCH_NONE) {
    ebi_sketch_point *above = &tree->points[parent];
    if (above->n_children++ == 0)
      above->first = tree->count;
    else
      tree->points[above->last].next = tree->count;
    above->last = tree->count;
  }
  return tree->count++;
}

static void lay_leg(ways *set, size_t start, size_t leg, way *first, size_t count);

/* The ways that end this leg together go on from `point`. */
static size_t lay_stop(ways *set, size_t point, size_t leg, way *first, size_t count) {
  double to = first->to[leg];
  if (compare(to, set->tree.points[point].at[set->axis[leg]]) != 0)
    point = add_point(set, point, set->axis[leg], to, NULL);
  if (!set->sketching->failed)
    lay_leg(set, point, leg + 1, first, count);
  return point;
}

/* How many ways from the first on end this leg where it does. */
static size_t alike(const way *first, size_t count, size_t leg) {
  size_t same = 1;
  while (same < count && compare(first[same].to[leg], first->to[leg]) == 0)
    same++;
  return same;
}

/* Leg by leg from `start`: first those that lead forward, each stop beyond the last, then those
 * that lead back. The ways are sorted by their legs. */
static void lay_leg(ways *set, size_t start, size_t leg, way *first, size_t count) {
  if (leg == LEGS) {
    for (size_t i = 0; i < count; i++)
      add_point(set, start, 2, 0.0, first[i].terminal);
    return;
  }
  double from = set->tree.points[start].at[set->axis[leg]];
  size_t back = 0;
  while (back < count && first[back].to[leg] < from)
    back++;
  size_t point = start;
  for (size_t i = back, same; i < count && !set->sketching->failed; i += same) {
    same = alike(&first[i], count - i, leg);
    point = lay_stop(set, point, leg, &first[i], same);
  }
  point = start;
  for (size_t end = back; end > 0 && !set->sketching->failed;) {
    size_t begin = end - 1;
    while (begin > 0 && compare(first[begin - 1].to[leg], first[end - 1].to[leg]) == 0)
      begin--;
    point = lay_stop(set, point, leg, &first[begin], end - begin);
    end = begin;
  }
}

/* ---- What flows -------------------------------------------------------- */

/* Points come after their parents, so the last are the farthest. */
static void size_points(ebi_sketch_tree *tree) {
  for (size_t i = tree->count; i-- > 0;) {
    ebi_sketch_point *point = &tree->points[i];
    double velocity = EBI_SKETCH_TRUNK_VELOCITY;
    if (point->terminal) {
      point->flow = point->terminal->flow;
      velocity = EBI_SKETCH_BRANCH_VELOCITY;
    }
    size_t size = ebi_sketch_size(point->flow, velocity);
    point->size = size > point->size ? size : point->size;
    if (point->parent == EBI_SKETCH_NONE)
      continue;
    ebi_sketch_point *parent = &tree->points[point->parent];
    parent->flow += point->flow;
    parent->size = parent->size > point->size ? parent->size : point->size;
  }
}

void ebi_sketch_branched(ebi_sketching *sketching, const ebi_sketch_side *side) {
  size_t along = sketching->trunk, across = 1 - along;
  ways set = {.sketching = sketching, .axis = {2, across, along, across, 2}};
  if (sketching->failed || !find_ways(&set, side)) {
    sketching->failed = true;
    return;
  }
  size_t unit = add_point(&set, EBI_SKETCH_NONE, 0, 0.0, NULL);
  if (!sketching->failed)
    lay_leg(&set, unit, 0, set.all, side->n_terminals);
  if (sketching->failed)
    return;
  size_points(&set.tree);
  ebi_sketch_tree_runs(sketching, side, &set.tree);
}
