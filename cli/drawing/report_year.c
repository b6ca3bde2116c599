/* report_year.c - what a year takes and saves, by month, by baseline, and how sure it is */

#include <math.h>
#include <string.h>

#include "drawing/report.h"
#include "figures.h"
#include "sheets.h"

static report_text two(double value, const char *unit) {
  report_text text;
  snprintf(text.text, sizeof text.text, "%s%s%s", figure_two(value).text, *unit ? " " : "", unit);
  return text;
}

static void month_row(cli_sheet *sheet, const cli_units *units, const char *name,
                      const eb_energy_month *m) {
  sheet_cell(sheet, "  %s", name);
  sheet_value(sheet, &units->temperature, m->outdoor_c);
  report_cell(sheet, 0, m->heating_degree_days);
  report_cell(sheet, 0, m->ventilation_heat_kwh);
  report_cell(sheet, 0, m->recovered_heat_kwh);
  report_cell(sheet, 0, m->gross_recovered_kwh);
  report_cell(sheet, 0, m->recovered_heating_kwh);
  report_cell(sheet, 0, m->net_heat_kwh);
  report_cell(sheet, 0, m->baseline_heat_kwh);
  report_cell(sheet, 1, m->fan_kwh);
  report_cell(sheet, 1, m->frost_kwh);
}

static void months(flow *pages, const cli_units *units, const eb_energy *energy) {
  cli_sheet *sheet = sheet_new("lrrrrrrrrrr");
  char outdoors[32];
  snprintf(outdoors, sizeof outdoors, "outdoors %s", units->temperature.name);
  report_heads(sheet, (const char *const[]){"kWh", outdoors, "K day", "air asks",
                                            "recovered, useful", "gross", "in heating",
                                            "heat needed", "baseline heat", "fans", "frost", NULL});
  for (size_t i = 0; i < 12; i++)
    month_row(sheet, units, month_names[i], &energy->months[i]);
  flow_heading(pages, "By month");
  flow_table(pages, sheet, 1);
}

static void year(flow *pages, const eb_energy *energy) {
  flow_heading(pages, "A year");
  flow_table(pages, energy_year_sheet(energy), 1);
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "Heat that all this air would ask for", "%s",
              two(energy->ventilation_heat_kwh, "kWh").text);
  report_pair(sheet, "Recovered, useful",
              "%s: what the heating would have to add without the exchanger",
              two(energy->recovered_heat_kwh, "kWh").text);
  report_pair(sheet, "Recovered, gross",
              "%s: all that crosses the exchanger, wanted or not, while no bypass is open",
              two(energy->gross_recovered_kwh, "kWh").text);
  report_pair(sheet, "Recovered in heating", "%s: of that in hours that need heating",
              two(energy->recovered_heating_kwh, "kWh").text);
  flow_table(pages, sheet, 0);
}

static void basis(flow *pages, const cli_units *units, const eb_energy *energy) {
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "Climate", "%.200s, taken by %s", energy->climate, energy->method);
  report_pair(sheet, "Heating needed below", "%s outdoors, %.0f K day a year",
              report_number(&units->temperature, energy->base_temperature_c).text,
              energy->heating_degree_days);
  report_pair(sheet, "Heat loss with recovery", "%.1f W/K; without %.1f W/K", energy->heat_loss_w_k,
              energy->heat_loss_no_recovery_w_k);
  report_pair(sheet, "Mean flow of the year", "%s; the exchanger gives back %.0f %%",
              report_number(&units->flow, energy->ventilation_flow_m3_s).text,
              energy->temperature_ratio * 100);
  report_pair(sheet, "Leaks beside it", "%.2f air changes an hour", energy->infiltration_per_h);
  report_pair(sheet, "Heat capacity of air", "%.3f Wh/(m3 K)", energy->air_constant_wh_m3_k);
  report_pair(sheet, "Ducts lose", "%s for each kelvin", two(energy->duct_loss_w_k, "W").text);
  report_pair(sheet, "The supply fan warms the air", "%s", two(energy->fan_heat_w, "W").text);
  report_pair(sheet, "Outdoor air in the supply", "%.0f %%", energy->fresh_air_ratio * 100);
  flow_heading(pages, "What it rests on");
  flow_table(pages, sheet, 0);
}

