/* energy_detail.c - the rest of the air's work, as energy --detail tells it
 *
 * Short sections, two significant figures: the means of months are not known better. */

#include "energy_detail.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "figures.h"
#include "sheets.h"
#include "wrapped.h"

#define WIDTH 98

static bool finish(cli_sheet *sheet, FILE *out) {
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

/* A paragraph, wrapped, with the blanks it begins with before each line. */
#if defined __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
static void
say(FILE *out, const char *format, ...);

static void say(FILE *out, const char *format, ...) {
  char text[1000];
  va_list arguments;
  va_start(arguments, format);
  vsnprintf(text, sizeof text, format, arguments);
  va_end(arguments);
  size_t indent = strspn(text, " ");
  const size_t widths[] = {indent > 2 ? indent - 2 : 0, WIDTH - indent};
  const char *cells[] = {"", text + indent};
  wrapped_row(indent ? cells : cells + 1, indent ? widths : widths + 1, indent ? 2 : 1, out);
}

static void percent(cli_sheet *sheet, double ratio) {
  if (isnan(ratio))
    sheet_skip(sheet);
  else
    sheet_cell(sheet, "%.0f", ratio * 100);
}

/* ---- Air by month ------------------------------------------------------- */

static void air_row(cli_sheet *sheet, const cli_units *units, int month, const eb_air_month *m,
                    bool rooms) {
  sheet_cell(sheet, "  %s", month_names[month]);
  sheet_value(sheet, &units->temperature, m->outdoor_c);
  percent(sheet, m->outdoor_humidity);
  sheet_value(sheet, &units->temperature, m->supply_c);
  if (rooms)
    sheet_value(sheet, &units->temperature, m->rooms_c);
  sheet_value(sheet, &units->temperature, m->exhaust_c);
  sheet_cell(sheet, "%s", figure_two(m->condensate_kg_day).text);
  sheet_value(sheet, &units->temperature, m->indoor_c);
  percent(sheet, m->indoor_humidity);
  percent(sheet, m->safe_humidity);
  percent(sheet, m->surface_humidity);
  sheet_cell(sheet, "%s", m->bypass ? "bypass open" : "");
}

static bool months_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  const char *degrees = units->temperature.name;
  const char *heads[2][12] = {
      {"Air by month", "outdoors", "", "supply", "at rooms", "exhaust", "water", "indoors", "",
       "safe", "coldest", ""},
      {"", degrees, "%", degrees, degrees, degrees, "kg/day", degrees, "%", "%", "place %", ""}};
  bool rooms = !isnan(detail->months[0].rooms_c);
  cli_sheet *sheet = sheet_new(rooms ? "lrrrrrrrrrrl" : "lrrrrrrrrrl");
  for (size_t i = 0; i < 2; i++)
    for (size_t j = 0; j < 12; j++)
      if (j != 4 || rooms)
        sheet_cell(sheet, "%s", heads[i][j]);
  for (int i = 0; i < 12; i++)
    air_row(sheet, units, i, &detail->months[i], rooms);
  fputc('\n', out);
  return finish(sheet, out);
}

static void moisture_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  const eb_moisture_detail *m = &detail->moisture;
  fputc('\n', out);
  say(out,
      "%s kg of vapour a day%s; %.*f %s of outdoor air, leaks included, carry it off. Mould may "
      "grow "
      "where the coldest place (fRsi %.2g%s) is above 80 %% for weeks; `safe` is what keeps it "
      "there.",
      figure_two(m->production_kg_day).text,
      m->production_given || !(m->production_kg_day > 0) ? ""
                                                         : ", taken by people, right to about 50 %",
      units->flow.decimals, unit_value(&units->flow, m->flow_m3_s), units->flow.name,
      m->surface_factor, m->surface_factor_given ? "" : ", taken");
}

/* ---- Condensate --------------------------------------------------------- */

