/* tree.c - hanging trees, leaf to root and back
 *
 * All that hangs on a node draws, to first order,
 *
 *     change of flow = conductance * change of the node's pressure + source.
 *
 * Absorbing a part of slope r whose far node draws so, with `lack` what its
 * law misses of the pressure difference, gives its own flow step
 *
 *     x = (G (dp_near + lack) + S) / (1 + G r),
 *
 * where nothing is divided by r; only a part that ends at a fixed pressure is
 * a plain (dp_near + lack) / r. Trees with tees on them may have G < 0; where
 * 1 + G r all but vanishes the part's slope is changed for this step, which
 * keeps the balance of mass. A tee has two flows for unknowns and the like
 * equations at its two other ports, whichever port looks to the root. */

#include "network/tree.h"

#include <math.h>

#include "network/linear.h"

/* The far node's numbers are used up here and ready for the next step. */
static void eliminate_part(ebi_topology *t, ebi_place slot) {
  ebi_work *w = &t->work;
  ebi_slot ends = t->slot[slot];
  ebi_work_node *near = &w->node[ends.near_node], *far = &w->node[ends.far_node];
  double lack = w->lack[slot], slope = w->slope[slot], flow = w->flow[slot];
  if (ends.far_fixed) {
    w->give[slot] = 1.0 / ebi_usable_slope(slope);
    w->shift[slot] = w->give[slot] * lack;
  } else {
    double g = far->conductance, scale = 1.0 + g * slope;
    if (fabs(scale) < EBI_LEAST_SCALE) {
      w->slope[slot] = 0.5 / fabs(g);
      scale = g > 0.0 ? 1.5 : 0.5;
    }
    double inverse = 1.0 / scale;
    w->give[slot] = g * inverse;
    w->shift[slot] = (g * lack + (far->source - flow)) * inverse;
    far->conductance = 0.0;
    far->source = 0.0;
  }
  near->conductance += w->give[slot];
  near->source += w->shift[slot] + flow;
}

static void substitute_part(ebi_topology *t, ebi_place slot) {
  ebi_work *w = &t->work;
  ebi_slot ends = t->slot[slot];
  double above = w->node[ends.near_node].step;
  double step = w->give[slot] * above + w->shift[slot];
  w->flow[slot] += step;
  w->shift[slot] = step;
  if (ends.far_fixed)
    return;
  ebi_work_node *far = &w->node[ends.far_node];
  far->step = above + w->lack[slot] - w->slope[slot] * step;
  far->pressure += far->step;
}

/* Flow out of a port, by the straight and the branch flow. */
static const double OUT[EBI_PORTS][2] = {{-1.0, -1.0}, {1.0, 0.0}, {0.0, 1.0}};

static double out_of(int port, const double *flow) {
  return OUT[port][0] * flow[0] + OUT[port][1] * flow[1];
}

/* Drop from the combined port to a port: slope by flow `f`, and lack. */
static double slope_to(const ebi_tee_work *tee, int port, int f) {
  return port == EBI_COMBINED ? 0.0 : tee->slope[port - 1][f];
}

static double lack_to(const ebi_tee_work *tee, int port) {
  return port == EBI_COMBINED ? 0.0 : tee->lack[port - 1];
}

/* Both flow steps as give * change of the near pressure + shift. False: singular. */
static bool tee_flows(const ebi_network *network, ebi_topology *t, ebi_place index) {
  ebi_place tee = t->tree_tee[index];
  ebi_tee_work *w = &t->tee_work[tee];
  int near = t->near_port[index], row = 0;
  double a[2][2], b[2][2];
  for (int p = 0; p < EBI_PORTS; p++) {
    if (p == near)
      continue;
    ebi_place node = ebi_tee_at(network, tee)->port[p];
    bool fixed = ebi_node_at(network, node)->fixed;
    double g = fixed ? 1.0 : t->work.node[node].conductance;
    double lack = lack_to(w, p) - lack_to(w, near);
    for (int f = 0; f < 2; f++)
      a[row][f] = (fixed ? 0.0 : OUT[p][f]) + g * (slope_to(w, p, f) - slope_to(w, near, f));
    b[row][0] = g;
    b[row][1] = g * lack + (fixed ? 0.0 : t->work.node[node].source);
    row++;
  }
  double y[2][2];
  if (!ebi_solve_2x2(a, b, y))
    return false;
  for (int f = 0; f < 2; f++) {
    w->give[f] = y[f][0];
    w->shift[f] = y[f][1];
  }
  return true;
}

