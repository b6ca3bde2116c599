/* ducts_explain.c - the steps behind the flows, openings and powers of a finished result */

#include "design/ducts_explain.h"

#include <string.h>

/* ---- Path ---- */

/* The run after `run` on the way to the unit, or EBI_NONE. */
static size_t towards_unit(const ebi_side *side, size_t run) {
  const ebi_side_run *own = &side->runs[run];
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

/* Runs from the index room or from outdoors to the unit, with the sum of their totals. */
typedef struct path {
  ebi_step *steps;
  size_t count;
  double pa;
} path;

static void follow(const ebi_explained *e, const ebi_side *side, size_t run, path *p) {
  while (run != EBI_NONE && p->count < side->n_runs) {
    size_t number = side->runs[run].number;
    p->steps[p->count++] = e->runs[number].total;
    p->pa += e->job->run_states[e->level][number].total_pa;
    run = towards_unit(side, run);
  }
}

static ebi_step explain_path(const ebi_explained *e, const ebi_side *side) {
  path p = {.steps = e->path};
  if (side->index != EBI_NONE)
    follow(e, side, side->terminals[side->index].run, &p);
  follow(e, side, outdoor_run(side), &p);
  return ebi_ledger_step(e->job->ledger, EBI_F_DUCT_PATH, NULL, p.pa, EBI_PRESSURE, p.steps,
                         p.count, "%s index path at %s", side->name, e->job->levels[e->level].name);
}

/* ---- Sides ---- */

/* Pressure of the index room, against which or with which the fan works. */
static ebi_step index_room(const ebi_explained *e, const ebi_side *side) {
  if (!e->job->house_air.known || side->index == EBI_NONE)
    return EBI_NO_STEP;
  return e->rooms[side->terminals[side->index].room];
}

static ebi_step explain_side(const ebi_explained *e, const ebi_side *side) {
  eb_ledger *ledger = e->job->ledger;
  const eb_level_state *at = &e->job->levels[e->level];
  const eb_side_state *state = side->supply ? &at->supply : &at->extract;
  ebi_step sum[] = {explain_path(e, side), index_room(e, side)};
  ebi_step rise = ebi_ledger_step(ledger, EBI_F_FAN_RISE, NULL, state->pressure_pa, EBI_PRESSURE,
                                  sum, 2, "%s fan rise at %s", side->name, at->name);
  ebi_step flow =
      ebi_ledger_step(ledger, EBI_F_DUCT_FLOW, NULL, state->flow_m3_s, EBI_FLOW,
                      &e->density[EB_EXTRACT], 1, "%s flow at %s", side->name, at->name);
  ebi_step duty[] = {rise, flow};
  ebi_step speed = ebi_ledger_step(ledger, EBI_F_FAN_SPEED, NULL, state->speed, EBI_RATIO, duty, 2,
                                   "%s fan speed at %s", side->name, at->name);
  ebi_ledger_step(ledger, EBI_F_FAN_SIGNAL, NULL, state->signal, EBI_RATIO, &speed, 1,
                  "%s signal at %s", side->name, at->name);
  ebi_step leak = EBI_NO_STEP;
  if (state->leakage_m3_s > 0.0)
    leak = ebi_ledger_step(ledger, EBI_F_DUCT_LEAKAGE, NULL, state->leakage_m3_s, EBI_FLOW, &rise,
                           1, "%s ducts leak at %s", side->name, at->name);
  ebi_ledger_step(ledger, EBI_F_FAN_SPARE, NULL, state->spare_pa, EBI_PRESSURE, duty, 2,
                  "%s fan has to spare at %s", side->name, at->name);
  ebi_ledger_step(ledger, EBI_F_FAN_MOST, NULL, state->most_m3_s, EBI_FLOW, NULL, 0,
                  "most %s at full speed at %s", side->name, at->name);
  ebi_step power_of[] = {flow, speed, leak};
  return ebi_ledger_step(ledger, EBI_F_FAN_POWER, NULL, state->fan_power_w, EBI_POWER, power_of, 3,
                         "%s fan power at %s", side->name, at->name);
}

/* ---- Rooms ---- */

/* The flow steps of a side's terminals, those of a room side by side: room r has
 * steps[start[r]] to steps[start[r + 1]]. */
static void sort_by_room(const ebi_explained *e, const ebi_side *side, size_t *start,
                         ebi_step *steps) {
  size_t n_rooms = e->job->rates->n_rooms;
  memset(start, 0, (n_rooms + 2) * sizeof *start);
  for (size_t t = 0; t < side->n_terminals; t++)
    start[side->terminals[t].room + 2]++;
  for (size_t r = 0; r < n_rooms; r++)
    start[r + 2] += start[r + 1];
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_terminal *terminal = &side->terminals[t];
    steps[start[terminal->room + 1]++] = e->runs[side->runs[terminal->run].number].flow;
  }
}

static eb_status explain_rooms(const ebi_explained *e, const ebi_side *side) {
  const ebi_ducts_job *job = e->job;
  size_t *start = EBI_NEW_ARRAY(job->scratch, size_t, job->rates->n_rooms + 2);
  ebi_step *steps = EBI_NEW_ARRAY(job->scratch, ebi_step, side->n_terminals);
  if (start == NULL || steps == NULL)
    return EB_E_MEMORY;
  sort_by_room(e, side, start, steps);
  for (size_t r = 0; r < job->rates->n_rooms; r++) {
    const eb_room_state *room = &job->room_states[e->level][r];
    const eb_delivered *got = side->supply ? &room->supply : &room->extract;
    if (got->served)
      ebi_ledger_step(job->ledger, EBI_F_DELIVERED, NULL, got->delivered_m3_s, EBI_FLOW,
                      &steps[start[r]], start[r + 1] - start[r], "%s %s delivered at %s",
                      room->name, side->name, job->levels[e->level].name);
  }
  return EB_OK;
}