static bool condensate_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  const eb_moisture_detail *m = &detail->moisture;
  cli_sheet *sheet = sheet_new("lrrr");
  sheet_cell(sheet, "Water from the unit, kg/day");
  for (size_t i = 0; i < 3; i++)
    sheet_cell(sheet, "at %.0f %%", m->condensate[i].outdoor_humidity * 100);
  for (size_t i = 0; i < m->n_condensate; i++) {
    const eb_condensate_point *p = &m->condensate[i];
    if (i % 3 == 0)
      sheet_cell(sheet, "  %.0f %s outdoors", unit_value(&units->temperature, p->outdoor_c),
                 units->temperature.name);
    sheet_cell(sheet, "%s%s", figure_two(p->condensate_kg_day).text,
               p->frost_kg_day > 0 ? " (ice)" : "");
  }
  fputc('\n', out);
  if (!finish(sheet, out))
    return false;
  say(out,
      "By the means of months %s%s a year. Far more than this is not from the exchanger: look for "
      "ducts that sweat, ice that thaws, rain or snow blown in.",
      m->condensate_kg > 0 ? figure_two(m->condensate_kg).text : "none",
      m->condensate_kg > 0 ? " kg" : "");
  if (!isnan(m->siphon_m))
    say(out, "The siphon of the drain must hold %.0f mm of water: %.0f Pa and 25 mm to spare.",
        m->siphon_m * 1e3, m->drain_pa);
  return true;
}

/* ---- Boost -------------------------------------------------------------- */

static bool boost_rooms_text(const eb_boost_detail *b, const cli_units *units, FILE *out) {
  cli_sheet *sheet = sheet_new("lrrrrrr");
  const char *heads[] = {
      "Boost called by humidity", units->flow.name, "carried off, %", "90 %, min",
      "after, % humid",           "settled, g",     "dry, min"};
  for (size_t i = 0; i < 7; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < b->n_rooms; i++) {
    const eb_boost_room *room = &b->rooms[i];
    sheet_cell(sheet, "  %s", room->name);
    sheet_value(sheet, &units->flow, room->flow_m3_s);
    percent(sheet, room->removed);
    sheet_cell(sheet, "%s", figure_two(room->nine_tenths_s / 60).text);
    percent(sheet, room->after_humidity);
    sheet_cell(sheet, "%s", figure_two(room->settled_kg * 1e3).text);
    sheet_cell(sheet, "%s", figure_two(room->drying_s / 60).text);
  }
  fputc('\n', out);
  return finish(sheet, out);
}

static bool boost_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  const eb_boost_detail *b = &detail->boost;
  if (!boost_rooms_text(b, units, out))
    return false;
  say(out,
      "By one run of %.0f minutes%s, of the air's surplus of vapour; settled: on walls after ten "
      "minutes of shower, and until that has dried at the least. 0 to 60 minutes are usual.",
      b->run_s / 60, b->run_given ? "" : " (common practice)");
  say(out, "%.3g runs a day take %s kWh of heat a year (%s without recovery) and %s kWh of fans%s.",
      b->per_day, figure_two(b->heat_kwh).text, figure_two(b->no_recovery_kwh).text,
      figure_two(b->electricity_kwh).text,
      b->in_year ? "; the year above has the hours of `levels: boost` already" : "");
  return true;
}

static void hood_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  const eb_hood_detail *h = &detail->hood;
  if (!(h->flow_m3_s > 0))
    return;
  fputc('\n', out);
  say(out,
      "The cooker hood's %.*f %s outdoors for %.2g hour a day take %s kWh of heat a year, that the "
      "exchanger never sees, and %.0f %% of %.2g kg of vapour a day: %.0f %% of humidity indoors "
      "in "
      "the coldest month, against %.0f %% with one that sends the air round. `ducts` tells what it "
      "does to the pressure in the house.",
      units->flow.decimals, unit_value(&units->flow, h->flow_m3_s), units->flow.name,
      h->hours_per_day, figure_two(h->heat_kwh).text, h->captured * 100, h->cooking_kg_day,
      h->extracting_humidity * 100, h->recirculating_humidity * 100);
}

/* ---- Summer ------------------------------------------------------------- */

static bool runs_text(const eb_summer_detail *s, const cli_units *units, FILE *out) {
  cli_sheet *sheet = sheet_new("lrrrrr");
  char head[60];
  snprintf(head, sizeof head, "The house above %.0f %s",
           unit_value(&units->temperature, s->limit_c), units->temperature.name);
  const char *heads[] = {head, "K h", "hours", "highest", "air carried off, kWh", "fans then, kWh"};
  for (size_t i = 0; i < 6; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < EB_SUMMER_RUNS; i++) {
    const eb_summer_run *run = &s->runs[i];
    sheet_cell(sheet, "  %s", run->name);
    sheet_cell(sheet, "%s", figure_two(run->kelvin_hours).text);
    sheet_cell(sheet, "%s", figure_two(run->hours).text);
    sheet_value(sheet, &units->temperature, run->highest_c);
    sheet_cell(sheet, "%s", figure_two(run->removed_kwh).text);
    sheet_cell(sheet, "%s", figure_two(run->fan_kwh).text);
  }
  fputc('\n', out);
  return finish(sheet, out);
}

