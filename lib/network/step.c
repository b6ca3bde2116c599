/* step.c - one step of the solver: Newton on flows and pressures together (Todini & Pilati 1987)
 *
 * A whole step makes the balance of mass hold, which then stays so, being
 * linear. From then on a step is halved while the norm of what the laws lack
 * in pressure grows. */

#include "network/step.h"

#include <math.h>

#include "network/core.h"
#include "network/tree.h"

#define HALVINGS_AT_MOST 6
#define STRAYED 0.2     /* a share of a step below which Newton is not trusted */
#define LEAST_GUESS 0.1 /* of the flow before */

/* Finds a step and takes it whole. */
static eb_status take_step(const ebi_network *network, ebi_topology *t, double damping) {
  if (damping > 0.0)
    ebi_damp_tees(network, t, damping);
  for (ebi_place i = 0; i < t->n_outflows; i++)
    t->work.node[t->outflow[i]].source = ebi_node_at(network, t->outflow[i])->given;
  ebi_tree_eliminate(network, t);
  eb_status status = ebi_core_solve(network, t);
  if (status == EB_OK)
    ebi_tree_substitute(network, t);
  return status;
}

/* Goes back by a share of the step. */
static void go_back(const ebi_network *network, ebi_topology *t, double share) {
  ebi_work *w = &t->work;
  for (ebi_place i = 0; i < network->n_nodes; i++)
    w->node[i].pressure -= share * w->node[i].step;
  for (ebi_place i = 0; i < t->n_slots; i++)
    w->flow[i] -= share * w->shift[i];
  for (ebi_place i = 0; i < network->n_tees; i++) {
    for (int f = 0; f < 2; f++)
      t->tee_work[i].flow[f] -= share * t->tee_work[i].flow_step[f];
  }
}

static eb_status damped_step(const ebi_network *network, ebi_topology *t, ebi_damping *damping,
                             ebi_residual *r) {
  double before = r->norm;
  eb_status status = take_step(network, t, damping->now);
  *r = ebi_residual_of_pressure(network, t);
  ebi_damping_ease(damping, before, r->norm);
  return status;
}

eb_status ebi_step(const ebi_network *network, ebi_topology *t, ebi_damping *damping,
                   ebi_residual *r) {
  if (damping->now > 0.0)
    return damped_step(network, t, damping, r);
  double before = r->norm, share = 1.0;
  eb_status status = take_step(network, t, 0.0);
  *r = ebi_residual_of_pressure(network, t);
  for (int i = 0; i < HALVINGS_AT_MOST && !(r->norm <= before); i++) {
    if (ebi_residual_pressure_converged(r))
      break;
    share *= 0.5;
    go_back(network, t, share);
    *r = ebi_residual_of_pressure(network, t);
  }
  if (share < STRAYED)
    ebi_damping_return(damping, network);
  return status;
}

/* After the first step, whose slopes are those of arbitrary flows: the flows of square laws at
 * the pressures it has found, instead of those along the slopes. With z = 2 new/old - 1 the
 * pressure along a part has become z times its drop, so that its flow is sqrt(z) times the old
 * one. The balance of mass comes back with the next step. */
static void guess(ebi_topology *t) {
  ebi_work *w = &t->work;
  for (ebi_place i = 0; i < t->n_slots; i++) {
    double old = w->flow[i] - w->shift[i];
    if (!(fabs(old) >= t->laws[i / EBI_LANES].slow[i % EBI_LANES]))
      continue;
    double z = 2.0 * w->flow[i] / old - 1.0, root = fmax(sqrt(fabs(z)), LEAST_GUESS);
    w->flow[i] = z < 0.0 ? -root * old : root * old;
  }
}

eb_status ebi_step_first(const ebi_network *network, ebi_topology *t, ebi_damping *damping,
                         ebi_residual *r) {
  eb_status status = take_step(network, t, damping->now);
  if (status == EB_OK)
    guess(t);
  *r = ebi_residual_of_pressure(network, t);
  r->norm = HUGE_VAL;
  return status;
}
