#include "ducts_json.h"

#include "controller.h"

#include <math.h>

#include "ducts_sizes.h"
#include "json.h"

#define LITRES 1e3 /* l/s of m3/s */

static const char *const airs[] = {"outdoor", "supply", "extract", "exhaust"};

static json_t *side_json(const eb_controller *controller, const eb_side_state *side) {
  json_t *object = json_object();
  json_put_number(object, "flow_l_s", side->flow_m3_s * LITRES);
  json_put_number(object, "flow_ref_l_s", side->flow_ref_m3_s * LITRES);
  json_put_number(object, "pressure_pa", side->pressure_pa);
  controller_json(object, "signal_percent", "signal", controller, side->signal);
  json_put_number(object, "speed_percent", side->speed * 100);
  json_put_number(object, "fan_power_w", if_any(side->fan_power_w));
  json_put_text(object, "index_run", side->index_run);
  json_put_number(object, "fan_flow_l_s", side->fan_flow_m3_s * LITRES);
  json_put_number(object, "leakage_l_s", side->leakage_m3_s * LITRES);
  json_put_number(object, "spare_pa", side->spare_pa);
  json_put_number(object, "most_flow_l_s", side->most_m3_s * LITRES);
  json_put(object, "limited", json_boolean(side->limited));
  return object;
}

static json_t *delivered_json(const eb_delivered *delivered) {
  json_t *object = json_object();
  json_put_number(object, "required_l_s", delivered->required_m3_s * LITRES);
  json_put_number(object, "design_l_s", delivered->design_m3_s * LITRES);
  json_put_number(object, "delivered_l_s", delivered->delivered_m3_s * LITRES);
  return object;
}

static json_t *sound_json(const eb_room_sound *sound) {
  json_t *object = json_object(), *bands = json_array();
  json_put_number(object, "supply_db", sound->supply_db);
  json_put_number(object, "extract_db", sound->extract_db);
  json_put_number(object, "valves_db", sound->valves_db);
  for (size_t i = 0; i < EB_OCTAVES; i++)
    json_add(bands, isfinite(sound->bands_db[i]) ? json_real(sound->bands_db[i]) : json_null());
  json_put(object, "bands_db", bands);
  json_put_number(object, "limit_db", if_any(sound->limit_db));
  json_put_text(object, "limit_source", sound->limit_source);
  json_put_number(object, "cross_talk_db", sound->cross_talk_db);
  json_put_text(object, "cross_talk_room", sound->cross_talk_room);
  json_put_text(object, "cure", sound->cure);
  json_put_text(object, "cure_run", sound->cure_run);
  return object;
}

/* A pressure of the house, null where it is not known. */
static void put_house(json_t *object, const char *key, const eb_ducts *ducts, double pressure) {
  json_put_number(object, key, ducts->house_known ? pressure : (double)NAN);
}

static json_t *rooms_json(const eb_ducts *ducts, const eb_level_state *level) {
  json_t *array = json_array();
  for (size_t i = 0; i < ducts->n_rooms; i++) {
    const eb_room_state *room = &level->rooms[i];
    json_t *object = json_object();
    json_put_text(object, "name", room->name);
    if (room->supply.served)
      json_put(object, "supply", delivered_json(&room->supply));
    if (room->extract.served)
      json_put(object, "extract", delivered_json(&room->extract));
    put_house(object, "pressure_pa", ducts, room->pressure_pa);
    json_put_number(object, "supply_c", room->supply_c);
    json_put_number(object, "sound_db",
                    level->sounds != NULL ? level->sounds[i].total_db : (double)NAN);
    if (level->sounds != NULL)
      json_put(object, "sound", sound_json(&level->sounds[i]));
    json_add(array, object);
  }
  return array;
}

static json_t *house_states_json(const eb_ducts *ducts, const eb_level_state *level) {
  json_t *array = json_array();
  for (size_t i = 0; i < level->n_states; i++) {
    const eb_house_state *state = &level->states[i];
    json_t *object = json_object();
    json_put_text(object, "name", state->name);
    json_put_number(object, "supply_l_s", state->supply_m3_s * LITRES);
    json_put_number(object, "extract_l_s", state->extract_m3_s * LITRES);
    json_put_number(object, "appliances_l_s", state->appliances_m3_s * LITRES);
    json_put_number(object, "supply_speed_percent", state->supply_speed * 100);
    json_put_number(object, "extract_speed_percent", state->extract_speed * 100);
    put_house(object, "pressure_pa", ducts, state->pressure_pa);
    json_put(object, "room", *state->room ? json_string(state->room) : json_null());
    json_put(object, "stalled", json_boolean(state->stalled));
    json_add(array, object);
  }
  return array;
}

