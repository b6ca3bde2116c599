/* ducts_balance.c - valve openings from the flows that are wanted
 *
 * With the flow of every terminal given, the pressures before the valves follow
 * from the ducts alone, in loops too, and those of the rooms from doors and
 * envelope. The terminal that needs the largest rise with its valve fully open is
 * the index terminal and stays so; each other valve takes up what is to spare. That
 * is the least fan power a tree allows.
 *
 * A fan that turns in steps raises more than is asked of it: then every valve takes up
 * that too.
 *
 * What the ducts leak goes with their pressures, and so with which terminal is the
 * index: where they leak it is looked for until it stays. */

#include <math.h>

#include "design/ducts.h"

/* A terminal without a valve to turn is told of where it gets this much too much pressure. */
#define SPARE_PA 0.1
#define SPARE_SHARE 0.01

#define INDEX_ROUNDS 8

/* ---- Design flows ---- */

static const eb_duty *duty_of(const ebi_side *side, size_t room, size_t level) {
  const eb_room_rates *rates = &side->job->rates->rooms[room];
  const eb_duty *duty = side->supply ? rates->supply : rates->extract;
  return duty == NULL || level == EBI_NONE ? NULL : &duty[level];
}

double ebi_room_design(const ebi_side *side, size_t room, size_t level) {
  const eb_duty *duty = duty_of(side, room, level);
  return duty == NULL ? 0.0 : ebi_ducts_ref(side->job, duty->design_m3_s);
}

double ebi_room_required(const ebi_side *side, size_t room, size_t level) {
  const eb_duty *duty = duty_of(side, room, level);
  return duty == NULL ? 0.0 : ebi_ducts_ref(side->job, duty->required_m3_s);
}

double ebi_terminal_design(const ebi_side *side, const ebi_terminal *terminal, size_t level) {
  return terminal->idle ? 0.0 : terminal->share * ebi_room_design(side, terminal->room, level);
}

double ebi_side_design(const ebi_side *side, size_t level) {
  double total = 0.0;
  for (size_t t = 0; t < side->n_terminals; t++)
    total += ebi_terminal_design(side, &side->terminals[t], level);
  return total;
}

/* ---- Drops at a terminal ---- */

static double drop_of(const ebi_side *side, const ebi_terminal *terminal, double flow_ref,
                      bool valve_only) {
  size_t count;
  const ebi_element *elements = ebi_network_elements(side->network, terminal->part, &count);
  ebi_air_state air = ebi_terminal_air(side, terminal);
  double flow = ebi_ducts_actual(flow_ref, air.density), drop = 0.0;
  for (size_t i = 0; i < count; i++)
    if (!valve_only || i == terminal->valve)
      drop += ebi_element_drop(&elements[i], air, flow).pa;
  return drop;
}

double ebi_terminal_drop(const ebi_side *side, const ebi_terminal *terminal, double flow_ref) {
  return drop_of(side, terminal, flow_ref, false);
}

double ebi_valve_drop(const ebi_side *side, const ebi_terminal *terminal, double flow_ref) {
  return drop_of(side, terminal, flow_ref, true);
}

/* ---- What each terminal needs ---- */

typedef struct need {
  double flow; /* ref */
  double path; /* Pa between the unit and the valve, with that of the room */
  double rise; /* Pa in all with the valve as open as it can be */
} need;

static double path_of(const ebi_side *side, const ebi_terminal *terminal) {
  const ebi_side_run *run = &side->runs[terminal->run];
  const double *pressure = side->job->solution.pressure;
  double room = ebi_room_pressure(side->job, terminal->room);
  return side->supply ? pressure[side->unit_out] - pressure[run->to.node] + room
                      : pressure[run->from.node] - pressure[side->unit_in] - room;
}

