/* ducts_states.c - the house with something changed: loaded filters, hoods that run
 *
 * The valves and what the controller keeps stay as a level has them: each fan its
 * speed, its flow or its pressure, as the unit's sheet says. An appliance with a curve
 * moves what its fan and its duct let it against the pressure of its room; where no flow
 * outward is left its flap is taken as shut. One without a curve moves its flow
 * whatever the pressure. The air has the temperatures of the level. */

#include "design/combustion.h"
#include "design/ducts.h"
#include "design/unit_fan.h"

#include <math.h>

/* ---- Appliances in the network ---- */

static bool draws(const ebi_appliance *appliance) {
  return appliance->n_curve > 1 || (appliance->flow.given && appliance->flow.value > 0.0);
}

static size_t room_of(const ebi_ducts_job *job, const ebi_appliance *appliance) {
  size_t room = ebi_names_find(&job->rooms, appliance->room);
  return room == EBI_NO_NAME ? EBI_NONE : room;
}

static ebi_node node_of(const ebi_ducts_job *job, const ebi_appliance *appliance) {
  size_t room = room_of(job, appliance);
  return room == EBI_NONE ? job->house_air.common : job->house_air.node[room];
}

/* Its fan with its duct, from the room to outdoors. */
static eb_status add_fan(ebi_ducts_job *job, ebi_drawing *drawing) {
  const ebi_appliance *appliance = drawing->appliance;
  ebi_fan_curve_data curve = {
      .speed = 1.0, .points = appliance->curve, .n_points = appliance->n_curve};
  ebi_fan_data data = {.curves = &curve, .n_curves = 1};
  ebi_element elements[2] = {{.kind = EBI_ELEMENT_FAN, .parallel = 1.0},
                             {.kind = EBI_ELEMENT_POWER, .parallel = 1.0}};
  elements[0].as.fan.fan = ebi_unit_fan(job->scratch, &data, 0.0);
  elements[0].as.fan.speed = 1.0;
  bool duct = appliance->duct_drop.given && appliance->duct_at.given;
  elements[1].as.power.drop = appliance->duct_drop.value;
  elements[1].as.power.at = appliance->duct_at.value;
  elements[1].as.power.exponent = 2.0;
  if (elements[0].as.fan.fan == NULL)
    return EB_E_MEMORY;
  drawing->part =
      ebi_network_part(job->network, drawing->name, drawing->room, job->house_air.outdoors,
                       job->air[EB_EXTRACT], elements, duct ? 2 : 1);
  return drawing->part == EBI_NONE ? EB_E_MEMORY : EB_OK;
}

static eb_status add_drawing(ebi_ducts_job *job, const ebi_appliance *appliance) {
  ebi_drawing *drawing = &job->house_air.drawings[job->house_air.n_drawings++];
  *drawing = (ebi_drawing){.appliance = appliance,
                           .room = node_of(job, appliance),
                           .flow = ebi_ducts_ref(job, appliance->flow.value),
                           .part = EBI_NONE};
  drawing->name = ebi_arena_format(job->arena, "%s%s%s", appliance->room,
                                   appliance->room[0] != '\0' ? " " : "", appliance->kind);
  if (drawing->name == NULL)
    return EB_E_MEMORY;
  return appliance->n_curve > 1 ? add_fan(job, drawing) : EB_OK;
}

static eb_status add_burning(ebi_ducts_job *job, const ebi_appliance *appliance) {
  ebi_rooms *rooms = &job->house_air;
  ebi_burning *burning = &rooms->burnings[rooms->n_burnings++];
  size_t room = room_of(job, appliance);
  *burning = (ebi_burning){.appliance = appliance,
                           .room = room == EBI_NONE ? "the house" : job->house->rooms[room].name,
                           .node = node_of(job, appliance)};
  burning->relief = ebi_network_part(job->network, "an opening", rooms->relief, burning->node,
                                     job->air[EB_OUTDOOR], NULL, 0);
  if (burning->relief == EBI_NONE)
    return EB_E_MEMORY;
  ebi_network_close(job->network, burning->relief, true);
  return EB_OK;
}

