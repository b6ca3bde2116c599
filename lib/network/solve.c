/* solve.c - Newton on flows and pressures together (Todini & Pilati 1987)
 *
 * The first step makes the balance of mass hold, which then stays so, being
 * linear; from then on a step is halved while the norm of what the laws lack
 * in pressure grows. A solve starts cold, so it does not depend on earlier
 * ones, and ends with laws and residuals taken once more at the final flows. */

#include "network/network.h"

#include <math.h>
#include <string.h>

#include "network/core.h"
#include "network/law.h"
#include "network/laws.h"
#include "network/pieces.h"
#include "network/residual.h"
#include "network/tree.h"

#define STEPS_AT_MOST 100
#define HALVINGS_AT_MOST 6
#define LEAST_GUESS 0.1
#define LAG_EVERY 20
#define LAG_MOST 1e6 /* Pa/(m3/s) */

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

/* ---- Steps ---- */

/* Finds a step and takes it whole. */
static eb_status take_step(const ebi_network *network, ebi_topology *t) {
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

/* Where Newton has strayed, which tees in each other's way can bring about, it is taken back by
 * steps with lagged tee coefficients: secants instead of slopes, and half of each step. */
static bool lagged(int iteration) {
  return iteration % (2 * LAG_EVERY) > LAG_EVERY;
}

static void lag_tees(const ebi_network *network, ebi_topology *t) {
  for (ebi_place i = 0; i < network->n_tees; i++) {
    ebi_tee_work *w = &t->tee_work[i];
    const ebi_place *port = ebi_tee_at(network, i)->port;
    for (int f = 0; f < 2; f++) {
      double drop = t->work.node[port[EBI_COMBINED]].pressure -
                    t->work.node[port[EBI_STRAIGHT + f]].pressure - w->lack[f];
      w->slope[f][f] = fabs(drop / w->flow[f]);
      if (!(w->slope[f][f] < LAG_MOST))
        w->slope[f][f] = LAG_MOST;
      w->slope[f][1 - f] = 0.0;
    }
  }
}

static ebi_residual step_lagged(const ebi_network *network, ebi_topology *t, eb_status *status) {
  lag_tees(network, t);
  *status = take_step(network, t);
  go_back(network, t, 0.5);
  return ebi_residual_of_pressure(network, t);
}

/* The whole step, or as much of it as does not make the lacks grow. */
static ebi_residual step(const ebi_network *network, ebi_topology *t, double norm,
                         eb_status *status) {
  *status = take_step(network, t);
  ebi_residual r = ebi_residual_of_pressure(network, t);
  double share = 0.5;
  for (int i = 0; i < HALVINGS_AT_MOST && !(r.norm <= norm); i++) {
    if (ebi_residual_pressure_converged(&r))
      break;
    go_back(network, t, share);
    share *= 0.5;
    r = ebi_residual_of_pressure(network, t);
  }
  return r;
}

/* After the first step, whose slopes are those of an arbitrary flow: the flows of square laws at
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

/* Newton until converged, and once more where that is not yet down to rounding. */
static eb_status iterate(const ebi_network *network, ebi_topology *t, ebi_residual *r,
                         int *iterations) {
  bool once_more = true;
  eb_status status = EB_OK;
  *r = ebi_residual_of_pressure(network, t);
  for (int i = 1; i <= STEPS_AT_MOST; i++) {
    *r = lagged(i) ? step_lagged(network, t, &status)
                   : step(network, t, i == 1 ? HUGE_VAL : r->norm, &status);
    if (status != EB_OK)
      return status;
    *iterations = i;
    if (i == 1) {
      guess(t);
      *r = ebi_residual_of_pressure(network, t);
      r->norm = HUGE_VAL;
      continue;
    }
    if (!isfinite(r->norm))
      return EB_E_DIVERGED;
    if (!ebi_residual_pressure_converged(r))
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
  return EB_E_DIVERGED;
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
