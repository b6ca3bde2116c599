/* report_air.c - how much air each room gets and gives, and how it passes through the house */

#include <math.h>

#include "drawing/report.h"
#include "sheets.h"

static const double none = (double)NAN;

static const eb_duty *duty_of(const eb_room_rates *room, bool supply) {
  return supply ? room->supply : room->extract;
}

/* Levels at which the rules ask something of a room of that side. */
static bool asks(const eb_rates *rates, bool supply, size_t level) {
  for (size_t i = 0; i < rates->n_rooms; i++) {
    const eb_duty *duty = duty_of(&rates->rooms[i], supply);
    if (duty && duty[level].required_m3_s > 0)
      return true;
  }
  return false;
}

/* Columns of a table that has some for each level: there is no room for more. */
static size_t shown_levels(const eb_rates *rates) {
  return rates->n_levels < 9 ? rates->n_levels : 9;
}

static cli_sheet *duties_sheet(const eb_rates *rates, bool supply) {
  char align[24] = "l";
  size_t columns = 1;
  for (size_t l = 0; l < shown_levels(rates); l++) {
    align[columns++] = 'r';
    if (asks(rates, supply, l))
      align[columns++] = 'r';
  }
  return sheet_new(align);
}

static void duty_cells(cli_sheet *sheet, const cli_units *units, const eb_rates *rates, bool supply,
                       const eb_duty *duty) {
  for (size_t l = 0; l < shown_levels(rates); l++) {
    if (asks(rates, supply, l))
      sheet_value(sheet, &units->flow, if_any(duty[l].required_m3_s));
    sheet_value(sheet, &units->flow, duty[l].design_m3_s);
  }
}

static void duty_total(cli_sheet *sheet, const cli_units *units, const eb_rates *rates,
                       bool supply) {
  const double *total = supply ? rates->supply_total_m3_s : rates->extract_total_m3_s;
  sheet_cell(sheet, "  in all");
  for (size_t l = 0; l < shown_levels(rates); l++) {
    if (asks(rates, supply, l))
      sheet_skip(sheet);
    sheet_value(sheet, &units->flow, total[l]);
  }
}

static void duties(flow *pages, const cli_units *units, const eb_rates *rates, bool supply) {
  cli_sheet *sheet = duties_sheet(rates, supply);
  sheet_cell(sheet, "%s, %s", supply ? "Supply" : "Extract", units->flow.name);
  for (size_t l = 0; l < shown_levels(rates); l++) {
    if (asks(rates, supply, l))
      sheet_cell(sheet, "rule asks at %s", rates->levels[l]);
    sheet_cell(sheet, "%s", rates->levels[l]);
  }
  for (size_t i = 0; i < rates->n_rooms; i++) {
    const eb_duty *duty = duty_of(&rates->rooms[i], supply);
    if (!duty)
      continue;
    sheet_cell(sheet, "  %s", rates->rooms[i].name);
    duty_cells(sheet, units, rates, supply, duty);
  }
  duty_total(sheet, units, rates, supply);
  flow_heading(pages, supply ? "Supply by room and level" : "Extract by room and level");
  flow_table(pages, sheet, 1);
}

static void rooms(flow *pages, const cli_units *units, const eb_rates *rates) {
  cli_sheet *sheet = sheet_new("llrrr");
  report_heads(sheet,
               (const char *const[]){"Room", "use", "storey", units->area.name, "volume m3", NULL});
  for (size_t i = 0; i < rates->n_rooms; i++) {
    sheet_cell(sheet, "  %s", rates->rooms[i].name);
    sheet_cell(sheet, "%s", rates->rooms[i].use);
    sheet_cell(sheet, "%d", rates->rooms[i].storey);
    sheet_value(sheet, &units->area, rates->rooms[i].area_m2);
    report_cell(sheet, 1, if_any(rates->rooms[i].volume_m3));
  }
  flow_heading(pages, "Rooms");
  flow_table(pages, sheet, 1);
}

/* ---- Doors ---- */

