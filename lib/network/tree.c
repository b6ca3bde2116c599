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

static void eliminate_part(const ebi_network *network, ebi_topology *t, size_t slot) {
  ebi_work *w = &t->work;
  ebi_node near = t->near_node[slot], far = t->far_node[slot];
  double lack = w->lack[slot];
  if (network->nodes[far].fixed) {
    w->give[slot] = 1.0 / ebi_usable_slope(w->slope[slot]);
    w->shift[slot] = w->give[slot] * lack;
  } else {
    double g = w->conductance[far], scale = 1.0 + g * w->slope[slot];
    if (fabs(scale) < EBI_LEAST_SCALE) {
      w->slope[slot] = 0.5 / fabs(g);
      scale = g > 0.0 ? 1.5 : 0.5;
    }
    double inverse = 1.0 / scale;
    w->give[slot] = g * inverse;
    w->shift[slot] = (g * lack + w->source[far]) * inverse;
  }
  w->conductance[near] += w->give[slot];
  w->source[near] += w->shift[slot];
}

static void substitute_part(const ebi_network *network, ebi_topology *t, size_t slot) {
  ebi_work *w = &t->work;
  ebi_node near = t->near_node[slot], far = t->far_node[slot];
  double above = w->pressure_step[near];
  w->flow_step[slot] = w->give[slot] * above + w->shift[slot];
  if (!network->nodes[far].fixed)
    w->pressure_step[far] = above + w->lack[slot] - w->slope[slot] * w->flow_step[slot];
}

/* Flow out of a port, by the straight and the branch flow. */
static const double OUT[EBI_PORTS][2] = {{-1.0, -1.0}, {1.0, 0.0}, {0.0, 1.0}};

/* Drop from the combined port to a port: slope by flow `f`, and lack. */
static double slope_to(const ebi_tee_work *tee, int port, int f) {
  return port == EBI_COMBINED ? 0.0 : tee->slope[port - 1][f];
}

static double lack_to(const ebi_tee_work *tee, int port) {
  return port == EBI_COMBINED ? 0.0 : tee->lack[port - 1];
}

/* Both flow steps as give * change of the near pressure + shift. False: singular. */
static bool tee_flows(const ebi_network *network, ebi_topology *t, size_t index) {
  ebi_tee tee = t->tree_tee[index];
  ebi_tee_work *w = &t->tee_work[tee];
  int near = t->near_port[index], row = 0;
  double a[2][2], b[2][2];
  for (int p = 0; p < EBI_PORTS; p++) {
    if (p == near)
      continue;
    ebi_node node = network->tees[tee].port[p];
    bool fixed = network->nodes[node].fixed;
    double g = fixed ? 1.0 : t->work.conductance[node];
    double lack = lack_to(w, p) - lack_to(w, near);
    for (int f = 0; f < 2; f++)
      a[row][f] = (fixed ? 0.0 : OUT[p][f]) + g * (slope_to(w, p, f) - slope_to(w, near, f));
    b[row][0] = g;
    b[row][1] = g * lack + (fixed ? 0.0 : t->work.source[node]);
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
static void eliminate_tee(const ebi_network *network, ebi_topology *t, size_t index) {
  ebi_tee_work *w = &t->tee_work[t->tree_tee[index]];
  int near = t->near_port[index];
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
  ebi_node node = network->tees[t->tree_tee[index]].port[near];
  t->work.conductance[node] -= OUT[near][0] * w->give[0] + OUT[near][1] * w->give[1];
  t->work.source[node] -= OUT[near][0] * w->shift[0] + OUT[near][1] * w->shift[1];
}

static void substitute_tee(const ebi_network *network, ebi_topology *t, size_t index) {
  ebi_tee tee = t->tree_tee[index];
  ebi_tee_work *w = &t->tee_work[tee];
  const ebi_node *port = network->tees[tee].port;
  int near = t->near_port[index];
  double above = t->work.pressure_step[port[near]], combined = above - lack_to(w, near);
  for (int f = 0; f < 2; f++) {
    w->flow_step[f] = w->give[f] * above + w->shift[f];
    combined += slope_to(w, near, f) * w->flow_step[f];
  }
  for (int p = 0; p < EBI_PORTS; p++) {
    if (p == near || network->nodes[port[p]].fixed)
      continue;
    t->work.pressure_step[port[p]] = combined + lack_to(w, p) -
                                     slope_to(w, p, 0) * w->flow_step[0] -
                                     slope_to(w, p, 1) * w->flow_step[1];
  }
}

void ebi_tree_eliminate(const ebi_network *network, ebi_topology *t) {
  size_t tee = 0;
  for (size_t slot = 0; slot < t->n_tree_slots; slot++) {
    while (tee < t->n_tree_tees && t->before_slot[tee] == slot)
      eliminate_tee(network, t, tee++);
    eliminate_part(network, t, slot);
  }
  while (tee < t->n_tree_tees)
    eliminate_tee(network, t, tee++);
}

void ebi_tree_substitute(const ebi_network *network, ebi_topology *t) {
  ebi_work *w = &t->work;
  for (size_t i = 0; i < t->n_roots; i++) {
    double g = w->conductance[t->roots[i]];
    w->pressure_step[t->roots[i]] = g != 0.0 ? -w->source[t->roots[i]] / g : 0.0;
  }
  size_t tee = t->n_tree_tees;
  for (size_t slot = t->n_tree_slots; slot-- > 0;) {
    while (tee > 0 && t->before_slot[tee - 1] > slot)
      substitute_tee(network, t, --tee);
    substitute_part(network, t, slot);
  }
  while (tee > 0)
    substitute_tee(network, t, --tee);
}
