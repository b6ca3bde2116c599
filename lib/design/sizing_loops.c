/* sizing_loops.c - flows and pressure of a side with loops, each terminal drawing its own flow
 *
 * The runs and tees of the side as the duct calculation builds them, without fan, valves
 * and leaks. The spigot towards the rooms and the open air stand at 0 Pa. */

#include <math.h>

#include "design/sizing.h"

static ebi_node end_node(const ebi_side *side, const ebi_side_run *run, bool at_to) {
  const ebi_end *end = at_to ? &run->to : &run->from;
  switch (end->kind) {
  case EBI_END_UNIT:
    return at_to ? side->unit_in : side->unit_out;
  case EBI_END_OUTDOORS:
    return side->outside;
  case EBI_END_ROOM:
    return ebi_network_node(side->network, run->run->name);
  case EBI_END_MEETING:
    break;
  }
  return end->node;
}

static eb_status add_run(ebi_sizing_side *s, ebi_side_run *run) {
  ebi_side *side = s->side;
  run->from.node = end_node(side, run, false);
  run->to.node = end_node(side, run, true);
  if (run->from.node == EBI_NONE || run->to.node == EBI_NONE)
    return EB_E_MEMORY;
  size_t count = ebi_run_elements(run, s->elements);
  count += ebi_end_loss(side, run, false, &s->elements[count]) ? 1 : 0;
  count += ebi_end_loss(side, run, true, &s->elements[count]) ? 1 : 0;
  count += ebi_run_stack(side->job, run, &s->elements[count]) ? 1 : 0;
  run->part = ebi_network_part(side->network, run->run->name, run->from.node, run->to.node,
                               run->air, s->elements, count);
  return run->part == EBI_NONE ? EB_E_MEMORY : EB_OK;
}

static eb_status add_places(ebi_side *side) {
  side->unit_in = ebi_network_node(side->network, "unit");
  side->unit_out = ebi_network_node(side->network, "unit");
  side->outside = ebi_network_node(side->network, "outdoors");
  if (side->unit_in == EBI_NONE || side->unit_out == EBI_NONE || side->outside == EBI_NONE)
    return EB_E_MEMORY;
  ebi_network_fix(side->network, side->supply ? side->unit_out : side->unit_in, 0.0);
  ebi_network_fix(side->network, side->outside, 0.0);
  return EB_OK;
}

static ebi_node inner_node(const ebi_sizing_side *s, const ebi_size_edge *edge) {
  const ebi_side_run *run = &s->side->runs[edge->run];
  return s->side->supply ? run->to.node : run->from.node;
}

/* What leaves: at the terminals; at the spigot towards outdoors, where runs lead there. */
static void draw(ebi_sizing_side *s, int flows) {
  ebi_side *side = s->side;
  double sign = side->supply ? 1.0 : -1.0;
  bool outside = false;
  for (size_t e = 0; e < s->n_edges; e++) {
    const ebi_size_edge *edge = &s->edges[e];
    outside = outside || edge->outside;
    if (edge->terminal != EBI_NONE)
      ebi_network_outflow(side->network, inner_node(s, edge), sign * edge->flow[flows]);
  }
  ebi_node spigot = side->supply ? side->unit_in : side->unit_out;
  if (outside)
    ebi_network_outflow(side->network, spigot, sign * s->flow[flows]);
  else
    ebi_network_fix(side->network, spigot, 0.0);
}

static eb_status build(ebi_sizing_side *s, int flows) {
  ebi_side *side = s->side;
  eb_status status = add_places(side);
  for (size_t m = 0; status == EB_OK && m < side->n_meetings; m++)
    status = ebi_meeting_build(side, &side->meetings[m]);
  for (size_t i = 0; status == EB_OK && i < side->n_runs; i++)
    status = add_run(s, &side->runs[i]);
  if (status == EB_OK)
    draw(s, flows);
  return status;
}

/* In the direction of the air away from the unit or towards it, as the tree has it. */
static void take_flows(ebi_sizing_side *s, const ebi_solution *solution, int flows) {
  for (size_t e = 0; e < s->n_edges; e++) {
    ebi_size_edge *edge = &s->edges[e];
    bool from_near = (edge->near_end & 1) == 0, away = s->side->supply != edge->outside;
    double flow = solution->flow_ref[s->side->runs[edge->run].part];
    edge->flow[flows] = from_near == away ? flow : -flow;
  }
}

/* Of the terminal that needs most, and of the way outdoors. */
static double pressure_of(const ebi_sizing_side *s, const ebi_solution *solution, int flows) {
  const ebi_side *side = s->side;
  ebi_node spigot = side->supply ? side->unit_in : side->unit_out;
  double sign = side->supply ? -1.0 : 1.0, most = 0.0;
  bool any = false;
  for (size_t e = 0; e < s->n_edges; e++) {
    const ebi_size_edge *edge = &s->edges[e];
    if (edge->terminal == EBI_NONE || !(edge->flow[flows] > 0.0))
      continue;
    double needs =
        sign * solution->pressure[inner_node(s, edge)] + ebi_sizing_terminal_drop(s, edge, flows);
    most = any ? fmax(most, needs) : needs;
    any = true;
  }
  return most + sign * solution->pressure[spigot];
}

eb_status ebi_sizing_solve_loops(ebi_sizing_side *s, int flows, double *pressure) {
  ebi_side *side = s->side;
  ebi_solution solution;
  side->network = ebi_network_new(side->job->context);
  if (side->network == NULL)
    return EB_E_MEMORY;
  eb_status status = build(s, flows);
  if (status == EB_OK)
    status = ebi_network_solve(side->network, &solution);
  if (status == EB_OK) {
    *pressure = pressure_of(s, &solution, flows);
    take_flows(s, &solution, flows);
  }
  ebi_network_free(side->network);
  side->network = NULL;
  return status;
}