static void transfers(flow *pages, const cli_units *units, const eb_rates *rates) {
  if (!rates->n_transfers)
    return;
  cli_sheet *sheet = sheet_new("lrrrrr");
  sheet_cell(sheet, "Room");
  sheet_cell(sheet, "outward %s", units->flow.name);
  sheet_cell(sheet, "door %s", units->gap.name);
  sheet_cell(sheet, "free area by rule %s", units->gap_area.name);
  sheet_cell(sheet, "undercut by rule %s", units->gap.name);
  sheet_cell(sheet, "undercut for 1 Pa %s", units->gap.name);
  for (size_t i = 0; i < rates->n_transfers; i++) {
    const eb_transfer *t = &rates->transfers[i];
    sheet_cell(sheet, "  %s", t->room);
    sheet_value(sheet, &units->flow, t->flow_m3_s);
    sheet_value(sheet, &units->gap, if_any(t->door_width_m));
    sheet_value(sheet, &units->gap_area, if_any(t->rule_area_m2));
    sheet_value(sheet, &units->gap, if_any(t->rule_undercut_m));
    sheet_value(sheet, &units->gap, if_any(t->undercut_for_1_pa_m));
  }
  flow_heading(pages, "Air through the doors of rooms at boost, and the undercuts it needs");
  flow_table(pages, sheet, 1);
  flow_text(pages, FLOW_SMALL, "A minus sign is air that comes in.");
}

static void doors(flow *pages, const cli_units *units, const eb_rates *rates) {
  if (!rates->n_doors)
    return;
  cli_sheet *sheet = sheet_new("lrrr");
  sheet_cell(sheet, "From, to");
  sheet_cell(sheet, "%s", units->flow.name);
  sheet_cell(sheet, "width %s", units->gap.name);
  sheet_cell(sheet, "undercut for 1 Pa %s", units->gap.name);
  for (size_t i = 0; i < rates->n_doors; i++) {
    const eb_door_air *door = &rates->doors[i];
    sheet_cell(sheet, "  %s %s %s", door->from, door->known ? "\xE2\x86\x92" : "\xE2\x80\x93",
               door->to);
    sheet_value(sheet, &units->flow, door->known ? door->flow_m3_s : none);
    sheet_value(sheet, &units->gap, if_any(door->width_m));
    sheet_value(sheet, &units->gap, if_any(door->undercut_for_1_pa_m));
  }
  flow_heading(pages, "The way of the air at boost");
  flow_table(pages, sheet, 1);
}

/* ---- What the rules ask beside ---- */

static bool has_openings(const eb_room_rates *room) {
  return room->purge_area_m2 > 0 || room->purge_fan_m3_s > 0 || room->purge_refused ||
         room->intermittent_m3_s > 0 || room->background_area_m2 > 0 ||
         room->extract_only_area_m2 > 0;
}

/* "8000 (1)": area and number. */
static void vents_cell(cli_sheet *sheet, const cli_units *units, double area_m2, double number) {
  if (!(area_m2 > 0))
    sheet_cell(sheet, "-");
  else if (number > 0)
    sheet_cell(sheet, "%.*f (%g)", units->gap_area.decimals, unit_value(&units->gap_area, area_m2),
               number);
  else
    sheet_value(sheet, &units->gap_area, area_m2);
}

static void opening_row(cli_sheet *sheet, const cli_units *units, const eb_room_rates *room) {
  cli_unit area = units->area;
  area.decimals = 2;
  sheet_cell(sheet, "  %s", room->name);
  if (room->purge_refused)
    sheet_cell(sheet, "too small");
  else
    sheet_value(sheet, &area, if_any(room->purge_area_m2));
  sheet_value(sheet, &units->flow, if_any(room->purge_fan_m3_s));
  sheet_value(sheet, &units->flow, if_any(room->intermittent_m3_s));
  vents_cell(sheet, units, room->background_area_m2, room->background_number);
  vents_cell(sheet, units, room->extract_only_area_m2, room->extract_only_number);
}

