/* damp.h - steps held back at tees, where Newton's would stray
 *
 * A tee's coefficients may be negative and fall with the flow, and where a
 * flow through it turns its slopes bend. There Newton's steps stray between the
 * patterns of flow, the more so the more tees stand in one loop. So, for the
 * step only, each path of a tee gets a loss of its own: `now` times the velocity
 * pressure in its port. That is one implicit step in time of the flow's
 * inertia (pseudo-transient continuation, Kelley & Keyes 1998; from memory),
 * and leads, over a hill of the lacks if need be, to flows that are stable. As
 * lacks fall it eases off, and the last steps are Newton's. */

#ifndef EBI_DAMP_H
#define EBI_DAMP_H

#include "network/network_data.h"

typedef struct ebi_damping {
  double now; /* 0: none */
  int steps;  /* since it was put on */
  int returns;
} ebi_damping;

/* At the start: where tees stand in the looped core. */
ebi_damping ebi_damping_start(const ebi_topology *topology);

/* When Newton's step makes matters worse; each return takes another strength. */
void ebi_damping_return(ebi_damping *damping, const ebi_network *network);

/* After a damped step that has brought the sum of squared lacks from `before` to `after`. */
void ebi_damping_ease(ebi_damping *damping, double before, double after);

/* Adds it to the slopes of all tees. */
void ebi_damp_tees(const ebi_network *network, ebi_topology *topology, double damping);

#endif
