/* ducts_solve.c - the three questions asked of a side's network
 *
 *   prescribe  the flow of each terminal is given: which pressures must the
 *              ducts have at each valve?
 *   impose     the total is given and the valves stand: which terminal gets
 *              what, and what must the fan raise?
 *   operate    valves and fan speed are given: what flows?
 *
 * In the first two the fan is not in the network, so they need no iteration
 * over its speed. */

#include "design/ducts.h"

#include <math.h>

#define HEAT_PASSES 60
#define HEAT_SAME 1e-12 /* relative, of a density */

/* ---- The network in each state ---- */

static ebi_element *fan_element(ebi_side *side) {
  return &ebi_network_elements(side->network, side->fan_part, NULL)[side->fan_element];
}

static void put_fan(ebi_side *side, double speed) {
  ebi_element *element = fan_element(side);
  *element = (ebi_element){.kind = EBI_ELEMENT_FAN, .parallel = 1.0};
  element->as.fan.fan = side->fan;
  element->as.fan.speed = speed;
}

/* In place of the fan an open passage: one connected piece, with the outdoors as its datum. */
static void put_passage(ebi_side *side) {
  ebi_element *element = fan_element(side);
  *element = (ebi_element){.kind = EBI_ELEMENT_LOSS, .parallel = 1.0};
  element->as.loss.area = 1.0;
}

static void close_fan(ebi_side *side, bool closed, double total_ref) {
  ebi_network_close(side->network, side->fan_part, closed);
  ebi_network_outflow(side->network, side->unit_in, closed ? total_ref : 0.0);
  ebi_network_outflow(side->network, side->unit_out, closed ? -total_ref : 0.0);
}

static ebi_node inner_node(const ebi_side *side, const ebi_terminal *terminal) {
  const ebi_side_run *run = &side->runs[terminal->run];
  return (side->supply ? &run->to : &run->from)->node;
}

/* Terminals open to their rooms, or shut with their flow taken before the valve. */
static void open_terminals(ebi_side *side, const double *flow_ref) {
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_terminal *terminal = &side->terminals[t];
    double flow = flow_ref == NULL ? 0.0 : flow_ref[t];
    ebi_network_close(side->network, terminal->part, flow_ref != NULL || terminal->idle);
    ebi_network_outflow(side->network, inner_node(side, terminal), side->supply ? flow : -flow);
  }
}

static void sum_rooms(ebi_side *side) {
  side->total = 0.0;
  for (size_t r = 0; r < side->job->house->n_rooms; r++)
    side->room_flow[r] = 0.0;
  for (size_t t = 0; t < side->n_terminals; t++) {
    double flow = ebi_terminal_flow(side, &side->terminals[t]);
    side->room_flow[side->terminals[t].room] += flow;
    side->total += flow;
  }
}

/* With the air as it is. */
static eb_status solve_once(ebi_side *side) {
  eb_ducts *result = side->job->result;
  eb_status status = ebi_network_solve(side->network, &side->solution);
  if (status != EB_OK)
    return status;
  result->iterations += side->solution.iterations;
  sum_rooms(side);
  return EB_OK;
}

static eb_status not_settled(const ebi_side *side, double change) {
  ebi_diag(side->job->context, EB_ERROR, "heat-unsettled", side->job->house->where, NULL,
           "flows and temperatures of the %s ducts do not settle: after %d solutions densities "
           "still change by %.3g",
           side->name, HEAT_PASSES, change);
  return EB_E_DIVERGED;
}

/* Flows and temperatures in turn. Only what stays counts towards the residual. */
static eb_status solve(ebi_side *side) {
  eb_ducts *result = side->job->result;
  double change = HUGE_VAL;
  for (int pass = 0; pass < HEAT_PASSES && change > HEAT_SAME; pass++) {
    eb_status status = solve_once(side);
    if (status == EB_OK)
      status = ebi_ducts_heat(side->job, &change);
    if (status != EB_OK)
      return status;
  }
  if (change > HEAT_SAME)
    return not_settled(side, change);
  result->residual_flow_m3_s = fmax(result->residual_flow_m3_s, side->solution.residual_flow);
  result->residual_pressure_pa =
      fmax(result->residual_pressure_pa, side->solution.residual_pressure);
  return EB_OK;
}

/* ---- The three questions ---- */

eb_status ebi_side_prescribe(ebi_side *side, const double *flow_ref) {
  close_fan(side, false, 0.0);
  put_passage(side);
  open_terminals(side, flow_ref);
  return solve(side);
}

eb_status ebi_side_impose(ebi_side *side, double total_ref, double *rise) {
  open_terminals(side, NULL);
  put_fan(side, side->drive.fastest);
  close_fan(side, true, total_ref);
  eb_status status = solve(side);
  if (status == EB_OK)
    *rise = ebi_side_rise(side) + ebi_side_filter_drop(side, total_ref);
  return status;
}

eb_status ebi_side_operate(ebi_side *side, double speed) {
  open_terminals(side, NULL);
  close_fan(side, false, 0.0);
  put_fan(side, speed);
  return solve(side);
}

/* ---- What the last solve says ---- */

double ebi_terminal_flow(const ebi_side *side, const ebi_terminal *terminal) {
  return side->solution.flow_ref[terminal->part];
}

double ebi_side_rise(const ebi_side *side) {
  return side->solution.pressure[side->unit_out] - side->solution.pressure[side->unit_in];
}

double ebi_side_filter_drop(const ebi_side *side, double total_ref) {
  const ebi_element *elements = ebi_network_elements(side->network, side->fan_part, NULL);
  double flow = ebi_ducts_actual(total_ref, side->fan_air.density), drop = 0.0;
  for (size_t i = 0; i < side->fan_element; i++)
    drop += ebi_element_drop(&elements[i], side->fan_air, flow).pa;
  return drop;
}
