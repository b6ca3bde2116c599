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

#include "network/network.h"
#include "numeric/sparse.h"

/* The solver's numbers. Flows are at 1.2 kg/m3. */
typedef struct ebi_work {
  /* by slot, from the near to the far node */
  double *flow, *slope;
  double *lack;         /* pressure difference less drop */
  double *give, *shift; /* change of flow = give * change of near pressure + shift */
  double *flow_step;
  /* by node */
  double *pressure, *pressure_step;
  double *conductance, *source; /* flow drawn through the node, by its pressure's step; the
                                   source starts as the outgoing flow that is unbalanced */
} ebi_work;

/* The same for the straight and branch flow of a tee. */
typedef struct ebi_tee_work {
  double flow[2], flow_step[2];
  double slope[2][2]; /* of each drop by both flows */
  double lack[2], give[2], shift[2];
} ebi_tee_work;

#define EBI_NO_PLACE ((size_t)-1)

/* Unknowns: pressure steps of the core's nodes, then two flow steps of each of its tees. */
typedef struct ebi_core {
  size_t n, n_nodes, n_tees;
  ebi_node *nodes;
  ebi_tee *tees;
  size_t *place; /* of each node of the network among the unknowns, or EBI_NO_PLACE */
  size_t n_entries;
  double *values, *rhs;
  ebi_sparse *symmetric, *general; /* NULL until needed */
} ebi_core;

typedef struct ebi_topology {
  ebi_arena *arena;
  bool short_of_memory; /* while it is made */

  size_t n_slots, n_tree_slots;
  ebi_part *part;                 /* of a slot */
  ebi_node *near_node, *far_node; /* of a slot */
  double *sign;                   /* +1: the near node is the part's `from`, else -1 */

  size_t n_tree_tees;
  ebi_tee *tree_tee;   /* in the order they are absorbed .. */
  int *near_port;      /* .. towards this port .. */
  size_t *before_slot; /* .. before this slot */

  ebi_node *roots; /* free nodes that have absorbed all their connectors */
  size_t n_roots;
  ebi_node *piece; /* of a node: the first node of its connected piece */
  bool *isolated;  /* of a node: its piece has no fixed pressure */
  size_t n_isolated;

  ebi_core core;
  ebi_work work;
  ebi_tee_work *tee_work;                       /* by tee */
  double *flow_ref, *tee_straight, *tee_branch; /* of a solution, by part and tee */
} ebi_topology;

/* Makes it, if something has changed. */
EB_MUST_USE eb_status ebi_topology_make(ebi_network *network);
void ebi_topology_free(ebi_network *network);

/* Zeroed memory of the topology; NULL sets short_of_memory. */
void *ebi_topology_take(ebi_topology *topology, size_t count, size_t size);
#define EBI_TAKE(topology, type, count)                                                            \
  ((type *)ebi_topology_take((topology), (count), sizeof(type)))

#endif
