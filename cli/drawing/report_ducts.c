/* report_ducts.c - the duct schedule, and what happens in every run at every level */

#include <math.h>

#include "drawing/pens.h"
#include "drawing/report.h"
#include "sheets.h"

static const double none = (double)NAN;

static void schedule(flow *pages, const cli_units *units, const eb_ducts *ducts) {
  cli_sheet *sheet = sheet_new("lllllrrr");
  sheet_cell(sheet, "Run");
  sheet_cell(sheet, "from");
  sheet_cell(sheet, "to");
  sheet_cell(sheet, "air");
  sheet_cell(sheet, "duct");
  sheet_cell(sheet, "size %s", units->bore.name);
  sheet_cell(sheet, "tubes");
  sheet_cell(sheet, "length %s", units->length.name);
  for (size_t i = 0; i < ducts->n_runs; i++) {
    const eb_run_info *run = &ducts->runs[i];
    sheet_cell(sheet, "  %s", run->name);
    sheet_cell(sheet, "%s", run->from);
    sheet_cell(sheet, "%s", run->to);
    sheet_cell(sheet, "%s", pen_letters((pen_air)run->air));
    sheet_cell(sheet, "%s", run->duct);
    ducts_size_cell(sheet, units, run);
    sheet_cell(sheet, "%d", run->parallel);
    sheet_value(sheet, &units->length, run->length_m);
  }
  flow_heading(pages, "Schedule");
  flow_table(pages, sheet, 1);
  flow_text(pages, FLOW_SMALL, "%s %s, %s %s, %s %s, %s %s.", pen_letters(PEN_OUTDOOR),
            pen_name(PEN_OUTDOOR), pen_letters(PEN_SUPPLY), pen_name(PEN_SUPPLY),
            pen_letters(PEN_EXTRACT), pen_name(PEN_EXTRACT), pen_letters(PEN_EXHAUST),
            pen_name(PEN_EXHAUST));
}

static void level_heads(cli_sheet *sheet, const cli_units *units) {
  const char *pa = units->pressure.name;
  sheet_cell(sheet, "Run");
  sheet_cell(sheet, "%s", units->flow.name);
  sheet_cell(sheet, "%s", units->velocity.name);
  sheet_cell(sheet, "%s", units->gradient.name);
  sheet_cell(sheet, "friction %s", pa);
  sheet_cell(sheet, "fittings %s", pa);
  sheet_cell(sheet, "valve %s", pa);
  sheet_cell(sheet, "in all %s", pa);
}

static void level_runs(flow *pages, const cli_units *units, const eb_ducts *ducts, size_t l) {
  const eb_level_state *level = &ducts->levels[l];
  cli_sheet *sheet = sheet_new("lrrrrrrr");
  level_heads(sheet, units);
  for (size_t i = 0; i < ducts->n_runs; i++) {
    const eb_run_state *state = &level->runs[i];
    sheet_cell(sheet, "  %s", ducts->runs[i].name);
    sheet_value(sheet, &units->flow, state->flow_m3_s);
    sheet_value(sheet, &units->velocity, state->velocity_m_s);
    sheet_value(sheet, &units->gradient, state->friction_pa_per_m);
    sheet_value(sheet, &units->pressure, state->friction_pa);
    sheet_value(sheet, &units->pressure, state->fittings_pa);
    sheet_value(sheet, &units->pressure, state->valve_pa);
    sheet_value(sheet, &units->pressure, state->total_pa);
  }
  char title[256];
  snprintf(title, sizeof title, "Runs at %.200s", level->name);
  flow_heading(pages, title);
  flow_table(pages, sheet, 1);
}

/* ---- The air on its way, at the set level ---- */

static void way_heads(cli_sheet *sheet, const cli_units *units) {
  const char *c = units->temperature.name;
  sheet_cell(sheet, "Run");
  sheet_cell(sheet, "begins %s", c);
  sheet_cell(sheet, "ends %s", c);
  sheet_cell(sheet, "gives heat W");
  sheet_cell(sheet, "surface %s", c);
  sheet_cell(sheet, "dew point around %s", c);
  sheet_cell(sheet, "leaks %s", units->flow.name);
  sheet_cell(sheet, "weight of air helps %s", units->pressure.name);
}

static void way_of_air(flow *pages, const cli_units *units, const eb_ducts *ducts) {
  const eb_level_state *level = ducts_set_level(ducts);
  cli_unit leak = units->flow;
  leak.decimals += 2;
  cli_sheet *sheet = sheet_new("lrrrrrrr");
  way_heads(sheet, units);
  for (size_t i = 0; i < ducts->n_runs; i++) {
    const eb_run_state *state = &level->runs[i];
    sheet_cell(sheet, "  %s", ducts->runs[i].name);
    sheet_value(sheet, &units->temperature, state->start_c);
    sheet_value(sheet, &units->temperature, state->end_c);
    report_cell(sheet, 1, state->heat_w);
    sheet_value(sheet, &units->temperature, state->surface_c);
    sheet_value(sheet, &units->temperature, state->dew_point_c);
    sheet_value(sheet, &leak, state->leakage_m3_s);
    sheet_value(sheet, &units->pressure, state->stack_pa);
  }
  char title[256];
  snprintf(title, sizeof title, "Air on its way through the ducts at %.200s", level->name);
  flow_heading(pages, title);
  flow_table(pages, sheet, 1);
  flow_text(pages, FLOW_SMALL, "A minus sign is heat taken in, or air that leaks in.");
}

