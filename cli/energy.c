/* energy.c - evenbreath energy: what a year takes and saves */

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "diagnose.h"
#include "energy_detail.h"
#include "energy_json.h"
#include "energy_money.h"
#include "figures.h"
#include "json.h"
#include "sheets.h"
#include "wrapped.h"

static eb_status calculate(cli_run *run) {
  bool ducts = eb_house_has_ducts(run->house);
  eb_status status = ducts ? calculate_ducts(run) : calculate_rates(run);
  if (!status)
    status = readings_of_run(run);
  if (status)
    return status;
  const eb_energy_options options = {
      .size = sizeof options, .detail = run->options->detail, .readings = run->readings};
  status = eb_energy_year(run->context, run->house, run->rates, run->ducts, &options, run->ledger,
                          &run->energy);
  return status ? status : diagnosis_of_run(run);
}

/* ---- text ---- */

static void year_row(cli_sheet *sheet, const char *what, double with, double baseline) {
  sheet_cell(sheet, "  %s", what);
  sheet_cell(sheet, "%s", figure_two(with).text);
  if (isnan(baseline))
    sheet_skip(sheet);
  else
    sheet_cell(sheet, "%s", figure_two(baseline).text);
}

cli_sheet *energy_year_sheet(const eb_energy *energy) {
  cli_sheet *sheet = sheet_new("lrr");
  sheet_cell(sheet, "A year, kWh");
  sheet_cell(sheet, "this system");
  sheet_cell(sheet, "%s", energy->baseline_name);
  year_row(sheet, "heat the house needs", energy->net_heat_kwh, energy->baseline_heat_kwh);
  year_row(sheet, "fans", energy->fan_kwh, energy->baseline_fan_kwh);
  year_row(sheet, "controls (standby)", energy->standby_kwh, (double)NAN);
  year_row(sheet, "frost protection", energy->frost_kwh, (double)NAN);
  return sheet;
}

static void recovered_text(const eb_energy *energy, FILE *out) {
  fprintf(
      out,
      "\nHeat recovered, three answers to three questions\n"
      "  %s kWh  useful: what the heating would have to add without the exchanger\n"
      "  %s kWh  gross: all that crosses the exchanger, wanted or not, while no bypass is open\n"
      "  %s kWh  of that in hours that need heating\n"
      "All this air would ask for %s kWh of heat if nothing were recovered\n",
      figure_two(energy->recovered_heat_kwh).text, figure_two(energy->gross_recovered_kwh).text,
      figure_two(energy->recovered_heating_kwh).text,
      figure_two(energy->ventilation_heat_kwh).text);
}

/* Useful heat and the fans' electricity of the six warmest months. */
static void summer_text(const eb_energy *energy, FILE *out) {
  double heat = 0, fans = 0;
  for (size_t i = 0; i < 12; i++) {
    size_t warmer = 0;
    for (size_t j = 0; j < 12; j++)
      warmer += energy->months[j].outdoor_c > energy->months[i].outdoor_c ||
                (energy->months[j].outdoor_c == energy->months[i].outdoor_c && j < i);
    if (warmer >= 6)
      continue;
    heat += energy->months[i].recovered_heat_kwh;
    fans += energy->months[i].fan_kwh;
  }
  fprintf(out, "In the six warmest months the exchanger spares %s kWh and the fans take %s\n",
          figure_two(heat).text, figure_two(fans).text);
}

/* What lessens the ratio or the air on its way, where there is any. */
static void losses_text(const eb_energy *energy, FILE *out) {
  if (energy->duct_loss_w_k != 0)
    fprintf(out, "The ducts lose %s W for each kelvin between indoors and outdoors\n",
            figure_two(energy->duct_loss_w_k).text);
  if (energy->fan_heat_w > 0)
    fprintf(out, "The supply fan warms the air with %s W\n", figure_two(energy->fan_heat_w).text);
  if (energy->fresh_air_ratio < 1)
    fprintf(out, "%.0f %% of the supply is outdoor air, the rest leaks over from the extract air\n",
            energy->fresh_air_ratio * 100);
  if (!isnan(energy->measured_unbalance))
    fprintf(out, "As read on site there is %s %% more %s\n",
            figure_two(fabs(energy->measured_unbalance) * 100).text,
            energy->measured_unbalance < 0 ? "extract than supply" : "supply than extract");
}

static void frost_text(const eb_frost *frost, FILE *out) {
  if (isnan(frost->below_c) || strcmp(frost->method, "none") == 0)
    return;
  fprintf(out, "\nFrost protection (%s) works in %s hours below %.3g C\n", frost->method,
          figure_two(frost->hours).text, frost->below_c);
  if (frost->electricity_kwh > 0)
    fprintf(out, "  %s kWh of electricity, and %s kWh of warmth that reaches the rooms\n",
            figure_two(frost->electricity_kwh).text, figure_two(frost->useful_kwh).text);
  if (frost->lost_recovery_kwh > 0)
    fprintf(out, "  %s kWh of heat not recovered meanwhile\n",
            figure_two(frost->lost_recovery_kwh).text);
  if (frost->lost_air_m3 > 0)
    fprintf(out, "  %s m3 of outdoor air not supplied\n", figure_two(frost->lost_air_m3).text);
}

