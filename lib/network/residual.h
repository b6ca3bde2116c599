/* residual.h - what flows and pressures miss of a solution, unlagged */

#ifndef EBI_RESIDUAL_H
#define EBI_RESIDUAL_H

#include "network/network_data.h"

#define EBI_TOLERANCE_FLOW 1e-10    /* m3/s ref */
#define EBI_TOLERANCE_PRESSURE 1e-8 /* Pa */

/* How far flows and pressures are from a solution. */
typedef struct ebi_residual {
  double norm;                       /* sum of squared lacks of pressure */
  double pressure, flow;             /* worst */
  double pressure_floor, flow_floor; /* rounding */
  double moved;                      /* greatest change of a 1/sqrt(f) since the laws before */
  ebi_place node;                    /* where flow is worst; EBI_NO_PLACE: nowhere */
} ebi_residual;

/* Takes all laws at the present flows and pressures and fills slope and lack.
 * The balance of mass, which a whole step brings about, is not taken. */
ebi_residual ebi_residual_of_pressure(const ebi_network *network, ebi_topology *topology);

/* The balance of mass at the nodes, into `flow` and its floor. Expects and leaves
 * all sources at zero. */
void ebi_residual_of_flow(const ebi_network *network, ebi_topology *topology, ebi_residual *r);

/* Pressures within the tolerance, or rounding where that is more, by exact laws; and flows. */
bool ebi_residual_pressure_converged(const ebi_residual *residual);
bool ebi_residual_flow_converged(const ebi_residual *residual);

/* Name of the worst node, part or tee, each against its tolerance. */
const char *ebi_residual_worst(const ebi_network *network, const ebi_topology *topology,
                               const ebi_residual *residual);

#endif
