/* network_data.h - what a network is made of, for the files of this floor
 *
 * Nodes, parts and tees lie in chunks that never move and are never copied, so
 * that a great network needs no more memory than it fills. */

#ifndef EBI_NETWORK_DATA_H
#define EBI_NETWORK_DATA_H

#include "network/network.h"
#include "network/topology.h"

#define EBI_CHUNK 128

typedef struct ebi_net_node {
  const char *name;
  double given; /* the pressure of a fixed node, else the outflow */
  bool fixed;
} ebi_net_node;

typedef struct ebi_net_part {
  const char *name;
  ebi_element *elements;
  ebi_air_state air;
  ebi_place from, to;
  double factor, exponent, at; /* of ebi_network_correct; 1, 0, - */
  uint32_t count; /* of elements */
  bool closed;
} ebi_net_part;

/* Ports of a tee, and places in its arrays of them. */
enum { EBI_COMBINED, EBI_STRAIGHT, EBI_BRANCH, EBI_PORTS };

typedef struct ebi_net_tee {
  const char *name;
  ebi_place port[EBI_PORTS];
  ebi_air_state air;
  ebi_tee_shape shape;
} ebi_net_tee;

struct ebi_network {
  eb_context *context;
  ebi_arena *arena;
  ebi_net_node **nodes; /* chunks */
  ebi_net_part **parts;
  ebi_net_tee **tees;
  ebi_place n_nodes, n_parts, n_tees;
  size_t node_room, part_room, tee_room; /* for chunks */
  ebi_topology *topology;                /* NULL until the first solve; holds the last solution */
  bool stale;                            /* changed since the topology was made */
};

static inline ebi_net_node *ebi_node_at(const ebi_network *network, size_t node) {
  return &network->nodes[node / EBI_CHUNK][node % EBI_CHUNK];
}

static inline ebi_net_part *ebi_part_at(const ebi_network *network, size_t part) {
  return &network->parts[part / EBI_CHUNK][part % EBI_CHUNK];
}

static inline ebi_net_tee *ebi_tee_at(const ebi_network *network, size_t tee) {
  return &network->tees[tee / EBI_CHUNK][tee % EBI_CHUNK];
}

/* Actual flow of one at 1.2 kg/m3. */
static inline double ebi_per_ref(ebi_air_state air) {
  return EB_REFERENCE_DENSITY / air.density;
}

#endif