eb_status ebi_states_assemble(ebi_ducts_job *job) {
  const eb_house *house = job->house;
  job->house_air.drawings = EBI_NEW_ARRAY(job->scratch, ebi_drawing, house->n_appliances);
  job->house_air.burnings = EBI_NEW_ARRAY(job->scratch, ebi_burning, house->n_appliances);
  if (job->house_air.drawings == NULL || job->house_air.burnings == NULL)
    return EB_E_MEMORY;
  eb_status status = EB_OK;
  for (size_t i = 0; status == EB_OK && i < house->n_appliances; i++) {
    if (draws(&house->appliances[i]))
      status = add_drawing(job, &house->appliances[i]);
    if (status == EB_OK && ebi_burns_room_air(&house->appliances[i]))
      status = add_burning(job, &house->appliances[i]);
  }
  return status;
}

/* ---- Running ---- */

static bool moves_outward(const ebi_ducts_job *job, const ebi_drawing *drawing) {
  return drawing->part == EBI_NONE || job->solution.flow_ref[drawing->part] > 0.0;
}

/* Flaps fall shut one round after the other, each as the others left the pressures. */
static eb_status run_with_flaps(ebi_ducts_job *job, const ebi_aim aims[EBI_SIDES],
                                ebi_duty duties[EBI_SIDES]) {
  ebi_rooms *rooms = &job->house_air;
  for (size_t i = 0; i < rooms->n_drawings; i++)
    rooms->drawings[i].stalled = false;
  for (bool again = true; again;) {
    eb_status status = ebi_ducts_run(job, aims, false, duties);
    if (status != EB_OK)
      return status;
    again = false;
    for (size_t i = 0; i < rooms->n_drawings; i++) {
      ebi_drawing *drawing = &rooms->drawings[i];
      bool falls = drawing->on && !drawing->stalled && !moves_outward(job, drawing);
      drawing->stalled = drawing->stalled || falls;
      again = again || falls;
    }
  }
  return EB_OK;
}

/* Area of an opening that holds the room at the pressure a chimney can stand: with its node
 * joined to one of that pressure, what comes in there is what the opening must pass. */
static eb_status find_relief(ebi_ducts_job *job, ebi_burning *burning,
                             const ebi_aim aims[EBI_SIDES]) {
  ebi_duty duties[EBI_SIDES];
  ebi_network_close(job->network, burning->relief, false);
  eb_status status = run_with_flaps(job, aims, duties);
  if (status == EB_OK) {
    ebi_air_state air = job->air[EB_OUTDOOR];
    ebi_element unit = ebi_gap_element(1.0);
    double flow = ebi_ducts_actual(job->solution.flow_ref[burning->relief], air.density);
    burning->area = fmax(flow, 0.0) * sqrt(ebi_element_drop(&unit, air, 1.0).pa / EBI_DRAUGHT_PA);
  }
  ebi_network_close(job->network, burning->relief, true);
  return status;
}

/* Notes where a fire has less pressure than ever before. */
static eb_status look_at_fires(ebi_ducts_job *job, size_t level, const char *state,
                               const ebi_aim aims[EBI_SIDES]) {
  ebi_rooms *rooms = &job->house_air;
  bool worse = false;
  for (size_t i = 0; i < rooms->n_burnings; i++) {
    ebi_burning *burning = &rooms->burnings[i];
    double pressure = job->solution.pressure[burning->node];
    bool low = pressure < -EBI_DRAUGHT_PA && pressure < burning->worst;
    if (!low)
      continue;
    burning->worst = pressure;
    burning->level = job->levels[level].name;
    burning->state = state;
    burning->area = -1.0;
    worse = true;
  }
  eb_status status = EB_OK;
  for (size_t i = 0; worse && status == EB_OK && i < rooms->n_burnings; i++)
    if (rooms->burnings[i].area < 0.0)
      status = find_relief(job, &rooms->burnings[i], aims);
  return status;
}

/* ---- Writing down ---- */

static double drawn(const ebi_ducts_job *job, const ebi_drawing *drawing) {
  if (!drawing->on || drawing->stalled)
    return 0.0;
  return drawing->part == EBI_NONE ? drawing->flow : job->solution.flow_ref[drawing->part];
}

