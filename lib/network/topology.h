/* topology.h - in which order a network is eliminated
 *
 * Connectors are the open parts and the tees. A free node that has only one
 * connector left hangs on it; a connector whose ports, but one, are fixed or
 * hang on it is absorbed by the node at that one: its near end. Done until
 * nothing more can be absorbed, this peels all trees from leaf to root, also
 * those between several fixed nodes. What is left is the looped core.
 *
 * Slots are parts in the order they are absorbed, those of the core last; so
 * the solver's arrays are walked in order, forward to eliminate and backward
 * to substitute. */

#ifndef EBI_TOPOLOGY_H
#define EBI_TOPOLOGY_H

#include <stdint.h>

#include "network/network.h"
#include "numeric/sparse.h"

/* Which node, part, tee or slot; 31 bits, so that a flag goes with it. */
typedef uint32_t ebi_place;

#define EBI_NO_PLACE ((ebi_place)-1)
#define EBI_PLACES_AT_MOST ((size_t)0x7ffffffe)

/* A part's place in the order. */
typedef struct ebi_slot {
  ebi_place near_node;
  unsigned far_node : 31;
  unsigned far_fixed : 1;
  unsigned part : 31;
  unsigned turned : 1; /* the near node is the part's `to` */
} ebi_slot;

typedef struct ebi_work_node {
  double pressure, step;
  double conductance, source; /* flow drawn through the node, by its pressure's step */
} ebi_work_node;

/* The solver's numbers. Flows are at 1.2 kg/m3, from the near to the far node of a slot. */
typedef struct ebi_work {
  ebi_work_node *node;
  double *flow, *slope; /* by slot, as all below */
  double *lack;         /* pressure difference less drop */
  double *give, *shift; /* change of flow = give * change of near pressure + shift; when all is
                           substituted `shift` is the change of flow itself */
} ebi_work;

/* The same for the straight and branch flow of a tee. */
typedef struct ebi_tee_work {
  double flow[2], flow_step[2];
  double slope[2][2]; /* of each drop by both flows */
  double lack[2], give[2], shift[2];
} ebi_tee_work;

/* What the laws of a few slots come to, in their direction: see laws.c. */
#define EBI_LANES 16
typedef struct ebi_laws {
  double forward[EBI_LANES], backward[EBI_LANES];
  double friction[EBI_LANES], viscous[EBI_LANES], rough[EBI_LANES];
  double slow[EBI_LANES];
  double x[EBI_LANES];
} ebi_laws;

/* Unknowns: pressure steps of the core's nodes, then two flow steps of each of its tees. */
typedef struct ebi_core {
  size_t n, n_nodes, n_tees;
  ebi_place *nodes;
  ebi_place *tees;
  ebi_place *place; /* of each node of the network among the unknowns, or EBI_NO_PLACE */
  size_t n_entries;
  double *values, *rhs;
  ebi_sparse *symmetric, *general; /* NULL until needed */
} ebi_core;

typedef struct ebi_topology {
  ebi_arena *arena;
  bool short_of_memory; /* while it is made */

  ebi_place n_slots, n_tree_slots;
  ebi_slot *slot;

  ebi_place n_tree_tees;
  ebi_place *tree_tee;    /* in the order they are absorbed .. */
  int *near_port;         /* .. towards this port .. */
  ebi_place *before_slot; /* .. before this slot */

  ebi_place *roots; /* free nodes that have absorbed all their connectors */
  ebi_place n_roots;
  ebi_place *outflow; /* nodes with one, at the solve */
  ebi_place n_outflows;
  ebi_place *piece; /* of a node: the first node of its connected piece */
  bool *isolated;   /* of a node: its piece has no fixed pressure */
  ebi_place n_isolated;

  ebi_core core;
  ebi_laws *laws;
  bool bent; /* some part has a measured exponent */
  ebi_work work;
  ebi_tee_work *tee_work;                                  /* by tee */
  double *pressure, *flow_ref, *tee_straight, *tee_branch; /* of a solution */
} ebi_topology;

/* Makes it, if something has changed. */
EB_MUST_USE eb_status ebi_topology_make(ebi_network *network);
void ebi_topology_free(ebi_network *network);

/* Zeroed memory of the topology; NULL sets short_of_memory. */
void *ebi_topology_take(ebi_topology *topology, size_t count, size_t size);
#define EBI_TAKE(topology, type, count)                                                            \
  ((type *)ebi_topology_take((topology), (count), sizeof(type)))

#endif
