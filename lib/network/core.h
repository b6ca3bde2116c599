/* core.h - the looped core that is left when all trees are peeled */

#ifndef EBI_CORE_H
#define EBI_CORE_H

#include "network/network_data.h"

/* Memory for the core's system: once a topology. */
void ebi_core_take(const ebi_network *network, ebi_topology *topology);

/* The steps of the core's pressures and flows. Symmetric systems go to
 * CHOLMOD; with tees in the core, or where trees with tees on them have made
 * it indefinite, to KLU. */
EB_MUST_USE eb_status ebi_core_solve(const ebi_network *network, ebi_topology *topology);

#endif
