/* ducts_solve.c - the three questions asked of the house's network
 *
 *   prescribe  the flow of each terminal is given: which pressures must the
 *              ducts have at each valve, and what have the rooms?
 *   impose     the total of a side is given and the valves stand: which terminal
 *              gets what, and what must the fan raise?
 *   operate    valves and fan speed are given: what flows?
 *
 * In the first two the fan is not in the network, so they need no iteration
 * over its speed; where ducts leak, they need one over its flow. The last two can be
 * asked of either side at once. Where flows are prescribed the index terminal is open
 * all the same: so the ducts have pressures, and leak, as they will with the fan. */

#include "design/ducts.h"

#include <math.h>

/* A total is met within this share of it, or this much. [m3/s] */
#define TOTAL_SHARE 3e-10
#define TOTAL_SLACK 1e-13
#define TOTAL_STEPS 60
#define LEAST_STEP 1e-7 /* of the flow: less tells no slope */
#define HEAT_PASSES 60
#define HEAT_SAME 1e-12 /* relative, of a density */

/* ---- The network in each state ---- */

static void draw(ebi_ducts_job *job, ebi_node node, double flow_ref) {
  job->draw[node] += flow_ref;
}

static void draw_nothing(ebi_ducts_job *job) {
  for (size_t n = 0; n < job->n_nodes; n++)
    job->draw[n] = 0.0;
}

static ebi_element nothing(void) {
  ebi_element element = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0};
  element.as.power.at = 1.0;
  element.as.power.exponent = 1.0;
  return element;
}

static ebi_element turning(const ebi_side *side, double speed) {
  ebi_element element = {.kind = EBI_ELEMENT_FAN, .parallel = 1.0};
  element.as.fan.fan = side->fan;
  element.as.fan.speed = speed;
  return element;
}

static ebi_element raising(double rise) {
  ebi_element element = {.kind = EBI_ELEMENT_SOURCE, .parallel = 1.0};
  element.as.source.rise = rise;
  return element;
}

/* A rise is held from spigot to spigot, whatever the filters take. */
static void put_fan(ebi_side *side, ebi_element fan) {
  ebi_element *elements = ebi_network_elements(side->network, side->fan_part, NULL);
  bool holds = fan.kind == EBI_ELEMENT_SOURCE;
  elements[EBI_FAN_FILTER] = holds ? nothing() : side->filter;
  elements[EBI_FAN_LOADING] = holds || !side->loaded ? nothing() : side->loading;
  elements[EBI_FAN_ITSELF] = fan;
  ebi_network_close(side->network, side->fan_part, false);
  side->fan_out = false;
}

static void take_out_fan(ebi_side *side, double flow_ref) {
  ebi_network_close(side->network, side->fan_part, true);
  side->fan_out = true;
  side->fan_flow = flow_ref;
  draw(side->job, side->unit_in, flow_ref);
  draw(side->job, side->unit_out, -flow_ref);
}

static ebi_node inner_node(const ebi_side *side, const ebi_terminal *terminal) {
  const ebi_side_run *run = &side->runs[terminal->run];
  return (side->supply ? &run->to : &run->from)->node;
}

/* Open, or shut with a flow taken before the valve and given to the room, or the other way. */
static void set_terminals(ebi_side *side) {
  ebi_ducts_job *job = side->job;
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_terminal *terminal = &side->terminals[t];
    bool shut = side->given != NULL && t != side->index;
    ebi_network_close(side->network, terminal->part, shut || terminal->idle);
    if (!shut)
      continue;
    double flow = side->supply ? side->given[t] : -side->given[t];
    draw(job, inner_node(side, terminal), flow);
    draw(job, job->house_air.node[terminal->room], -flow);
  }
}

static void draw_appliances(ebi_ducts_job *job) {
  ebi_rooms *rooms = &job->house_air;
  for (size_t i = 0; i < rooms->n_drawings; i++) {
    const ebi_drawing *drawing = &rooms->drawings[i];
    bool moves = drawing->on && !drawing->stalled;
    if (drawing->part != EBI_NONE)
      ebi_network_close(job->network, drawing->part, !moves);
    else if (moves)
      draw(job, drawing->room, drawing->flow);
  }
}

