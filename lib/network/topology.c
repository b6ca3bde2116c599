/* topology.c - memory of a topology and its making */

#include "network/topology.h"

#include "network/core.h"
#include "network/laws.h"
#include "network/network_data.h"
#include "network/peel.h"
#include "network/pieces.h"

void *ebi_topology_take(ebi_topology *t, size_t count, size_t size) {
  void *memory = ebi_arena_array(t->arena, count, size);
  t->short_of_memory = t->short_of_memory || memory == NULL;
  return memory;
}

static void take_order(const ebi_network *network, ebi_topology *t) {
  size_t nodes = network->n_nodes, parts = network->n_parts, tees = network->n_tees;
  t->piece = EBI_TAKE(t, ebi_place, nodes);
  t->isolated = EBI_TAKE(t, bool, nodes);
  t->outflow = EBI_TAKE(t, ebi_place, nodes);
  t->roots = EBI_TAKE(t, ebi_place, nodes);
  t->core.nodes = EBI_TAKE(t, ebi_place, nodes);
  t->core.place = EBI_TAKE(t, ebi_place, nodes);
  t->slot = EBI_TAKE(t, ebi_slot, parts);
  t->tree_tee = EBI_TAKE(t, ebi_place, tees);
  t->near_port = EBI_TAKE(t, int, tees);
  t->before_slot = EBI_TAKE(t, ebi_place, tees);
  t->core.tees = EBI_TAKE(t, ebi_place, tees);
}

static void take_work(const ebi_network *network, ebi_topology *t) {
  size_t blocks = ebi_laws_blocks(t), slots = blocks * EBI_LANES;
  ebi_work *w = &t->work;
  double **by_slot[] = {&w->flow, &w->slope, &w->lack, &w->give, &w->shift};
  for (size_t i = 0; i < sizeof by_slot / sizeof by_slot[0]; i++)
    *by_slot[i] = EBI_TAKE(t, double, slots);
  t->laws = EBI_TAKE(t, ebi_laws, blocks);
  w->node = EBI_TAKE(t, ebi_work_node, network->n_nodes);
  t->pressure = EBI_TAKE(t, double, network->n_nodes);
  t->tee_work = EBI_TAKE(t, ebi_tee_work, network->n_tees);
  t->flow_ref = EBI_TAKE(t, double, network->n_parts);
  t->tee_straight = EBI_TAKE(t, double, network->n_tees);
  t->tee_branch = EBI_TAKE(t, double, network->n_tees);
}

static ebi_topology *topology_new(eb_context *context) {
  ebi_arena *arena = ebi_context_arena(context);
  ebi_topology *t = arena != NULL ? EBI_NEW(arena, ebi_topology) : NULL;
  if (t == NULL) {
    if (arena != NULL)
      ebi_context_release(context, arena);
    return NULL;
  }
  t->arena = arena;
  return t;
}

eb_status ebi_topology_make(ebi_network *network) {
  if (network->topology != NULL && !network->stale)
    return EB_OK;
  ebi_topology_free(network);
  ebi_topology *t = topology_new(network->context);
  if (t == NULL)
    return EB_E_MEMORY;
  network->topology = t;
  take_order(network, t);
  if (!t->short_of_memory) {
    ebi_pieces_find(network, t);
    ebi_peel(network, t);
    take_work(network, t);
    if (!t->short_of_memory)
      ebi_core_take(network, t);
  }
  if (t->short_of_memory) {
    ebi_topology_free(network);
    return EB_E_MEMORY;
  }
  network->stale = false;
  return EB_OK;
}

void ebi_topology_free(ebi_network *network) {
  ebi_topology *t = network->topology;
  network->topology = NULL;
  if (t == NULL)
    return;
  ebi_sparse_free(t->core.symmetric);
  ebi_sparse_free(t->core.general);
  ebi_context_release(network->context, t->arena);
}
