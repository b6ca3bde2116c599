/* sizing_tree.c - a side as a tree of runs from the unit, with the flow of each
 *
 * The tree grows from the unit by the run with the most flow, so that in a loop the run
 * with the least is what closes it (Prim 1957). Where there is no loop the order does
 * not matter, and all flows follow from those of the terminals. */

#include <math.h>
#include <string.h>

#include "design/sizing.h"
#include "model/duct.h"

/* ---- One run with one of its sizes ---- */

/* Of equal runs at a tee the first of the file goes straight on, whatever was tried before. */
static void order_of_file(ebi_meeting *meeting) {
  for (size_t i = 1; i < meeting->n_ends; i++) {
    size_t end = meeting->ends[i], at = i;
    for (; at > 0 && meeting->ends[at - 1] > end; at--)
      meeting->ends[at] = meeting->ends[at - 1];
    meeting->ends[at] = end;
  }
}

static void settle_meeting(ebi_sizing_side *s, const ebi_end *end) {
  if (end->kind != EBI_END_MEETING)
    return;
  ebi_meeting *meeting = &s->side->meetings[end->number];
  order_of_file(meeting);
  meeting->kind = ebi_meeting_kind_of(s->side, meeting);
  if (meeting->kind == EBI_MEETING_TEE)
    (void)ebi_tee_order_ports(s->side, meeting); /* was good before */
}

void ebi_sizing_put(ebi_sizing_side *s, size_t number, size_t size) {
  ebi_size_edge *edge = &s->edges[number];
  ebi_side_run *run = &s->side->runs[edge->run];
  const ebi_size *put = &edge->sizes[size];
  edge->size = size;
  if (edge->open) {
    edge->copy.duct = *put->duct;
    edge->copy.parallel = put->tubes;
    edge->copy.sized = true;
    run->run = &edge->copy;
    run->section = ebi_duct_section(put->duct);
    run->area = put->area;
  }
  settle_meeting(s, &run->from);
  settle_meeting(s, &run->to);
}

/* ---- The tree ---- */

typedef struct growing {
  ebi_sizing_side *s;
  const double *flow; /* by run, or NULL: not known yet */
  bool *taken;        /* by run */
  size_t *reached;    /* edge that leads to a meeting; by meeting */
  bool *known;        /* by meeting */
  size_t *frontier;   /* ends that stand at what is reached */
  size_t n_frontier;
} growing;

static void offer(growing *g, size_t end) {
  if (!g->taken[end >> 1])
    g->frontier[g->n_frontier++] = end;
}

/* The end to grow from: most flow, else the first offered. EBI_NONE: done. */
static size_t take_next(growing *g) {
  size_t best = EBI_NONE;
  for (size_t i = 0; i < g->n_frontier; i++) {
    if (g->taken[g->frontier[i] >> 1])
      continue;
    if (best == EBI_NONE || (g->flow != NULL && fabs(g->flow[g->frontier[i] >> 1]) >
                                                    fabs(g->flow[g->frontier[best] >> 1])))
      best = i;
  }
  return best == EBI_NONE ? EBI_NONE : g->frontier[best];
}

static const ebi_run *written(const ebi_sizing_side *s, size_t run) {
  return &s->side->job->house->runs[s->side->runs[run].number];
}

static ebi_run_place place_of(const ebi_side_run *run) {
  ebi_end_kind from = run->from.kind, to = run->to.kind;
  if (from == EBI_END_ROOM || to == EBI_END_ROOM)
    return EBI_PLACE_TERMINAL;
  bool outer = from == EBI_END_UNIT || to == EBI_END_UNIT || from == EBI_END_OUTDOORS ||
               to == EBI_END_OUTDOORS;
  return outer ? EBI_PLACE_MAIN : EBI_PLACE_BRANCH;
}

