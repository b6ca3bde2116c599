/* house_network.h - the runs of a house as a graph, while it is checked */

#ifndef EBI_HOUSE_NETWORK_H
#define EBI_HOUSE_NETWORK_H

#include "input/house_read.h"

typedef enum ebi_node_kind {
  EBI_NODE_UNIT,
  EBI_NODE_OUTDOORS,
  EBI_NODE_ROOM,
  EBI_NODE_JUNCTION
} ebi_node_kind;

typedef struct ebi_net_node {
  const char *name;
  ebi_node_kind kind;
  ebi_where where; /* of its first mention */
  eb_air air;      /* of its first run */
  bool mixed;      /* runs of several kinds of air end here */
  size_t n_runs;
  size_t parent;                /* union-find; itself for a root */
  size_t junctions, inner_runs; /* of a root: in its piece, and runs between them */
} ebi_net_node;

typedef struct ebi_net_ends {
  bool complete;   /* the run has a name and both ends */
  size_t from, to; /* nodes */
} ebi_net_ends;

typedef struct ebi_net {
  ebi_net_node *nodes;
  size_t n_nodes;
  ebi_names names;
  ebi_net_ends *ends; /* one for each run */
  bool failed;        /* memory ran out */
} ebi_net;

const char *ebi_air_name(eb_air air);

/* Every run of the kind of air must be connected to the unit; those of outdoor
 * and exhaust air must reach outdoors too. */
void ebi_net_check_reach(ebi_reader *reader, ebi_net *net, eb_air air);

#endif
