/* network.c - building and changing a network */

#include "network/network.h"

#include <math.h>
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

/* Room for one more item of `size` bytes behind a table of chunks. */
static bool add_room(ebi_network *network, void *table_pointer, size_t *room, size_t count,
                     size_t size) {
  if (count >= EBI_PLACES_AT_MOST)
    return false;
  if (count % EBI_CHUNK != 0)
    return true;
  void *chunk = ebi_arena_array(network->arena, EBI_CHUNK, size);
  if (chunk == NULL ||
      !ebi_arena_grow(network->arena, table_pointer, room, count / EBI_CHUNK, sizeof chunk))
    return false;
  unsigned char *table;
  memcpy(&table, table_pointer, sizeof table);
  memcpy(table + count / EBI_CHUNK * sizeof chunk, &chunk, sizeof chunk);
  return true;
}

ebi_node ebi_network_node(ebi_network *network, const char *name) {
  if (!add_room(network, &network->nodes, &network->node_room, network->n_nodes,
                sizeof **network->nodes))
    return NOTHING;
  network->stale = true;
  *ebi_node_at(network, network->n_nodes) = (ebi_net_node){.name = name};
  return network->n_nodes++;
}

void ebi_network_fix(ebi_network *network, ebi_node node, double pressure_pa) {
  if (node >= network->n_nodes)
    return;
  ebi_net_node *at = ebi_node_at(network, node);
  if (!at->fixed)
    network->stale = true;
  at->fixed = true;
  at->given = pressure_pa;
}

void ebi_network_outflow(ebi_network *network, ebi_node node, double flow_ref) {
  if (node < network->n_nodes && !ebi_node_at(network, node)->fixed)
    ebi_node_at(network, node)->given = flow_ref;
}

ebi_part ebi_network_part(ebi_network *network, const char *name, ebi_node from, ebi_node to,
                          ebi_air_state air, const ebi_element *elements, size_t count) {
  if (from >= network->n_nodes || to >= network->n_nodes || count > EBI_PLACES_AT_MOST)
    return NOTHING;
  ebi_element *own = EBI_NEW_ARRAY(network->arena, ebi_element, count);
  if (own == NULL || !add_room(network, &network->parts, &network->part_room, network->n_parts,
                               sizeof **network->parts))
    return NOTHING;
  network->stale = true;
  if (count > 0)
    memcpy(own, elements, count * sizeof *own);
  *ebi_part_at(network, network->n_parts) = (ebi_net_part){.name = name,
                                                           .elements = own,
                                                           .air = air,
                                                           .from = (ebi_place)from,
                                                           .to = (ebi_place)to,
                                                           .factor = 1.0,
                                                           .count = (uint32_t)count};
  return network->n_parts++;
}

void ebi_network_correct(ebi_network *network, ebi_part part, double factor, double exponent,
                         double at_ref) {
  if (part >= network->n_parts || !(factor > 0.0) || !(fabs(exponent) < 1.0))
    return;
  ebi_net_part *corrected = ebi_part_at(network, part);
  corrected->factor = factor;
  corrected->exponent = at_ref > 0.0 ? exponent : 0.0;
  corrected->at = at_ref;
}

ebi_element *ebi_network_elements(ebi_network *network, ebi_part part, size_t *count) {
  bool known = part < network->n_parts;
  if (count != NULL)
    *count = known ? ebi_part_at(network, part)->count : 0;
  return known ? ebi_part_at(network, part)->elements : NULL;
}

void ebi_network_part_air(ebi_network *network, ebi_part part, ebi_air_state air) {
  if (part < network->n_parts)
    ebi_part_at(network, part)->air = air;
}

void ebi_network_tee_air(ebi_network *network, ebi_tee tee, ebi_air_state air) {
  if (tee < network->n_tees)
    ebi_tee_at(network, tee)->air = air;
}

void ebi_network_close(ebi_network *network, ebi_part part, bool closed) {
  if (part >= network->n_parts || ebi_part_at(network, part)->closed == closed)
    return;
  network->stale = true;
  ebi_part_at(network, part)->closed = closed;
}

ebi_tee ebi_network_tee(ebi_network *network, const char *name, ebi_node combined,
                        ebi_node straight, ebi_node branch, ebi_air_state air,
                        const ebi_tee_shape *shape) {
  size_t n = network->n_nodes;
  if (combined >= n || straight >= n || branch >= n)
    return NOTHING;
  if (!add_room(network, &network->tees, &network->tee_room, network->n_tees,
                sizeof **network->tees))
    return NOTHING;
  network->stale = true;
  *ebi_tee_at(network, network->n_tees) =
      (ebi_net_tee){.name = name,
                    .port = {(ebi_place)combined, (ebi_place)straight, (ebi_place)branch},
                    .air = air,
                    .shape = *shape};
  return network->n_tees++;
}
