/* ducts_result.c - what the operating solves gave, written down
 *
 * The loss of a tee is booked on its straight and its branch run, so that the
 * totals of the runs along any path add up to the rise of the fan. */

#include <math.h>

#include "base/text.h"
#include "design/ducts.h"

/* ---- Room for the result ---- */

static const char *copy(const ebi_ducts_job *job, const char *text, bool *failed) {
  char *own = ebi_arena_text(job->arena, text);
  *failed = *failed || own == NULL;
  return own;
}

static eb_run_info *run_infos(const ebi_ducts_job *job, bool *failed) {
  const eb_house *house = job->house;
  eb_run_info *infos = EBI_NEW_ARRAY(job->arena, eb_run_info, house->n_runs);
  for (size_t i = 0; infos != NULL && i < house->n_runs; i++) {
    const ebi_run *run = job->runs[i];
    bool round = run->duct.shape == EBI_ROUND;
    infos[i] = (eb_run_info){.name = copy(job, run->name, failed),
                             .air = run->air,
                             .bore_m = round ? run->duct.bore : 0.0,
                             .width_m = round ? 0.0 : run->duct.width,
                             .height_m = round ? 0.0 : run->duct.height,
                             .parallel = run->parallel,
                             .length_m = run->length,
                             .duct = copy(job, run->duct.name, failed),
                             .from = copy(job, run->from, failed),
                             .to = copy(job, run->to, failed)};
  }
  *failed = *failed || infos == NULL;
  return infos;
}

size_t ebi_ducts_rate_level(const ebi_ducts_job *job, const char *name) {
  for (size_t l = 0; l < job->rates->n_levels; l++)
    if (ebi_text_equal(job->rates->levels[l], name))
      return l;
  return EBI_NONE;
}

/* Rooms of a level with what they should get; `names` are shared by all levels. */
static eb_room_state *room_states(const ebi_ducts_job *job, const char *const *names,
                                  size_t level) {
  const eb_rates *rates = job->rates;
  eb_room_state *rooms = EBI_NEW_ARRAY(job->arena, eb_room_state, rates->n_rooms);
  for (size_t r = 0; rooms != NULL && r < rates->n_rooms; r++) {
    const eb_duty *supply = rates->rooms[r].supply, *extract = rates->rooms[r].extract;
    rooms[r].name = names[r];
    rooms[r].supply_c = NAN;
    if (supply != NULL && level != EBI_NONE)
      rooms[r].supply = (eb_delivered){.required_m3_s = supply[level].required_m3_s,
                                       .design_m3_s = supply[level].design_m3_s};
    if (extract != NULL && level != EBI_NONE)
      rooms[r].extract = (eb_delivered){.required_m3_s = extract[level].required_m3_s,
                                        .design_m3_s = extract[level].design_m3_s};
  }
  return rooms;
}

static void new_levels(ebi_ducts_job *job, const char *const *levels, size_t count, bool *failed) {
  const char **names = EBI_NEW_ARRAY(job->arena, const char *, job->rates->n_rooms);
  size_t *of_rates = EBI_NEW_ARRAY(job->scratch, size_t, count);
  job->levels = EBI_NEW_ARRAY(job->arena, eb_level_state, count);
  job->room_states = EBI_NEW_ARRAY(job->scratch, eb_room_state *, count);
  job->run_states = EBI_NEW_ARRAY(job->scratch, eb_run_state *, count);
  job->house_states = EBI_NEW_ARRAY(job->scratch, eb_house_state *, count);
  job->n_states = ebi_states_count(job);
  if (names == NULL || of_rates == NULL || job->levels == NULL || job->room_states == NULL ||
      job->run_states == NULL || job->house_states == NULL) {
    *failed = true;
    return;
  }
  for (size_t r = 0; r < job->rates->n_rooms; r++)
    names[r] = copy(job, job->rates->rooms[r].name, failed);
  for (size_t l = 0; l < count; l++) {
    eb_level_state *level = &job->levels[l];
    of_rates[l] = ebi_ducts_rate_level(job, levels[l]);
    level->name = copy(job, levels[l], failed);
    job->room_states[l] = room_states(job, names, of_rates[l]);
    job->run_states[l] = EBI_NEW_ARRAY(job->arena, eb_run_state, job->house->n_runs);
    job->house_states[l] = EBI_NEW_ARRAY(job->arena, eb_house_state, job->n_states);
    level->rooms = job->room_states[l];
    level->runs = job->run_states[l];
    level->states = job->house_states[l];
    level->n_states = job->n_states;
    level->supply.index_run = level->extract.index_run = "";
    *failed = *failed || level->rooms == NULL || level->runs == NULL || level->states == NULL;
  }
  job->rate_level = of_rates;
}

