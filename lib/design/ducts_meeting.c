/* ducts_meeting.c - losses where runs meet each other, the unit or the open
 *
 * Two runs: a change of size, both ways, by a cone of 30 degrees in all. Where
 * air widens: Idelchik 2006, diag. 5-4. Where it narrows: SMACNA, HVAC Systems
 * Duct Design 1990, table 14-12 A, or the sudden contraction (Idelchik 2006,
 * diag. 4-9) where that is less.
 *
 * Three runs: a tee, its combined port towards the unit, its straight port the
 * run the house names, else the larger, else the first; tubes side by side
 * cannot meet in a tee, so there it is a box. The tee's run goes through in the
 * size of the combined port; a straight run of another size has a cone there.
 * Where the house says that no run goes straight on, the tee is a bull-head: its
 * branch towards the unit. More runs: a box.
 *
 * Box: air that leaves a run into it loses its velocity pressure (1.0, a dump
 * after Borda and Carnot), air that enters a run from it loses half (0.5, a
 * sharp entry); own model, a maker's sheet is better. The same holds for rooms
 * and the open air where the house gives no fitting. */

#include <math.h>
#include <string.h>

#include "design/ducts.h"

#define CONE_ANGLE 30.0 /* degrees, total */
#define DUMP 1.0
#define SHARP_ENTRY 0.5

/* ---- Coefficients at the end of one run ---- */

/* A loss at one end: `leaving` where air leaves the run there. */
static ebi_element end_element(double area, double parallel, bool at_to, double leaving,
                               double entering) {
  ebi_element element = {.kind = EBI_ELEMENT_LOSS, .parallel = parallel};
  element.as.loss.area = area;
  element.as.loss.forward = at_to ? leaving : entering;
  element.as.loss.backward = at_to ? entering : leaving;
  return element;
}

ebi_element ebi_open_end(const ebi_side_run *run, bool at_to) {
  return end_element(run->section.area, run->run->parallel, at_to, DUMP, SHARP_ENTRY);
}

/* Between the run and something of another area. */
static bool size_change(double own, double other, bool at_to, ebi_element *element) {
  double small = fmin(own, other), large = fmax(own, other);
  if (large - small <= 1e-9 * large)
    return false;
  double widening = ebi_expansion_conical(small, large, CONE_ANGLE);
  double narrowing = ebi_contraction_conical(small, large, CONE_ANGLE);
  bool widens = own < other; /* as air leaves the run */
  *element =
      end_element(small, 1.0, at_to, widens ? widening : narrowing, widens ? narrowing : widening);
  return true;
}

static bool spigot_change(const ebi_side *side, const ebi_side_run *run, bool at_to,
                          ebi_element *element) {
  double bore = side->job->house->unit->spigot[run->run->air];
  return bore > 0.0 && size_change(run->area, ebi_section_round(bore).area, at_to, element);
}

/* The smaller of two runs carries the loss of their reducer. */
static bool reducer(const ebi_side *side, const ebi_side_run *run, const ebi_meeting *meeting,
                    bool at_to, ebi_element *element) {
  size_t own = (size_t)(run - side->runs);
  size_t first = meeting->ends[0] >> 1, second = meeting->ends[1] >> 1;
  const ebi_side_run *other = &side->runs[first == own ? second : first];
  return run->area < other->area && size_change(run->area, other->area, at_to, element);
}

bool ebi_tee_is_bull_head(const ebi_meeting *meeting) {
  return meeting->given != NULL && meeting->given->bull_head;
}

/* The straight run of a tee carries the loss of its cone. */
static bool straight_change(const ebi_side *side, const ebi_side_run *run,
                            const ebi_meeting *meeting, bool at_to, ebi_element *element) {
  const ebi_side_run *combined = &side->runs[meeting->ends[0] >> 1];
  if (ebi_tee_is_bull_head(meeting) || &side->runs[meeting->ends[1] >> 1] != run)
    return false;
  return size_change(run->area, combined->area, at_to, element);
}