static void add_edge(growing *g, size_t near_end) {
  ebi_sizing_side *s = g->s;
  const ebi_side_run *run = &s->side->runs[near_end >> 1];
  const ebi_end *near = ebi_side_end(s->side, near_end), *far = ebi_side_end(s->side, near_end ^ 1);
  size_t number = s->n_edges++;
  s->edges[number] =
      (ebi_size_edge){.run = near_end >> 1,
                      .near_end = near_end,
                      .parent = near->kind == EBI_END_MEETING ? g->reached[near->number] : EBI_NONE,
                      .terminal = EBI_NONE,
                      .outside = written(s, near_end >> 1)->air == s->side->outdoors,
                      .place = place_of(run),
                      .copy = *written(s, near_end >> 1),
                      .open = !written(s, near_end >> 1)->sized};
  s->edge_of[near_end >> 1] = number;
  g->taken[near_end >> 1] = true;
  if (far->kind != EBI_END_MEETING)
    return;
  if (g->known[far->number]) {
    s->edges[number].chord = s->looped = true;
    return;
  }
  g->known[far->number] = true;
  g->reached[far->number] = number;
  const ebi_meeting *meeting = &s->side->meetings[far->number];
  for (size_t i = 0; i < meeting->n_ends; i++)
    offer(g, meeting->ends[i]);
}

/* A run whose far end is reached already closes a loop: it waits until all others stand. */
static bool closes(const growing *g, size_t near_end) {
  const ebi_end *far = ebi_side_end(g->s->side, near_end ^ 1);
  return far->kind == EBI_END_MEETING && g->known[far->number];
}

static void grow(growing *g, bool outside) {
  ebi_sizing_side *s = g->s;
  g->n_frontier = 0;
  for (size_t e = 0; e < 2 * s->side->n_runs; e++)
    if (ebi_side_end(s->side, e)->kind == EBI_END_UNIT &&
        (written(s, e >> 1)->air == s->side->outdoors) == outside)
      offer(g, e);
  for (size_t end = take_next(g); end != EBI_NONE; end = take_next(g)) {
    if (closes(g, end)) {
      size_t kept = 0; /* its ends are offered again below */
      for (size_t i = 0; i < g->n_frontier; i++)
        if (g->frontier[i] >> 1 != end >> 1)
          g->frontier[kept++] = g->frontier[i];
      g->n_frontier = kept;
      continue;
    }
    add_edge(g, end);
  }
}

/* What is left closes loops. */
static void add_chords(growing *g) {
  ebi_sizing_side *s = g->s;
  for (size_t i = 0; i < s->side->n_runs; i++) {
    const ebi_side_run *run = &s->side->runs[i];
    if (g->taken[i] || run->distance == EBI_NONE)
      continue;
    bool from = run->from.kind == EBI_END_UNIT ||
                (run->from.kind == EBI_END_MEETING && g->known[run->from.number] &&
                 run->to.kind != EBI_END_UNIT);
    add_edge(g, 2 * i + (from ? 0 : 1));
  }
}

/* Several ways between unit and outdoors share the flow as a loop does. */
static bool ways_outdoors_meet(const ebi_side *side) {
  size_t ends = 0;
  for (size_t e = 0; e < 2 * side->n_runs; e++)
    ends += ebi_side_end(side, e)->kind == EBI_END_OUTDOORS ? 1 : 0;
  return ends > 1;
}

static eb_status plant(ebi_sizing_side *s, const double *flow) {
  ebi_arena *scratch = s->side->job->scratch;
  size_t n = s->side->n_runs, m = s->side->n_meetings;
  growing g = {.s = s,
               .flow = flow,
               .taken = EBI_NEW_ARRAY(scratch, bool, n),
               .reached = EBI_NEW_ARRAY(scratch, size_t, m),
               .known = EBI_NEW_ARRAY(scratch, bool, m),
               .frontier = EBI_NEW_ARRAY(scratch, size_t, 4 * n)};
  if (g.taken == NULL || g.reached == NULL || g.known == NULL || g.frontier == NULL)
    return EB_E_MEMORY;
  s->n_edges = 0;
  grow(&g, true);
  grow(&g, false);
  add_chords(&g);
  for (size_t t = 0; t < s->side->n_terminals; t++)
    s->edges[s->edge_of[s->side->terminals[t].run]].terminal = t;
  return EB_OK;
}

/* ---- Flows ---- */

