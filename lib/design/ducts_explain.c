/* ducts_explain.c - the steps behind the numbers of a finished result */

#include <string.h>

#include "design/ducts.h"

/* ---- Runs ---- */

/* Steps of one run at one level; returns the step of its total. */
static ebi_step explain_run(const ebi_ducts_job *job, size_t run, size_t level) {
  const eb_run_state *state = &job->run_states[level][run];
  const char *name = job->house->runs[run].name, *at = job->levels[level].name;
  ebi_step length =
      ebi_ledger_input(job->ledger, job->house->runs[run].where, job->house->runs[run].length,
                       EBI_LENGTH, "length of %s", name);
  ebi_step flow = ebi_ledger_step(job->ledger, EBI_F_DUCT_FLOW, NULL, state->flow_m3_s, EBI_FLOW,
                                  NULL, 0, "flow in %s at %s", name, at);
  ebi_step of_duct[] = {length, flow};
  ebi_step parts[] = {ebi_ledger_step(job->ledger, EBI_F_DUCT_FRICTION, NULL, state->friction_pa,
                                      EBI_PRESSURE, of_duct, 2, "friction in %s at %s", name, at),
                      ebi_ledger_step(job->ledger, EBI_F_DUCT_FITTINGS, NULL, state->fittings_pa,
                                      EBI_PRESSURE, &flow, 1, "fittings of %s at %s", name, at),
                      ebi_ledger_step(job->ledger, EBI_F_DUCT_VALVE, NULL, state->valve_pa,
                                      EBI_PRESSURE, &flow, 1, "valve of %s at %s", name, at)};
  return ebi_ledger_step(job->ledger, EBI_F_DUCT_RUN, NULL, state->total_pa, EBI_PRESSURE, parts, 3,
                         "total of %s at %s", name, at);
}

/* ---- Path ---- */

/* The run after `run` on the way to the unit, or EBI_NONE. */
static size_t towards_unit(const ebi_side *side, size_t run) {
  const ebi_side_run *own = &side->runs[run];
  for (int at_to = 0; at_to < 2; at_to++) {
    const ebi_end *end = at_to ? &own->to : &own->from;
    if (end->kind == EBI_END_UNIT)
      return EBI_NONE;
  }
  const ebi_end *ends[] = {&own->from, &own->to};
  for (int i = 0; i < 2; i++) {
    if (ends[i]->kind != EBI_END_MEETING)
      continue;
    const ebi_meeting *meeting = &side->meetings[ends[i]->number];
    for (size_t e = 0; e < meeting->n_ends; e++)
      if (side->runs[meeting->ends[e] >> 1].distance < own->distance)
        return meeting->ends[e] >> 1;
  }
  return EBI_NONE;
}

static size_t outdoor_run(const ebi_side *side) {
  for (size_t i = 0; i < side->n_runs; i++)
    if (side->runs[i].from.kind == EBI_END_OUTDOORS || side->runs[i].to.kind == EBI_END_OUTDOORS)
      return i;
  return EBI_NONE;
}

typedef struct path {
  ebi_step *steps;
  size_t count;
  double pa;
} path;

static void follow(const ebi_side *side, size_t run, const ebi_step *totals, size_t level,
                   path *p) {
  while (run != EBI_NONE && p->count < side->n_runs) {
    size_t number = side->runs[run].number;
    p->steps[p->count++] = totals[number];
    p->pa += side->job->run_states[level][number].total_pa;
    run = towards_unit(side, run);
  }
}

/* ---- Sides and levels ---- */