static void frost(flow *pages, const eb_frost *frost) {
  if (strcmp(frost->method, "none") == 0)
    return;
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "Method", "%s", frost->method);
  if (isfinite(frost->below_c))
    report_pair(sheet, "Works below", "%.3g C, %s hours a year", frost->below_c,
                figure_two(frost->hours).text);
  report_pair(sheet, "Electricity", "%s, %s of it reach the rooms",
              two(frost->electricity_kwh, "kWh").text, two(frost->useful_kwh, "kWh").text);
  report_pair(sheet, "Heat not recovered meanwhile", "%s",
              two(frost->lost_recovery_kwh, "kWh").text);
  report_pair(sheet, "Outdoor air not supplied", "%s", two(frost->lost_air_m3, "m3").text);
  flow_heading(pages, "Frost protection");
  flow_table(pages, sheet, 0);
}

/* ---- Against the baseline ---- */

static void pair_saved(cli_sheet *sheet, const char *what, double saved, const char *unit) {
  report_pair(sheet, what, "%s %s", saved < 0 ? "costs" : "saves", two(fabs(saved), unit).text);
}

static void saving(flow *pages, const cli_units *units, const eb_energy *energy) {
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "Baseline", "%.200s (%s), %.2f air changes an hour", energy->baseline_name,
              energy->baseline_kind, energy->baseline_air_change_per_h);
  report_pair(sheet, "It needs heating below", "%s outdoors",
              report_number(&units->temperature, energy->baseline_base_temperature_c).text);
  pair_saved(sheet, "Heat", energy->saving_heat_kwh, "kWh a year");
  report_pair(sheet, "Sure to", "%.0f %%: %s to %s kWh a year", energy->range_confidence * 100,
              figure_two(energy->range_low_kwh).text, figure_two(energy->range_high_kwh).text);
  pair_saved(sheet, "Electricity", energy->saving_electricity_kwh, "kWh a year");
  if (energy->saving.given)
    report_pair(sheet, "Money", "%s %s %.40s a year", energy->saving.money < 0 ? "costs" : "saves",
                figure_two(fabs(energy->saving.money)).text, energy->saving.currency);
  if (energy->saving.carbon_given)
    pair_saved(sheet, "Carbon dioxide", energy->saving.carbon_kg, "kg a year");
  flow_heading(pages, "Against the baseline");
  flow_table(pages, sheet, 0);
  flow_text(pages, FLOW_PLAIN, "%s", energy->baseline_why);
}

static void weights(flow *pages, const eb_energy *energy) {
  if (!energy->n_weights)
    return;
  cli_sheet *sheet = sheet_new("lrlrr");
  report_heads(sheet, (const char *const[]){"Doubt comes from", "standard deviation", "",
                                            "effect kWh", "share %", NULL});
  for (size_t i = 0; i < energy->n_weights; i++) {
    const eb_energy_weight *weight = &energy->weights[i];
    sheet_cell(sheet, "  %s", weight->input);
    sheet_cell(sheet, "%.3g%s", weight->deviation * (weight->relative ? 100 : 1),
               weight->relative ? " %" : "");
    sheet_cell(sheet, "%s", weight->given ? "given" : "taken");
    sheet_cell(sheet, "%s", figure_two(weight->effect_kwh).text);
    report_cell(sheet, 0, weight->share * 100);
  }
  flow_heading(pages, "How sure the heat saved is");
  flow_table(pages, sheet, 1);
}

static void method_row(cli_sheet *sheet, const eb_energy_method *m) {
  const double figures[] = {
      m->heating_degree_days, m->no_recovery_kwh,       m->net_heat_kwh,      m->recovered_heat_kwh,
      m->gross_recovered_kwh, m->recovered_heating_kwh, m->baseline_heat_kwh, m->saving_heat_kwh};
  sheet_cell(sheet, "  %s", m->name);
  sheet_cell(sheet, "%s", m->rule);
  for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
    report_cell(sheet, 0, figures[i]);
}

