/* energy.c - evenbreath energy: what a year takes and saves */

#include <math.h>
#include <stdlib.h>

#include "command.h"
#include "json.h"
#include "sheet.h"

static eb_status calculate(cli_run *run) {
  bool ducts = eb_house_has_ducts(run->house);
  eb_status status = ducts ? calculate_ducts(run) : calculate_rates(run);
  if (status)
    return status;
  return eb_energy_year(run->context, run->house, run->rates, run->ducts, NULL, run->ledger,
                        &run->energy);
}

/* ---- text ---- */

/* A year's figure is not known to the kilowatt-hour: two significant figures. */
static double two_figures(double value) {
  if (value == 0)
    return 0;
  double unit = pow(10, floor(log10(fabs(value))) - 1);
  return round(value / unit) * unit;
}

static void year_row(cli_sheet *sheet, const char *what, double with, double baseline) {
  sheet_cell(sheet, "  %s", what);
  sheet_cell(sheet, "%.0f", two_figures(with));
  if (isnan(baseline))
    sheet_skip(sheet);
  else
    sheet_cell(sheet, "%.0f", two_figures(baseline));
}

static bool year_text(const eb_energy *energy, FILE *out) {
  cli_sheet *sheet = sheet_new("lrr");
  sheet_cell(sheet, "A year, kWh");
  sheet_cell(sheet, "this system");
  sheet_cell(sheet, "%s", energy->baseline_name);
  year_row(sheet, "heat the house needs", energy->net_heat_kwh, energy->baseline_heat_kwh);
  year_row(sheet, "fans", energy->fan_kwh, energy->baseline_fan_kwh);
  year_row(sheet, "controls (standby)", energy->standby_kwh, (double)NAN);
  year_row(sheet, "frost protection", energy->frost_kwh, (double)NAN);
  fputc('\n', out);
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

static void recovered_text(const eb_energy *energy, FILE *out) {
  fprintf(out,
          "\nHeat recovered, three answers to three questions\n"
          "  %.0f kWh  useful: what the heating would have to add without the exchanger\n"
          "  %.0f kWh  gross: all that crosses the exchanger, wanted or not\n"
          "  %.0f kWh  asked of the heating by this air if nothing were recovered\n",
          two_figures(energy->recovered_heat_kwh), two_figures(energy->gross_recovered_kwh),
          two_figures(energy->ventilation_heat_kwh));
}

static void saving_text(const eb_energy *energy, FILE *out) {
  double heat = two_figures(energy->saving_heat_kwh);
  double electricity = two_figures(energy->saving_electricity_kwh);
  fprintf(out, "\nAgainst %s (%.2f air changes an hour)\n", energy->baseline_name,
          energy->baseline_air_change_per_h);
  fprintf(out, "  heat         %s %.0f kWh a year (%.0f %% sure: %.0f to %.0f)\n",
          heat < 0 ? "costs" : "saves", fabs(heat), energy->range_confidence * 100,
          two_figures(energy->range_low_kwh), two_figures(energy->range_high_kwh));
  fprintf(out, "  electricity  %s %.0f kWh a year\n", electricity < 0 ? "costs" : "saves",
          fabs(electricity));
  if (energy->saving.given)
    fprintf(out, "  money        %s %.0f %s a year\n", energy->saving.money < 0 ? "costs" : "saves",
            fabs(energy->saving.money), energy->saving.currency);
  if (energy->saving.carbon_given)
    fprintf(out, "  carbon       %s %.0f kg a year\n",
            energy->saving.carbon_kg < 0 ? "costs" : "saves",
            fabs(two_figures(energy->saving.carbon_kg)));
}

static const char *const month_names[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                            "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

static void month_row(cli_sheet *sheet, const cli_units *units, const char *name,
                      const eb_energy_month *m) {
  sheet_cell(sheet, "  %s", name);
  sheet_value(sheet, &units->temperature, m->outdoor_c);
  sheet_cell(sheet, "%.0f", m->heating_degree_days);
  sheet_cell(sheet, "%.0f", m->net_heat_kwh);
  sheet_cell(sheet, "%.0f", m->recovered_heat_kwh);
  sheet_cell(sheet, "%.0f", m->baseline_heat_kwh);
  sheet_cell(sheet, "%.0f", m->fan_kwh);
}

static bool months_text(const cli_units *units, const eb_energy *energy, FILE *out) {
  cli_sheet *sheet = sheet_new("lrrrrrr");
  const char *heads[] = {"By month, kWh", units->temperature.name, "K day", "heat",
                         "recovered",     "baseline heat",         "fans"};
  for (size_t i = 0; i < 7; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < 12; i++)
    month_row(sheet, units, month_names[i], &energy->months[i]);
  fputc('\n', out);
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
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
  if (!year_text(energy, out))
    return false;
  recovered_text(energy, out);
  saving_text(energy, out);
  return months_text(units, energy, out);
}

/* ---- JSON ---- */

static json_t *month_json(const eb_energy_month *month) {
  json_t *object = json_object();
  json_put_number(object, "outdoor_c", month->outdoor_c);
  json_put_number(object, "heating_degree_days", month->heating_degree_days);
  json_put_number(object, "ventilation_heat_kwh", month->ventilation_heat_kwh);
  json_put_number(object, "recovered_heat_kwh", month->recovered_heat_kwh);
  json_put_number(object, "net_heat_kwh", month->net_heat_kwh);
  json_put_number(object, "fan_kwh", month->fan_kwh);
  json_put_number(object, "baseline_heat_kwh", month->baseline_heat_kwh);
  return object;
}

static json_t *baseline_json(const eb_energy *energy) {
  json_t *object = json_object();
  json_put_text(object, "name", energy->baseline_name);
  json_put_number(object, "air_change_per_h", energy->baseline_air_change_per_h);
  json_put_number(object, "base_temperature_c", energy->baseline_base_temperature_c);
  json_put_number(object, "heat_kwh", energy->baseline_heat_kwh);
  json_put_number(object, "fan_kwh", energy->baseline_fan_kwh);
  return object;
}

/* null where no price or factor was given. */
static void put_if(json_t *object, const char *key, bool given, double value) {
  json_put(object, key, given ? json_real(value) : json_null());
}

static json_t *saving_json(const eb_energy *energy) {
  json_t *object = json_object();
  json_put_number(object, "heat_kwh", energy->saving_heat_kwh);
  json_put_number(object, "electricity_kwh", energy->saving_electricity_kwh);
  put_if(object, "money", energy->saving.given, energy->saving.money);
  json_put_text(object, "currency", energy->saving.given ? energy->saving.currency : NULL);
  put_if(object, "carbon_kg", energy->saving.carbon_given, energy->saving.carbon_kg);
  return object;
}

static void figures_json(const eb_energy *energy, json_t *object) {
  json_put_text(object, "climate", energy->climate);
  json_put_number(object, "air_constant_wh_per_m3_k", energy->air_constant_wh_m3_k);
  json_put_number(object, "ventilation_flow_l_s", energy->ventilation_flow_m3_s * 1e3);
  json_put_number(object, "temperature_ratio", energy->temperature_ratio);
  json_put_number(object, "infiltration_per_h", energy->infiltration_per_h);
  json_put_number(object, "heat_loss_w_per_k", energy->heat_loss_w_k);
  json_put_number(object, "heat_loss_no_recovery_w_per_k", energy->heat_loss_no_recovery_w_k);
  json_put_number(object, "base_temperature_c", energy->base_temperature_c);
  json_put_number(object, "heating_degree_days", energy->heating_degree_days);
  json_put_number(object, "ventilation_heat_kwh", energy->ventilation_heat_kwh);
  json_put_number(object, "recovered_heat_kwh", energy->recovered_heat_kwh);
  json_put_number(object, "gross_recovered_kwh", energy->gross_recovered_kwh);
  json_put_number(object, "fan_kwh", energy->fan_kwh);
  json_put_number(object, "standby_kwh", energy->standby_kwh);
  json_put_number(object, "frost_kwh", energy->frost_kwh);
  json_put_number(object, "net_heat_kwh", energy->net_heat_kwh);
}

static bool json(const cli_run *run, json_t *object) {
  const eb_energy *energy = run->energy;
  figures_json(energy, object);
  json_put(object, "baseline", baseline_json(energy));
  json_put(object, "saving", saving_json(energy));
  json_t *months = json_array();
  for (size_t i = 0; i < 12; i++)
    json_add(months, month_json(&energy->months[i]));
  json_put(object, "months", months);
  json_t *range = json_object();
  json_put_number(range, "low_kwh", energy->range_low_kwh);
  json_put_number(range, "high_kwh", energy->range_high_kwh);
  json_put_number(range, "confidence_percent", energy->range_confidence * 100);
  json_put(object, "range", range);
  return json_complete();
}

const cli_command command_energy = {
    .name = "energy",
    .summary = "what a year takes and saves, against trickle vents and extract fans",
    .help = "Heat, electricity, money and carbon of a year by degree-days: with this system,\n"
            "without heat recovery, and with the baseline the house names. Heat recovered is\n"
            "the difference of two heating needs, each with its own base temperature.\n",
    .calculate = calculate,
    .text = text,
    .json = json,
};
