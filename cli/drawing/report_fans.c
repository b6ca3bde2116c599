/* report_fans.c - fans and what is set at each level, what reaches the rooms, how loud it is */

#include <math.h>
#include <string.h>

#include "controller.h"
#include "drawing/report.h"
#include "sheets.h"

static const double none = (double)NAN;

static size_t shown_levels(const eb_ducts *ducts) {
  return ducts->n_levels < 18 ? ducts->n_levels : 18;
}

/* ---- Fans ---- */

static void fan_heads(cli_sheet *sheet, const cli_units *units) {
  const char *air = units->flow.name, *pa = units->pressure.name;
  report_heads(sheet, (const char *const[]){"Level", "fan", air, pa, NULL});
  sheet_cell(sheet, "signal");
  sheet_cell(sheet, "speed %%");
  sheet_cell(sheet, "W");
  sheet_cell(sheet, "at the fan %s", air);
  sheet_cell(sheet, "ducts leak %s", air);
  sheet_cell(sheet, "spare %s", pa);
  sheet_cell(sheet, "most %s", air);
  sheet_cell(sheet, "index run");
}

static void fan_row(cli_sheet *sheet, const cli_units *units, const char *level, const char *fan,
                    const eb_controller *controller, const eb_side_state *side) {
  cli_unit leak = units->flow;
  leak.decimals += 2;
  sheet_cell(sheet, "  %s", level);
  sheet_cell(sheet, "%s", fan);
  sheet_value(sheet, &units->flow, side->flow_m3_s);
  sheet_value(sheet, &units->pressure, side->pressure_pa);
  sheet_cell(sheet, "%s", controller_text(controller, side->signal).text);
  report_cell(sheet, 0, side->speed * 100);
  report_cell(sheet, 1, if_any(side->fan_power_w));
  sheet_value(sheet, &units->flow, side->fan_flow_m3_s);
  sheet_value(sheet, &leak, side->leakage_m3_s);
  sheet_value(sheet, &units->pressure, side->spare_pa);
  sheet_value(sheet, &units->flow, side->most_m3_s);
  sheet_cell(sheet, "%s%s", side->index_run, side->limited ? " (the fan can do no more)" : "");
}

static void fans(flow *pages, const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = sheet_new("llrrrrrrrrrl");
  fan_heads(sheet, units);
  for (size_t l = 0; l < ducts->n_levels; l++) {
    fan_row(sheet, units, ducts->levels[l].name, "supply", &ducts->controller,
            &ducts->levels[l].supply);
    fan_row(sheet, units, "", "extract", &ducts->controller, &ducts->levels[l].extract);
  }
  flow_heading(pages, "Settings of the fans, clean filters");
  flow_table(pages, sheet, 1);
}

static void power(flow *pages, const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = sheet_new("lrrr");
  sheet_cell(sheet, "Level");
  sheet_cell(sheet, "power in all W");
  sheet_cell(sheet, "specific fan power %s", units->fan_power.name);
  sheet_cell(sheet, "hall and landing against outdoors %s", units->pressure.name);
  for (size_t l = 0; l < ducts->n_levels; l++) {
    const eb_level_state *level = &ducts->levels[l];
    sheet_cell(sheet, "  %s", level->name);
    report_cell(sheet, 1, if_any(level->power_w));
    sheet_value(sheet, &units->fan_power, if_any(level->specific_fan_power));
    sheet_value(sheet, &units->pressure, ducts->house_known ? level->house_pressure_pa : none);
  }
  flow_heading(pages, "Power, both fans and controls");
  flow_table(pages, sheet, 1);
}

/* ---- Rooms ---- */

static cli_sheet *level_sheet(const eb_ducts *ducts, const char *first, const char *what) {
  char align[24] = "l";
  for (size_t l = 0; l < shown_levels(ducts); l++)
    align[l + 1] = 'r';
  cli_sheet *sheet = sheet_new(align);
  sheet_cell(sheet, "%s, %s", first, what);
  for (size_t l = 0; l < shown_levels(ducts); l++)
    sheet_cell(sheet, "%s", ducts->levels[l].name);
  return sheet;
}

static const eb_delivered *delivered_of(const eb_room_state *room, bool supply) {
  return supply ? &room->supply : &room->extract;
}