static void methods(flow *pages, const eb_energy *energy) {
  cli_sheet *sheet = sheet_new("llrrrrrrrr");
  report_heads(sheet,
               (const char *const[]){"Weather by", "rule", "K day", "no recovery", "heat", "useful",
                                     "gross", "in heating", "baseline", "saved", NULL});
  for (size_t i = 0; i < energy->n_methods; i++)
    method_row(sheet, &energy->methods[i]);
  flow_heading(pages, "By each way to take the weather, kWh");
  flow_table(pages, sheet, 1);
}

/* ---- Money ---- */

static const char *currency(const eb_energy *energy) {
  return energy->saving.currency && *energy->saving.currency ? energy->saving.currency : "money";
}

static void price_row(cli_sheet *sheet, const char *what, const eb_price *price) {
  if (!price->given)
    return;
  sheet_cell(sheet, "  %s", what);
  sheet_cell(sheet, "%.4g", price->per_kwh);
  sheet_cell(sheet, "%.3g", price->efficiency * 100);
  if (isfinite(price->carbon_kg_kwh))
    sheet_cell(sheet, "%.3g", price->carbon_kg_kwh);
  else
    sheet_cell(sheet, "-");
  sheet_cell(sheet, "%s", price->date ? price->date : "");
  sheet_cell(sheet, "%s", price->source ? price->source : "");
}

static void prices(flow *pages, const eb_energy *energy) {
  if (!energy->electricity_price.given && !energy->heating_price.given)
    return;
  cli_sheet *sheet = sheet_new("lrrrll");
  char per_kwh[80];
  snprintf(per_kwh, sizeof per_kwh, "%.60s a kWh", currency(energy));
  report_heads(sheet, (const char *const[]){"Prices taken", per_kwh, "efficiency %", "CO2 kg a kWh",
                                            "date", "source", NULL});
  price_row(sheet, "electricity", &energy->electricity_price);
  price_row(sheet, "heating", &energy->heating_price);
  flow_heading(pages, "Money");
  flow_table(pages, sheet, 1);
  if (isfinite(energy->cost_per_day))
    flow_text(pages, FLOW_PLAIN, "Fans, controls and frost protection cost %s %s a day.",
              figure_two(energy->cost_per_day).text, currency(energy));
}

static void pair_years(cli_sheet *sheet, const char *what, double years) {
  if (isfinite(years))
    report_pair(sheet, what, "%s years", figure_two(years).text);
  else
    report_pair(sheet, what, "not defined");
}

static void investment(flow *pages, const eb_energy *energy) {
  const eb_investment *i = &energy->investment;
  if (!i->given)
    return;
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "Price", "%.12g %s (%s%s%s), %.12g of it spent anyway", i->price,
              currency(energy), i->date, *i->date && *i->source ? ", " : "", i->source, i->avoided);
  report_pair(sheet, "Upkeep a year", "%.12g, %.12g spared", i->upkeep, i->avoided_upkeep);
  report_pair(sheet, "Gained a year", "%s", figure_two(i->yearly).text);
  report_pair(sheet, "Judged over", "%.3g years, interest %.3g %%, growth of prices %.3g %%",
              i->years, i->interest * 100, i->growth * 100);
  pair_years(sheet, "Payback", i->payback_years);
  pair_years(sheet, "Payback in today's money", i->discounted_payback_years);
  report_pair(sheet, "Net present value", "%s", figure_two(i->net_present_value).text);
  report_pair(sheet, "Internal rate", "%s %% a year", figure_two(i->internal_rate * 100).text);
  report_pair(sheet, "Annual cost of the price", "%s", figure_two(i->annual_cost).text);
  flow_heading(pages, "Does it pay?");
  flow_table(pages, sheet, 0);
  if (i->why)
    flow_text(pages, FLOW_PLAIN, "Why not defined: %s", i->why);
}

void report_year(flow *pages, const cli_run *run) {
  const eb_energy *energy = run->energy;
  const cli_units *units = run->options->units;
  if (!energy)
    return;
  flow_section(pages, "The year", true);
  year(pages, energy);
  saving(pages, units, energy);
  report_picture(pages, run, picture_find("year"));
  months(pages, units, energy);
  weights(pages, energy);
  methods(pages, energy);
  frost(pages, &energy->frost);
  basis(pages, units, energy);
  prices(pages, energy);
  investment(pages, energy);
}
