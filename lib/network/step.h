/* step.h - one step of the solver, and a first guess */

#ifndef EBI_STEP_H
#define EBI_STEP_H

#include "network/damp.h"
#include "network/residual.h"

/* From the residual before to that after: Newton's step, or as much of it as does
 * not make the lacks grow, or a damped one. */
EB_MUST_USE eb_status ebi_step(const ebi_network *network, ebi_topology *topology,
                               ebi_damping *damping, ebi_residual *residual);

/* The first step, whatever it does to the lacks, and a guess of flows from it. */
EB_MUST_USE eb_status ebi_step_first(const ebi_network *network, ebi_topology *topology,
                                     ebi_damping *damping, ebi_residual *residual);

#endif
