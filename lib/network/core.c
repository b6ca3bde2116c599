/* core.c - assembling and solving the looped core
 *
 * Unknowns are the pressure steps of its nodes and, of its tees, both flow
 * steps. At a node: conductance of the trees on it and 1/slope of its parts,
 * with tee flows added; of a tee: both drops. */

#include "network/core.h"

#include "network/linear.h"

/* Entries are walked alike to make the pattern and to fill in numbers. */
typedef struct entries {
  size_t count;
  size_t *row, *column; /* NULL when numbers are filled in */
  double *values;       /* NULL when the pattern is made */
} entries;

static void put(entries *e, size_t row, size_t column, double value) {
  if (row == EBI_NO_PLACE || column == EBI_NO_PLACE)
    return;
  if (e->values != NULL) {
    e->values[e->count] = value;
  } else if (e->row != NULL) {
    e->row[e->count] = row;
    e->column[e->count] = column;
  }
  e->count++;
}

static void part_entries(const ebi_topology *t, ebi_place slot, entries *e) {
  const ebi_slot *s = &t->slot[slot];
  ebi_place a = t->core.place[s->near_node], b = t->core.place[s->far_node];
  double g = 1.0 / ebi_usable_slope(t->work.slope[slot]);
  if (s->near_node == s->far_node)
    return;
  put(e, a, a, g);
  put(e, b, b, g);
  put(e, a, b, -g);
  put(e, b, a, -g);
}

/* Flow from the combined port takes away there and adds at the other; then both drops. */
static void tee_entries(const ebi_network *network, const ebi_topology *t, size_t index,
                        entries *e) {
  ebi_place tee = t->core.tees[index];
  const ebi_place *port = ebi_tee_at(network, tee)->port;
  size_t combined = t->core.place[port[EBI_COMBINED]], flow = t->core.n_nodes + 2 * index;
  for (size_t f = 0; f < 2; f++) {
    size_t other = t->core.place[port[EBI_STRAIGHT + f]];
    put(e, combined, flow + f, 1.0);
    put(e, other, flow + f, -1.0);
    put(e, flow + f, combined, 1.0);
    put(e, flow + f, other, -1.0);
    put(e, flow + f, flow, -t->tee_work[tee].slope[f][0]);
    put(e, flow + f, flow + 1, -t->tee_work[tee].slope[f][1]);
  }
}

static void all_entries(const ebi_network *network, const ebi_topology *t, entries *e) {
  for (size_t i = 0; i < t->core.n_nodes; i++)
    put(e, i, i, t->work.node[t->core.nodes[i]].conductance);
  for (ebi_place slot = t->n_tree_slots; slot < t->n_slots; slot++)
    part_entries(t, slot, e);
  for (size_t i = 0; i < t->core.n_tees; i++)
    tee_entries(network, t, i, e);
}

void ebi_core_take(const ebi_network *network, ebi_topology *t) {
  entries e = {0, NULL, NULL, NULL};
  t->core.n = t->core.n_nodes + 2 * t->core.n_tees;
  all_entries(network, t, &e);
  t->core.n_entries = e.count;
  t->core.values = EBI_TAKE(t, double, e.count);
  t->core.rhs = EBI_TAKE(t, double, t->core.n);
}

static eb_status make(const ebi_network *network, ebi_topology *t, ebi_sparse_kind kind,
                      ebi_sparse **sparse) {
  if (*sparse != NULL)
    return EB_OK;
  size_t count = t->core.n_entries;
  entries e = {0, EBI_NEW_ARRAY(t->arena, size_t, count), EBI_NEW_ARRAY(t->arena, size_t, count),
               NULL};
  if (e.row == NULL || e.column == NULL)
    return EB_E_MEMORY;
  all_entries(network, t, &e);
  return ebi_sparse_new(t->arena, kind, t->core.n, e.row, e.column, count, sparse);
}