/* ---- A solve ---- */

static void sum_flows(ebi_side *side) {
  if (!side->fan_out)
    side->fan_flow = side->job->solution.flow_ref[side->fan_part];
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
static eb_status solve_once(ebi_ducts_job *job) {
  eb_status status = ebi_network_solve(job->network, &job->solution);
  if (status != EB_OK)
    return status;
  job->result->iterations += job->solution.iterations;
  for (int s = 0; s < EBI_SIDES; s++)
    if (job->side[s].network != NULL)
      sum_flows(&job->side[s]);
  return EB_OK;
}

static eb_status not_settled(const ebi_ducts_job *job, double change) {
  ebi_diag(job->context, EB_ERROR, "heat-unsettled", job->house->where, NULL,
           "flows and temperatures of the ducts do not settle: after %d solutions densities still "
           "change by %.3g",
           HEAT_PASSES, change);
  return EB_E_DIVERGED;
}

/* Flows and temperatures in turn. Only what stays counts towards the residual. */
static eb_status solve(ebi_ducts_job *job) {
  eb_ducts *result = job->result;
  double change = HUGE_VAL;
  for (ebi_node n = 0; n < job->n_nodes; n++)
    ebi_network_outflow(job->network, n, job->draw[n]);
  for (int pass = 0; pass < HEAT_PASSES && change > HEAT_SAME; pass++) {
    eb_status status = solve_once(job);
    if (status == EB_OK && job->air_stands)
      change = 0.0;
    else if (status == EB_OK)
      status = ebi_ducts_heat(job, &change);
    if (status != EB_OK)
      return status;
  }
  if (change > HEAT_SAME)
    return not_settled(job, change);
  result->residual_flow_m3_s = fmax(result->residual_flow_m3_s, job->solution.residual_flow);
  result->residual_pressure_pa =
      fmax(result->residual_pressure_pa, job->solution.residual_pressure);
  return EB_OK;
}

/* ---- Both sides ---- */

/* A side whose fan is out of the network, on the way to the flow that brings its total. */
typedef struct search {
  double flow, total; /* ref; of the step before */
  double next;        /* flow to be imposed */
  double slope;       /* of the total by the flow */
  bool begun;
} search;

/* Of the terminals that are shut. */
static double prescribed(const ebi_side *side) {
  double sum = 0.0;
  for (size_t t = 0; side->given != NULL && t < side->n_terminals; t++)
    sum += t != side->index ? side->given[t] : 0.0;
  return sum;
}

/* A leak goes with pressure to the power 0.65 and that about with the flow squared. */
#define LEAK_BY_FLOW 1.3

/* Between fan and terminals leaks what leaked in the last solve, brought to this flow. */
static double first_flow(const ebi_side *side, const ebi_aim *aim) {
  double flow = aim->value + prescribed(side), leak = side->fan_flow - side->total;
  if (aim->kind != EBI_AIM_TOTAL || !(leak > 0.0) || !(side->total > 0.0))
    return flow;
  return flow + leak * pow(fmax(flow, 0.0) / side->total, LEAK_BY_FLOW);
}

static void put_aim(ebi_side *side, const ebi_aim *aim, const search *found) {
  if (aim->kind == EBI_AIM_SPEED)
    put_fan(side, turning(side, aim->value));
  else if (aim->kind == EBI_AIM_RISE)
    put_fan(side, raising(aim->value));
  else
    take_out_fan(side, found->next);
}

/* By how much of a change of flow the leak changes; the secant mends it. */
static double leaking_share(const ebi_side *side) {
  double leak = side->fan_flow - side->total;
  if (!(leak > 0.0) || !(side->total > 0.0))
    return 0.0;
  return fmin(LEAK_BY_FLOW * leak / side->fan_flow, 0.5);
}

/* A secant step; what leaks changes little with the flow, so its slope is near one. */
static bool total_met(const ebi_side *side, const ebi_aim *aim, search *found) {
  if (aim->kind != EBI_AIM_TOTAL || !ebi_side_leaks(side))
    return true;
  double missing = aim->value - side->total, step = found->next - found->flow;
  if (fabs(missing) <= TOTAL_SHARE * fabs(aim->value) + TOTAL_SLACK)
    return true;
  if (found->begun && fabs(step) > LEAST_STEP * fabs(found->next))
    found->slope = fmin(fmax((side->total - found->total) / step, 0.02), 2.0);
  found->flow = found->next;
  found->total = side->total;
  found->next += missing / found->slope;
  found->begun = true;
  return false;
}

static eb_status no_total(const ebi_ducts_job *job) {
  ebi_diag(job->context, EB_ERROR, "not-converged", job->house->where, NULL,
           "no flow of the fans was found in %d steps that brings the terminals their totals "
           "beside what the ducts leak",
           TOTAL_STEPS);
  return EB_E_DIVERGED;
}

eb_status ebi_ducts_solve(ebi_ducts_job *job, const ebi_aim aims[EBI_SIDES]) {
  search found[EBI_SIDES] = {{0}};
  for (int s = 0; s < EBI_SIDES; s++) {
    found[s].next = first_flow(&job->side[s], &aims[s]);
    found[s].slope = 1.0 - leaking_share(&job->side[s]);
  }
  for (int step = 0; step < TOTAL_STEPS; step++) {
    bool met = true;
    draw_nothing(job);
    draw_appliances(job);
    for (int s = 0; s < EBI_SIDES; s++) {
      if (job->side[s].network == NULL)
        continue;
      set_terminals(&job->side[s]);
      put_aim(&job->side[s], &aims[s], &found[s]);
    }
    eb_status status = solve(job);
    if (status != EB_OK)
      return status;
    for (int s = 0; s < EBI_SIDES; s++) {
      if (job->side[s].network == NULL)
        continue;
      met = total_met(&job->side[s], &aims[s], &found[s]) && met;
    }
    if (met)
      return EB_OK;
  }
  return no_total(job);
}

eb_status ebi_ducts_prescribe(ebi_ducts_job *job, double *const flow_ref[EBI_SIDES], bool roughly) {
  ebi_aim aims[EBI_SIDES];
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    bool flows = side->network != NULL && side->index != EBI_NONE;
    side->given = flow_ref[s];
    aims[s] = (ebi_aim){roughly || !flows ? EBI_AIM_FLOW : EBI_AIM_TOTAL,
                        flows ? flow_ref[s][side->index] : 0.0};
  }
  eb_status status = ebi_ducts_solve(job, aims);
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    if (side->network != NULL)
      side->total += prescribed(side);
    side->given = NULL;
  }
  return status;
}

/* ---- What the last solve says ---- */

double ebi_terminal_flow(const ebi_side *side, const ebi_terminal *terminal) {
  return side->job->solution.flow_ref[terminal->part];
}

double ebi_side_rise(const ebi_side *side) {
  const double *pressure = side->job->solution.pressure;
  return pressure[side->unit_out] - pressure[side->unit_in];
}

double ebi_side_asked(const ebi_side *side) {
  return ebi_side_rise(side) / side->fan_factor + ebi_side_filter_drop(side);
}

double ebi_room_pressure(const ebi_ducts_job *job, size_t room) {
  return job->solution.pressure[job->house_air.node[room]];
}

double ebi_side_filter_drop(const ebi_side *side) {
  return ebi_side_filter_drop_at(side, ebi_ducts_actual(side->fan_flow, side->fan_air.density));
}

double ebi_side_filter_drop_at(const ebi_side *side, double flow) {
  double drop = ebi_element_drop(&side->filter, side->fan_air, flow).pa;
  if (side->loaded)
    drop += ebi_element_drop(&side->loading, side->fan_air, flow).pa;
  return drop;
}
