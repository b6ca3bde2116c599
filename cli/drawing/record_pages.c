/* record_pages.c - the record of a visit as a PDF to be filled in, signed and handed over */

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "controller.h"
#include "drawing/report.h"
#include "record.h"
#include "sheets.h"

static const char to_fill[] = "________";

const char *record_print_unfit(void) {
  return NULL;
}

/* ---- What was filled in ---- */

static const char *value_of(const eb_record *record, const char *section, const char *label) {
  for (size_t i = 0; i < record->n_items; i++) {
    const eb_record_item *item = &record->items[i];
    if (strcmp(item->section, section) == 0 && strcmp(item->label, label) == 0)
      return item->value;
  }
  return NULL;
}

static void head(flow *pages, const eb_record *record) {
  cli_sheet *sheet = sheet_new("ll");
  report_pair(sheet, "Record", "%s",
              record->complete ? "complete" : "not complete: see what is missing");
  report_pair(sheet, "What was read", "%s", record->passes ? "passes" : "does not pass");
  report_pair(sheet, "Rule", "%.500s (%.300s)", record->rule, record->source);
  report_pair(sheet, "Conditions", "%.900s", record->conditions);
  report_pair(sheet, "Instrument", "%.900s", record->instrument);
  flow_table(pages, sheet, 0);
}

static void section_heading(flow *pages, const char *section) {
  char title[80];
  snprintf(title, sizeof title, "%s", section);
  title[0] = (char)toupper((unsigned char)title[0]);
  flow_heading(pages, title);
}

/* The fields of one section; what was not filled in can be, by hand. */
static size_t section_fields(flow *pages, const eb_record *record, size_t first) {
  const char *section = record->items[first].section;
  cli_sheet *sheet = sheet_new("ll");
  size_t i = first;
  for (; i < record->n_items && strcmp(record->items[i].section, section) == 0; i++) {
    const eb_record_item *item = &record->items[i];
    sheet_cell(sheet, "  %s%s", item->label, item->required ? "" : " (if any)");
    sheet_cell(sheet, "%s", item->value && *item->value ? item->value : to_fill);
  }
  section_heading(pages, section);
  flow_table(pages, sheet, 0);
  return i;
}

/* ---- What was read ---- */

static void level_pairs(cli_sheet *sheet, const cli_units *units, const eb_controller *controller,
                        const eb_record_level *level) {
  if (isfinite(level->supply_signal) || isfinite(level->extract_signal))
    report_pair(sheet, "Fans as set", "supply %s, extract %s",
                controller_text(controller, level->supply_signal).text,
                controller_text(controller, level->extract_signal).text);
  else
    report_pair(sheet, "Fans as set", "%s", to_fill);
  report_pair(sheet, "Supply in all", "%s read, %s designed",
              report_number(&units->flow, level->supply_m3_s).text,
              report_number(&units->flow, level->design_supply_m3_s).text);
  report_pair(sheet, "Extract in all", "%s read, %s designed",
              report_number(&units->flow, level->extract_m3_s).text,
              report_number(&units->flow, level->design_extract_m3_s).text);
  if (isfinite(level->imbalance))
    report_pair(sheet, "Supply over extract", "%+.1f %% by mass", 100 * level->imbalance);
  if (isfinite(level->power_w))
    report_pair(sheet, "Power", "%.0f W", level->power_w);
  if (isfinite(level->specific_fan_power))
    report_pair(sheet, "Specific fan power", "%s at 1.2 kg/m3",
                report_number(&units->fan_power, level->specific_fan_power).text);
  if (isfinite(level->cost_per_day))
    report_pair(sheet, "Costs", "%.2f a day, running so all day", level->cost_per_day);
  report_pair(sheet, "By the rule", "%s", level->passes ? "passes" : "does not pass");
}