/* Where the exact slopes make no step, the diagonal alone, taken positive, does. */
static void eliminate_tee(const ebi_network *network, ebi_topology *t, ebi_place index) {
  ebi_tee_work *w = &t->tee_work[t->tree_tee[index]];
  const ebi_place *port = ebi_tee_at(network, t->tree_tee[index])->port;
  int near = t->near_port[index];
  for (int p = 0; p < EBI_PORTS; p++)
    t->work.node[port[p]].source -= out_of(p, w->flow);
  if (!tee_flows(network, t, index)) {
    for (int f = 0; f < 2; f++) {
      w->slope[f][f] = ebi_usable_slope(fabs(w->slope[f][f]));
      w->slope[f][1 - f] = 0.0;
    }
    if (!tee_flows(network, t, index)) {
      w->give[0] = w->give[1] = 0.0;
      w->shift[0] = w->shift[1] = 0.0;
    }
  }
  for (int p = 0; p < EBI_PORTS; p++) {
    ebi_work_node *node = &t->work.node[port[p]];
    if (p == near) {
      node->conductance -= out_of(p, w->give);
      node->source -= out_of(p, w->shift);
    } else {
      node->conductance = 0.0;
      node->source = 0.0;
    }
  }
}

static void substitute_tee(const ebi_network *network, ebi_topology *t, ebi_place index) {
  ebi_place tee = t->tree_tee[index];
  ebi_tee_work *w = &t->tee_work[tee];
  const ebi_place *port = ebi_tee_at(network, tee)->port;
  int near = t->near_port[index];
  double above = t->work.node[port[near]].step, combined = above - lack_to(w, near);
  for (int f = 0; f < 2; f++) {
    w->flow_step[f] = w->give[f] * above + w->shift[f];
    w->flow[f] += w->flow_step[f];
    combined += slope_to(w, near, f) * w->flow_step[f];
  }
  for (int p = 0; p < EBI_PORTS; p++) {
    if (p == near || ebi_node_at(network, port[p])->fixed)
      continue;
    ebi_work_node *node = &t->work.node[port[p]];
    node->step = combined + lack_to(w, p) - slope_to(w, p, 0) * w->flow_step[0] -
                 slope_to(w, p, 1) * w->flow_step[1];
    node->pressure += node->step;
  }
}

void ebi_tree_eliminate(const ebi_network *network, ebi_topology *t) {
  ebi_place tee = 0;
  for (ebi_place slot = 0; slot < t->n_tree_slots; slot++) {
    while (tee < t->n_tree_tees && t->before_slot[tee] == slot)
      eliminate_tee(network, t, tee++);
    eliminate_part(t, slot);
  }
  while (tee < t->n_tree_tees)
    eliminate_tee(network, t, tee++);
}

void ebi_tree_substitute(const ebi_network *network, ebi_topology *t) {
  for (ebi_place i = 0; i < t->n_roots; i++) {
    ebi_work_node *root = &t->work.node[t->roots[i]];
    double step = root->conductance != 0.0 ? -root->source / root->conductance : 0.0;
    *root = (ebi_work_node){root->pressure + step, step, 0.0, 0.0};
  }
  ebi_place tee = t->n_tree_tees;
  for (ebi_place slot = t->n_tree_slots; slot-- > 0;) {
    while (tee > 0 && t->before_slot[tee - 1] > slot)
      substitute_tee(network, t, --tee);
    substitute_part(t, slot);
  }
  while (tee > 0)
    substitute_tee(network, t, --tee);
}
