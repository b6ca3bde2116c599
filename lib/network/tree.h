/* tree.h - exact elimination of hanging trees */

#ifndef EBI_TREE_H
#define EBI_TREE_H

#include "network/network_data.h"

/* Leaf to root: each absorbed connector adds to what its near node draws.
 * Expects lack, slope and source of the present flows, conductance zero. */
void ebi_tree_eliminate(const ebi_network *network, ebi_topology *topology);

/* Root to leaf: the steps of all tree flows and pressures, those of the core
 * being known. */
void ebi_tree_substitute(const ebi_network *network, ebi_topology *topology);

#endif