static void level(flow *pages, const cli_units *units, const eb_record *record,
                  const eb_record_level *one) {
  char title[256];
  snprintf(title, sizeof title, "Read at %.200s", one->name);
  flow_heading(pages, title);
  if (!one->read) {
    flow_text(pages, FLOW_PLAIN, "This level was not read.");
    return;
  }
  flow_table(pages, record_rows_sheet(units, record, one->name), 1);
  cli_sheet *sheet = sheet_new("ll");
  level_pairs(sheet, units, &record->controller, one);
  flow_table(pages, sheet, 0);
}

static void list(flow *pages, const char *title, const char *const *items, size_t count) {
  if (count == 0)
    return;
  flow_heading(pages, title);
  for (size_t i = 0; i < count; i++)
    flow_text(pages, FLOW_ITEM, "%s", items[i]);
}

/* ---- Signatures ---- */

static void signature(cli_sheet *sheet, const char *role, const char *name, const char *date) {
  sheet_cell(sheet, "  %s", role);
  sheet_cell(sheet, "%s", name && *name ? name : to_fill);
  sheet_cell(sheet, "%s", to_fill);
  sheet_cell(sheet, "%s", date && *date ? date : to_fill);
}

static void signatures(flow *pages, const char *installer, const char *commissioner,
                       const char *date) {
  cli_sheet *sheet = sheet_new("llll");
  report_heads(sheet, (const char *const[]){"Signed by", "name", "signature", "date", NULL});
  signature(sheet, "installer", installer, NULL);
  signature(sheet, "commissioner", commissioner, date);
  flow_heading(pages, "Signatures");
  flow_table(pages, sheet, 1);
}

/* ---- The whole ---- */

static void record_pages(flow *pages, const cli_run *run) {
  const eb_record *record = run->record;
  const cli_units *units = run->options->units;
  flow_section(pages, "Commissioning record", true);
  head(pages, record);
  for (size_t i = 0; i < record->n_items;)
    i = section_fields(pages, record, i);
  flow_section(pages, "Design against measured", false);
  for (size_t l = 0; l < record->n_levels; l++)
    level(pages, units, record, &record->levels[l]);
  flow_section(pages, "Settings to lock", false);
  flow_table(pages, record_settings_sheet(record), 1);
  list(pages, "Missing", record->missing, record->n_missing);
  list(pages, "Cautions", record->cautions, record->n_cautions);
  signatures(pages, value_of(record, "installer", "Installer"),
             value_of(record, "commissioner", "Commissioner, if another"),
             value_of(record, "measurement", "Date of signature"));
  flow_section(pages, "For the householder", true);
  for (size_t i = 0; i < record->n_owner; i++)
    flow_text(pages, FLOW_ITEM, "%s", record->owner[i]);
}

static void revisit_pages(flow *pages, const cli_run *run) {
  const eb_revisit *revisit = run->revisit;
  const cli_units *units = run->options->units;
  static const char *const sides[] = {"Supply changed by", "Extract changed by"};
  flow_section(pages, "Two visits", true);
  flow_text(pages, FLOW_PLAIN, "Read twice at %s, both corrected alike.", revisit->level);
  flow_table(pages, revisit_sheet(units, revisit), 1);
  cli_sheet *sheet = sheet_new("ll");
  for (int s = 0; s < 2; s++)
    if (isfinite(revisit->side_change[s]))
      report_pair(sheet, sides[s], "%+.0f %%, median of its terminals",
                  100 * revisit->side_change[s]);
    else
      report_pair(sheet, sides[s], "not known");
  flow_table(pages, sheet, 0);
  list(pages, "Likely", revisit->causes, revisit->n_causes);
  signatures(pages, NULL, NULL, NULL);
}

bool record_print(const cli_run *run, FILE *out) {
  char title[1024];
  snprintf(title, sizeof title, "%.900s: %s", run_title(run),
           run->revisit ? "two visits" : "commissioning record");
  flow *pages = flow_new(title, run->options->paper);
  if (run->revisit)
    revisit_pages(pages, run);
  else
    record_pages(pages, run);
  bool good = flow_print(pages, out);
  flow_free(pages);
  return good;
}
