/* peel.h - which connectors are absorbed in which order */

#ifndef EBI_PEEL_H
#define EBI_PEEL_H

#include "network/topology.h"

/* Fills slots, tree tees, roots and the core's nodes and tees. */
void ebi_peel(const ebi_network *network, ebi_topology *topology);

#endif