static void limits(flow *pages, const eb_sizes *sizes) {
  for (size_t i = 0; i < sizes->n_runs; i++) {
    const eb_sized_run *run = &sizes->runs[i];
    const eb_other_size *others[] = {&run->smaller, &run->larger};
    for (int o = 0; o < 2; o++)
      if (*others[o]->against)
        flow_text(pages, FLOW_ITEM, "%s: %s is against the limit: %s", run->run, others[o]->duct,
                  others[o]->against);
  }
}

static void sizes(flow *pages, const cli_units *units, const eb_sizes *chosen) {
  if (!chosen)
    return;
  flow_heading(pages, "Sizes chosen, and what the next smaller and larger would change");
  flow_table(pages, ducts_sizes_sheet(units, chosen), 1);
  limits(pages, chosen);
  flow_text(pages, FLOW_PLAIN, "By %s: parts %.2f and electricity %.2f %s.", chosen->method,
            chosen->parts_cost, chosen->energy_cost,
            *chosen->currency ? chosen->currency : "money");
  if (isfinite(chosen->frozen_bound))
    flow_text(pages, FLOW_PLAIN, "Exact with losses between neighbours frozen: %.2f.",
              chosen->frozen_bound);
  if (isfinite(chosen->money_per_pa[0]) && isfinite(chosen->money_per_pa[1]))
    flow_text(pages, FLOW_PLAIN, "A pascal more costs %.2f on the supply and %.2f on the extract.",
              chosen->money_per_pa[0], chosen->money_per_pa[1]);
}

void report_ducts(flow *pages, const cli_run *run) {
  const eb_ducts *ducts = run->ducts;
  const cli_units *units = run->options->units;
  if (!ducts)
    return;
  flow_section(pages, "Ducts", true);
  schedule(pages, units, ducts);
  sizes(pages, units, ducts->sizes);
  for (size_t l = 0; l < ducts->n_levels; l++)
    level_runs(pages, units, ducts, l);
  way_of_air(pages, units, ducts);
  flow_text(pages, FLOW_SMALL, "Solved until no more than %.1g %s and %.1g %s were left over.",
            unit_value(&units->flow, ducts->residual_flow_m3_s), units->flow.name,
            unit_value(&units->pressure, ducts->residual_pressure_pa), units->pressure.name);
}

/* ---- Terminals ---- */

static const eb_run_state *state_of(const eb_ducts *ducts, const eb_level_state *level,
                                    const eb_terminal *terminal) {
  for (size_t i = 0; i < ducts->n_runs; i++)
    if (ducts->runs[i].name == terminal->run)
      return &level->runs[i];
  return NULL;
}

static void terminal_row(cli_sheet *sheet, const cli_units *units, const eb_ducts *ducts,
                         const eb_terminal *terminal) {
  const eb_run_state *state = state_of(ducts, ducts_set_level(ducts), terminal);
  sheet_cell(sheet, "  %s", terminal->run);
  sheet_cell(sheet, "%s", terminal->room);
  sheet_cell(sheet, "%s", *terminal->valve ? terminal->valve : "none");
  if (terminal->has_opening)
    sheet_cell(sheet, "%.1f %s", terminal->opening, terminal->opening_unit);
  else
    sheet_cell(sheet, "-");
  sheet_value(sheet, &units->pressure, terminal->valve_pa);
  sheet_value(sheet, &units->flow, state ? state->flow_m3_s : none);
  sheet_cell(sheet, "%s", terminal->index ? "index run: stays open" : "");
}

void report_terminals(flow *pages, const cli_run *run) {
  const eb_ducts *ducts = run->ducts;
  const cli_units *units = run->options->units;
  if (!ducts || !ducts->n_terminals)
    return;
  cli_sheet *sheet = sheet_new("lllrrrl");
  report_heads(sheet, (const char *const[]){"Terminal", "room", "valve", "opening", NULL});
  sheet_cell(sheet, "valve %s", units->pressure.name);
  sheet_cell(sheet, "through its run %s", units->flow.name);
  sheet_skip(sheet);
  for (size_t i = 0; i < ducts->n_terminals; i++)
    terminal_row(sheet, units, ducts, &ducts->terminals[i]);
  flow_section(pages, "Terminals and their openings", false);
  flow_text(pages, FLOW_PLAIN,
            "Valves are set at %s and then locked; what they are set to on site is what `balance` "
            "advises from readings.",
            ducts->set_level);
  flow_table(pages, sheet, 1);
}