static void find_flows(ebi_sizing_side *s, int flows, size_t level) {
  const ebi_side *side = s->side;
  s->flow[flows] = ebi_side_design(side, level);
  for (size_t e = 0; e < s->n_edges; e++) {
    ebi_size_edge *edge = &s->edges[e];
    edge->flow[flows] = edge->outside ? s->flow[flows] : 0.0;
    if (edge->terminal != EBI_NONE)
      edge->flow[flows] = ebi_terminal_design(side, &side->terminals[edge->terminal], level);
  }
  for (size_t e = s->n_edges; e-- > 0;) {
    const ebi_size_edge *edge = &s->edges[e];
    if (edge->parent != EBI_NONE && !edge->outside)
      s->edges[edge->parent].flow[flows] += edge->flow[flows];
  }
}

static size_t level_named(const ebi_ducts_job *job, const char *name) {
  for (size_t l = 0; l < job->rates->n_levels; l++)
    if (strcmp(job->rates->levels[l], name) == 0)
      return l;
  return 0;
}

static void find_all_flows(ebi_sizing_side *s) {
  const ebi_ducts_job *job = s->side->job;
  find_flows(s, EBI_DESIGN_FLOW, level_named(job, job->house->set_level));
  find_flows(s, EBI_BOOST_FLOW, level_named(job, "boost"));
}

/* Room for all that a run may pass: its own, both ends and the weight of its air. */
static bool make_room(ebi_sizing_side *s) {
  size_t most = 0;
  for (size_t i = 0; i < s->side->n_runs; i++)
    most = s->side->runs[i].run->n_fittings > most ? s->side->runs[i].run->n_fittings : most;
  s->elements = EBI_NEW_ARRAY(s->side->job->scratch, ebi_element, most + 6);
  return s->elements != NULL;
}

/* The straight run of a tee is looked for once with its problems told; later it is good. */
static eb_status check_tees(ebi_side *side) {
  for (size_t m = 0; m < side->n_meetings; m++) {
    ebi_meeting *meeting = &side->meetings[m];
    meeting->kind = ebi_meeting_kind_of(side, meeting);
    bool tee = meeting->n_ends == 3 && meeting->given != NULL && meeting->given->straight != NULL;
    if (tee && ebi_tee_order_ports(side, meeting) != EB_OK)
      return EB_E_INPUT;
  }
  return EB_OK;
}

/* Flows round the loops with medium sizes, by which limits are judged. */
static eb_status solve_medium(ebi_sizer *sizer, ebi_sizing_side *s) {
  double pressure;
  eb_status status = ebi_sizing_sizes(sizer, s);
  for (size_t e = 0; status == EB_OK && e < s->n_edges; e++)
    ebi_sizing_put(s, e, s->edges[e].n_sizes / 2);
  for (int flows = EBI_FLOWS; status == EB_OK && flows-- > 0;)
    status = ebi_sizing_solve_loops(s, flows, &pressure);
  return status;
}

/* Again by those flows, which break each loop where it has the least. */
static eb_status plant_looped(ebi_sizer *sizer, ebi_sizing_side *s) {
  double *flow = EBI_NEW_ARRAY(s->side->job->scratch, double, s->side->n_runs);
  eb_status status = flow == NULL ? EB_E_MEMORY : solve_medium(sizer, s);
  for (size_t e = 0; status == EB_OK && e < s->n_edges; e++)
    flow[s->edges[e].run] = s->edges[e].flow[EBI_DESIGN_FLOW];
  if (status == EB_OK)
    status = plant(s, flow);
  if (status != EB_OK)
    return status;
  find_all_flows(s);
  return solve_medium(sizer, s);
}

eb_status ebi_sizing_tree(ebi_sizer *sizer, ebi_sizing_side *s) {
  ebi_arena *scratch = s->side->job->scratch;
  s->edges = EBI_NEW_ARRAY(scratch, ebi_size_edge, s->side->n_runs);
  s->edge_of = EBI_NEW_ARRAY(scratch, size_t, s->side->n_runs);
  if (s->edges == NULL || s->edge_of == NULL || !make_room(s))
    return EB_E_MEMORY;
  eb_status status = check_tees(s->side);
  if (status == EB_OK)
    status = plant(s, NULL);
  if (status != EB_OK)
    return status;
  s->looped = s->looped || ways_outdoors_meet(s->side);
  find_all_flows(s);
  if (s->looped)
    status = plant_looped(sizer, s);
  for (size_t e = 0; e < s->n_edges; e++)
    s->n_open += s->edges[e].open ? 1 : 0;
  return status == EB_OK ? ebi_sizing_sizes(sizer, s) : status;
}
