/* report_summary.c - the first page: what the house is, gets, takes, and where it falls short */

#include <math.h>
#include <string.h>

#include "controller.h"
#include "drawing/report.h"
#include "figures.h"
#include "findings.h"
#include "sheets.h"

/* So much fits on the page whatever the house is. */
enum { MOST_LEVELS = 6, MOST_FINDINGS = 5, MOST_WORDS = 230 };

static void house(flow *pages, const cli_run *run) {
  const eb_rates *rates = run->rates;
  const cli_units *units = run->options->units;
  const char *name = strrchr(run->path, '/');
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "House", "%.300s", run_title(run));
  report_pair(sheet, "House file", "%.300s",
              strcmp(run->path, "-") == 0 ? "standard input"
              : name                      ? name + 1
                                          : run->path);
  report_pair(sheet, "Floor area", "%s", report_number(&units->area, rates->floor_area_m2).text);
  if (rates->people > 0)
    report_pair(sheet, "People", "%g", rates->people);
  if (strcmp(rates->rules, "none") == 0)
    report_pair(sheet, "Rule set", "none is named: the flows are those of the house file");
  else
    report_pair(sheet, "Rule set", "%.200s (%.200s)", rates->rules, rates->rules_title);
  if (run->energy)
    report_pair(sheet, "Climate", "%.200s", run->energy->climate);
  flow_table(pages, sheet, 0);
}

/* ---- Air and fans ---- */

static void air_heads(cli_sheet *sheet, const cli_run *run) {
  const cli_units *units = run->options->units;
  sheet_cell(sheet, "Level");
  sheet_cell(sheet, "asked %s", units->flow.name);
  sheet_cell(sheet, "supply %s", units->flow.name);
  sheet_cell(sheet, "extract %s", units->flow.name);
  if (!run->ducts)
    return;
  sheet_cell(sheet, "supply fan %s", units->pressure.name);
  sheet_cell(sheet, "extract fan %s", units->pressure.name);
  sheet_cell(sheet, "signals");
  sheet_cell(sheet, "power W");
  sheet_cell(sheet, "specific fan power %s", units->fan_power.name);
}

static void fan_cells(cli_sheet *sheet, const cli_units *units, const eb_controller *controller,
                      const eb_level_state *level) {
  sheet_value(sheet, &units->pressure, level->supply.pressure_pa);
  sheet_value(sheet, &units->pressure, level->extract.pressure_pa);
  sheet_cell(sheet, "%s / %s", controller_text(controller, level->supply.signal).text,
             controller_text(controller, level->extract.signal).text);
  report_cell(sheet, 1, if_any(level->power_w));
  sheet_value(sheet, &units->fan_power, if_any(level->specific_fan_power));
}

static double asked(const eb_rates *rates, size_t level) {
  double value = level == 0 ? rates->required_m3_s : rates->boost_required_m3_s;
  return level < 2 ? if_any(value) : (double)NAN;
}

static void air(flow *pages, const cli_run *run) {
  const cli_units *units = run->options->units;
  const eb_rates *rates = run->rates;
  size_t count = rates->n_levels < MOST_LEVELS ? rates->n_levels : MOST_LEVELS;
  cli_sheet *sheet = sheet_new(run->ducts ? "lrrrrrrrr" : "lrrr");
  air_heads(sheet, run);
  for (size_t l = 0; l < count; l++) {
    sheet_cell(sheet, "  %s", rates->levels[l]);
    sheet_value(sheet, &units->flow, asked(rates, l));
    sheet_value(sheet, &units->flow, rates->supply_total_m3_s[l]);
    sheet_value(sheet, &units->flow, rates->extract_total_m3_s[l]);
    if (run->ducts)
      fan_cells(sheet, units, &run->ducts->controller, &run->ducts->levels[l]);
  }
  flow_heading(pages, "Air of the whole dwelling, asked by the rules and designed; fans");
  flow_table(pages, sheet, 1);
  if (*rates->governed_by && rates->required_m3_s > 0)
    flow_text(pages, FLOW_SMALL, "What is asked always is governed by %s.", rates->governed_by);
}

/* ---- Sound ---- */

