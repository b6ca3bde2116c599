/* ducts.c - evenbreath ducts: pressures, settings and power, as text */

#include <math.h>
#include <string.h>

#include "command.h"
#include "controller.h"
#include "ducts_json.h"
#include "ducts_sizes.h"
#include "sheets.h"

static void cells(cli_sheet *sheet, const char *const *texts, size_t count) {
  for (size_t i = 0; i < count; i++)
    sheet_cell(sheet, "%s", texts[i]);
}

static void side_row(cli_sheet *sheet, const cli_units *units, const char *level, const char *side,
                     const eb_controller *controller, const eb_side_state *state,
                     double fan_power) {
  sheet_cell(sheet, "  %s", level);
  sheet_cell(sheet, "%s", side);
  sheet_value(sheet, &units->flow, state->flow_m3_s);
  sheet_value(sheet, &units->pressure, state->pressure_pa);
  sheet_cell(sheet, "%s", controller_text(controller, state->signal).text);
  if (!(state->fan_power_w > 0))
    sheet_cell(sheet, "-");
  else
    sheet_cell(sheet, "%.1f", state->fan_power_w);
  if (isnan(fan_power))
    sheet_skip(sheet);
  else
    sheet_value(sheet, &units->fan_power, if_any(fan_power));
  sheet_value(sheet, &units->pressure, state->spare_pa);
  sheet_value(sheet, &units->flow, state->most_m3_s);
  sheet_cell(sheet, "%s", state->limited ? "no more" : "");
}

cli_sheet *ducts_levels_sheet(const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = sheet_new("llrrrrrrrl");
  char spare[32], most[32];
  snprintf(spare, sizeof spare, "spare %s", units->pressure.name);
  snprintf(most, sizeof most, "most %s", units->flow.name);
  const char *heads[] = {"Levels", "",  units->flow.name,      units->pressure.name,
                         "signal", "W", units->fan_power.name, spare,
                         most,     ""};
  cells(sheet, heads, 10);
  for (size_t i = 0; i < ducts->n_levels; i++) {
    const eb_level_state *level = &ducts->levels[i];
    side_row(sheet, units, level->name, "supply", &ducts->controller, &level->supply,
             level->specific_fan_power);
    side_row(sheet, units, "", "extract", &ducts->controller, &level->extract, (double)NAN);
  }
  return sheet;
}

/* W/(l/s) holds more than the two fans: say what. */
static void controls_text(const eb_level_state *level, FILE *out) {
  double controls = level->power_w - level->supply.fan_power_w - level->extract.fan_power_w;
  if (level->power_w > 0 && controls > 0.05)
    fprintf(out, "  with %.1f W for the unit's controls\n", controls);
}

static void leakage_text(const cli_units *units, const eb_level_state *level, FILE *out) {
  const cli_unit *flow = &units->flow;
  if (level->supply.leakage_m3_s > 0 || level->extract.leakage_m3_s > 0)
    fprintf(out, "  the ducts leak %.2f %s of supply and %.2f %s of extract at %s\n",
            unit_value(flow, level->supply.leakage_m3_s), flow->name,
            unit_value(flow, level->extract.leakage_m3_s), flow->name, level->name);
}

static void opening_cell(cli_sheet *sheet, const eb_terminal *terminal) {
  if (!terminal->has_opening)
    sheet_cell(sheet, "-");
  else
    sheet_cell(sheet, "%.1f %s", terminal->opening, terminal->opening_unit);
}

cli_sheet *ducts_valves_sheet(const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = sheet_new("lllrrl");
  char head[64];
  snprintf(head, sizeof head, "Valves, set at %s", ducts->set_level);
  const char *heads[] = {head, "room", "valve", "open", units->pressure.name, ""};
  cells(sheet, heads, 6);
  for (size_t i = 0; i < ducts->n_terminals; i++) {
    const eb_terminal *t = &ducts->terminals[i];
    sheet_cell(sheet, "  %s", t->run);
    sheet_cell(sheet, "%s", t->room);
    sheet_cell(sheet, "%s", *t->valve ? t->valve : "none");
    opening_cell(sheet, t);
    sheet_value(sheet, &units->pressure, t->valve_pa);
    sheet_cell(sheet, "%s", t->index ? "index run" : "");
  }
  return sheet;
}

void ducts_size_cell(cli_sheet *sheet, const cli_units *units, const eb_run_info *info) {
  char tubes[16] = "";
  if (info->parallel > 1)
    snprintf(tubes, sizeof tubes, "%d x ", info->parallel);
  const cli_unit *bore = &units->bore;
  if (info->bore_m > 0)
    sheet_cell(sheet, "%s%.*f", tubes, bore->decimals, unit_value(bore, info->bore_m));
  else
    sheet_cell(sheet, "%s%.*fx%.*f", tubes, bore->decimals, unit_value(bore, info->width_m),
               bore->decimals, unit_value(bore, info->height_m));
}