static bool meeting_loss(const ebi_side *side, const ebi_side_run *run, bool at_to,
                         const ebi_meeting *meeting, ebi_element *element) {
  switch (meeting->kind) {
  case EBI_MEETING_REDUCER:
    return reducer(side, run, meeting, at_to, element);
  case EBI_MEETING_BOX:
    *element = ebi_open_end(run, at_to);
    return true;
  case EBI_MEETING_TEE:
    return straight_change(side, run, meeting, at_to, element);
  case EBI_MEETING_PLAIN:
    return false;
  }
  return false;
}

bool ebi_end_loss(const ebi_side *side, const ebi_side_run *run, bool at_to, ebi_element *element) {
  const ebi_end *end = at_to ? &run->to : &run->from;
  switch (end->kind) {
  case EBI_END_UNIT:
    return spigot_change(side, run, at_to, element);
  case EBI_END_OUTDOORS:
    *element = ebi_open_end(run, at_to);
    return !ebi_run_has_end(run->run);
  case EBI_END_ROOM:
    return false; /* in the terminal's part */
  case EBI_END_MEETING:
    return meeting_loss(side, run, at_to, &side->meetings[end->number], element);
  }
  return false;
}

/* ---- Kind of meeting ---- */

static void too_many_for_tee(const ebi_side *side, const ebi_meeting *meeting) {
  ebi_diag(side->job->context, EB_WARNING, "junction-kind", meeting->given->where, NULL,
           "%s is said to be a tee, but %zu runs meet there: a tee joins three; taken as a %s",
           meeting->name, meeting->n_ends, meeting->n_ends == 2 ? "change of size" : "box");
}

static bool any_parallel(const ebi_side *side, const ebi_meeting *meeting) {
  for (size_t i = 0; i < meeting->n_ends; i++)
    if (side->runs[meeting->ends[i] >> 1].run->parallel > 1)
      return true;
  return false;
}

static bool said_to_be_tee(const ebi_meeting *meeting) {
  ebi_junction_kind given = meeting->given != NULL ? meeting->given->kind : EBI_JUNCTION_GUESS;
  return given == EBI_JUNCTION_TEE || given == EBI_JUNCTION_WYE;
}

ebi_meeting_kind ebi_meeting_find_kind(const ebi_side *side, const ebi_meeting *meeting) {
  if (said_to_be_tee(meeting) && meeting->n_ends > 1 && meeting->n_ends != 3)
    too_many_for_tee(side, meeting);
  return ebi_meeting_kind_of(side, meeting);
}

ebi_meeting_kind ebi_meeting_kind_of(const ebi_side *side, const ebi_meeting *meeting) {
  bool tee = said_to_be_tee(meeting);
  if (meeting->n_ends == 1)
    return EBI_MEETING_PLAIN;
  if (meeting->given != NULL && meeting->given->kind == EBI_JUNCTION_BOX)
    return EBI_MEETING_BOX;
  if (meeting->n_ends == 2)
    return EBI_MEETING_REDUCER;
  if (meeting->n_ends == 3 && (tee || !any_parallel(side, meeting)))
    return EBI_MEETING_TEE;
  return EBI_MEETING_BOX;
}

/* ---- Tees ---- */

/* Puts the port for which `before` holds against the others first. */
static void put_first(const ebi_side *side, size_t *ends, size_t count,
                      bool (*before)(const ebi_side_run *a, const ebi_side_run *b)) {
  size_t best = 0;
  for (size_t i = 1; i < count; i++)
    if (before(&side->runs[ends[i] >> 1], &side->runs[ends[best] >> 1]))
      best = i;
  size_t end = ends[best];
  memmove(ends + 1, ends, best * sizeof *ends);
  ends[0] = end;
}

static bool nearer_unit(const ebi_side_run *a, const ebi_side_run *b) {
  return a->distance < b->distance || (a->distance == b->distance && a->area > b->area);
}

static bool larger(const ebi_side_run *a, const ebi_side_run *b) {
  return a->area > b->area;
}