static void openings(flow *pages, const cli_units *units, const eb_rates *rates) {
  cli_sheet *sheet = sheet_new("lrrrrr");
  sheet_cell(sheet, "Room");
  sheet_cell(sheet, "window to purge %s", units->area.name);
  sheet_cell(sheet, "or a fan %s", units->flow.name);
  sheet_cell(sheet, "intermittent fan %s", units->flow.name);
  sheet_cell(sheet, "ventilators beside it %s (number)", units->gap_area.name);
  sheet_cell(sheet, "beside extract alone %s (number)", units->gap_area.name);
  for (size_t i = 0; i < rates->n_rooms; i++)
    if (has_openings(&rates->rooms[i]))
      opening_row(sheet, units, &rates->rooms[i]);
  if (rates->background_area_m2 > 0 || rates->extract_only_area_m2 > 0) {
    sheet_cell(sheet, "  in all, at least");
    for (int i = 0; i < 3; i++)
      sheet_skip(sheet);
    vents_cell(sheet, units, rates->background_area_m2, rates->background_least_number);
    vents_cell(sheet, units, rates->extract_only_area_m2, rates->extract_only_least_number);
  }
  if (!sheet_complete(sheet) || sheet_rows(sheet) > 1) {
    flow_heading(pages, "Windows; fans and ventilators that the rules ask without this system");
    flow_table(pages, sheet, 1);
  } else
    sheet_free(sheet);
}

static void co2_cells(cli_sheet *sheet, const eb_rates *rates, const double *ppm) {
  for (size_t l = 0; l < shown_levels(rates); l++)
    if (ppm[l] > 0)
      sheet_cell(sheet, "%.0f", round(ppm[l] / 10) * 10);
    else
      sheet_cell(sheet, "-");
}

static void co2_rows(cli_sheet *sheet, const eb_rates *rates) {
  sheet_cell(sheet, "Carbon dioxide, ppm");
  for (size_t l = 0; l < shown_levels(rates); l++)
    sheet_cell(sheet, "%s", rates->levels[l]);
  for (size_t i = 0; i < rates->n_rooms; i++) {
    if (!rates->rooms[i].co2_ppm)
      continue;
    sheet_cell(sheet, "  %s, while asleep", rates->rooms[i].name);
    co2_cells(sheet, rates, rates->rooms[i].co2_ppm);
  }
  if (rates->co2_mean_ppm) {
    sheet_cell(sheet, "  the dwelling, everybody at home and awake");
    co2_cells(sheet, rates, rates->co2_mean_ppm);
  }
}

static void co2(flow *pages, const eb_rates *rates) {
  char align[24] = "l";
  for (size_t l = 0; l < shown_levels(rates); l++)
    align[l + 1] = 'r';
  cli_sheet *sheet = sheet_new(align);
  co2_rows(sheet, rates);
  if (sheet_complete(sheet) && sheet_rows(sheet) == 1) {
    sheet_free(sheet);
    return;
  }
  flow_heading(pages, "Carbon dioxide indoors");
  flow_table(pages, sheet, 1);
  if (rates->co2_limit_ppm > 0)
    flow_text(pages, FLOW_SMALL, "The rules name %.0f ppm, outdoors included.",
              rates->co2_limit_ppm);
}

static void flows(flow *pages, const cli_units *units, const eb_rates *rates) {
  if (!rates->n_flows)
    return;
  cli_sheet *sheet = sheet_new("lrl");
  report_heads(sheet, (const char *const[]){"What", units->flow.name, "source", NULL});
  for (size_t i = 0; i < rates->n_flows; i++) {
    sheet_cell(sheet, "  %s", rates->flows[i].name);
    sheet_value(sheet, &units->flow, rates->flows[i].flow_m3_s);
    sheet_cell(sheet, "%s (%s)", rates->flows[i].source, rates->flows[i].known);
  }
  flow_heading(pages, "What the rules also name");
  flow_table(pages, sheet, 1);
}

void report_air(flow *pages, const cli_run *run) {
  const cli_units *units = run->options->units;
  const eb_rates *rates = run->rates;
  flow_section(pages, "Air plan", true);
  if (*rates->rules_source)
    flow_text(pages, FLOW_PLAIN, "By the rule set %s: %s (%s).", rates->rules, rates->rules_source,
              rates->rules_known);
  report_picture(pages, run, picture_find("scheme"));
  rooms(pages, units, rates);
  duties(pages, units, rates, true);
  duties(pages, units, rates, false);
  transfers(pages, units, rates);
  doors(pages, units, rates);
  openings(pages, units, rates);
  co2(pages, rates);
  flows(pages, units, rates);
}
