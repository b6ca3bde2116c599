/* solve.c - from a cold start to a solution
 *
 * A solve does not depend on earlier ones: flows, pressures and friction
 * factors start anew, and its residuals are those of the exact laws at the
 * final flows. */

#include "network/network.h"

#include <math.h>
#include <string.h>

#include "network/laws.h"
#include "network/pieces.h"
#include "network/step.h"

#define STEPS_AT_MOST 100

static void start(const ebi_network *network, ebi_topology *t) {
  t->n_outflows = 0;
  for (ebi_place i = 0; i < network->n_nodes; i++) {
    const ebi_net_node *given = ebi_node_at(network, i);
    t->work.node[i] = (ebi_work_node){given->fixed ? given->given : 0.0, 0.0, 0.0, 0.0};
    if (!given->fixed && given->given != 0.0)
      t->outflow[t->n_outflows++] = i;
  }
  for (ebi_place i = 0; i < network->n_tees; i++)
    t->tee_work[i] = (ebi_tee_work){{0.0, 0.0}, {0.0, 0.0}, {{0.0, 0.0}, {0.0, 0.0}},
                                    {0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}};
  ebi_laws_compile(network, t);
}

/* Steps until converged, and once more where that is not yet down to rounding. */
static eb_status iterate(const ebi_network *network, ebi_topology *t, ebi_residual *r,
                         int *iterations) {
  bool once_more = true;
  ebi_damping damping = ebi_damping_start(t);
  *r = ebi_residual_of_pressure(network, t);
  eb_status status = ebi_step_first(network, t, &damping, r);
  for (*iterations = 1; status == EB_OK && *iterations < STEPS_AT_MOST;) {
    status = ebi_step(network, t, &damping, r);
    ++*iterations;
    if (!isfinite(r->norm))
      return EB_E_DIVERGED;
    if (status != EB_OK || !ebi_residual_pressure_converged(r))
      continue;
    if (r->pressure > r->pressure_floor && once_more) {
      once_more = false;
      continue;
    }
    ebi_residual_of_flow(network, t, r);
    if (ebi_residual_flow_converged(r))
      return EB_OK;
  }
  ebi_residual_of_flow(network, t, r);
  return status == EB_OK ? EB_E_DIVERGED : status;
}

/* ---- Results ---- */

static void show(const ebi_network *network, ebi_topology *t, const ebi_residual *r, int iterations,
                 ebi_solution *solution) {
  for (ebi_place i = 0; i < network->n_nodes; i++)
    t->pressure[i] = t->isolated[i] ? (double)NAN : t->work.node[i].pressure;
  memset(t->flow_ref, 0, network->n_parts * sizeof *t->flow_ref);
  for (ebi_place i = 0; i < t->n_slots; i++)
    t->flow_ref[t->slot[i].part] = t->slot[i].turned ? -t->work.flow[i] : t->work.flow[i];
  for (ebi_place i = 0; i < network->n_tees; i++) {
    t->tee_straight[i] = t->tee_work[i].flow[0];
    t->tee_branch[i] = t->tee_work[i].flow[1];
  }
  *solution = (ebi_solution){.pressure = t->pressure,
                             .flow_ref = t->flow_ref,
                             .tee_straight = t->tee_straight,
                             .tee_branch = t->tee_branch,
                             .residual_flow = r->flow,
                             .residual_pressure = r->pressure,
                             .iterations = iterations,
                             .worst = ebi_residual_worst(network, network->topology, r)};
}

static void complain(const ebi_network *network, const ebi_residual *r, int iterations) {
  ebi_diag(network->context, EB_ERROR, "not-converged", (ebi_where){NULL, 0, 0}, NULL,
           "the flows did not converge in %d steps: at %s %.3g Pa and %.3g l/s are left over, "
           "allowed are %.0e Pa and %.0e l/s",
           iterations, ebi_residual_worst(network, network->topology, r), r->pressure,
           1e3 * r->flow, EBI_TOLERANCE_PRESSURE, 1e3 * EBI_TOLERANCE_FLOW);
}

eb_status ebi_network_solve(ebi_network *network, ebi_solution *solution) {
  bool fresh = network->topology == NULL || network->stale;
  eb_status status = ebi_topology_make(network);
  if (status != EB_OK)
    return status;
  ebi_topology *t = network->topology;
  status = ebi_pieces_check(network, t, fresh);
  if (status != EB_OK)
    return status;
  ebi_residual r;
  int iterations = 0;
  start(network, t);
  status = iterate(network, t, &r, &iterations);
  if (status == EB_E_NO_SOLUTION)
    status = EB_E_DIVERGED;
  if (status == EB_OK)
    show(network, t, &r, iterations, solution);
  else if (status == EB_E_DIVERGED)
    complain(network, &r, iterations);
  return status;
}