/* Moves the run the house calls straight to place 1. */
static eb_status straight_as_given(const ebi_side *side, const ebi_meeting *meeting,
                                   size_t *ports) {
  const char *name = meeting->given->straight;
  for (size_t i = 1; i < 3; i++)
    if (strcmp(side->runs[ports[i] >> 1].run->name, name) == 0) {
      size_t other = ports[3 - i];
      ports[1] = ports[i];
      ports[2] = other;
      return EB_OK;
    }
  const char *combined = side->runs[ports[0] >> 1].run->name;
  ebi_diag(side->job->context, EB_ERROR, "tee-straight", meeting->given->where, NULL,
           "the straight run of tee %s is said to be %s, which %s: write %s or %s", meeting->name,
           name, strcmp(name, combined) == 0 ? "is the run towards the unit" : "does not end there",
           side->runs[ports[1] >> 1].run->name, side->runs[ports[2] >> 1].run->name);
  return EB_E_INPUT;
}

eb_status ebi_tee_order_ports(const ebi_side *side, const ebi_meeting *meeting) {
  size_t *ports = meeting->ends;
  put_first(side, ports, 3, nearer_unit);
  put_first(side, ports + 1, 2, larger);
  if (meeting->given != NULL && meeting->given->straight != NULL)
    return straight_as_given(side, meeting, ports);
  return EB_OK;
}

double ebi_tee_angle(const ebi_meeting *meeting) {
  return meeting->given != NULL && meeting->given->angle > 0.0 ? meeting->given->angle : 90.0;
}

/* Nodes of a tee's ends; losses are booked from that of the first, towards the unit. */
static eb_status add_nodes(ebi_side *side, const ebi_meeting *meeting) {
  ebi_node first = EBI_NONE;
  for (size_t i = 0; i < 3; i++) {
    ebi_end *end = ebi_side_end(side, meeting->ends[i]);
    end->node = ebi_network_node(side->network, meeting->name);
    end->tee = first;
    first = i == 0 ? end->node : first;
    if (end->node == EBI_NONE)
      return EB_E_MEMORY;
  }
  return EB_OK;
}

ebi_tee_shape ebi_meeting_tee(const ebi_side *side, const ebi_meeting *meeting, size_t ports[3]) {
  static const size_t usual[3] = {0, 1, 2}, bull_head[3] = {1, 2, 0};
  bool stem = ebi_tee_is_bull_head(meeting);
  double area[3];
  for (size_t i = 0; i < 3; i++) {
    ports[i] = (stem ? bull_head : usual)[i];
    area[i] = side->runs[meeting->ends[ports[i]] >> 1].area;
  }
  return (ebi_tee_shape){.combined = area[0],
                         .straight = stem ? area[1] : area[0],
                         .branch = area[2],
                         .angle = stem ? 90.0 : ebi_tee_angle(meeting)};
}

static eb_status build_tee(ebi_side *side, ebi_meeting *meeting) {
  eb_status status = ebi_tee_order_ports(side, meeting);
  if (status == EB_OK)
    status = add_nodes(side, meeting);
  if (status != EB_OK)
    return status;
  size_t ports[3];
  ebi_node nodes[3];
  ebi_tee_shape shape = ebi_meeting_tee(side, meeting, ports);
  for (size_t i = 0; i < 3; i++)
    nodes[i] = ebi_side_end(side, meeting->ends[ports[i]])->node;
  meeting->tee = ebi_network_tee(side->network, meeting->name, nodes[0], nodes[1], nodes[2],
                                 side->runs[meeting->ends[0] >> 1].air, &shape);
  return meeting->tee == EBI_NONE ? EB_E_MEMORY : EB_OK;
}

eb_status ebi_meeting_build(ebi_side *side, ebi_meeting *meeting) {
  meeting->kind = ebi_meeting_find_kind(side, meeting);
  meeting->tee = EBI_NONE;
  if (meeting->kind == EBI_MEETING_TEE)
    return build_tee(side, meeting);
  ebi_node node = ebi_network_node(side->network, meeting->name);
  for (size_t i = 0; i < meeting->n_ends; i++)
    ebi_side_end(side, meeting->ends[i])->node = node;
  return node == EBI_NONE ? EB_E_MEMORY : EB_OK;
}