const eb_level_state *ducts_set_level(const eb_ducts *ducts) {
  for (size_t i = 0; i < ducts->n_levels; i++)
    if (ducts->levels[i].name == ducts->set_level)
      return &ducts->levels[i];
  return &ducts->levels[0];
}

static bool runs_text(const cli_units *units, const eb_ducts *ducts, FILE *out) {
  const eb_level_state *level = ducts_set_level(ducts);
  const char *pa = units->pressure.name;
  cli_sheet *sheet = sheet_new("lrrrrrrr");
  char head[64];
  snprintf(head, sizeof head, "Runs at %s, %s", level->name, pa);
  const char *heads[] = {head,   units->bore.name, units->flow.name, units->velocity.name,
                         "duct", "fittings",       "valve",          "in all"};
  cells(sheet, heads, 8);
  for (size_t i = 0; i < ducts->n_runs; i++) {
    const eb_run_state *state = &level->runs[i];
    sheet_cell(sheet, "  %s", ducts->runs[i].name);
    ducts_size_cell(sheet, units, &ducts->runs[i]);
    sheet_value(sheet, &units->flow, state->flow_m3_s);
    sheet_value(sheet, &units->velocity, state->velocity_m_s);
    sheet_value(sheet, &units->pressure, state->friction_pa);
    sheet_value(sheet, &units->pressure, state->fittings_pa);
    sheet_value(sheet, &units->pressure, state->valve_pa);
    sheet_value(sheet, &units->pressure, state->total_pa);
  }
  return sheet_finish(sheet, out);
}

/* ---- Rooms ---- */

static const eb_room_sound *sounds(const eb_ducts *ducts) {
  return ducts_set_level(ducts)->sounds;
}

static void delivered_row(cli_sheet *sheet, const cli_units *units, const eb_ducts *ducts,
                          size_t room, bool supply) {
  const eb_room_state *first = &ducts->levels[0].rooms[room];
  if (!(supply ? first->supply.served : first->extract.served))
    return;
  sheet_cell(sheet, "  %s", first->name);
  sheet_cell(sheet, "%s", supply ? "supply" : "extract");
  for (size_t l = 0; l < ducts->n_levels && l < 20; l++) {
    const eb_room_state *state = &ducts->levels[l].rooms[room];
    sheet_value(sheet, &units->flow, (supply ? state->supply : state->extract).delivered_m3_s);
  }
  if (sounds(ducts) != NULL && isfinite(sounds(ducts)[room].total_db))
    sheet_cell(sheet, "%.0f", sounds(ducts)[room].total_db);
  else if (sounds(ducts) != NULL)
    sheet_cell(sheet, "-");
}

cli_sheet *ducts_rooms_sheet(const cli_units *units, const eb_ducts *ducts) {
  char align[24] = "ll";
  size_t shown = ducts->n_levels < 20 ? ducts->n_levels : 20;
  for (size_t l = 0; l < shown + (sounds(ducts) != NULL ? 1 : 0); l++)
    align[l + 2] = 'r';
  cli_sheet *sheet = sheet_new(align);
  sheet_cell(sheet, "Rooms, %s delivered", units->flow.name);
  sheet_skip(sheet);
  for (size_t l = 0; l < shown; l++)
    sheet_cell(sheet, "%s", ducts->levels[l].name);
  if (sounds(ducts) != NULL)
    sheet_cell(sheet, "dB(A) at %s", ducts->set_level);
  for (size_t i = 0; i < ducts->n_rooms; i++)
    delivered_row(sheet, units, ducts, i, true);
  for (size_t i = 0; i < ducts->n_rooms; i++)
    delivered_row(sheet, units, ducts, i, false);
  return sheet;
}

/* ---- House ---- */

static size_t lowest_room(const eb_ducts *ducts, const eb_level_state *level) {
  size_t lowest = 0;
  for (size_t r = 1; r < ducts->n_rooms; r++)
    if (level->rooms[r].pressure_pa < level->rooms[lowest].pressure_pa)
      lowest = r;
  return lowest;
}

static void state_row(cli_sheet *sheet, const cli_units *units, const eb_ducts *ducts,
                      const eb_house_state *state) {
  sheet_value(sheet, &units->flow, state->supply_m3_s);
  sheet_value(sheet, &units->flow, state->extract_m3_s);
  sheet_value(sheet, &units->flow, if_any(state->appliances_m3_s));
  sheet_value(sheet, &units->pressure, ducts->house_known ? state->pressure_pa : (double)NAN);
  sheet_cell(sheet, "%s%s", state->room, state->stalled ? " (a fan is stalled)" : "");
}