static eb_status record(ebi_ducts_job *job, const char *name, const ebi_duty duties[EBI_SIDES],
                        eb_house_state *state) {
  const ebi_rooms *rooms = &job->house_air;
  const ebi_side *supply = &job->side[EBI_SUPPLY_SIDE], *extract = &job->side[EBI_EXTRACT_SIDE];
  double *pressure = EBI_NEW_ARRAY(job->arena, double, job->house->n_rooms);
  if (pressure == NULL)
    return EB_E_MEMORY;
  *state = (eb_house_state){.name = name,
                            .supply_m3_s = ebi_ducts_room_flow(job, supply->total),
                            .extract_m3_s = ebi_ducts_room_flow(job, extract->total),
                            .supply_speed = duties[EBI_SUPPLY_SIDE].speed,
                            .extract_speed = duties[EBI_EXTRACT_SIDE].speed,
                            .room = "",
                            .room_pressure_pa = pressure};
  for (size_t i = 0; i < rooms->n_drawings; i++) {
    state->appliances_m3_s += ebi_ducts_room_flow(job, drawn(job, &rooms->drawings[i]));
    state->stalled = state->stalled || rooms->drawings[i].stalled;
  }
  for (size_t r = 0; rooms->known && r < job->house->n_rooms; r++) {
    pressure[r] = ebi_room_pressure(job, r);
    if (r > 0 && pressure[r] >= state->pressure_pa)
      continue;
    state->pressure_pa = pressure[r];
    state->room = job->levels[0].rooms[r].name;
  }
  return EB_OK;
}

/* ---- The states of a level ---- */

bool ebi_states_load(const ebi_ducts_job *job) {
  for (int s = 0; s < EBI_SIDES; s++)
    if (job->side[s].network != NULL && job->side[s].can_load)
      return true;
  return false;
}

size_t ebi_states_count(const ebi_ducts_job *job) {
  size_t drawings = job->house_air.n_drawings;
  return (ebi_states_load(job) ? 1 : 0) + drawings + (drawings > 1 ? 1 : 0);
}

/* What the controller keeps, from the operating solve of a level. */
static ebi_aim kept(const ebi_side *side, const ebi_duty *duty) {
  if (side->network != NULL && side->mode == EBI_FAN_FLOW)
    return (ebi_aim){EBI_AIM_FLOW, side->fan_flow};
  if (side->network != NULL && side->mode == EBI_FAN_PRESSURE)
    return (ebi_aim){EBI_AIM_RISE, ebi_side_rise(side)};
  return (ebi_aim){EBI_AIM_SPEED, duty->speed};
}

static void load(ebi_ducts_job *job, bool loaded) {
  for (int s = 0; s < EBI_SIDES; s++)
    job->side[s].loaded = loaded && job->side[s].can_load;
}

static eb_status run_state(ebi_ducts_job *job, size_t level, const char *name,
                           const ebi_aim aims[EBI_SIDES], eb_house_state *state) {
  ebi_duty duties[EBI_SIDES];
  eb_status status = run_with_flaps(job, aims, duties);
  if (status == EB_OK)
    status = record(job, name, duties, state);
  return status == EB_OK ? look_at_fires(job, level, name, aims) : status;
}

static eb_status run_appliances(ebi_ducts_job *job, size_t level, const ebi_aim aims[EBI_SIDES],
                                eb_house_state *states) {
  ebi_rooms *rooms = &job->house_air;
  eb_status status = EB_OK;
  for (size_t i = 0; status == EB_OK && i < rooms->n_drawings; i++) {
    rooms->drawings[i].on = true;
    status = run_state(job, level, rooms->drawings[i].name, aims, &states[i]);
    rooms->drawings[i].on = rooms->drawings[i].stalled = false;
  }
  if (rooms->n_drawings < 2 || status != EB_OK)
    return status;
  for (size_t i = 0; i < rooms->n_drawings; i++)
    rooms->drawings[i].on = true;
  status = run_state(job, level, "all appliances", aims, &states[rooms->n_drawings]);
  for (size_t i = 0; i < rooms->n_drawings; i++)
    rooms->drawings[i].on = rooms->drawings[i].stalled = false;
  return status;
}

static eb_status run_all(ebi_ducts_job *job, size_t level, const ebi_aim aims[EBI_SIDES]) {
  eb_house_state *states = job->house_states[level];
  eb_status status = look_at_fires(job, level, NULL, aims);
  if (status == EB_OK && ebi_states_load(job)) {
    load(job, true);
    status = run_state(job, level, "filters loaded", aims, states++);
    load(job, false);
  }
  return status == EB_OK ? run_appliances(job, level, aims, states) : status;
}

eb_status ebi_states_run(ebi_ducts_job *job, size_t level, const ebi_duty duties[EBI_SIDES]) {
  ebi_aim aims[EBI_SIDES];
  for (int s = 0; s < EBI_SIDES; s++)
    aims[s] = kept(&job->side[s], &duties[s]);
  job->air_stands = true;
  eb_status status = run_all(job, level, aims);
  job->air_stands = false;
  return status;
}
