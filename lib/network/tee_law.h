/* tee_law.h - pressure drops through a tee at any flows
 *
 * With flows from the combined port to the straight (s) and the branch (b)
 * port [m3/s, actual], positive or negative in any mixture; drops are the
 * combined port's pressure less the other's [Pa]. */

#ifndef EBI_TEE_LAW_H
#define EBI_TEE_LAW_H

#include <stdbool.h>

#include "physics/air.h"
#include "physics/losses.h"

typedef struct ebi_tee_drop {
  double straight, branch;                                       /* Pa */
  double straight_by_s, straight_by_b, branch_by_s, branch_by_b; /* Pa/(m3/s) */
} ebi_tee_drop;

ebi_tee_drop ebi_tee_drops(const ebi_tee_shape *shape, ebi_air_state air, double straight,
                           double branch);

#endif