/* ---- Openings ---- */

/* Why the index run is it. */
static void explain_index(const ebi_explained *e, const ebi_side *side) {
  if (!e->job->designing || side->runner_up == EBI_NONE)
    return;
  const ebi_terminal *next = &side->terminals[side->runner_up];
  ebi_ledger_step(e->job->ledger, EBI_F_DUCT_INDEX, NULL, side->runner_up_pa, EBI_PRESSURE, NULL, 0,
                  "what %s index run %s asks above the next %s", side->name,
                  ebi_side_index_run(side), side->runs[next->run].run->name);
}

/* At the set level, from what flows through the valve and what it takes up there. */
static void explain_openings(const ebi_explained *e, const ebi_side *side) {
  const ebi_ducts_job *job = e->job;
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_terminal *terminal = &side->terminals[t];
    const ebi_run *run = side->runs[terminal->run].run;
    const ebi_run_steps *steps = &e->runs[side->runs[terminal->run].number];
    ebi_step inputs[] = {steps->flow, steps->valve};
    double fixed;
    if (terminal->loss == NULL || terminal->idle)
      continue;
    if (!job->designing || ebi_terminal_fixed(side, terminal, job->levels[e->level].name, &fixed))
      ebi_ledger_input(job->ledger, run->valve.where, terminal->opening, EBI_NUMBER,
                       "opening of the valve of %s in %s", run->name,
                       run->valve.type->opening_unit);
    else
      ebi_ledger_step(job->ledger, EBI_F_DUCT_OPENING, NULL, terminal->opening, EBI_NUMBER, inputs,
                      2, "opening of the valve of %s in %s", run->name,
                      run->valve.type->opening_unit);
  }
}

/* ---- House ---- */

static void explain_house(const ebi_explained *e) {
  const ebi_ducts_job *job = e->job;
  const char *at = job->levels[e->level].name;
  for (size_t r = 0; job->house_air.known && r < job->house->n_rooms; r++) {
    const eb_room_state *room = &job->room_states[e->level][r];
    e->rooms[r] = ebi_ledger_step(job->ledger, EBI_F_ROOM_PRESSURE, NULL, room->pressure_pa,
                                  EBI_PRESSURE, NULL, 0, "pressure of %s at %s", room->name, at);
  }
}

static void explain_states(const ebi_explained *e) {
  const ebi_ducts_job *job = e->job;
  const eb_level_state *at = &job->levels[e->level];
  for (size_t i = 0; i < at->n_states; i++) {
    const eb_house_state *state = &at->states[i];
    ebi_ledger_step(job->ledger, EBI_F_HOUSE_STATE, NULL, state->supply_m3_s, EBI_FLOW, NULL, 0,
                    "supply at %s with %s", at->name, state->name);
    ebi_ledger_step(job->ledger, EBI_F_HOUSE_STATE, NULL, state->extract_m3_s, EBI_FLOW, NULL, 0,
                    "extract at %s with %s", at->name, state->name);
    if (job->house_air.known)
      ebi_ledger_step(job->ledger, EBI_F_HOUSE_STATE, NULL, state->pressure_pa, EBI_PRESSURE, NULL,
                      0, "pressure of %s at %s with %s", state->room, at->name, state->name);
  }
}

/* ---- Levels ---- */

static void explain_power(const ebi_explained *e, const ebi_step power[EBI_SIDES]) {
  const ebi_ducts_job *job = e->job;
  const eb_level_state *at = &job->levels[e->level];
  ebi_step parts[] = {power[EBI_SUPPLY_SIDE], power[EBI_EXTRACT_SIDE], e->standby};
  ebi_step unit = ebi_ledger_step(job->ledger, EBI_F_UNIT_POWER, NULL, at->power_w, EBI_POWER,
                                  parts, 3, "power at %s", at->name);
  ebi_ledger_step(job->ledger, EBI_F_SPECIFIC_FAN_POWER, NULL, at->specific_fan_power,
                  EBI_FAN_POWER, &unit, 1, "specific fan power at %s", at->name);
}

static eb_status explain_level(const ebi_explained *e) {
  const ebi_ducts_job *job = e->job;
  ebi_step power[EBI_SIDES] = {EBI_NO_STEP, EBI_NO_STEP};
  explain_house(e);
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    if (side->network == NULL)
      continue;
    ebi_explain_runs(e, side);
    power[s] = explain_side(e, side);
    if (explain_rooms(e, side) != EB_OK)
      return EB_E_MEMORY;
    if (job->levels[e->level].name != job->result->set_level)
      continue;
    explain_index(e, side);
    explain_openings(e, side);
  }
  explain_states(e);
  explain_power(e, power);
  return EB_OK;
}

eb_status ebi_ducts_explain(ebi_ducts_job *job) {
  if (job->ledger == NULL)
    return EB_OK;
  ebi_explained e = {.job = job};
  eb_status status = ebi_explain_start(&e);
  for (; status == EB_OK && e.level < job->result->n_levels; e.level++)
    status = explain_level(&e);
  return status != EB_OK ? status : ebi_ledger_status(job->ledger);
}
