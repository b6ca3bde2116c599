/* sizing_drop.c - pressures of a side from its design flows, before there is a network
 *
 * The elements are those the network is built of. Each run counts what stands where it
 * meets the one before it: its way through a tee, the reducer between both. Air has the
 * temperature of its kind, ducts are taken as tight and rooms at the pressure outdoors:
 * the whole network, solved afterwards, has the rest. */

#include <math.h>

#include "design/sizing.h"
#include "network/tee_law.h"

/* ---- Directions ---- */

/* True where the air goes away from the unit. */
static bool goes_away(const ebi_sizing_side *s, const ebi_size_edge *edge) {
  return s->side->supply != edge->outside;
}

/* Of the run itself, from -> to: 1, or -1 where the air goes the other way. */
static double direction(const ebi_sizing_side *s, const ebi_size_edge *edge) {
  bool from_near = (edge->near_end & 1) == 0;
  return from_near == goes_away(s, edge) ? 1.0 : -1.0;
}

static double actual_flow(const ebi_sizing_side *s, const ebi_size_edge *edge, int flows) {
  return ebi_ducts_actual(edge->flow[flows], s->side->runs[edge->run].air.density);
}

/* In the direction of the air. */
static double drop_of(const ebi_sizing_side *s, const ebi_size_edge *edge, int flows,
                      const ebi_element *elements, size_t count) {
  double sign = direction(s, edge), flow = sign * actual_flow(s, edge, flows), sum = 0.0;
  for (size_t i = 0; i < count; i++)
    sum += ebi_element_drop(&elements[i], s->side->runs[edge->run].air, flow).pa;
  return sign * sum;
}

/* ---- Where runs meet ---- */

static const ebi_meeting *meeting_at(const ebi_side *side, size_t end) {
  const ebi_end *at = ebi_side_end(side, end);
  return at->kind == EBI_END_MEETING ? &side->meetings[at->number] : NULL;
}

static bool is_reducer(const ebi_meeting *meeting) {
  return meeting != NULL && meeting->kind == EBI_MEETING_REDUCER;
}

/* What the run before carries of the reducer between both. */
static double reducer_before(const ebi_sizing_side *s, const ebi_size_edge *edge, int flows) {
  if (edge->parent == EBI_NONE || !is_reducer(meeting_at(s->side, edge->near_end)))
    return 0.0;
  const ebi_size_edge *parent = &s->edges[edge->parent];
  ebi_element element;
  bool at_to = ((parent->near_end ^ 1) & 1) != 0;
  if (!ebi_end_loss(s->side, &s->side->runs[parent->run], at_to, &element))
    return 0.0;
  return drop_of(s, parent, flows, &element, 1);
}

/* Flow that leaves a tee by one of its ends, by the edges as they are. */
static double flow_out(const ebi_sizing_side *s, size_t end, int flows) {
  const ebi_size_edge *edge = &s->edges[s->edge_of[end >> 1]];
  bool at_near = end == edge->near_end;
  double flow = actual_flow(s, edge, flows);
  return at_near == goes_away(s, edge) ? flow : -flow;
}

/* From the run towards the unit through the tee into this one, or the other way. */
static double tee_before(const ebi_sizing_side *s, const ebi_size_edge *edge, int flows) {
  const ebi_meeting *meeting = meeting_at(s->side, edge->near_end);
  if (meeting == NULL || meeting->kind != EBI_MEETING_TEE || edge->parent == EBI_NONE)
    return 0.0;
  size_t ports[3];
  ebi_tee_shape shape = ebi_meeting_tee(s->side, meeting, ports);
  size_t ends[3];
  for (size_t i = 0; i < 3; i++)
    ends[i] = meeting->ends[ports[i]];
  ebi_tee_drop drop = ebi_tee_drops(&shape, s->side->runs[edge->run].air,
                                    flow_out(s, ends[1], flows), flow_out(s, ends[2], flows));
  double below[3] = {0.0, drop.straight, drop.branch}; /* the combined port's pressure */
  double own = 0.0, parent = 0.0;
  for (size_t i = 0; i < 3; i++) {
    own = ends[i] == edge->near_end ? below[i] : own;
    parent = ends[i] >> 1 == s->edges[edge->parent].run ? below[i] : parent;
  }
  return goes_away(s, edge) ? own - parent : parent - own;
}

/* ---- A run ---- */

static const char *level_of(const ebi_sizing_side *s, int flows) {
  return flows == EBI_BOOST_FLOW ? "boost" : s->side->job->house->set_level;
}

double ebi_sizing_terminal_drop(const ebi_sizing_side *s, const ebi_size_edge *edge, int flows) {
  if (edge->terminal == EBI_NONE)
    return 0.0;
  const ebi_terminal *terminal = &s->side->terminals[edge->terminal];
  ebi_element elements[2];
  size_t count = ebi_terminal_open_elements(s->side, terminal, level_of(s, flows), elements);
  ebi_air_state air = ebi_terminal_air(s->side, terminal);
  double flow = ebi_ducts_actual(edge->flow[flows], air.density), sum = 0.0;
  for (size_t i = 0; i < count; i++)
    sum += ebi_element_drop(&elements[i], air, flow).pa;
  return sum;
}

double ebi_sizing_drop(const ebi_sizing_side *s, size_t number, int flows) {
  const ebi_size_edge *edge = &s->edges[number];
  const ebi_side_run *run = &s->side->runs[edge->run];
  bool near_to = (edge->near_end & 1) != 0;
  size_t count = ebi_run_elements(run, s->elements);
  count += ebi_end_loss(s->side, run, near_to, &s->elements[count]) ? 1 : 0;
  if (!is_reducer(meeting_at(s->side, edge->near_end ^ 1)))
    count += ebi_end_loss(s->side, run, !near_to, &s->elements[count]) ? 1 : 0;
  count += ebi_run_stack(s->side->job, run, &s->elements[count]) ? 1 : 0;
  return drop_of(s, edge, flows, s->elements, count) + reducer_before(s, edge, flows) +
         tee_before(s, edge, flows) + ebi_sizing_terminal_drop(s, edge, flows);
}

double ebi_sizing_friction(const ebi_sizing_side *s, size_t number) {
  const ebi_size_edge *edge = &s->edges[number];
  ebi_element metre = ebi_run_duct(&s->side->runs[edge->run], 1.0);
  return fabs(drop_of(s, edge, EBI_DESIGN_FLOW, &metre, 1));
}

/* ---- The side ---- */

eb_status ebi_sizing_pressure(ebi_sizing_side *s, int flows, double *pressure) {
  double outside = 0.0, most = 0.0;
  bool any = false;
  if (s->looped)
    return ebi_sizing_solve_loops(s, flows, pressure);
  for (size_t e = 0; e < s->n_edges; e++) {
    ebi_size_edge *edge = &s->edges[e];
    double before = edge->parent == EBI_NONE ? 0.0 : s->edges[edge->parent].needs;
    double drop = ebi_sizing_drop(s, e, flows);
    edge->needs = before + drop;
    outside += edge->outside ? drop : 0.0;
    if (edge->terminal == EBI_NONE || !(edge->flow[flows] > 0.0))
      continue;
    most = any ? fmax(most, edge->needs) : edge->needs;
    any = true;
  }
  *pressure = outside + most;
  return EB_OK;
}