static bool summer_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  const eb_summer_detail *s = &detail->summer;
  fputs("\nSummer\n", out);
  say(out,
      "  Air 4 K cooler than the rooms carries off %s W at normal and %s W at %s; a sunny room "
      "gains "
      "1 to 2 kW. A night of 8 hours 6 K below carries off %s kWh.",
      figure_two(s->normal_w).text, figure_two(s->level_w).text, s->level,
      figure_two(s->night_kwh).text);
  say(out, "  Free cooling, fan's warmth taken off: %s kWh a year%s, for %s kWh of fans.",
      figure_two(s->free_cooling_kwh).text,
      s->hourly ? "" : " (an estimate: months do not tell how cool nights are)",
      figure_two(s->free_fan_kwh).text);
  say(out,
      "  In the heating season %s kWh are recovered for %s kWh of fans, in the other months %s for "
      "%s: switched off then, with windows open, the fans would spare that.",
      figure_two(s->heating_recovered_kwh).text, figure_two(s->heating_fan_kwh).text,
      figure_two(s->other_recovered_kwh).text, figure_two(s->other_fan_kwh).text);
  return !s->hourly || runs_text(s, units, out);
}

/* ---- Hot water ---------------------------------------------------------- */

static void coil_text(const eb_hot_water_detail *h, const cli_units *units, FILE *out) {
  const cli_unit *degrees = &units->temperature;
  say(out, "  Supply air of %.0f %s and %.0f %% on a hot day leaves the coil",
      unit_value(degrees, h->inlet_c), degrees->name, h->inlet_humidity * 100);
  for (size_t i = 0; i < 2; i++) {
    const eb_coil_state *c = &h->coil[i];
    say(out,
        "    at %.0f %s with the tank at %.0f %s: %s W of cooling, %.0f %% of it sensible, %s kg "
        "of "
        "water an hour",
        unit_value(degrees, c->outlet_c), degrees->name, unit_value(degrees, c->tank_c),
        degrees->name, figure_two(c->cooling_w).text, c->sensible_share * 100,
        figure_two(c->condensate_kg_h).text);
  }
}

static void full_text(const eb_hot_water_detail *h, const cli_units *units, FILE *out) {
  const cli_unit *degrees = &units->temperature;
  if (isnan(h->full_s))
    say(out, "  The tank never reaches %.0f %s: draw and losses hold it at %.0f %s.",
        unit_value(degrees, h->limit_c), degrees->name, unit_value(degrees, h->stands_c),
        degrees->name);
  else
    say(out,
        "  From %.0f to %.0f %s the tank takes %s hours and %s kWh of electricity (ratio %s on the "
        "way); then cooling stops, after %s kWh.",
        unit_value(degrees, h->start_c), unit_value(degrees, h->limit_c), degrees->name,
        figure_two(h->full_s / 3600).text, figure_two(h->full_electricity_kwh).text,
        figure_two(h->mean_ratio).text, figure_two(h->cooling_once_kwh).text);
  say(out, "  A day's hot water and losses make room for %s kWh of cooling.",
      figure_two(h->cooling_day_kwh).text);
  say(out,
      "  Once a week to %.0f %s: %s kWh of heat each time, %s a year, for %s kWh of electricity.",
      unit_value(degrees, h->weekly_c), degrees->name, figure_two(h->weekly_kwh).text,
      figure_two(h->weekly_year_kwh).text, figure_two(h->weekly_electricity_kwh).text);
}

static bool hot_water_months(const eb_hot_water_detail *h, const cli_units *units, FILE *out) {
  cli_sheet *sheet = sheet_new("lrrrrrr");
  const char *heads[] = {"Heat by month, kWh", "rooms",  "water", "heat pump",
                         "its electricity",    "heater", "coil"};
  for (size_t i = 0; i < 7; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < 12; i++) {
    const eb_hot_water_month *m = &h->months[i];
    const double values[] = {m->rooms_kwh, m->water_kwh, m->pump_kwh, m->pump_electricity_kwh,
                             m->heater_kwh};
    sheet_cell(sheet, "  %s", month_names[i]);
    for (size_t j = 0; j < 5; j++)
      sheet_cell(sheet, "%s", figure_two(values[j]).text);
    sheet_value(sheet, &units->temperature, m->source_c);
  }
  fputc('\n', out);
  return finish(sheet, out);
}

