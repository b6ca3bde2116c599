/* rates.c - evenbreath rates: how much air each room gets and gives */

#include <math.h>
#include <string.h>

#include "command.h"
#include "json.h"
#include "rates_all.h"
#include "rates_rules.h"
#include "sheets.h"

static const double none = NAN;

/* ---- text ---- */

static void head_row(cli_sheet *sheet, const eb_rates *rates, const char *title, const char *flow) {
  sheet_cell(sheet, "%s, %s", title, flow);
  for (size_t l = 0; l < rates->n_levels; l++)
    sheet_cell(sheet, "%s", rates->levels[l]);
  sheet_cell(sheet, "rule asks");
}

/* "13.0 at boost": the levels at which the rule asks something of the room. */
static void rule_cell(cli_sheet *sheet, const cli_units *units, const eb_rates *rates,
                      const eb_duty *duty) {
  for (size_t l = rates->n_levels; l-- > 0;)
    if (duty[l].required_m3_s > 0 && l < 2) {
      sheet_cell(sheet, "%.*f at %s", units->flow.decimals,
                 unit_value(&units->flow, duty[l].required_m3_s), rates->levels[l]);
      return;
    }
  sheet_skip(sheet);
}

static void duty_row(cli_sheet *sheet, const cli_units *units, const eb_rates *rates,
                     const char *room, const eb_duty *duty) {
  if (!duty)
    return;
  sheet_cell(sheet, "  %s", room);
  for (size_t l = 0; l < rates->n_levels; l++)
    sheet_value(sheet, &units->flow, duty[l].design_m3_s);
  rule_cell(sheet, units, rates, duty);
}

static void total_row(cli_sheet *sheet, const cli_units *units, const eb_rates *rates,
                      const double *total) {
  sheet_cell(sheet, "  in all");
  for (size_t l = 0; l < rates->n_levels; l++)
    sheet_value(sheet, &units->flow, total[l]);
  sheet_skip(sheet);
}

cli_sheet *rates_duties_sheet(const cli_units *units, const eb_rates *rates, bool supply) {
  char align[24] = "l";
  for (size_t l = 0; l < rates->n_levels && l < 20; l++)
    align[l + 1] = 'r';
  strcat(align, "l");
  cli_sheet *sheet = sheet_new(align);
  head_row(sheet, rates, supply ? "Supply" : "Extract", units->flow.name);
  for (size_t i = 0; i < rates->n_rooms; i++)
    duty_row(sheet, units, rates, rates->rooms[i].name,
             supply ? rates->rooms[i].supply : rates->rooms[i].extract);
  total_row(sheet, units, rates, supply ? rates->supply_total_m3_s : rates->extract_total_m3_s);
  return sheet;
}

cli_sheet *rates_transfers_sheet(const cli_units *units, const eb_rates *rates) {
  cli_sheet *sheet = sheet_new("lrrrr");
  const char *heads[] = {"Air through a room's doors at boost", "out", "free area", "rule's gap",
                         "gap for 1 Pa"};
  for (size_t i = 0; i < 5; i++)
    sheet_cell(sheet, "%s", heads[i]);
  sheet_cell(sheet, "  (- is inward)");
  sheet_cell(sheet, "%s", units->flow.name);
  sheet_cell(sheet, "%s", units->gap_area.name);
  sheet_cell(sheet, "%s", units->gap.name);
  sheet_cell(sheet, "%s", units->gap.name);
  for (size_t i = 0; i < rates->n_transfers; i++) {
    const eb_transfer *t = &rates->transfers[i];
    sheet_cell(sheet, "  %s", t->room);
    sheet_value(sheet, &units->flow, t->flow_m3_s);
    sheet_value(sheet, &units->gap_area, if_any(t->rule_area_m2));
    sheet_value(sheet, &units->gap, if_any(t->rule_undercut_m));
    sheet_value(sheet, &units->gap, if_any(t->undercut_for_1_pa_m));
  }
  return sheet;
}

/* The way of the air: through which doors it goes from room to room. */
cli_sheet *rates_doors_sheet(const cli_units *units, const eb_rates *rates) {
  cli_sheet *sheet = sheet_new("lrr");
  sheet_cell(sheet, "The way of the air at boost");
  sheet_cell(sheet, "%s", units->flow.name);
  sheet_cell(sheet, "gap for 1 Pa, %s", units->gap.name);
  for (size_t i = 0; i < rates->n_doors; i++) {
    const eb_door_air *door = &rates->doors[i];
    sheet_cell(sheet, "  %s %s %s", door->from, door->known ? "->" : "--", door->to);
    sheet_value(sheet, &units->flow, door->known ? door->flow_m3_s : none);
    sheet_value(sheet, &units->gap, if_any(door->undercut_for_1_pa_m));
  }
  return sheet;
}

static void whole_text(const cli_unit *flow, const eb_rates *rates, FILE *out) {
  if (strcmp(rates->rules, "none") == 0)
    fputs("No rules are named: the flows are those of the file\n", out);
  else
    fprintf(out, "Whole dwelling: %.*f %s always (by %s), %.*f %s at boost\n", flow->decimals,
            unit_value(flow, rates->required_m3_s), flow->name, rates->governed_by, flow->decimals,
            unit_value(flow, rates->boost_required_m3_s), flow->name);
}

static eb_status calculate(cli_run *run) {
  return rates_all_wanted(run) ? rates_all_calculate(run) : calculate_rates(run);
}