static ebi_step explain_side(const ebi_side *side, size_t level, const ebi_step *totals,
                             ebi_step *steps) {
  eb_ledger *ledger = side->job->ledger;
  const eb_level_state *at = &side->job->levels[level];
  const eb_side_state *state = side->supply ? &at->supply : &at->extract;
  path p = {.steps = steps};
  if (side->index != EBI_NONE)
    follow(side, side->terminals[side->index].run, totals, level, &p);
  follow(side, outdoor_run(side), totals, level, &p);
  ebi_step sum = ebi_ledger_step(ledger, EBI_F_DUCT_PATH, NULL, p.pa, EBI_PRESSURE, p.steps,
                                 p.count, "%s index path at %s", side->name, at->name);
  ebi_step rise = ebi_ledger_step(ledger, EBI_F_FAN_RISE, NULL, state->pressure_pa, EBI_PRESSURE,
                                  &sum, 1, "%s fan rise at %s", side->name, at->name);
  ebi_step flow = ebi_ledger_step(ledger, EBI_F_DUCT_FLOW, NULL, state->flow_m3_s, EBI_FLOW, NULL,
                                  0, "%s flow at %s", side->name, at->name);
  ebi_step duty[] = {rise, flow};
  ebi_step speed = ebi_ledger_step(ledger, EBI_F_FAN_SPEED, NULL, state->speed, EBI_RATIO, duty, 2,
                                   "%s fan speed at %s", side->name, at->name);
  ebi_ledger_step(ledger, EBI_F_FAN_SIGNAL, NULL, state->signal, EBI_RATIO, &speed, 1,
                  "%s signal at %s", side->name, at->name);
  ebi_step power_of[] = {flow, speed};
  return ebi_ledger_step(ledger, EBI_F_FAN_POWER, NULL, state->fan_power_w, EBI_POWER, power_of, 2,
                         "%s fan power at %s", side->name, at->name);
}

static void explain_rooms(const ebi_ducts_job *job, const ebi_side *side, size_t level) {
  for (size_t r = 0; r < job->rates->n_rooms; r++) {
    const eb_room_state *room = &job->room_states[level][r];
    const eb_delivered *got = side->supply ? &room->supply : &room->extract;
    if (got->served)
      ebi_ledger_step(job->ledger, EBI_F_DELIVERED, NULL, got->delivered_m3_s, EBI_FLOW, NULL, 0,
                      "%s %s delivered at %s", room->name, side->name, job->levels[level].name);
  }
}

static void explain_power(const ebi_ducts_job *job, size_t level, const ebi_step power[2]) {
  const eb_level_state *at = &job->levels[level];
  ebi_step standby = ebi_ledger_input(job->ledger, job->house->unit_where,
                                      job->house->unit->standby, EBI_POWER, "standby of the unit");
  ebi_step parts[] = {power[0], power[1], standby};
  ebi_step unit = ebi_ledger_step(job->ledger, EBI_F_UNIT_POWER, NULL, at->power_w, EBI_POWER,
                                  parts, 3, "power at %s", at->name);
  ebi_ledger_step(job->ledger, EBI_F_SPECIFIC_FAN_POWER, NULL, at->specific_fan_power,
                  EBI_FAN_POWER, &unit, 1, "specific fan power at %s", at->name);
}

static void explain_openings(const ebi_ducts_job *job) {
  for (size_t t = 0; t < job->n_terminals; t++) {
    const eb_terminal *terminal = &job->terminals[t];
    if (job->designing && terminal->has_opening)
      ebi_ledger_step(job->ledger, EBI_F_DUCT_OPENING, NULL, terminal->opening, EBI_NUMBER, NULL, 0,
                      "opening of the valve of %s in %s", terminal->run, terminal->opening_unit);
  }
}

eb_status ebi_ducts_explain(ebi_ducts_job *job) {
  if (job->ledger == NULL)
    return EB_OK;
  ebi_step *totals = EBI_NEW_ARRAY(job->scratch, ebi_step, job->house->n_runs);
  ebi_step *steps = EBI_NEW_ARRAY(job->scratch, ebi_step, job->house->n_runs);
  if (totals == NULL || steps == NULL)
    return EB_E_MEMORY;
  for (size_t l = 0; l < job->result->n_levels; l++) {
    ebi_step power[EBI_SIDES] = {EBI_NO_STEP, EBI_NO_STEP};
    for (size_t i = 0; i < job->house->n_runs; i++)
      totals[i] = explain_run(job, i, l);
    for (int s = 0; s < EBI_SIDES; s++) {
      if (job->side[s].network == NULL)
        continue;
      power[s] = explain_side(&job->side[s], l, totals, steps);
      explain_rooms(job, &job->side[s], l);
    }
    explain_power(job, l, power);
  }
  explain_openings(job);
  return ebi_ledger_status(job->ledger);
}
