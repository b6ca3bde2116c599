/* sketch_tree.c - points become runs and tees
 *
 * A run leads from one meeting to the next through points where nothing branches off. Where more
 * than two go on, they leave one after the other by tees a short piece apart. */

#include "design/sketch_tree.h"

#include <math.h>

#define BETWEEN_TEES 0.3 /* m */

/* A run still to be laid: it begins with the step to `point`. */
typedef struct task {
  size_t point;
  const char *near; /* the meeting it begins at */
  const char *name;
  bool turned; /* it turns off its tee's line by a bend of its own */
} task;

typedef struct laying {
  ebi_sketching *sketching;
  const ebi_sketch_side *side;
  const ebi_sketch_point *points;
  task *tasks;
  size_t n_tasks, capacity;
  size_t trunks, tees;
} laying;

static void push(laying *work, task next) {
  ebi_sketching *sketching = work->sketching;
  if (sketching->failed || !ebi_arena_grow(sketching->scratch, &work->tasks, &work->capacity,
                                           work->n_tasks, sizeof next))
    sketching->failed = true;
  else
    work->tasks[work->n_tasks++] = next;
}

static const char *numbered(laying *work, const char *word, size_t number) {
  ebi_sketching *sketching = work->sketching;
  const char *rest = ebi_arena_format(sketching->scratch, "%s-%zu", word, number);
  if (!rest)
    sketching->failed = true;
  return rest ? ebi_sketch_name(sketching, work->side->prefix, rest) : NULL;
}

/* ---- Along one run ----------------------------------------------------- */

typedef struct stretch {
  size_t end; /* the point where it branches or ends */
  double length, rise;
  int bends;
  int start, direction; /* of its first and its last step */
} stretch;

static stretch stretch_from(const ebi_sketch_point *points, size_t point) {
  stretch found = {.start = EBI_NO_DIRECTION, .direction = EBI_NO_DIRECTION};
  for (;;) {
    const ebi_sketch_point *at = &points[point];
    if (at->direction != EBI_NO_DIRECTION) {
      found.bends += found.direction != EBI_NO_DIRECTION && found.direction != at->direction;
      found.start = found.start == EBI_NO_DIRECTION ? at->direction : found.start;
      found.direction = at->direction;
      found.length += at->step;
      if (at->direction >> 1 == 2)
        found.rise += (at->direction & 1) != 0 ? at->step : -at->step;
    }
    found.end = point;
    if (at->n_children != 1)
      return found;
    point = at->first;
  }
}

static const char *name_run(laying *work, size_t point) {
  const ebi_sketch_point *end = &work->points[stretch_from(work->points, point).end];
  return end->terminal ? end->terminal->name : numbered(work, "trunk", ++work->trunks);
}

/* ---- Tees -------------------------------------------------------------- */

/* Two runs go on from a meeting that is reached in a direction. */
static void split(laying *work, const char *near, int direction, size_t a, size_t b) {
  const ebi_sketch_point *points = work->points;
  int to_a = stretch_from(points, a).start, to_b = stretch_from(points, b).start;
  task one = {.point = a, .near = near, .name = name_run(work, a)};
  task other = {.point = b, .near = near, .name = name_run(work, b)};
  const char *straight = NULL;
  bool known = direction != EBI_NO_DIRECTION;
  bool opposite = to_a != EBI_NO_DIRECTION && to_a == (to_b ^ 1);
  if (known && to_a == direction) {
    straight = one.name;
  } else if (known && to_b == direction) {
    straight = other.name;
  } else if (!opposite) {
    bool first = points[a].flow >= points[b].flow;
    straight = first ? one.name : other.name;
    one.turned = known && first;
    other.turned = known && !first;
  }
  ebi_sketch_junction(work->sketching, (ebi_sketched_junction){.name = near, .straight = straight});
  push(work, other);
  push(work, one);
}