eb_status ebi_ducts_result_new(ebi_ducts_job *job, const char *const *levels, size_t count) {
  bool failed = false;
  eb_ducts *result = job->result;
  new_levels(job, levels, count, &failed);
  job->terminals = EBI_NEW_ARRAY(job->arena, eb_terminal, job->n_terminals);
  result->runs = run_infos(job, &failed);
  if (failed || job->terminals == NULL)
    return EB_E_MEMORY;
  result->n_runs = job->house->n_runs;
  result->levels = job->levels;
  result->n_levels = count;
  result->terminals = job->terminals;
  result->n_terminals = job->n_terminals;
  result->n_rooms = job->rates->n_rooms;
  result->set_level = result->n_levels > 0 ? job->levels[0].name : "";
  result->controller = job->house->unit->controller;
  for (size_t l = 0; l < count; l++)
    if (ebi_text_equal(job->levels[l].name, job->house->set_level))
      result->set_level = job->levels[l].name;
  return EB_OK;
}

/* ---- Runs ---- */

/* Drop over the tee at one end of a run, along the run. */
static double tee_drop(const ebi_side *side, const ebi_end *end, bool at_to) {
  if (end->tee == EBI_NONE)
    return 0.0;
  const double *pressure = side->job->solution.pressure;
  double drop = pressure[end->tee] - pressure[end->node];
  return at_to ? -drop : drop;
}

/* Friction of one metre, also where the run's own length is taken up by fittings. */
static double friction_per_m(const ebi_side_run *run, double flow) {
  ebi_element duct = ebi_run_duct(run, 1.0);
  return ebi_element_drop(&duct, run->air, flow).pa;
}

static void record_run(const ebi_side *side, const ebi_side_run *run, eb_run_state *state) {
  ebi_air_state air = run->air;
  double flow_ref = side->job->solution.flow_ref[run->part];
  double flow = ebi_ducts_actual(flow_ref, air.density), velocity = flow / run->area;
  size_t count;
  const ebi_element *elements = ebi_network_elements(side->network, run->part, &count);
  *state = (eb_run_state){.flow_m3_s = flow, .flow_ref_m3_s = flow_ref, .velocity_m_s = velocity};
  state->reynolds = fabs(velocity) * run->section.hydraulic * air.density / air.viscosity;
  state->friction_pa_per_m = friction_per_m(run, flow);
  for (size_t i = 0; i < count; i++) {
    double drop = ebi_element_drop(&elements[i], air, flow).pa;
    if (elements[i].kind == EBI_ELEMENT_DUCT)
      state->friction_pa += drop;
    else if (elements[i].kind != EBI_ELEMENT_SOURCE)
      state->fittings_pa += drop;
  }
  state->fittings_pa += tee_drop(side, &run->from, false) + tee_drop(side, &run->to, true);
  ebi_ducts_record_heat(side, run, state);
  state->leakage_m3_s = ebi_ducts_actual(ebi_run_leakage(side->job, run), air.density);
}

static void record_terminal(const ebi_side *side, const ebi_terminal *terminal,
                            eb_run_state *runs) {
  eb_run_state *state = &runs[side->runs[terminal->run].number];
  double flow = ebi_terminal_flow(side, terminal);
  if (terminal->idle)
    return;
  state->valve_pa = ebi_valve_drop(side, terminal, flow);
  state->fittings_pa += ebi_terminal_drop(side, terminal, flow) - state->valve_pa;
}

/* ---- Sides and rooms ---- */

static void record_rooms(const ebi_side *side, eb_room_state *rooms) {
  for (size_t t = 0; t < side->n_terminals; t++) {
    size_t r = side->terminals[t].room;
    eb_delivered *room = side->supply ? &rooms[r].supply : &rooms[r].extract;
    room->served = true;
    room->delivered_m3_s = ebi_ducts_room_flow(side->job, side->room_flow[r]);
  }
}

/* Shaft and motor of this side; half where the sheet gives both fans together; 0 where its
 * columns do not reach. */
static double fan_power(const ebi_side *side, double speed) {
  const ebi_unit *unit = side->job->house->unit;
  bool both = (side->supply ? &unit->supply_fan : &unit->extract_fan)->power_both;
  double flow = ebi_ducts_actual(side->fan_flow, side->fan_air.density);
  double power = ebi_fan_power(side->fan, flow, speed, side->fan_air.density);
  return isfinite(power) && !ebi_side_beyond(side, speed) ? power * (both ? 0.5 : 1.0) : 0.0;
}

static const char *run_name(const ebi_side *side) {
  if (side->index == EBI_NONE)
    return "";
  return side->job->result->runs[side->runs[side->terminals[side->index].run].number].name;
}

/* Of all ducts of a side, in or out, at the room's air state. */
static double leakage_of(const ebi_side *side) {
  double sum = 0.0;
  for (size_t i = 0; i < side->n_runs; i++)
    sum += fabs(ebi_run_leakage(side->job, &side->runs[i]));
  return ebi_ducts_room_flow(side->job, sum);
}

