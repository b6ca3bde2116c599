/* network_data.h - what a network is made of, for the files of this floor */

#ifndef EBI_NETWORK_DATA_H
#define EBI_NETWORK_DATA_H

#include "network/network.h"
#include "network/topology.h"

typedef struct ebi_net_node {
  const char *name;
  double pressure, outflow;
  bool fixed;
} ebi_net_node;

typedef struct ebi_net_part {
  const char *name;
  ebi_node from, to;
  ebi_air_state air;
  double per_ref; /* actual flow of one at 1.2 kg/m3 */
  ebi_element *elements;
  size_t count;
  bool closed;
} ebi_net_part;

/* Ports of a tee, and places in its arrays of them. */
enum { EBI_COMBINED, EBI_STRAIGHT, EBI_BRANCH, EBI_PORTS };

typedef struct ebi_net_tee {
  const char *name;
  ebi_node port[EBI_PORTS];
  ebi_air_state air;
  ebi_tee_shape shape;
} ebi_net_tee;

struct ebi_network {
  eb_context *context;
  ebi_arena *arena;
  ebi_net_node *nodes;
  ebi_net_part *parts;
  ebi_net_tee *tees;
  size_t n_nodes, n_parts, n_tees;
  size_t node_room, part_room, tee_room;
  ebi_topology *topology; /* NULL until the first solve; holds the last solution */
  bool stale;             /* changed since the topology was made */
};

#endif