static void find_index(ebi_side *side, const need *needs) {
  side->index = side->runner_up = EBI_NONE;
  for (size_t t = 0; t < side->n_terminals; t++) {
    if (needs[t].flow <= 0.0)
      continue;
    if (side->index == EBI_NONE || needs[t].rise > needs[side->index].rise) {
      side->runner_up = side->index;
      side->index = t;
    } else if (side->runner_up == EBI_NONE || needs[t].rise > needs[side->runner_up].rise) {
      side->runner_up = t;
    }
  }
  if (side->runner_up != EBI_NONE)
    side->runner_up_pa = needs[side->index].rise - needs[side->runner_up].rise;
}

static void find_needs(ebi_side *side, need *needs) {
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_terminal *terminal = &side->terminals[t];
    if (needs[t].flow <= 0.0)
      continue;
    needs[t].path = path_of(side, terminal);
    needs[t].rise = needs[t].path + ebi_terminal_drop(side, terminal, needs[t].flow);
  }
  find_index(side, needs);
}

/* ---- Openings ---- */

static const char *room_name(const ebi_side *side, const ebi_terminal *terminal) {
  return side->job->house->rooms[terminal->room].name;
}

static void too_far_closed(const ebi_side *side, const ebi_terminal *terminal, double wanted,
                           double spare) {
  const ebi_run *run = side->runs[terminal->run].run;
  ebi_diag(side->job->context, EB_WARNING, "valve-closed", run->where, NULL,
           "the valve of run %s (%s) would have to be closed further than its smallest opening "
           "of %.4g %s to take up %.1f Pa: a restrictor is needed, or %s gets more than its %.1f "
           "l/s",
           run->name, room_name(side, terminal), ebi_curve_first(terminal->loss),
           run->valve.type->opening_unit, spare, room_name(side, terminal),
           1e3 * ebi_ducts_room_flow(side->job, wanted));
}

static void cannot_balance(const ebi_side *side, const ebi_terminal *terminal, const need *own,
                           double spare) {
  const ebi_run *run = side->runs[terminal->run].run;
  ebi_diag(side->job->context, EB_WARNING, "cannot-balance", run->where, NULL,
           "run %s (%s) %s to take up the %.1f Pa it has to spare against the index run %s: it "
           "gets more than its %.1f l/s",
           run->name, room_name(side, terminal),
           terminal->loss == NULL ? "has no valve" : "has a fixed opening and cannot be turned",
           spare, ebi_side_index_run(side), 1e3 * ebi_ducts_room_flow(side->job, own->flow));
}

/* q = k sqrt(dp 1.2/rho) turned round. */
static double k_for(const ebi_side *side, const ebi_terminal *terminal, double flow_ref,
                    double drop) {
  double density = ebi_terminal_air(side, terminal).density;
  double flow = ebi_ducts_actual(flow_ref, density);
  return flow * sqrt(density / (EB_REFERENCE_DENSITY * drop));
}

static void set_opening(ebi_side *side, ebi_terminal *terminal, const need *own, double rise) {
  double fixed =
      ebi_terminal_drop(side, terminal, own->flow) - ebi_valve_drop(side, terminal, own->flow);
  double spare = rise - own->path - fixed;
  bool clipped = false;
  terminal->opening =
      ebi_curve_inverse(terminal->loss, k_for(side, terminal, own->flow, spare), &clipped);
  if (clipped && terminal->opening <= ebi_curve_first(terminal->loss))
    too_far_closed(side, terminal, own->flow, spare);
}

static bool can_turn(const ebi_side *side, const ebi_terminal *terminal, const char *level) {
  double opening;
  return terminal->loss != NULL && !ebi_terminal_fixed(side, terminal, level, &opening) &&
         ebi_curve_first(terminal->loss) < ebi_curve_last(terminal->loss);
}

static void open_fully(ebi_side *side, const char *level) {
  for (size_t t = 0; t < side->n_terminals; t++) {
    ebi_terminal *terminal = &side->terminals[t];
    if (terminal->loss == NULL)
      continue;
    if (!ebi_terminal_fixed(side, terminal, level, &terminal->opening))
      terminal->opening = ebi_curve_last(terminal->loss);
  }
  ebi_side_set_valves(side, level);
}