static void house_rows(cli_sheet *sheet, const cli_units *units, const eb_ducts *ducts,
                       const eb_level_state *level) {
  const eb_room_state *room = &level->rooms[lowest_room(ducts, level)];
  eb_house_state itself = {.supply_m3_s = level->supply.flow_m3_s,
                           .extract_m3_s = level->extract.flow_m3_s,
                           .pressure_pa = room->pressure_pa,
                           .room = ducts->house_known ? room->name : ""};
  sheet_cell(sheet, "  %s", level->name);
  state_row(sheet, units, ducts, &itself);
  for (size_t i = 0; i < level->n_states; i++) {
    sheet_cell(sheet, "    %s", level->states[i].name);
    state_row(sheet, units, ducts, &level->states[i]);
  }
}

/* How the rooms stand at the level where valves are set and at boost, and in other states. */
cli_sheet *ducts_house_sheet(const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = sheet_new("lrrrrl");
  char head[32], lowest[32];
  snprintf(head, sizeof head, "House, %s", units->flow.name);
  snprintf(lowest, sizeof lowest, "lowest %s", units->pressure.name);
  const char *heads[] = {head, "supply", "extract", "appliances", lowest, ""};
  cells(sheet, heads, 6);
  for (size_t l = 0; l < ducts->n_levels; l++) {
    const eb_level_state *level = &ducts->levels[l];
    if (level->name == ducts->set_level || strcmp(level->name, "boost") == 0)
      house_rows(sheet, units, ducts, level);
  }
  return sheet;
}

static bool house_text(const cli_units *units, const eb_ducts *ducts, FILE *out) {
  if (ducts->n_rooms == 0 || (!ducts->house_known && ducts->levels[0].n_states == 0))
    return true;
  return sheet_finish(ducts_house_sheet(units, ducts), out);
}

/* ---- The whole ---- */

/* A side without terminals has no index run. */
static void index_text(const char *title, const char *supply, const char *extract, FILE *out) {
  if (*supply && *extract)
    fprintf(out, "%s: index runs %s (supply) and %s (extract)\n", title, supply, extract);
  else
    fprintf(out, "%s: index run %s (%s alone)\n", title, *supply ? supply : extract,
            *supply ? "supply" : "extract");
}

static bool text(const cli_run *run, FILE *out) {
  const cli_units *units = run->options->units;
  const eb_ducts *ducts = run->ducts;
  if (run->sketch) {
    fwrite(run->sketch, 1, run->sketch_length, out);
    return true;
  }
  const eb_level_state *level = ducts_set_level(ducts);
  index_text(run_title(run), level->supply.index_run, level->extract.index_run, out);
  if (!sheet_finish(ducts_levels_sheet(units, ducts), out))
    return false;
  controls_text(level, out);
  leakage_text(units, level, out);
  return sheet_finish(ducts_valves_sheet(units, ducts), out) &&
         sheet_finish(ducts_rooms_sheet(units, ducts), out) && house_text(units, ducts, out) &&
         runs_text(units, ducts, out) && sizes_text(units, ducts->sizes, out);
}

static eb_status propose(cli_run *run) {
  eb_status status = calculate_rates(run);
  if (status)
    return status;
  return eb_ducts_sketch(run->context, run->house, run->rates, run->options->layout, &run->sketch,
                         &run->sketch_length);
}

static eb_status calculate(cli_run *run) {
  if (run->options->sketch)
    return propose(run);
  eb_status status = calculate_ducts(run);
  const char *path = run->options->write;
  return status || !path ? status : sizes_write(run, path);
}

const cli_command command_ducts = {
    .name = "ducts",
    .summary = "pressure of every run, valve openings, fan signal and power of every level",
    .help = "Solves the ducts as drawn: which run is hardest to reach (the index run), how far\n"
            "each valve is to be opened so that every room has its share, what the controller\n"
            "must show at each level, what the fans take, and what each room then really gets.\n"
            "Where the leakage of the envelope is given: how the rooms stand against outdoors, as\n"
            "it is, with loaded filters, and with each hood or fan that runs beside.\n"
            "Runs that name no size are given one; --write FILE writes the house with the sizes.\n"
            "A house that gives places instead of ducts can have them proposed: --sketch prints\n"
            "the house file with runs whose lengths are estimates, to go on from.\n",
    .examples = "evenbreath ducts --units metric alder-row.yaml\n"
                "evenbreath ducts --method velocity --write sized.yaml alder-row-branched.yaml\n",
    .calculate = calculate,
    .text = text,
    .json = ducts_json,
};
