#include "rates_rules.h"

#include <math.h>

#include "json.h"
#include "sheets.h"

#define LITRES 1e3 /* l/s of m3/s */

/* ---- text ---- */

static bool has_openings(const eb_room_rates *room) {
  return room->purge_area_m2 > 0 || room->intermittent_m3_s > 0 || room->background_area_m2 > 0;
}

/* Areas are shown in m2 to two places: a window is not known better. */
static void opening_cell(cli_sheet *sheet, const cli_units *units, const eb_room_rates *room) {
  cli_unit area = units->area;
  area.decimals = 2;
  if (room->purge_refused)
    sheet_cell(sheet, "too small");
  else
    sheet_value(sheet, &area, if_any(room->purge_area_m2));
}

cli_sheet *rates_openings_sheet(const cli_units *units, const eb_rates *rates) {
  cli_sheet *sheet = sheet_new("lrrr");
  sheet_cell(sheet, "Windows, and fans and vents without this system");
  sheet_cell(sheet, "window %s", units->area.name);
  sheet_cell(sheet, "fan %s", units->flow.name);
  sheet_cell(sheet, "vent %s", units->gap_area.name);
  for (size_t i = 0; i < rates->n_rooms; i++) {
    const eb_room_rates *room = &rates->rooms[i];
    if (!has_openings(room))
      continue;
    sheet_cell(sheet, "  %s", room->name);
    opening_cell(sheet, units, room);
    sheet_value(sheet, &units->flow, if_any(room->intermittent_m3_s));
    sheet_value(sheet, &units->gap_area, if_any(room->background_area_m2));
  }
  return sheet;
}

cli_sheet *rates_co2_sheet(const eb_rates *rates) {
  char align[24] = "l";
  for (size_t l = 0; l < rates->n_levels && l < 20; l++)
    align[l + 1] = 'r';
  cli_sheet *sheet = sheet_new(align);
  sheet_cell(sheet, "CO2 while asleep, ppm");
  for (size_t l = 0; l < rates->n_levels && l < 20; l++)
    sheet_cell(sheet, "%s", rates->levels[l]);
  for (size_t i = 0; i < rates->n_rooms; i++) {
    if (!rates->rooms[i].co2_ppm)
      continue;
    sheet_cell(sheet, "  %s", rates->rooms[i].name);
    for (size_t l = 0; l < rates->n_levels && l < 20; l++)
      if (rates->rooms[i].co2_ppm[l] > 0)
        sheet_cell(sheet, "%.0f", round(rates->rooms[i].co2_ppm[l] / 10) * 10);
      else
        sheet_cell(sheet, "-");
  }
  return sheet;
}

/* Nothing where there are heads alone. */
static bool print_any(cli_sheet *sheet, FILE *out) {
  if (!sheet_complete(sheet) || sheet_rows(sheet) > 1)
    return sheet_finish(sheet, out);
  sheet_free(sheet);
  return true;
}

static bool co2_text(const eb_rates *rates, FILE *out) {
  cli_sheet *sheet = rates_co2_sheet(rates);
  bool limit = rates->co2_limit_ppm > 0 && sheet_complete(sheet) && sheet_rows(sheet) > 1;
  bool good = print_any(sheet, out);
  if (good && limit)
    fprintf(out, "  the rules name %.0f ppm\n", rates->co2_limit_ppm);
  return good;
}

static void flows_text(const cli_units *units, const eb_rates *rates, FILE *out) {
  for (size_t i = 0; i < rates->n_flows; i++)
    fprintf(out, "%s  %s: %.*f %s (%s)\n", i ? "" : "\nThe rules also name\n", rates->flows[i].name,
            units->flow.decimals, unit_value(&units->flow, rates->flows[i].flow_m3_s),
            units->flow.name, rates->flows[i].source);
}

bool rules_text(const cli_units *units, const eb_rates *rates, FILE *out) {
  flows_text(units, rates, out);
  return print_any(rates_openings_sheet(units, rates), out) && co2_text(rates, out);
}

/* ---- JSON ---- */

static json_t *by_level_json(const eb_rates *rates, const double *values) {
  json_t *object = json_object();
  for (size_t l = 0; l < rates->n_levels; l++)
    json_put_number(object, rates->levels[l], if_any(values[l]));
  return object;
}

static json_t *vents_json(double area_m2, double number) {
  json_t *object = json_object();
  json_put_number(object, "area_mm2", area_m2 * 1e6);
  json_put_number(object, "number", number);
  return object;
}

void room_rules_json(const eb_rates *rates, const eb_room_rates *room, json_t *object) {
  json_put_number(object, "purge_area_m2", room->purge_area_m2);
  json_put_number(object, "purge_fan_l_s", room->purge_fan_m3_s * LITRES);
  json_put(object, "purge_refused", json_boolean(room->purge_refused));
  json_put_number(object, "intermittent_l_s", room->intermittent_m3_s * LITRES);
  json_put(object, "background", vents_json(room->background_area_m2, room->background_number));
  json_put(object, "extract_only",
           vents_json(room->extract_only_area_m2, room->extract_only_number));
  if (room->co2_ppm)
    json_put(object, "co2_ppm", by_level_json(rates, room->co2_ppm));
}

static json_t *flow_json(const eb_rule_flow *flow) {
  json_t *object = json_object();
  json_put_text(object, "name", flow->name);
  json_put_number(object, "flow_l_s", flow->flow_m3_s * LITRES);
  json_put_text(object, "source", flow->source);
  json_put_text(object, "known", flow->known);
  return object;
}

void rules_json(const eb_rates *rates, json_t *object) {
  json_t *flows = json_array();
  for (size_t i = 0; i < rates->n_flows; i++)
    json_add(flows, flow_json(&rates->flows[i]));
  json_put_text(object, "rules_title", rates->rules_title);
  json_put_text(object, "rules_source", rates->rules_source);
  json_put_text(object, "rules_known", rates->rules_known);
  json_put_number(object, "people", if_any(rates->people));
  json_put(object, "rule_flows", flows);
  json_put(object, "background",
           vents_json(rates->background_area_m2, rates->background_least_number));
  json_put(object, "extract_only",
           vents_json(rates->extract_only_area_m2, rates->extract_only_least_number));
  json_put_number(object, "co2_limit_ppm", if_any(rates->co2_limit_ppm));
  if (rates->co2_mean_ppm)
    json_put(object, "co2_mean_ppm", by_level_json(rates, rates->co2_mean_ppm));
}