static json_t *runs_json(const eb_ducts *ducts, const eb_level_state *level) {
  json_t *array = json_array();
  for (size_t i = 0; i < ducts->n_runs; i++) {
    const eb_run_state *state = &level->runs[i];
    json_t *object = json_object();
    json_put_text(object, "name", ducts->runs[i].name);
    json_put_number(object, "flow_l_s", state->flow_m3_s * LITRES);
    json_put_number(object, "flow_ref_l_s", state->flow_ref_m3_s * LITRES);
    json_put_number(object, "velocity_m_s", state->velocity_m_s);
    json_put_number(object, "reynolds", state->reynolds);
    json_put_number(object, "friction_pa_per_m", state->friction_pa_per_m);
    json_put_number(object, "friction_pa", state->friction_pa);
    json_put_number(object, "fittings_pa", state->fittings_pa);
    json_put_number(object, "valve_pa", state->valve_pa);
    json_put_number(object, "total_pa", state->total_pa);
    json_put_number(object, "stack_pa", state->stack_pa);
    json_put_number(object, "start_c", state->start_c);
    json_put_number(object, "end_c", state->end_c);
    json_put_number(object, "heat_w", state->heat_w);
    json_put_number(object, "leakage_l_s", state->leakage_m3_s * LITRES);
    json_put_number(object, "surface_c", state->surface_c);
    json_put_number(object, "dew_point_c", state->dew_point_c);
    json_add(array, object);
  }
  return array;
}

static json_t *level_json(const eb_ducts *ducts, const eb_level_state *level) {
  json_t *object = json_object();
  json_put(object, "supply", side_json(&ducts->controller, &level->supply));
  json_put(object, "extract", side_json(&ducts->controller, &level->extract));
  json_put_number(object, "power_w", if_any(level->power_w));
  json_put_number(object, "specific_fan_power_w_per_l_s",
                  if_any(level->specific_fan_power) / LITRES);
  put_house(object, "house_pressure_pa", ducts, level->house_pressure_pa);
  json_put(object, "rooms", rooms_json(ducts, level));
  json_put(object, "states", house_states_json(ducts, level));
  json_put(object, "runs", runs_json(ducts, level));
  return object;
}

static json_t *run_json(const eb_run_info *info) {
  json_t *object = json_object();
  json_put_text(object, "name", info->name);
  json_put_text(object, "duct", info->duct);
  json_put_text(object, "air", airs[info->air]);
  json_put_text(object, "from", info->from);
  json_put_text(object, "to", info->to);
  if (info->bore_m > 0) {
    json_put_number(object, "bore_mm", info->bore_m * 1e3);
  } else {
    json_put_number(object, "width_mm", info->width_m * 1e3);
    json_put_number(object, "height_mm", info->height_m * 1e3);
  }
  json_put(object, "parallel", json_integer(info->parallel));
  json_put_number(object, "length_m", info->length_m);
  return object;
}

static json_t *terminal_json(const eb_terminal *terminal) {
  json_t *object = json_object();
  json_put_text(object, "run", terminal->run);
  json_put_text(object, "room", terminal->room);
  json_put(object, "valve", *terminal->valve ? json_string(terminal->valve) : json_null());
  json_put(object, "opening", terminal->has_opening ? json_real(terminal->opening) : json_null());
  if (terminal->has_opening)
    json_put_text(object, "opening_unit", terminal->opening_unit);
  json_put_number(object, "valve_pa", terminal->valve_pa);
  json_put(object, "index", json_boolean(terminal->index));
  return object;
}

static void lists_json(const eb_ducts *ducts, json_t *object) {
  json_t *levels = json_object(), *runs = json_array(), *terminals = json_array();
  for (size_t i = 0; i < ducts->n_levels; i++)
    json_put(levels, ducts->levels[i].name, level_json(ducts, &ducts->levels[i]));
  for (size_t i = 0; i < ducts->n_runs; i++)
    json_add(runs, run_json(&ducts->runs[i]));
  for (size_t i = 0; i < ducts->n_terminals; i++)
    json_add(terminals, terminal_json(&ducts->terminals[i]));
  json_put(object, "levels", levels);
  json_put(object, "runs", runs);
  json_put(object, "terminals", terminals);
}

bool ducts_json(const cli_run *run, json_t *object) {
  const eb_ducts *ducts = run->ducts;
  json_put_text(object, "set_level", ducts->set_level);
  lists_json(ducts, object);
  json_put(object, "sizes", sizes_json(ducts->sizes));
  json_t *residual = json_object();
  json_put_number(residual, "flow_l_s", ducts->residual_flow_m3_s * LITRES);
  json_put_number(residual, "pressure_pa", ducts->residual_pressure_pa);
  json_put(object, "residual", residual);
  json_put(object, "iterations", json_integer(ducts->iterations));
  return json_complete();
}