static bool hot_water_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  const eb_hot_water_detail *h = detail->hot_water;
  if (!h)
    return true;
  fprintf(out, "\nHeat pump of %.4g W and a tank of %.4g l\n", h->compressor_w, h->tank_m3 * 1e3);
  coil_text(h, units, out);
  full_text(h, units, out);
  if (!hot_water_months(h, units, out))
    return false;
  say(out,
      "Of %s kWh of heat asked for a year the heat pump gives %s for %s of electricity, the "
      "electric "
      "back-up %s (%.0f %%).",
      figure_two(h->asked_kwh).text, figure_two(h->pump_kwh).text,
      figure_two(h->pump_electricity_kwh).text, figure_two(h->heater_kwh).text,
      h->heater_share * 100);
  say(out, "Hot water: 60 C in the store, 50 C at the taps within a minute (HSE); mixing valves "
           "against scalds. Local codes and licensed people decide.");
  return true;
}

/* ---- What the weather and the envelope are ------------------------------ */

/* All of it: definitions differ by a few per cent. */
static void degree_days_cell(cli_sheet *sheet, double value) {
  if (isnan(value))
    sheet_cell(sheet, "-");
  else
    sheet_cell(sheet, "%.0f", value);
}

static bool degree_days_text(const eb_energy_detail *detail, const cli_units *units, FILE *out) {
  cli_sheet *sheet = sheet_new("lrrr");
  const char *heads[] = {"Degree-days of the year, K day", units->temperature.name, "heating",
                         "cooling"};
  for (size_t i = 0; i < 4; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < detail->n_degree_days; i++) {
    const eb_degree_day_row *row = &detail->degree_days[i];
    sheet_cell(sheet, "  %s%s", row->rule, row->jump ? " (jumps: no base)" : "");
    sheet_value(sheet, &units->temperature, row->base_c);
    degree_days_cell(sheet, row->heating_k_d);
    degree_days_cell(sheet, row->cooling_k_d);
  }
  fputc('\n', out);
  return finish(sheet, out);
}

static void break_even_text(const char *what, double n50, FILE *out) {
  if (isnan(n50))
    say(out, "In %s there is no leakage at which the saving changes its sign.", what);
  else
    say(out, "In %s the saving changes its sign at %s 1/h.", what, figure_two(n50).text);
}

static bool leakage_text(const eb_energy *energy, FILE *out) {
  const eb_energy_detail *detail = energy->detail;
  cli_sheet *sheet = sheet_new("lrr");
  sheet_cell(sheet, "Were it 1/h at 50 Pa");
  sheet_cell(sheet, "heat saved, kWh");
  sheet_cell(sheet, "%s", energy->saving.given ? "money" : "");
  for (size_t i = 0; i < detail->n_leakage; i++) {
    const eb_leakage_point *p = &detail->leakage[i];
    sheet_cell(sheet, "  %.3g", p->n50_per_h);
    sheet_cell(sheet, "%s", figure_two(p->saving_heat_kwh).text);
    sheet_cell(sheet, "%s", isnan(p->saving_money) ? "" : figure_two(p->saving_money).text);
  }
  fputc('\n', out);
  if (!finish(sheet, out))
    return false;
  break_even_text("heat", detail->break_even_heat.n50_per_h, out);
  if (energy->saving.given)
    break_even_text("money", detail->break_even_money.n50_per_h, out);
  return true;
}

static void yardstick_text(const eb_energy_detail *detail, FILE *out) {
  fputs("\nYardstick of Regulation (EU) 1253/2014, primary kWh/(m2 a)\n", out);
  for (size_t i = 0; i < 3; i++) {
    const eb_specific_energy_row *row = &detail->specific_energy[i];
    fprintf(out, "  %-8s %s  %s\n", row->climate, figure_two(row->kwh_m2).text,
            row->grade ? row->grade : "-");
  }
  say(out, "At %s W for each m3/h of this house's normal flow; a label is measured at another.",
      figure_two(detail->power_wh_m3).text);
}

bool energy_detail_text(const eb_energy *energy, const cli_units *units, FILE *out) {
  const eb_energy_detail *detail = energy->detail;
  if (!detail)
    return true;
  if (!months_text(detail, units, out))
    return false;
  moisture_text(detail, units, out);
  if (!condensate_text(detail, units, out) || !boost_text(detail, units, out))
    return false;
  hood_text(detail, units, out);
  if (!summer_text(detail, units, out) || !hot_water_text(detail, units, out) ||
      !degree_days_text(detail, units, out) || !leakage_text(energy, out))
    return false;
  yardstick_text(detail, out);
  return true;
}
