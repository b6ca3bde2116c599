/* residual.h - what flows and pressures miss of a solution, unlagged */

#ifndef EBI_RESIDUAL_H
#define EBI_RESIDUAL_H

#include "network/network_data.h"

#define EBI_TOLERANCE_FLOW 1e-10    /* m3/s ref */
#define EBI_TOLERANCE_PRESSURE 1e-8 /* Pa */

/* How far flows and pressures are from a solution. */
typedef struct ebi_residual {
  double flow, pressure;             /* worst */
  double norm;                       /* sum of squared lacks */
  double flow_floor, pressure_floor; /* rounding */
  ebi_node node;                     /* where they are worst; EBI_NO_PLACE: nowhere */
  ebi_part part;
  ebi_tee tee; /* instead of the part, or EBI_NO_PLACE */
} ebi_residual;

/* Takes all laws at the present flows and fills slope, lack and source. */
ebi_residual ebi_residual_take(const ebi_network *network, ebi_topology *topology);

/* Within the tolerances, or rounding where that is more. */
bool ebi_residual_converged(const ebi_residual *residual);

/* Name of the worst node, part or tee, each against its tolerance. */
const char *ebi_residual_worst(const ebi_network *network, const ebi_residual *residual);

#endif
