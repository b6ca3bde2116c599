/* residual.c - laws and balances at the present flows and pressures */

#include "network/residual.h"

#include <math.h>

#include "network/law.h"
#include "network/laws.h"

#define ROUNDING 1e-13 /* of the greatest flow or pressure */

/* The laws of parts are exact to rounding where no 1/sqrt(f) has moved by more than this. */
#define MOVED_AT_MOST 1e-8

/* fmax is a call. */
static inline double greater(double a, double b) {
  return a > b ? a : b;
}

/* Pressure differences of all slots; returns the greatest pressure. */
static double differences(ebi_topology *t) {
  const ebi_work_node *node = t->work.node;
  double *lack = t->work.lack, most = 0.0;
  for (ebi_place i = 0; i < t->n_slots; i++) {
    double near = node[t->slot[i].near_node].pressure, far = node[t->slot[i].far_node].pressure;
    lack[i] = near - far;
    most = greater(most, greater(fabs(near), fabs(far)));
  }
  return most;
}

static void tee_law(const ebi_net_tee *tee, const ebi_work_node *node, ebi_tee_work *w) {
  ebi_tee_drop drop = ebi_net_tee_drops(tee, w->flow[0], w->flow[1]);
  double combined = node[tee->port[EBI_COMBINED]].pressure;
  w->slope[0][0] = drop.straight_by_s;
  w->slope[0][1] = drop.straight_by_b;
  w->slope[1][0] = drop.branch_by_s;
  w->slope[1][1] = drop.branch_by_b;
  w->lack[0] = combined - node[tee->port[EBI_STRAIGHT]].pressure - drop.straight;
  w->lack[1] = combined - node[tee->port[EBI_BRANCH]].pressure - drop.branch;
}

ebi_residual ebi_residual_of_pressure(const ebi_network *network, ebi_topology *t) {
  double most = differences(t);
  ebi_law_sums sums = ebi_laws_take(network, t);
  ebi_residual r = {.norm = sums.norm,
                    .pressure = sums.worst,
                    .flow_floor = ROUNDING * sums.greatest_flow,
                    .moved = sums.moved,
                    .node = EBI_NO_PLACE};
  for (ebi_place i = 0; i < network->n_tees; i++) {
    const ebi_net_tee *tee = ebi_tee_at(network, i);
    if (t->isolated[tee->port[EBI_COMBINED]])
      continue;
    ebi_tee_work *w = &t->tee_work[i];
    tee_law(tee, t->work.node, w);
    for (int f = 0; f < 2; f++) {
      r.norm += w->lack[f] * w->lack[f];
      r.pressure = greater(r.pressure, fabs(w->lack[f]));
      most = greater(most, fabs(t->work.node[tee->port[EBI_STRAIGHT + f]].pressure));
    }
  }
  r.pressure_floor = ROUNDING * (sums.greatest_drop + most);
  return r;
}

/* Adds up what flows out of each node. */
static void add_flows(const ebi_network *network, ebi_topology *t) {
  ebi_work_node *node = t->work.node;
  for (ebi_place i = 0; i < t->n_slots; i++) {
    node[t->slot[i].near_node].source += t->work.flow[i];
    node[t->slot[i].far_node].source -= t->work.flow[i];
  }
  for (ebi_place i = 0; i < network->n_tees; i++) {
    const ebi_place *port = ebi_tee_at(network, i)->port;
    const double *flow = t->tee_work[i].flow;
    node[port[EBI_COMBINED]].source += flow[0] + flow[1];
    node[port[EBI_STRAIGHT]].source -= flow[0];
    node[port[EBI_BRANCH]].source -= flow[1];
  }
}

void ebi_residual_of_flow(const ebi_network *network, ebi_topology *t, ebi_residual *r) {
  add_flows(network, t);
  r->flow = 0.0;
  r->node = EBI_NO_PLACE;
  for (ebi_place i = 0; i < network->n_nodes; i++) {
    const ebi_net_node *given = ebi_node_at(network, i);
    double unbalanced = fabs(t->work.node[i].source + given->given);
    if (!given->fixed && !t->isolated[i] && !(unbalanced <= r->flow)) {
      r->flow = unbalanced;
      r->node = i;
    }
    t->work.node[i].source = 0.0;
  }
}

bool ebi_residual_pressure_converged(const ebi_residual *r) {
  return r->pressure <= greater(EBI_TOLERANCE_PRESSURE, r->pressure_floor) &&
         r->moved <= MOVED_AT_MOST;
}

bool ebi_residual_flow_converged(const ebi_residual *r) {
  return r->flow <= greater(EBI_TOLERANCE_FLOW, r->flow_floor);
}

static const char *worst_of_pressure(const ebi_network *network, const ebi_topology *t,
                                     double worst) {
  for (ebi_place i = 0; i < t->n_slots; i++) {
    if (!(fabs(t->work.lack[i]) < worst))
      return ebi_part_at(network, t->slot[i].part)->name;
  }
  for (ebi_place i = 0; i < network->n_tees; i++) {
    const double *lack = t->tee_work[i].lack;
    if (!(fabs(lack[0]) < worst && fabs(lack[1]) < worst) &&
        !t->isolated[ebi_tee_at(network, i)->port[EBI_COMBINED]])
      return ebi_tee_at(network, i)->name;
  }
  return NULL;
}

const char *ebi_residual_worst(const ebi_network *network, const ebi_topology *t,
                               const ebi_residual *r) {
  bool by_flow = r->flow * EBI_TOLERANCE_PRESSURE > r->pressure * EBI_TOLERANCE_FLOW;
  const char *name = NULL;
  if (!by_flow || r->node == EBI_NO_PLACE)
    name = worst_of_pressure(network, t, r->pressure);
  if (name == NULL && r->node != EBI_NO_PLACE)
    name = ebi_node_at(network, r->node)->name;
  return name != NULL ? name : "";
}
