/* rates_doors.c - the way of the air from supply rooms to extract rooms
 *
 * A room with one door left passes all it has to spare, its own and what came
 * in through its other doors, through that one: rooms are taken off leaf by
 * leaf. Where doors form a ring the air has a choice, and nothing is said. */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

/* Flows smaller than this are rounding. [m3/s] */
#define NOTHING 1e-9

typedef struct way {
  ebi_rates_plan *plan;
  const eb_house *house;
  eb_door_air *doors;
  size_t (*ends)[2]; /* rooms of a door */
  bool *passed;      /* by door */
  size_t *left;      /* doors of a room not yet passed */
  double *outward;   /* of a room, with what came in */
  size_t *queue;
} way;

static size_t room_number(const eb_house *house, const char *name) {
  size_t i = 0;
  while (i < house->n_rooms && !ebi_text_equal(house->rooms[i].name, name))
    i++;
  return i;
}

static bool make_way(way *w, ebi_rates_plan *plan) {
  const eb_house *house = plan->house;
  size_t n = house->n_rooms, m = house->n_doors;
  *w = (way){.plan = plan, .house = house};
  w->doors = EBI_NEW_ARRAY(plan->arena, eb_door_air, m);
  w->ends = ebi_arena_array(plan->arena, m, sizeof *w->ends);
  w->passed = EBI_NEW_ARRAY(plan->arena, bool, m);
  w->left = EBI_NEW_ARRAY(plan->arena, size_t, n);
  w->outward = EBI_NEW_ARRAY(plan->arena, double, n);
  w->queue = EBI_NEW_ARRAY(plan->arena, size_t, n);
  return w->doors && w->ends && w->passed && w->left && w->outward && w->queue;
}

static void enter_doors(way *w) {
  for (size_t i = 0; i < w->house->n_rooms; i++)
    w->outward[i] = ebi_rates_outward(w->plan, i, 1);
  for (size_t d = 0; d < w->house->n_doors; d++) {
    const ebi_door *door = &w->house->doors[d];
    for (int e = 0; e < 2; e++) {
      w->ends[d][e] = room_number(w->house, door->between[e]);
      w->left[w->ends[d][e]]++;
    }
    w->doors[d] = (eb_door_air){.from = door->between[0],
                                .to = door->between[1],
                                .width_m = door->width.given ? door->width.value : 0.0};
  }
}

/* The one door of a room that is not passed yet. */
static size_t last_door(const way *w, size_t room) {
  size_t d = 0;
  while (w->passed[d] || (w->ends[d][0] != room && w->ends[d][1] != room))
    d++;
  return d;
}

static void pass(way *w, size_t d, size_t room) {
  eb_door_air *air = &w->doors[d];
  size_t other = w->ends[d][0] == room ? w->ends[d][1] : w->ends[d][0];
  double flow = w->outward[room];
  bool out = flow >= 0.0;
  air->from = w->house->rooms[out ? room : other].name;
  air->to = w->house->rooms[out ? other : room].name;
  air->known = true;
  air->flow_m3_s = fabs(flow);
  air->undercut_for_1_pa_m = ebi_gap_for_1_pa(flow, air->width_m);
  w->outward[other] += flow;
  w->outward[room] = 0.0;
  w->passed[d] = true;
  w->left[room]--;
  w->left[other]--;
  ebi_ledger_step(w->plan->ledger, EBI_F_DOOR_AIR, NULL, air->flow_m3_s, EBI_FLOW, NULL, 0,
                  "air from %s to %s at boost", air->from, air->to);
}

static void take_leaves(way *w) {
  size_t first = 0, last = 0;
  for (size_t i = 0; i < w->house->n_rooms; i++)
    if (w->left[i] == 1)
      w->queue[last++] = i;
  while (first < last) {
    size_t room = w->queue[first++];
    if (w->left[room] != 1)
      continue;
    size_t d = last_door(w, room);
    size_t other = w->ends[d][0] == room ? w->ends[d][1] : w->ends[d][0];
    pass(w, d, room);
    if (w->left[other] == 1)
      w->queue[last++] = other;
  }
}

/* Air that is left in a room, with no door of the file to leave or come by. */
static void tell_cut_off(const way *w) {
  for (size_t i = 0; i < w->house->n_rooms; i++)
    if (w->left[i] == 0 && fabs(w->outward[i]) > NOTHING)
      ebi_diag(w->plan->context, EB_NOTE, "door-missing", w->house->rooms[i].where, NULL,
               "%.1f l/s must %s \"%s\" at boost by a way that `doors:` does not name",
               1e3 * fabs(w->outward[i]), w->outward[i] > 0.0 ? "leave" : "reach",
               w->house->rooms[i].name);
}

static void tell_rings(const way *w) {
  for (size_t d = 0; d < w->house->n_doors; d++)
    if (!w->passed[d]) {
      ebi_diag(w->plan->context, EB_NOTE, "door-ring", w->house->doors[d].where, NULL,
               "between %s and %s the air has several ways: what passes each door is not told",
               w->doors[d].from, w->doors[d].to);
      return;
    }
}

const eb_door_air *ebi_rates_doors(ebi_rates_plan *plan, size_t *count) {
  way w;
  *count = 0;
  if (!make_way(&w, plan))
    return NULL;
  if (plan->house->n_doors > 0) {
    enter_doors(&w);
    take_leaves(&w);
    tell_cut_off(&w);
    tell_rings(&w);
  }
  *count = plan->house->n_doors;
  return w.doors;
}
