/* pieces.h - connected pieces of a network and those with no fixed pressure */

#ifndef EBI_PIECES_H
#define EBI_PIECES_H

#include "network/topology.h"

/* Fills piece, isolated and n_isolated. */
void ebi_pieces_find(const ebi_network *network, ebi_topology *topology);

/* Names isolated pieces: an error where an outflow is asked of one or a fan
 * drives a loop in it, else a warning, given only with `warn`. */
EB_MUST_USE eb_status ebi_pieces_check(const ebi_network *network, ebi_topology *topology,
                                       bool warn);

#endif