static void record_side(const ebi_side *side, const ebi_duty *duty, eb_side_state *state) {
  const ebi_ducts_job *job = side->job;
  double rise = ebi_side_rise(side), asked = ebi_side_asked(side);
  *state = (eb_side_state){.flow_m3_s = ebi_ducts_room_flow(job, side->total),
                           .flow_ref_m3_s = side->total,
                           .pressure_pa = rise,
                           .signal = ebi_side_signal(side, duty->speed),
                           .speed = duty->speed,
                           .fan_power_w = fan_power(side, duty->speed),
                           .index_run = run_name(side),
                           .fan_flow_m3_s = ebi_ducts_actual(side->fan_flow, side->fan_air.density),
                           .leakage_m3_s = leakage_of(side),
                           .spare_pa = fmax(ebi_side_available(side, side->fan_flow) - asked, 0.0),
                           .limited = duty->too_weak};
}

static void record_runs(const ebi_side *side, eb_run_state *runs) {
  for (size_t i = 0; i < side->n_runs; i++)
    record_run(side, &side->runs[i], &runs[side->runs[i].number]);
  for (size_t t = 0; t < side->n_terminals; t++)
    record_terminal(side, &side->terminals[t], runs);
  for (size_t i = 0; i < side->n_runs; i++) {
    eb_run_state *run = &runs[side->runs[i].number];
    run->total_pa = run->friction_pa + run->fittings_pa + run->valve_pa - run->stack_pa;
  }
}

void ebi_ducts_record(ebi_ducts_job *job, size_t level, const ebi_duty duties[EBI_SIDES]) {
  eb_level_state *state = &job->levels[level];
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    if (side->network == NULL)
      continue;
    record_runs(side, job->run_states[level]);
    record_rooms(side, job->room_states[level]);
    ebi_ducts_record_supply(side, job->room_states[level]);
    record_side(side, &duties[s], s == EBI_SUPPLY_SIDE ? &state->supply : &state->extract);
  }
  for (size_t r = 0; job->house_air.known && r < job->house->n_rooms; r++)
    job->room_states[level][r].pressure_pa = ebi_room_pressure(job, r);
  if (job->house_air.known)
    state->house_pressure_pa = job->solution.pressure[job->house_air.common];
}

/* ---- The whole ---- */

static bool power_known(const ebi_ducts_job *job, const eb_level_state *level) {
  return (job->side[EBI_SUPPLY_SIDE].network == NULL || level->supply.fan_power_w > 0.0) &&
         (job->side[EBI_EXTRACT_SIDE].network == NULL || level->extract.fan_power_w > 0.0);
}

/* Power stays 0 where the unit's sheet does not give it; a finding says so. */
static void complete_level(const ebi_ducts_job *job, eb_level_state *level) {
  double flow = fmax(level->supply.flow_ref_m3_s, level->extract.flow_ref_m3_s);
  if (!power_known(job, level))
    return;
  level->power_w =
      level->supply.fan_power_w + level->extract.fan_power_w + job->house->unit->standby;
  level->specific_fan_power = flow > 0.0 ? level->power_w / flow : 0.0;
}

static void complete_terminal(const ebi_side *side, size_t number, const eb_run_state *runs) {
  const ebi_ducts_job *job = side->job;
  const ebi_terminal *terminal = &side->terminals[number];
  const ebi_side_run *run = &side->runs[terminal->run];
  const ebi_valve *type = run->run->valve.type;
  eb_terminal *out = &job->terminals[terminal->order];
  out->run = job->result->runs[run->number].name;
  out->room = job->levels[0].rooms[terminal->room].name;
  out->has_opening = type != NULL && !terminal->idle;
  out->opening = out->has_opening ? terminal->opening : 0.0;
  out->valve_pa = runs[run->number].valve_pa;
  out->index = number == side->index;
}

static eb_status name_valve(const ebi_side *side, const ebi_terminal *terminal) {
  const ebi_ducts_job *job = side->job;
  const ebi_valve *type = side->runs[terminal->run].run->valve.type;
  bool failed = false;
  eb_terminal *out = &job->terminals[terminal->order];
  out->valve = type == NULL ? "" : copy(job, type->entry.name, &failed);
  out->opening_unit = type == NULL ? "" : copy(job, type->opening_unit, &failed);
  return failed ? EB_E_MEMORY : EB_OK;
}

eb_status ebi_ducts_complete(ebi_ducts_job *job) {
  size_t set = 0;
  for (size_t l = 0; l < job->result->n_levels; l++) {
    complete_level(job, &job->levels[l]);
    if (job->levels[l].name == job->result->set_level)
      set = l;
  }
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    for (size_t t = 0; t < side->n_terminals; t++) {
      complete_terminal(side, t, job->levels[set].runs);
      if (name_valve(side, &side->terminals[t]) != EB_OK)
        return EB_E_MEMORY;
    }
  }
  return EB_OK;
}
