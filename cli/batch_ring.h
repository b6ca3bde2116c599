/* batch_ring.h - houses go to whoever is free, and their lines leave in the order they came
 *
 * One thread fills slots, several take them, and who finishes the oldest one writes it and all
 * finished ones behind it. There are as many houses in memory as there are slots: the reader waits
 * for a slot, and a slow house or a slow reader of the lines holds the others up sooner or later.
 */

#ifndef CLI_BATCH_RING_H
#define CLI_BATCH_RING_H

#include "batch_source.h"

typedef struct batch_slot {
  batch_document document;
  char *line; /* with its line feed; NULL where memory ran out */
  size_t length;
  int status;   /* exit status of this house alone */
  char *reason; /* of a status above EXIT_NOT_COMPLYING: which house, and what is wrong first */
  bool done;
} batch_slot;

typedef struct batch_ring batch_ring;

/* Writes a slot's line; called for one slot at a time, in order. False stops everything. */
typedef bool (*batch_write)(void *user, batch_slot *slot);

/* NULL when memory ran out. */
batch_ring *batch_ring_new(size_t n_slots, batch_write write, void *user);
void batch_ring_free(batch_ring *ring);

/* For the one that fills: the next free slot, waited for; NULL once everything has been stopped. */
batch_slot *batch_ring_free_slot(batch_ring *ring);
void batch_ring_filled(batch_ring *ring);

/* No more will come; or, with `stop`, what is there shall not be done either. */
void batch_ring_close(batch_ring *ring, bool stop);

/* For the others: the next slot to be worked on, waited for; NULL at the end. */
batch_slot *batch_ring_take(batch_ring *ring);
void batch_ring_finish(batch_ring *ring, batch_slot *slot);

#endif
