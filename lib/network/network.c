/* network.c - building and changing a network */

#include "network/network.h"

#include <string.h>

#include "network/network_data.h"

#define NOTHING ((size_t)-1)

ebi_network *ebi_network_new(eb_context *context) {
  ebi_arena *arena = ebi_context_arena(context);
  ebi_network *network = arena != NULL ? EBI_NEW(arena, ebi_network) : NULL;
  if (network == NULL) {
    if (arena != NULL)
      ebi_context_release(context, arena);
    return NULL;
  }
  network->context = context;
  network->arena = arena;
  return network;
}

void ebi_network_free(ebi_network *network) {
  if (network == NULL)
    return;
  ebi_topology_free(network);
  ebi_context_release(network->context, network->arena);
}

ebi_node ebi_network_node(ebi_network *network, const char *name) {
  if (!ebi_arena_grow(network->arena, &network->nodes, &network->node_room, network->n_nodes,
                      sizeof *network->nodes))
    return NOTHING;
  network->stale = true;
  network->nodes[network->n_nodes] = (ebi_net_node){.name = name};
  return network->n_nodes++;
}

void ebi_network_fix(ebi_network *network, ebi_node node, double pressure_pa) {
  if (node >= network->n_nodes)
    return;
  if (!network->nodes[node].fixed)
    network->stale = true;
  network->nodes[node].fixed = true;
  network->nodes[node].pressure = pressure_pa;
}

void ebi_network_outflow(ebi_network *network, ebi_node node, double flow_ref) {
  if (node < network->n_nodes)
    network->nodes[node].outflow = flow_ref;
}

ebi_part ebi_network_part(ebi_network *network, const char *name, ebi_node from, ebi_node to,
                          ebi_air_state air, const ebi_element *elements, size_t count) {
  if (from >= network->n_nodes || to >= network->n_nodes)
    return NOTHING;
  ebi_element *own = EBI_NEW_ARRAY(network->arena, ebi_element, count);
  if (own == NULL || !ebi_arena_grow(network->arena, &network->parts, &network->part_room,
                                     network->n_parts, sizeof *network->parts))
    return NOTHING;
  network->stale = true;
  if (count > 0)
    memcpy(own, elements, count * sizeof *own);
  network->parts[network->n_parts] = (ebi_net_part){.name = name,
                                                    .from = from,
                                                    .to = to,
                                                    .air = air,
                                                    .per_ref = EB_REFERENCE_DENSITY / air.density,
                                                    .elements = own,
                                                    .count = count};
  return network->n_parts++;
}

ebi_element *ebi_network_elements(ebi_network *network, ebi_part part, size_t *count) {
  bool known = part < network->n_parts;
  if (count != NULL)
    *count = known ? network->parts[part].count : 0;
  return known ? network->parts[part].elements : NULL;
}

void ebi_network_part_air(ebi_network *network, ebi_part part, ebi_air_state air) {
  if (part >= network->n_parts)
    return;
  network->parts[part].air = air;
  network->parts[part].per_ref = EB_REFERENCE_DENSITY / air.density;
}

void ebi_network_tee_air(ebi_network *network, ebi_tee tee, ebi_air_state air) {
  if (tee < network->n_tees)
    network->tees[tee].air = air;
}

void ebi_network_close(ebi_network *network, ebi_part part, bool closed) {
  if (part >= network->n_parts || network->parts[part].closed == closed)
    return;
  network->stale = true;
  network->parts[part].closed = closed;
}

ebi_tee ebi_network_tee(ebi_network *network, const char *name, ebi_node combined,
                        ebi_node straight, ebi_node branch, ebi_air_state air,
                        const ebi_tee_shape *shape) {
  size_t n = network->n_nodes;
  if (combined >= n || straight >= n || branch >= n)
    return NOTHING;
  if (!ebi_arena_grow(network->arena, &network->tees, &network->tee_room, network->n_tees,
                      sizeof *network->tees))
    return NOTHING;
  network->stale = true;
  network->tees[network->n_tees] = (ebi_net_tee){
      .name = name, .port = {combined, straight, branch}, .air = air, .shape = *shape};
  return network->n_tees++;
}