static void delivered(flow *pages, const cli_units *units, const eb_ducts *ducts, bool supply) {
  cli_sheet *sheet = level_sheet(ducts, supply ? "Supply" : "Extract", units->flow.name);
  for (size_t i = 0; i < ducts->n_rooms; i++) {
    if (!delivered_of(&ducts->levels[0].rooms[i], supply)->served)
      continue;
    sheet_cell(sheet, "  %s", ducts->levels[0].rooms[i].name);
    for (size_t l = 0; l < shown_levels(ducts); l++)
      sheet_value(sheet, &units->flow,
                  delivered_of(&ducts->levels[l].rooms[i], supply)->delivered_m3_s);
  }
  flow_heading(pages, supply ? "Supply that reaches the rooms" : "Extract that leaves the rooms");
  flow_table(pages, sheet, 1);
}

static void pressures(flow *pages, const cli_units *units, const eb_ducts *ducts) {
  if (!ducts->house_known || !ducts->n_rooms)
    return;
  cli_sheet *sheet = level_sheet(ducts, "Room", units->pressure.name);
  for (size_t i = 0; i < ducts->n_rooms; i++) {
    sheet_cell(sheet, "  %s", ducts->levels[0].rooms[i].name);
    for (size_t l = 0; l < shown_levels(ducts); l++)
      sheet_value(sheet, &units->pressure, ducts->levels[l].rooms[i].pressure_pa);
  }
  flow_heading(pages, "Rooms against outdoors, filters clean");
  flow_table(pages, sheet, 1);
}

static void temperatures(flow *pages, const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = level_sheet(ducts, "Room", units->temperature.name);
  for (size_t i = 0; i < ducts->n_rooms; i++) {
    if (!ducts->levels[0].rooms[i].supply.served)
      continue;
    sheet_cell(sheet, "  %s", ducts->levels[0].rooms[i].name);
    for (size_t l = 0; l < shown_levels(ducts); l++)
      sheet_value(sheet, &units->temperature, ducts->levels[l].rooms[i].supply_c);
  }
  flow_heading(pages, "Air that comes into the rooms");
  flow_table(pages, sheet, 1);
}

/* ---- Other states ---- */

static void state_heads(cli_sheet *sheet, const cli_units *units) {
  const char *air = units->flow.name;
  report_heads(sheet, (const char *const[]){"Level", "with", NULL});
  sheet_cell(sheet, "supply %s", air);
  sheet_cell(sheet, "extract %s", air);
  sheet_cell(sheet, "appliances %s", air);
  sheet_cell(sheet, "supply speed %%");
  sheet_cell(sheet, "extract speed %%");
  sheet_cell(sheet, "lowest %s", units->pressure.name);
  sheet_cell(sheet, "in");
}

static void state_row(cli_sheet *sheet, const cli_units *units, const eb_ducts *ducts,
                      const char *level, const eb_house_state *state) {
  sheet_cell(sheet, "  %s", level);
  sheet_cell(sheet, "%s%s", state->name, state->stalled ? ", a fan is stalled" : "");
  sheet_value(sheet, &units->flow, state->supply_m3_s);
  sheet_value(sheet, &units->flow, state->extract_m3_s);
  sheet_value(sheet, &units->flow, if_any(state->appliances_m3_s));
  report_cell(sheet, 0, state->supply_speed * 100);
  report_cell(sheet, 0, state->extract_speed * 100);
  sheet_value(sheet, &units->pressure, ducts->house_known ? state->pressure_pa : none);
  sheet_cell(sheet, "%s", state->room);
}

static void states(flow *pages, const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = sheet_new("llrrrrrrl");
  state_heads(sheet, units);
  for (size_t l = 0; l < ducts->n_levels; l++)
    for (size_t i = 0; i < ducts->levels[l].n_states; i++)
      state_row(sheet, units, ducts, ducts->levels[l].name, &ducts->levels[l].states[i]);
  if (sheet_complete(sheet) && sheet_rows(sheet) == 1) {
    sheet_free(sheet);
    return;
  }
  flow_heading(pages, "The house in other states: loaded filters, appliances that move air");
  flow_table(pages, sheet, 1);
}

void report_fans(flow *pages, const cli_run *run) {
  const eb_ducts *ducts = run->ducts;
  const cli_units *units = run->options->units;
  if (!ducts)
    return;
  flow_section(pages, "Fans, and what reaches the rooms", true);
  fans(pages, units, ducts);
  power(pages, units, ducts);
  report_picture(pages, run, picture_find("duty"));
  report_picture(pages, run, picture_find("pressures"));
  delivered(pages, units, ducts, true);
  delivered(pages, units, ducts, false);
  temperatures(pages, units, ducts);
  pressures(pages, units, ducts);
  states(pages, units, ducts);
}