cli_sheet *energy_methods_sheet(const eb_energy *energy) {
  cli_sheet *sheet = sheet_new("lrrrrrl");
  const char *heads[] = {"By weather, kWh", "K day", "heat", "useful", "baseline", "saved", ""};
  for (size_t i = 0; i < 7; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < energy->n_methods; i++) {
    const eb_energy_method *m = &energy->methods[i];
    const double figures[] = {m->heating_degree_days, m->net_heat_kwh, m->recovered_heat_kwh,
                              m->baseline_heat_kwh, m->saving_heat_kwh};
    sheet_cell(sheet, "  %s", m->name);
    for (size_t j = 0; j < 5; j++)
      sheet_cell(sheet, "%.0f", figures[j]); /* to tell them apart */
    sheet_cell(sheet, "%s", m->rule);
  }
  return sheet;
}

static const char *verb(double saved) {
  return saved < 0 ? "costs" : "saves";
}

static void saving_text(const eb_energy *energy, FILE *out) {
  fprintf(out, "\nAgainst %s (%.2f air changes an hour)\n", energy->baseline_name,
          energy->baseline_air_change_per_h);
  wrapped_row((const char *[]){"", energy->baseline_why}, (const size_t[]){0, 90}, 2, out);
  fprintf(out, "  heat         %s %s kWh a year (%.0f %% sure: %s to %s)\n",
          verb(energy->saving_heat_kwh), figure_two(fabs(energy->saving_heat_kwh)).text,
          energy->range_confidence * 100, figure_two(energy->range_low_kwh).text,
          figure_two(energy->range_high_kwh).text);
  fprintf(out, "  electricity  %s %s kWh a year\n", verb(energy->saving_electricity_kwh),
          figure_two(fabs(energy->saving_electricity_kwh)).text);
  if (energy->saving.given)
    fprintf(out, "  money        %s %s %s a year\n", verb(energy->saving.money),
            figure_two(fabs(energy->saving.money)).text, energy->saving.currency);
  if (energy->saving.carbon_given)
    fprintf(out, "  carbon       %s %s kg a year\n", verb(energy->saving.carbon_kg),
            figure_two(fabs(energy->saving.carbon_kg)).text);
}

static void month_row(cli_sheet *sheet, const cli_units *units, const char *name,
                      const eb_energy_month *m) {
  sheet_cell(sheet, "  %s", name);
  sheet_value(sheet, &units->temperature, m->outdoor_c);
  sheet_cell(sheet, "%.0f", m->heating_degree_days);
  sheet_cell(sheet, "%.0f", m->net_heat_kwh);
  sheet_cell(sheet, "%.0f", m->recovered_heat_kwh);
  sheet_cell(sheet, "%.0f", m->gross_recovered_kwh);
  sheet_cell(sheet, "%.0f", m->recovered_heating_kwh);
  sheet_cell(sheet, "%.0f", m->baseline_heat_kwh);
  sheet_cell(sheet, "%.0f", m->fan_kwh);
}

cli_sheet *energy_months_sheet(const cli_units *units, const eb_energy *energy) {
  cli_sheet *sheet = sheet_new("lrrrrrrrr");
  const char *heads[] = {
      "By month, kWh", units->temperature.name, "K day", "heat", "useful", "gross",
      "in heating",    "baseline heat",         "fans"};
  for (size_t i = 0; i < 9; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < 12; i++)
    month_row(sheet, units, month_names[i], &energy->months[i]);
  return sheet;
}

static bool text(const cli_run *run, FILE *out) {
  const cli_units *units = run->options->units;
  const eb_energy *energy = run->energy;
  const cli_unit *degrees = &units->temperature;
  fprintf(out, "%s, climate %s\n", run_title(run), energy->climate);
  fprintf(out, "Heating needed below %.1f %s outdoors: %.0f K day a year; %.0f W/K in all\n",
          unit_value(degrees, energy->base_temperature_c), degrees->name,
          energy->heating_degree_days, energy->heat_loss_w_k);
  fprintf(out, "The exchanger gives back %.0f %% at %.*f %s, the mean flow of the year\n",
          energy->temperature_ratio * 100, units->flow.decimals,
          unit_value(&units->flow, energy->ventilation_flow_m3_s), units->flow.name);
  losses_text(energy, out);
  if (!sheet_finish(energy_year_sheet(energy), out))
    return false;
  recovered_text(energy, out);
  summer_text(energy, out);
  frost_text(&energy->frost, out);
  saving_text(energy, out);
  if (!energy_money_text(energy, units, out))
    return false;
  return sheet_finish(energy_months_sheet(units, energy), out) &&
         (energy->n_methods < 2 || sheet_finish(energy_methods_sheet(energy), out)) &&
         energy_detail_text(energy, units, out) && diagnosis_text(run, out);
}

static bool json(const cli_run *run, json_t *object) {
  energy_json(run->energy, object);
  energy_money_json(run->energy, object);
  energy_detail_json(run->energy, object);
  if (run->diagnosis)
    json_put(object, "diagnosis", diagnosis_json(run));
  return json_complete();
}

const cli_command command_energy = {
    .name = "energy",
    .summary = "what a year takes and saves, against trickle vents and extract fans",
    .help = "Heat, electricity, money and carbon of a year by degree-days, of the hours where the\n"
            "climate has them: with this system, without heat recovery, and with the baseline\n"
            "the house names. Heat recovered is the difference of two heating needs, each with\n"
            "its own base temperature.\n",
    .examples = "evenbreath energy --explain --set site.indoor=21C alder-row.yaml\n"
                "evenbreath energy --detail --json alder-row.yaml\n",
    .calculate = calculate,
    .text = text,
    .json = json,
};
