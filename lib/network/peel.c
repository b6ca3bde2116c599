/* peel.c - absorbing hanging trees, in O(n)
 *
 * Each node keeps the count of its connectors that are left and the exclusive-
 * or of their numbers: with one left, that is its number. From each connector
 * that can be absorbed the chain is followed as far as it goes, so that what
 * is solved together lies together. */

#include "network/peel.h"

#include "network/network_data.h"

typedef struct peeling {
  const ebi_network *network;
  ebi_topology *t;
  size_t *left, *which; /* by node */
  bool *absorbed;       /* by connector: parts, then tees */
} peeling;

/* The ports of a connector; returns how many. */
static int ports_of(const ebi_network *network, size_t connector, ebi_node *port) {
  if (connector >= network->n_parts) {
    for (int i = 0; i < EBI_PORTS; i++)
      port[i] = network->tees[connector - network->n_parts].port[i];
    return EBI_PORTS;
  }
  port[0] = network->parts[connector].from;
  port[1] = network->parts[connector].to;
  return 2;
}

static void count_ends(peeling *p, size_t connector) {
  ebi_node port[EBI_PORTS];
  int n = ports_of(p->network, connector, port);
  for (int i = 0; i < n; i++) {
    p->left[port[i]]++;
    p->which[port[i]] ^= connector;
  }
}

static void add_slot(peeling *p, ebi_part part, int near) {
  ebi_topology *t = p->t;
  const ebi_net_part *of = &p->network->parts[part];
  size_t slot = t->n_slots++;
  t->part[slot] = part;
  t->near_node[slot] = near == 0 ? of->from : of->to;
  t->far_node[slot] = near == 0 ? of->to : of->from;
  t->sign[slot] = near == 0 ? 1.0 : -1.0;
}

static void add_tree_tee(peeling *p, ebi_tee tee, int near) {
  ebi_topology *t = p->t;
  t->tree_tee[t->n_tree_tees] = tee;
  t->near_port[t->n_tree_tees] = near;
  t->before_slot[t->n_tree_tees] = t->n_slots;
  t->n_tree_tees++;
}

/* The near port of a connector, or -1 where more than one of its free nodes has others left. */
static int near_of(const peeling *p, const ebi_node *port, int n) {
  int waiting = 0, near = 0, hanging = -1;
  for (int i = 0; i < n; i++) {
    if (p->network->nodes[port[i]].fixed)
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
static bool absorb(peeling *p, size_t connector, size_t *next) {
  ebi_node port[EBI_PORTS];
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
  ebi_node root = port[near];
  if (p->network->nodes[root].fixed)
    return false;
  if (p->left[root] == 0)
    p->t->roots[p->t->n_roots++] = root;
  *next = p->which[root];
  return p->left[root] == 1;
}

static bool active(const peeling *p, size_t connector) {
  size_t n_parts = p->network->n_parts;
  if (connector >= n_parts) {
    ebi_node node = p->network->tees[connector - n_parts].port[EBI_COMBINED];
    return !p->t->isolated[node];
  }
  const ebi_net_part *part = &p->network->parts[connector];
  return !part->closed && !p->t->isolated[part->from];
}

static void list_core(peeling *p) {
  ebi_topology *t = p->t;
  const ebi_network *network = p->network;
  for (ebi_part i = 0; i < network->n_parts; i++) {
    if (active(p, i) && !p->absorbed[i])
      add_slot(p, i, 0);
  }
  for (ebi_tee i = 0; i < network->n_tees; i++) {
    size_t connector = network->n_parts + i;
    if (active(p, connector) && !p->absorbed[connector])
      t->core.tees[t->core.n_tees++] = i;
  }
  for (ebi_node i = 0; i < network->n_nodes; i++) {
    bool unknown = !network->nodes[i].fixed && p->left[i] > 0;
    t->core.place[i] = unknown ? t->core.n_nodes : EBI_NO_PLACE;
    if (unknown)
      t->core.nodes[t->core.n_nodes++] = i;
  }
}

void ebi_peel(const ebi_network *network, ebi_topology *t) {
  size_t n_connectors = network->n_parts + network->n_tees;
  peeling p = {.network = network,
               .t = t,
               .left = EBI_TAKE(t, size_t, network->n_nodes),
               .which = EBI_TAKE(t, size_t, network->n_nodes),
               .absorbed = EBI_TAKE(t, bool, n_connectors)};
  if (t->short_of_memory)
    return;
  for (size_t i = 0; i < n_connectors; i++) {
    if (active(&p, i))
      count_ends(&p, i);
  }
  for (size_t i = 0; i < n_connectors; i++) {
    size_t next = i;
    bool more = active(&p, i) && !p.absorbed[i];
    while (more)
      more = absorb(&p, next, &next);
  }
  t->n_tree_slots = t->n_slots;
  list_core(&p);
}
