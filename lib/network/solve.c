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
#include "network/pieces.h"
#include "network/residual.h"
#include "network/tree.h"

#define STEPS_AT_MOST 100
#define HALVINGS_AT_MOST 6
#define LAG_EVERY 20
#define LAG_MOST 1e6 /* Pa/(m3/s) */

static void start(const ebi_network *network, ebi_topology *t) {
  ebi_work *w = &t->work;
  for (ebi_node i = 0; i < network->n_nodes; i++) {
    w->pressure[i] = network->nodes[i].fixed ? network->nodes[i].pressure : 0.0;
    w->pressure_step[i] = 0.0;
  }
  for (size_t i = 0; i < t->n_slots; i++)
    w->flow[i] = t->sign[i] * ebi_part_start(&network->parts[t->part[i]]);
  for (ebi_tee i = 0; i < network->n_tees; i++)
    t->tee_work[i] = (ebi_tee_work){{0.0, 0.0}, {0.0, 0.0}, {{0.0, 0.0}, {0.0, 0.0}},
                                    {0.0, 0.0}, {0.0, 0.0}, {0.0, 0.0}};
}

/* ---- Steps ---- */

static eb_status find_step(const ebi_network *network, ebi_topology *t) {
  ebi_tree_eliminate(network, t);
  eb_status status = ebi_core_solve(network, t);
  if (status == EB_OK)
    ebi_tree_substitute(network, t);
  return status;
}

static void move(const ebi_network *network, ebi_topology *t, double share) {
  ebi_work *w = &t->work;
  for (ebi_node i = 0; i < network->n_nodes; i++)
    w->pressure[i] += share * w->pressure_step[i];
  for (size_t i = 0; i < t->n_slots; i++)
    w->flow[i] += share * w->flow_step[i];
  for (ebi_tee i = 0; i < network->n_tees; i++) {
    for (int f = 0; f < 2; f++)
      t->tee_work[i].flow[f] += share * t->tee_work[i].flow_step[f];
  }
}

/* Where Newton has strayed, which tees in each other's way can bring about, it is taken back by
 * steps with lagged tee coefficients: secants instead of slopes, and half of each step. */
static bool lagged(int iteration) {
  return iteration % (2 * LAG_EVERY) > LAG_EVERY;
}

static void lag_tees(const ebi_network *network, ebi_topology *t) {
  for (ebi_tee i = 0; i < network->n_tees; i++) {
    ebi_tee_work *w = &t->tee_work[i];
    const ebi_node *port = network->tees[i].port;
    for (int f = 0; f < 2; f++) {
      double drop = t->work.pressure[port[EBI_COMBINED]] -
                    t->work.pressure[port[EBI_STRAIGHT + f]] - w->lack[f];
      w->slope[f][f] = fabs(drop / w->flow[f]);
      if (!(w->slope[f][f] < LAG_MOST))
        w->slope[f][f] = LAG_MOST;
      w->slope[f][1 - f] = 0.0;
    }
  }
}

/* The whole step, or as much of it as does not make the lacks grow. */
static ebi_residual step(const ebi_network *network, ebi_topology *t, double norm) {
  double share = 1.0;
  move(network, t, share);
  ebi_residual r = ebi_residual_take(network, t);
  for (int i = 0; i < HALVINGS_AT_MOST && !(r.norm <= norm) && !ebi_residual_converged(&r); i++) {
    share *= 0.5;
    move(network, t, -share);
    r = ebi_residual_take(network, t);
  }
  return r;
}

/* Newton until converged, and once more where that is not yet down to rounding. */
static eb_status iterate(const ebi_network *network, ebi_topology *t, ebi_residual *r,
                         int *iterations) {
  bool once_more = true;
  *r = ebi_residual_take(network, t);
  for (int i = 1; i <= STEPS_AT_MOST; i++) {
    if (lagged(i))
      lag_tees(network, t);
    eb_status status = find_step(network, t);
    if (status != EB_OK)
      return status;
    if (lagged(i)) {
      move(network, t, 0.5);
      *r = ebi_residual_take(network, t);
    } else {
      *r = step(network, t, i == 1 ? HUGE_VAL : r->norm);
    }
    *iterations = i;
    if (!isfinite(r->norm) || !isfinite(r->flow))
      return EB_E_DIVERGED;
    if (!ebi_residual_converged(r))
      continue;
    if (r->pressure <= r->pressure_floor || !once_more)
      return EB_OK;
    once_more = false;
  }
  return ebi_residual_converged(r) ? EB_OK : EB_E_DIVERGED;
}

/* ---- Results ---- */

static void show(const ebi_network *network, ebi_topology *t, const ebi_residual *r, int iterations,
                 ebi_solution *solution) {
  for (ebi_node i = 0; i < network->n_nodes; i++) {
    if (t->isolated[i])
      t->work.pressure[i] = NAN;
  }
  memset(t->flow_ref, 0, network->n_parts * sizeof *t->flow_ref);
  for (size_t i = 0; i < t->n_slots; i++)
    t->flow_ref[t->part[i]] = t->sign[i] * t->work.flow[i];
  for (ebi_tee i = 0; i < network->n_tees; i++) {
    t->tee_straight[i] = t->tee_work[i].flow[0];
    t->tee_branch[i] = t->tee_work[i].flow[1];
  }
  *solution = (ebi_solution){.pressure = t->work.pressure,
                             .flow_ref = t->flow_ref,
                             .tee_straight = t->tee_straight,
                             .tee_branch = t->tee_branch,
                             .residual_flow = r->flow,
                             .residual_pressure = r->pressure,
                             .iterations = iterations,
                             .worst = ebi_residual_worst(network, r)};
}

static void complain(const ebi_network *network, const ebi_residual *r, int iterations) {
  ebi_diag(network->context, EB_ERROR, "not-converged", (ebi_where){NULL, 0, 0}, NULL,
           "the flows did not converge in %d steps: at %s %.3g Pa and %.3g l/s are left over, "
           "allowed are %.0e Pa and %.0e l/s",
           iterations, ebi_residual_worst(network, r), r->pressure, 1e3 * r->flow,
           EBI_TOLERANCE_PRESSURE, 1e3 * EBI_TOLERANCE_FLOW);
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