static bool text(const cli_run *run, FILE *out) {
  if (run->rule_rows)
    return rates_all_text(run, out);
  const cli_units *units = run->options->units;
  const eb_rates *rates = run->rates;
  const cli_unit *flow = &units->flow;
  fprintf(out, "%s, rules: %s, floor area %.*f %s\n", run_title(run), rates->rules,
          units->area.decimals, unit_value(&units->area, rates->floor_area_m2), units->area.name);
  whole_text(flow, rates, out);
  return sheet_finish(rates_duties_sheet(units, rates, true), out) &&
         sheet_finish(rates_duties_sheet(units, rates, false), out) &&
         (!rates->n_transfers || sheet_finish(rates_transfers_sheet(units, rates), out)) &&
         (!rates->n_doors || sheet_finish(rates_doors_sheet(units, rates), out)) &&
         rules_text(units, rates, out);
}

/* ---- JSON ---- */

#define LITRES 1e3 /* l/s of m3/s */

static json_t *duty_json(const eb_rates *rates, const eb_duty *duty) {
  json_t *object = json_object();
  for (size_t l = 0; l < rates->n_levels; l++) {
    json_t *level = json_object();
    json_put_number(level, "required_l_s", duty[l].required_m3_s * LITRES);
    json_put_number(level, "design_l_s", duty[l].design_m3_s * LITRES);
    json_put(object, rates->levels[l], level);
  }
  return object;
}

static json_t *room_json(const eb_rates *rates, const eb_room_rates *room) {
  json_t *object = json_object();
  json_put_text(object, "name", room->name);
  json_put_text(object, "use", room->use);
  json_put_number(object, "area_m2", room->area_m2);
  json_put_number(object, "volume_m3", room->volume_m3);
  if (room->supply)
    json_put(object, "supply", duty_json(rates, room->supply));
  if (room->extract)
    json_put(object, "extract", duty_json(rates, room->extract));
  room_rules_json(rates, room, object);
  return object;
}

static json_t *transfer_json(const eb_transfer *transfer) {
  json_t *object = json_object();
  json_put_text(object, "room", transfer->room);
  json_put_number(object, "flow_l_s", transfer->flow_m3_s * LITRES);
  json_put_number(object, "door_width_mm", transfer->door_width_m * 1e3);
  json_put_number(object, "rule_area_mm2", transfer->rule_area_m2 * 1e6);
  json_put_number(object, "rule_undercut_mm", transfer->rule_undercut_m * 1e3);
  json_put_number(object, "undercut_for_1_pa_mm", transfer->undercut_for_1_pa_m * 1e3);
  return object;
}

static json_t *door_json(const eb_door_air *door) {
  json_t *object = json_object();
  json_put_text(object, "from", door->from);
  json_put_text(object, "to", door->to);
  json_put_number(object, "flow_l_s", door->known ? door->flow_m3_s * LITRES : none);
  json_put_number(object, "width_mm", door->width_m * 1e3);
  json_put_number(object, "undercut_for_1_pa_mm", if_any(door->undercut_for_1_pa_m) * 1e3);
  return object;
}

static json_t *totals_json(const eb_rates *rates) {
  json_t *object = json_object();
  for (size_t l = 0; l < rates->n_levels; l++) {
    json_t *level = json_object();
    json_put_number(level, "supply_l_s", rates->supply_total_m3_s[l] * LITRES);
    json_put_number(level, "extract_l_s", rates->extract_total_m3_s[l] * LITRES);
    json_put(object, rates->levels[l], level);
  }
  return object;
}

static bool json(const cli_run *run, json_t *object) {
  if (run->rule_rows)
    return rates_all_json(run, object);
  const eb_rates *rates = run->rates;
  json_put_text(object, "rules", rates->rules);
  json_put_number(object, "floor_area_m2", rates->floor_area_m2);
  json_t *whole = json_object();
  json_put_number(whole, "required_l_s", rates->required_m3_s * LITRES);
  json_put_number(whole, "boost_required_l_s", rates->boost_required_m3_s * LITRES);
  json_put_text(whole, "governed_by", rates->governed_by);
  json_put(object, "whole_dwelling", whole);
  json_put(object, "totals", totals_json(rates));
  json_t *rooms = json_array(), *transfers = json_array();
  for (size_t i = 0; i < rates->n_rooms; i++)
    json_add(rooms, room_json(rates, &rates->rooms[i]));
  for (size_t i = 0; i < rates->n_transfers; i++)
    json_add(transfers, transfer_json(&rates->transfers[i]));
  json_put(object, "rooms", rooms);
  json_put(object, "transfers", transfers);
  json_t *doors = json_array();
  for (size_t i = 0; i < rates->n_doors; i++)
    json_add(doors, door_json(&rates->doors[i]));
  json_put(object, "doors", doors);
  rules_json(rates, object);
  return json_complete();
}

const cli_command command_rates = {
    .name = "rates",
    .summary = "how much air each room must get and give, by the rules named",
    .help = "Prints the whole-dwelling rate and which rule governs it, supply and extract of\n"
            "every room at every level, and the air that must pass at doors with the gaps it\n"
            "needs. Needs rooms and rules, no ducts.\n",
    .examples = "evenbreath rates alder-row.yaml\n"
                "evenbreath rates --rules all --set bedrooms=4 alder-row.yaml\n",
    .calculate = calculate,
    .text = text,
    .json = json,
};
