/* peel.c - absorbing hanging trees, in O(n)
 *
 * Each node keeps the count of its connectors that are left and the exclusive-
 * or of their numbers: with one left, that is its number. From each connector
 * that can be absorbed the chain is followed as far as it goes, so that what
 * is solved together lies together. */

#include "network/peel.h"

#include "network/network_data.h"

#define MASK 0x7fffffffu /* for the compiler: places have 31 bits */

typedef struct peeling {
  const ebi_network *network;
  ebi_topology *t;
  ebi_place *left, *which; /* by node */
  bool *absorbed;          /* by connector: parts, then tees */
} peeling;

/* The ports of a connector; returns how many. */
static int ports_of(const ebi_network *network, ebi_place connector, ebi_place *port) {
  if (connector >= network->n_parts) {
    for (int i = 0; i < EBI_PORTS; i++)
      port[i] = ebi_tee_at(network, connector - network->n_parts)->port[i];
    return EBI_PORTS;
  }
  port[0] = ebi_part_at(network, connector)->from;
  port[1] = ebi_part_at(network, connector)->to;
  return 2;
}

static void count_ends(peeling *p, ebi_place connector) {
  ebi_place port[EBI_PORTS];
  int n = ports_of(p->network, connector, port);
  for (int i = 0; i < n; i++) {
    p->left[port[i]]++;
    p->which[port[i]] ^= connector;
  }
}

static void add_slot(peeling *p, ebi_place part, int near) {
  ebi_topology *t = p->t;
  const ebi_net_part *of = ebi_part_at(p->network, part);
  ebi_place far = near == 0 ? of->to : of->from;
  t->slot[t->n_slots++] = (ebi_slot){.near_node = near == 0 ? of->from : of->to,
                                     .far_node = far & MASK,
                                     .far_fixed = ebi_node_at(p->network, far)->fixed,
                                     .part = part & MASK,
                                     .turned = near != 0};
}

static void add_tree_tee(peeling *p, ebi_place tee, int near) {
  ebi_topology *t = p->t;
  t->tree_tee[t->n_tree_tees] = tee;
  t->near_port[t->n_tree_tees] = near;
  t->before_slot[t->n_tree_tees] = t->n_slots;
  t->n_tree_tees++;
}

/* The near port of a connector, or -1 where more than one of its free nodes has others left. */
static int near_of(const peeling *p, const ebi_place *port, int n) {
  int waiting = 0, near = 0, hanging = -1;
  for (int i = 0; i < n; i++) {
    if (ebi_node_at(p->network, port[i])->fixed)
      continue;
    if (p->left[port[i]] > 1) {
      waiting++;
      near = i;
    } else {
      hanging = i;
    }
  }
  if (waiting > 1)
    return -1;
  return waiting == 0 && hanging >= 0 ? hanging : near;
}

/* Absorbs a connector if that can be done; true with the next candidate in *next. */
static bool absorb(peeling *p, ebi_place connector, ebi_place *next) {
  ebi_place port[EBI_PORTS];
  int n = ports_of(p->network, connector, port);
  int near = near_of(p, port, n);
  if (near < 0)
    return false;
  if (connector < p->network->n_parts)
    add_slot(p, connector, near);
  else
    add_tree_tee(p, connector - p->network->n_parts, near);
  p->absorbed[connector] = true;
  for (int i = 0; i < n; i++) {
    p->left[port[i]]--;
    p->which[port[i]] ^= connector;
  }
  ebi_place root = port[near];
  if (ebi_node_at(p->network, root)->fixed)
    return false;
  if (p->left[root] == 0)
    p->t->roots[p->t->n_roots++] = root;
  *next = p->which[root];
  return p->left[root] == 1;
}

static bool active(const peeling *p, ebi_place connector) {
  ebi_place n_parts = p->network->n_parts;
  if (connector >= n_parts) {
    ebi_place node = ebi_tee_at(p->network, connector - n_parts)->port[EBI_COMBINED];
    return !p->t->isolated[node];
  }
  const ebi_net_part *part = ebi_part_at(p->network, connector);
  return !part->closed && !p->t->isolated[part->from];
}

static void list_core(peeling *p) {
  ebi_topology *t = p->t;
  const ebi_network *network = p->network;
  for (ebi_place i = 0; i < network->n_parts; i++) {
    if (active(p, i) && !p->absorbed[i])
      add_slot(p, i, 0);
  }
  for (ebi_place i = 0; i < network->n_tees; i++) {
    ebi_place connector = network->n_parts + i;
    if (active(p, connector) && !p->absorbed[connector])
      t->core.tees[t->core.n_tees++] = i;
  }
  for (ebi_place i = 0; i < network->n_nodes; i++) {
    bool unknown = !ebi_node_at(network, i)->fixed && p->left[i] > 0;
    t->core.place[i] = unknown ? (ebi_place)t->core.n_nodes : EBI_NO_PLACE;
    if (unknown)
      t->core.nodes[t->core.n_nodes++] = i;
  }
}

static void absorb_all(peeling *p, ebi_place n_connectors) {
  for (ebi_place i = 0; i < n_connectors; i++) {
    if (active(p, i))
      count_ends(p, i);
  }
  for (ebi_place i = 0; i < n_connectors; i++) {
    ebi_place next = i;
    bool more = active(p, i) && !p->absorbed[i];
    while (more)
      more = absorb(p, next, &next);
  }
  p->t->n_tree_slots = p->t->n_slots;
  list_core(p);
}

void ebi_peel(const ebi_network *network, ebi_topology *t) {
  ebi_place n_connectors = network->n_parts + network->n_tees;
  ebi_arena *scratch = ebi_context_arena(network->context);
  t->short_of_memory = t->short_of_memory || scratch == NULL;
  if (scratch == NULL)
    return;
  peeling p = {.network = network,
               .t = t,
               .left = EBI_NEW_ARRAY(scratch, ebi_place, network->n_nodes),
               .which = EBI_NEW_ARRAY(scratch, ebi_place, network->n_nodes),
               .absorbed = EBI_NEW_ARRAY(scratch, bool, n_connectors)};
  if (p.left == NULL || p.which == NULL || p.absorbed == NULL)
    t->short_of_memory = true;
  if (!t->short_of_memory)
    absorb_all(&p, n_connectors);
  ebi_context_release(network->context, scratch);
}
