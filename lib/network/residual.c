/* residual.c - laws and balances at the present flows and pressures */

#include "network/residual.h"

#include <math.h>

#include "network/law.h"

#define ROUNDING 1e-13 /* of the greatest flow or pressure */

/* fmax is a call. */
static inline double greater(double a, double b) {
  return a > b ? a : b;
}

static void part_laws(const ebi_network *network, ebi_topology *t, ebi_residual *r) {
  ebi_work *w = &t->work;
  double greatest_flow = 0.0, greatest_drop = 0.0, norm = 0.0, worst = 0.0;
  size_t worst_slot = EBI_NO_PLACE;
  for (size_t i = 0; i < t->n_slots; i++) {
    ebi_node near = t->near_node[i], far = t->far_node[i];
    double flow = w->flow[i], sign = t->sign[i];
    ebi_drop drop = ebi_part_drop(&network->parts[t->part[i]], sign * flow);
    double lack = w->pressure[near] - w->pressure[far] - sign * drop.pa;
    w->slope[i] = drop.slope;
    w->lack[i] = lack;
    w->source[near] += flow;
    w->source[far] -= flow;
    greatest_flow = greater(greatest_flow, fabs(flow));
    greatest_drop = greater(greatest_drop, fabs(drop.pa));
    norm += lack * lack;
    if (!(fabs(lack) <= worst)) {
      worst = fabs(lack);
      worst_slot = i;
    }
  }
  r->flow_floor = ROUNDING * greatest_flow;
  r->pressure_floor = ROUNDING * greatest_drop;
  r->norm = norm;
  r->pressure = worst;
  r->part = worst_slot == EBI_NO_PLACE ? EBI_NO_PLACE : t->part[worst_slot];
}

static void note_tee(ebi_residual *r, double lack, ebi_tee tee) {
  r->norm += lack * lack;
  if (!(fabs(lack) <= r->pressure)) {
    r->pressure = fabs(lack);
    r->part = EBI_NO_PLACE;
    r->tee = tee;
  }
}

static void tee_laws(const ebi_network *network, ebi_topology *t, ebi_residual *r) {
  ebi_work *w = &t->work;
  for (ebi_tee i = 0; i < network->n_tees; i++) {
    const ebi_net_tee *tee = &network->tees[i];
    if (t->isolated[tee->port[EBI_COMBINED]])
      continue;
    ebi_tee_work *tw = &t->tee_work[i];
    ebi_tee_drop drop = ebi_net_tee_drops(tee, tw->flow[0], tw->flow[1]);
    tw->slope[0][0] = drop.straight_by_s;
    tw->slope[0][1] = drop.straight_by_b;
    tw->slope[1][0] = drop.branch_by_s;
    tw->slope[1][1] = drop.branch_by_b;
    for (int f = 0; f < 2; f++) {
      ebi_node other = tee->port[EBI_STRAIGHT + f];
      double lost = f == 0 ? drop.straight : drop.branch;
      tw->lack[f] = w->pressure[tee->port[EBI_COMBINED]] - w->pressure[other] - lost;
      w->source[tee->port[EBI_COMBINED]] += tw->flow[f];
      w->source[other] -= tw->flow[f];
      note_tee(r, tw->lack[f], i);
    }
  }
}

static void balance(const ebi_network *network, const ebi_topology *t, ebi_residual *r) {
  double greatest = 0.0;
  for (ebi_node i = 0; i < network->n_nodes; i++) {
    if (t->isolated[i])
      continue;
    greatest = greater(greatest, fabs(t->work.pressure[i]));
    if (network->nodes[i].fixed)
      continue;
    double unbalanced = fabs(t->work.source[i]);
    if (!(unbalanced <= r->flow)) {
      r->flow = unbalanced;
      r->node = i;
    }
  }
  r->pressure_floor += ROUNDING * greatest;
}

ebi_residual ebi_residual_take(const ebi_network *network, ebi_topology *t) {
  ebi_residual r = {.node = EBI_NO_PLACE, .part = EBI_NO_PLACE, .tee = EBI_NO_PLACE};
  for (ebi_node i = 0; i < network->n_nodes; i++) {
    t->work.source[i] = network->nodes[i].outflow;
    t->work.conductance[i] = 0.0;
  }
  part_laws(network, t, &r);
  tee_laws(network, t, &r);
  balance(network, t, &r);
  return r;
}

bool ebi_residual_converged(const ebi_residual *r) {
  return r->flow <= fmax(EBI_TOLERANCE_FLOW, r->flow_floor) &&
         r->pressure <= fmax(EBI_TOLERANCE_PRESSURE, r->pressure_floor);
}

const char *ebi_residual_worst(const ebi_network *network, const ebi_residual *r) {
  bool by_flow = r->flow * EBI_TOLERANCE_PRESSURE > r->pressure * EBI_TOLERANCE_FLOW;
  if (by_flow && r->node != EBI_NO_PLACE)
    return network->nodes[r->node].name;
  if (r->part != EBI_NO_PLACE)
    return network->parts[r->part].name;
  if (r->tee != EBI_NO_PLACE)
    return network->tees[r->tee].name;
  return r->node != EBI_NO_PLACE ? network->nodes[r->node].name : "";
}