/* ---- Sound ---- */

static bool has_sound(const eb_ducts *ducts) {
  for (size_t l = 0; l < ducts->n_levels; l++)
    for (size_t i = 0; ducts->levels[l].sounds && i < ducts->n_rooms; i++)
      if (isfinite(ducts->levels[l].sounds[i].total_db))
        return true;
  return false;
}

static void sound_levels(flow *pages, const eb_ducts *ducts) {
  cli_sheet *sheet = level_sheet(ducts, "Room", "dB(A)");
  for (size_t i = 0; i < ducts->n_rooms; i++) {
    sheet_cell(sheet, "  %s", ducts->levels[0].rooms[i].name);
    for (size_t l = 0; l < shown_levels(ducts); l++)
      report_cell(sheet, 0, ducts->levels[l].sounds ? ducts->levels[l].sounds[i].total_db : none);
  }
  flow_heading(pages, "What is heard in the rooms");
  flow_table(pages, sheet, 1);
}

static void sound_row(cli_sheet *sheet, const char *room, const eb_room_sound *sound) {
  sheet_cell(sheet, "  %s", room);
  report_cell(sheet, 0, sound->supply_db);
  report_cell(sheet, 0, sound->extract_db);
  report_cell(sheet, 0, sound->valves_db);
  report_cell(sheet, 0, sound->total_db);
  report_cell(sheet, 0, if_any(sound->limit_db));
  sheet_cell(sheet, "%s", sound->limit_source ? sound->limit_source : "");
  report_cell(sheet, 0, sound->cross_talk_db);
  sheet_cell(sheet, "%s", sound->cross_talk_room ? sound->cross_talk_room : "");
}

static void sound_parts(flow *pages, const eb_ducts *ducts) {
  const eb_level_state *level = ducts_set_level(ducts);
  cli_sheet *sheet = sheet_new("lrrrrrlrl");
  report_heads(sheet,
               (const char *const[]){"Room", "supply fan", "extract fan", "valves", "in all",
                                     "limit", "limit of", "kept from next room", "which", NULL});
  for (size_t i = 0; i < ducts->n_rooms; i++)
    if (isfinite(level->sounds[i].total_db))
      sound_row(sheet, level->rooms[i].name, &level->sounds[i]);
  char title[256];
  snprintf(title, sizeof title, "Where it comes from at %.200s, dB(A)", level->name);
  flow_heading(pages, title);
  flow_table(pages, sheet, 1);
  for (size_t i = 0; i < ducts->n_rooms; i++)
    if (level->sounds[i].cure)
      flow_text(pages, FLOW_ITEM, "%s: %s in %s would do.", level->rooms[i].name,
                level->sounds[i].cure, level->sounds[i].cure_run);
}

static void sound_bands(flow *pages, const eb_ducts *ducts) {
  const eb_level_state *level = ducts_set_level(ducts);
  cli_sheet *sheet = sheet_new("lrrrrrrrr");
  report_heads(sheet, (const char *const[]){"Octaves, dB", "63 Hz", "125 Hz", "250 Hz", "500 Hz",
                                            "1 kHz", "2 kHz", "4 kHz", "8 kHz", NULL});
  for (size_t i = 0; i < ducts->n_rooms; i++) {
    if (!isfinite(level->sounds[i].total_db))
      continue;
    sheet_cell(sheet, "  %s", level->rooms[i].name);
    for (int b = 0; b < EB_OCTAVES; b++)
      report_cell(sheet, 0, level->sounds[i].bands_db[b]);
  }
  flow_heading(pages, "By octaves, not weighted");
  flow_table(pages, sheet, 1);
}

void report_sound(flow *pages, const cli_run *run) {
  const eb_ducts *ducts = run->ducts;
  if (!ducts)
    return;
  flow_section(pages, "Sound", false);
  if (!has_sound(ducts)) {
    flow_text(pages, FLOW_PLAIN, "The unit's sheet has no sound data: levels are not known.");
    return;
  }
  report_picture(pages, run, picture_find("sound"));
  sound_levels(pages, ducts);
  if (ducts_set_level(ducts)->sounds) {
    sound_parts(pages, ducts);
    sound_bands(pages, ducts);
  }
}
