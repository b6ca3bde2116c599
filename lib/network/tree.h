/* tree.h - exact elimination of hanging trees */

#ifndef EBI_TREE_H
#define EBI_TREE_H

#include "network/network_data.h"

/* Leaf to root: each absorbed connector adds to what its near node draws.
 * Expects lack and slope of the present flows and, of all free nodes,
 * conductance zero and the source what flows out at the node itself. */
void ebi_tree_eliminate(const ebi_network *network, ebi_topology *topology);

/* Root to leaf, those of the core being taken: the steps of all tree flows and
 * pressures, and they are taken. Leaves all conductances and sources at zero. */
void ebi_tree_substitute(const ebi_network *network, ebi_topology *topology);

#endif