static void take_up(ebi_side *side, const need *needs, const char *level) {
  double surplus = ebi_side_step_surplus(side), rise = needs[side->index].rise + surplus;
  for (size_t t = 0; t < side->n_terminals; t++) {
    ebi_terminal *terminal = &side->terminals[t];
    double spare = rise - needs[t].rise;
    if ((t == side->index && !(surplus > 0.0)) || terminal->idle)
      continue;
    if (can_turn(side, terminal, level) && needs[t].flow <= 0.0)
      terminal->opening = ebi_curve_first(terminal->loss);
    else if (can_turn(side, terminal, level))
      set_opening(side, terminal, &needs[t], rise);
    else if (spare > fmax(SPARE_PA, SPARE_SHARE * rise))
      cannot_balance(side, terminal, &needs[t], spare);
  }
  ebi_side_set_valves(side, level);
}

static void say_loops(const ebi_side *side) {
  if (side->looped)
    ebi_diag(side->job->context, EB_NOTE, "loops", side->job->house->where, NULL,
             "the %s ducts form loops: the air finds its own way round them, the valve of the "
             "index run %s stays fully open and the others take up what is to spare",
             side->name, ebi_side_index_run(side));
}

/* ---- Both sides ---- */

typedef struct plan {
  need *needs[EBI_SIDES];
  double *flows[EBI_SIDES];
} plan;

static eb_status make_plan(ebi_ducts_job *job, size_t level, plan *p) {
  *p = (plan){{NULL, NULL}, {NULL, NULL}};
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    if (side->network == NULL)
      continue;
    p->needs[s] = EBI_NEW_ARRAY(job->scratch, need, side->n_terminals);
    p->flows[s] = EBI_NEW_ARRAY(job->scratch, double, side->n_terminals);
    if (p->needs[s] == NULL || p->flows[s] == NULL)
      return EB_E_MEMORY;
    for (size_t t = 0; t < side->n_terminals; t++) {
      p->flows[s][t] = p->needs[s][t].flow = ebi_terminal_design(side, &side->terminals[t], level);
      if (side->index == EBI_NONE && p->flows[s][t] > 0.0)
        side->index = t; /* until it is known */
    }
    open_fully(side, job->rates->levels[level]);
  }
  return EB_OK;
}

/* Pressures for the flows, and the index of either side. Two that ask the same may take turns:
 * then either is it. */
static eb_status find_pressures(ebi_ducts_job *job, plan *p) {
  bool leaks =
      ebi_side_leaks(&job->side[EBI_SUPPLY_SIDE]) || ebi_side_leaks(&job->side[EBI_EXTRACT_SIDE]);
  bool again = true;
  for (int round = 0; again && round < INDEX_ROUNDS; round++) {
    eb_status status = ebi_ducts_prescribe(job, p->flows, leaks && round == 0);
    if (status != EB_OK)
      return status;
    again = leaks && round == 0;
    for (int s = 0; s < EBI_SIDES; s++) {
      ebi_side *side = &job->side[s];
      size_t before = side->index;
      if (side->network == NULL)
        continue;
      find_needs(side, p->needs[s]);
      again = again || (side->index != before && ebi_side_leaks(side));
    }
  }
  return EB_OK;
}

eb_status ebi_ducts_balance(ebi_ducts_job *job, size_t level) {
  plan p;
  eb_status status = make_plan(job, level, &p);
  if (status == EB_OK)
    status = find_pressures(job, &p);
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    if (side->network == NULL)
      continue;
    say_loops(side);
    if (side->index != EBI_NONE)
      take_up(side, p.needs[s], job->rates->levels[level]);
  }
  return status;
}

const char *ebi_side_index_run(const ebi_side *side) {
  if (side->index == EBI_NONE)
    return "";
  return side->runs[side->terminals[side->index].run].run->name;
}