static const eb_room_sound *loudest(const eb_ducts *ducts, size_t *room, size_t *over) {
  const eb_level_state *level = ducts_set_level(ducts);
  const eb_room_sound *found = NULL;
  for (size_t i = 0; level->sounds && i < ducts->n_rooms; i++) {
    const eb_room_sound *sound = &level->sounds[i];
    *over += sound->limit_db > 0 && sound->total_db > sound->limit_db;
    if (!isfinite(sound->total_db) || (found && sound->total_db <= found->total_db))
      continue;
    found = sound;
    *room = i;
  }
  return found;
}

static void sound(flow *pages, const cli_run *run) {
  size_t room = 0, over = 0;
  const eb_room_sound *found = run->ducts ? loudest(run->ducts, &room, &over) : NULL;
  flow_heading(pages, "Sound");
  if (!found) {
    flow_text(pages, FLOW_PLAIN, "%s",
              run->ducts ? "The unit's sheet has no sound data: levels in rooms are not known."
                         : "No ducts are described: levels in rooms are not known.");
    return;
  }
  char many[32];
  snprintf(many, sizeof many, "%zu rooms are", over);
  flow_text(pages, FLOW_PLAIN, "Loudest at %s is %s with %.0f dB(A); %s above a limit.",
            run->ducts->set_level, run->ducts->levels[0].rooms[room].name, found->total_db,
            over == 0   ? "no room is"
            : over == 1 ? "one room is"
                        : many);
}

/* ---- The year ---- */

static const char *verb(double saved) {
  return saved < 0 ? "costs" : "saves";
}

static void year(flow *pages, const cli_run *run) {
  const eb_energy *energy = run->energy;
  if (!energy)
    return;
  flow_heading(pages, "A year, against the house with its baseline");
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "Baseline", "%.200s", energy->baseline_name);
  report_pair(sheet, "Heat", "%s %s kWh (%.0f %% sure: %s to %s kWh)",
              verb(energy->saving_heat_kwh), figure_two(fabs(energy->saving_heat_kwh)).text,
              energy->range_confidence * 100, figure_two(energy->range_low_kwh).text,
              figure_two(energy->range_high_kwh).text);
  report_pair(sheet, "Electricity", "%s %s kWh", verb(energy->saving_electricity_kwh),
              figure_two(fabs(energy->saving_electricity_kwh)).text);
  if (energy->saving.given)
    report_pair(sheet, "Money", "%s %s %.40s", verb(energy->saving.money),
                figure_two(fabs(energy->saving.money)).text, energy->saving.currency);
  if (energy->saving.carbon_given)
    report_pair(sheet, "Carbon dioxide", "%s %s kg", verb(energy->saving.carbon_kg),
                figure_two(fabs(energy->saving.carbon_kg)).text);
  flow_table(pages, sheet, 0);
}

/* ---- What does not comply ---- */

/* Cut at a blank, so that the page has room for the rest. */
static void one(flow *pages, const eb_diagnostic *finding) {
  int length = (int)strlen(finding->message);
  bool cut = length > MOST_WORDS;
  for (length = cut ? MOST_WORDS : length; cut && length > 0 && finding->message[length] != ' ';)
    length--;
  flow_text(pages, FLOW_ITEM, "%.*s%s", length, finding->message, cut ? " ..." : "");
}

static void shortfalls(flow *pages, const cli_run *run) {
  size_t count, found = 0;
  const eb_diagnostic *findings = eb_diagnostics(run->context, &count);
  flow_heading(pages, "What does not comply or needs attention");
  for (size_t i = 0; i < count; i++)
    if (findings[i].severity != EB_NOTE && found++ < MOST_FINDINGS)
      one(pages, &findings[i]);
  if (found == 0)
    flow_text(pages, FLOW_PLAIN, "Nothing was found.");
  else if (found > MOST_FINDINGS)
    flow_text(pages, FLOW_BOLD, "and %zu more, see Findings.", found - MOST_FINDINGS);
}

void report_summary(flow *pages, const cli_run *run) {
  flow_section(pages, "Ventilation design: summary", true);
  house(pages, run);
  air(pages, run);
  sound(pages, run);
  year(pages, run);
  shortfalls(pages, run);
  flow_text(pages, FLOW_PLAIN,
            "\nResults are design aids: local codes and licensed people decide.");
}