/* The child that goes straight on, else the one with the most air. */
static size_t ahead_of(const ebi_sketch_point *points, size_t point, int direction) {
  size_t best = points[point].first;
  for (size_t i = best; i != EBI_SKETCH_NONE; i = points[i].next) {
    if (direction != EBI_NO_DIRECTION && stretch_from(points, i).start == direction)
      return i;
    best = points[i].flow > points[best].flow ? i : best;
  }
  return best;
}

/* A branch leaves, and a short piece leads to the next tee. */
static const char *take_off(laying *work, const char *near, size_t branch, size_t size) {
  ebi_sketched_run piece = {.air = work->side->air,
                            .name = numbered(work, "trunk", ++work->trunks),
                            .duct = ebi_sketch_steel(size),
                            .parallel = 1,
                            .length = BETWEEN_TEES};
  const char *next = numbered(work, "tee", ++work->tees);
  ebi_sketch_junction(work->sketching,
                      (ebi_sketched_junction){.name = near, .straight = piece.name});
  push(work, (task){.point = branch, .near = near, .name = name_run(work, branch)});
  ebi_sketch_run(work->sketching, near, next, piece);
  return next;
}

/* What goes on from the meeting `near` at a point that was reached in a direction. */
static void branch_at(laying *work, const char *near, size_t point, int direction) {
  const ebi_sketch_point *points = work->points;
  size_t ahead = ahead_of(points, point, direction), left = points[point].n_children - 1;
  for (size_t i = points[point].first; i != EBI_SKETCH_NONE; i = points[i].next) {
    if (i == ahead || work->sketching->failed)
      continue;
    if (left-- > 1)
      near = take_off(work, near, i, points[point].size);
    else
      split(work, near, direction, ahead, i);
  }
}

/* ---- Runs -------------------------------------------------------------- */

static void lay_stretch(laying *work, const char *near, const stretch *found,
                        ebi_sketched_run run) {
  const ebi_sketch_point *end = &work->points[found->end];
  if (end->terminal) {
    run.valve = ebi_sketch_to_valve(work->side, end->terminal).valve;
    run.bends++;
    run.length = fmax(run.length, EBI_SKETCH_LEAST_BRANCH);
    ebi_sketch_run(work->sketching, near, work->sketching->house->rooms[end->terminal->room].name,
                   run);
    return;
  }
  const char *far = numbered(work, "tee", ++work->tees);
  ebi_sketch_run(work->sketching, near, far, run);
  branch_at(work, far, found->end, found->direction);
}

static ebi_sketched_run run_of(const laying *work, const char *name, const stretch *found,
                               size_t size) {
  return (ebi_sketched_run){.air = work->side->air,
                            .name = name,
                            .duct = ebi_sketch_steel(size),
                            .parallel = 1,
                            .length = found->length,
                            .rise = found->rise,
                            .bends = found->bends};
}

static void lay_task(laying *work, task next) {
  stretch found = stretch_from(work->points, next.point);
  ebi_sketched_run run = run_of(work, next.name, &found, work->points[next.point].size);
  run.bends += next.turned;
  lay_stretch(work, next.near, &found, run);
}

/* From the unit: through the silencer to the first tee, or to the only valve. */
static void lay_main(laying *work) {
  const char *name = ebi_sketch_name(work->sketching, work->side->prefix, "main");
  stretch found = stretch_from(work->points, 0);
  size_t size = work->points[0].size;
  ebi_sketched_run run = run_of(work, name, &found, size);
  run.length += EBI_SKETCH_MAIN_LENGTH;
  run.bends += EBI_SKETCH_MAIN_BENDS;
  run.fitting = ebi_sketch_silencer(work->sketching, size);
  lay_stretch(work, "unit", &found, run);
}

void ebi_sketch_tree_runs(ebi_sketching *sketching, const ebi_sketch_side *side,
                          const ebi_sketch_tree *tree) {
  laying work = {.sketching = sketching, .side = side, .points = tree->points};
  lay_main(&work);
  while (work.n_tasks > 0 && !sketching->failed)
    lay_task(&work, work.tasks[--work.n_tasks]);
}
