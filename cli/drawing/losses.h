/* losses.h - where the pressure of a fan goes on the way between outdoors and a room */

#ifndef CLI_DRAWING_LOSSES_H
#define CLI_DRAWING_LOSSES_H

#include "drawing/duct_tree.h"

typedef enum loss_kind {
  LOSS_SHARED, /* runs on the way to the last one */
  LOSS_DUCT,
  LOSS_FITTINGS,
  LOSS_VALVE,
  LOSS_STACK, /* weight of the air: below nought where it helps */
  LOSS_ROOM,  /* what the room itself stands above outdoors (supply) or below (extract) */
  LOSS_KINDS
} loss_kind;

/* Pa, by kind. */
typedef struct losses {
  double of[LOSS_KINDS];
} losses;

double losses_sum(const losses *some);

/* One side of the unit at one level. */
typedef struct loss_side {
  const char *name;
  bool supply;
  const eb_ducts *ducts;
  const eb_level_state *level;
  const eb_side_state *fan;
  duct_tree outside, inside; /* outdoor and supply, or exhaust and extract */
} loss_side;

/* One step of a way. */
typedef struct loss_step {
  const char *name; /* of the run; of the room in the last one where the rooms' pressure is known */
  losses lost;
} loss_step;

/* False where memory ran out; free it either way. */
bool loss_side_of(const eb_rates *rates, const eb_ducts *ducts, bool supply, loss_side *side);
void loss_side_free(loss_side *side);

/* The ends in rooms: the first from number 0 on, the next from one beyond it; NULL: no more. */
const tree_run *loss_end(const loss_side *side, size_t from);

/* The way from outdoors to such an end; steps: as many as there are runs and one more. Returns
 * how many there are. */
size_t loss_way(const loss_side *side, const tree_run *end, loss_step *steps);

/* All that is lost on the way, what comes before its last run as shared. */
losses loss_of_way(const loss_side *side, const tree_run *end);

#endif