/* What flows out of the core's nodes by parts and tees between them. */
static void add_sources(const ebi_network *network, ebi_topology *t) {
  ebi_work_node *node = t->work.node;
  for (ebi_place slot = t->n_tree_slots; slot < t->n_slots; slot++) {
    node[t->slot[slot].near_node].source += t->work.flow[slot];
    node[t->slot[slot].far_node].source -= t->work.flow[slot];
  }
  for (size_t i = 0; i < t->core.n_tees; i++) {
    const ebi_place *port = ebi_tee_at(network, t->core.tees[i])->port;
    const double *flow = t->tee_work[t->core.tees[i]].flow;
    node[port[EBI_COMBINED]].source += flow[0] + flow[1];
    node[port[EBI_STRAIGHT]].source -= flow[0];
    node[port[EBI_BRANCH]].source -= flow[1];
  }
}

static void right_hand_side(ebi_topology *t) {
  ebi_core *core = &t->core;
  const ebi_work *w = &t->work;
  for (size_t i = 0; i < core->n_nodes; i++)
    core->rhs[i] = -w->node[core->nodes[i]].source;
  for (ebi_place slot = t->n_tree_slots; slot < t->n_slots; slot++) {
    ebi_place a = core->place[t->slot[slot].near_node], b = core->place[t->slot[slot].far_node];
    double flow = w->lack[slot] / ebi_usable_slope(w->slope[slot]);
    if (a != EBI_NO_PLACE)
      core->rhs[a] -= flow;
    if (b != EBI_NO_PLACE)
      core->rhs[b] += flow;
  }
  for (size_t i = 0; i < core->n_tees; i++) {
    for (size_t f = 0; f < 2; f++)
      core->rhs[core->n_nodes + 2 * i + f] = -t->tee_work[core->tees[i]].lack[f];
  }
}

static void spread(ebi_topology *t) {
  const ebi_core *core = &t->core;
  ebi_work *w = &t->work;
  for (size_t i = 0; i < core->n_nodes; i++) {
    ebi_work_node *node = &w->node[core->nodes[i]];
    *node = (ebi_work_node){node->pressure + core->rhs[i], core->rhs[i], 0.0, 0.0};
  }
  for (ebi_place slot = t->n_tree_slots; slot < t->n_slots; slot++) {
    double change = w->node[t->slot[slot].near_node].step - w->node[t->slot[slot].far_node].step;
    w->shift[slot] = (change + w->lack[slot]) / ebi_usable_slope(w->slope[slot]);
    w->flow[slot] += w->shift[slot];
  }
  for (size_t i = 0; i < core->n_tees; i++) {
    ebi_tee_work *tee = &t->tee_work[core->tees[i]];
    for (size_t f = 0; f < 2; f++) {
      tee->flow_step[f] = core->rhs[core->n_nodes + 2 * i + f];
      tee->flow[f] += tee->flow_step[f];
    }
  }
}

static eb_status run(const ebi_network *network, ebi_topology *t, ebi_sparse_kind kind,
                     ebi_sparse **sparse) {
  eb_status status = make(network, t, kind, sparse);
  if (status != EB_OK)
    return status;
  right_hand_side(t);
  return ebi_sparse_solve(*sparse, t->core.values, t->core.rhs);
}

eb_status ebi_core_solve(const ebi_network *network, ebi_topology *t) {
  ebi_core *core = &t->core;
  eb_status status = EB_OK;
  if (core->n > 0) {
    entries e = {0, NULL, NULL, core->values};
    all_entries(network, t, &e);
    add_sources(network, t);
    status = EB_E_NO_SOLUTION;
    if (core->n_tees == 0)
      status = run(network, t, EBI_SPARSE_SYMMETRIC, &core->symmetric);
    if (status == EB_E_NO_SOLUTION)
      status = run(network, t, EBI_SPARSE_GENERAL, &core->general);
  }
  if (status == EB_OK)
    spread(t);
  return status;
}
