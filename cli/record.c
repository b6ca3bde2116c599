/* record.c - evenbreath record: the completed record of a visit, or two visits beside each other */

#include "record.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "controller.h"
#include "csv.h"
#include "sheets.h"
#include "wrapped.h"

static eb_status read_again(cli_run *run) {
  eb_status status =
      eb_readings_read_file(run->context, run->house, run->options->files[2], &run->later);
  return status ? status
                : eb_revisit_compare(run->context, run->house, run->rates, run->readings,
                                     run->later, &run->revisit);
}

static eb_status calculate(cli_run *run) {
  const cli_options *options = run->options;
  eb_status status = calculate_rates(run);
  if (!status)
    status = eb_readings_read_file(run->context, run->house, options->files[1], &run->readings);
  if (status)
    return status;
  if (options->n_files > 2)
    return read_again(run);
  return eb_record_write(run->context, run->house, run->rates, run->readings, NULL, run->ledger,
                         &run->record);
}

/* ---- Text ---- */

static void title(FILE *out, const char *text) {
  fprintf(out, "\n%c%s\n", toupper((unsigned char)text[0]), text + 1);
}

static void paragraph(FILE *out, const char *mark, const char *text) {
  const char *cells[] = {"", mark, text};
  static const size_t widths[] = {0, 1, 93};
  wrapped_row(cells, widths, 3, out);
}

static void items_text(const eb_record *record, FILE *out) {
  const char *section = "";
  for (size_t i = 0; i < record->n_items; i++) {
    const eb_record_item *item = &record->items[i];
    if (!item->value && !item->required)
      continue;
    if (strcmp(section, item->section) != 0)
      title(out, section = item->section);
    const char *cells[] = {"", item->label, item->value ? item->value : "________"};
    static const size_t widths[] = {0, 40, 54};
    wrapped_row(cells, widths, 3, out);
  }
}

static void row_cells(cli_sheet *sheet, const cli_units *units, const eb_record_row *row) {
  const cli_unit *flow = &units->flow;
  sheet_cell(sheet, "  %s", row->run);
  sheet_cell(sheet, "%s", row->room);
  sheet_cell(sheet, "%s", row->supply ? "supply" : "extract");
  sheet_value(sheet, flow, row->design_m3_s);
  sheet_value(sheet, flow, row->measured_m3_s);
  if (isfinite(row->error_m3_s))
    sheet_cell(sheet, "+-%.*f", flow->decimals, unit_value(flow, row->error_m3_s));
  else
    sheet_skip(sheet);
  const char *said = row->unread && row->unread[0] ? row->unread : "unread";
  sheet_cell(sheet, "%s%s%s",
             isfinite(row->measured_m3_s) ? (row->passes ? "passes" : "FAILS") : said,
             row->note[0] ? ", " : "", row->note);
}

cli_sheet *record_rows_sheet(const cli_units *units, const eb_record *record, const char *level) {
  cli_sheet *sheet = sheet_new("lllrrrl");
  const char *heads[] = {"Terminal", "room", "", "design", "read", "", ""};
  sheet_cell(sheet, "%s at %s, %s", heads[0], level, units->flow.name);
  for (size_t i = 1; i < 7; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < record->n_rows; i++)
    if (strcmp(record->rows[i].level, level) == 0)
      row_cells(sheet, units, &record->rows[i]);
  return sheet;
}

static void level_text(const cli_units *units, const eb_controller *controller,
                       const eb_record_level *level, FILE *out) {
  const cli_unit *flow = &units->flow;
  fprintf(out, "  fans %s supply, %s extract",
          controller_text(controller, level->supply_signal).text,
          controller_text(controller, level->extract_signal).text);
  if (isfinite(level->supply_m3_s))
    fprintf(out, "; totals %.*f and %.*f %s against %.*f and %.*f", flow->decimals,
            unit_value(flow, level->supply_m3_s), flow->decimals,
            unit_value(flow, level->extract_m3_s), flow->name, flow->decimals,
            unit_value(flow, level->design_supply_m3_s), flow->decimals,
            unit_value(flow, level->design_extract_m3_s));
  if (isfinite(level->imbalance))
    fprintf(out, "; imbalance %+.1f %%", 100 * level->imbalance);
  fputc('\n', out);
  if (isfinite(level->specific_fan_power))
    fprintf(out, "  %.0f W, %.2f W/(l/s) at 1.2 kg/m3\n", level->power_w,
            level->specific_fan_power / 1e3);
  fprintf(out, "  %s\n", level->passes ? "passes" : "does not pass");
}

cli_sheet *record_settings_sheet(const eb_record *record) {
  cli_sheet *sheet = sheet_new("lllr");
  const char *heads[] = {"Settings to lock", "room", "valve", "opening"};
  for (size_t i = 0; i < 4; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < record->n_settings; i++) {
    const eb_record_setting *set = &record->settings[i];
    sheet_cell(sheet, "  %s", set->run);
    sheet_cell(sheet, "%s", set->room);
    sheet_cell(sheet, "%s", set->valve);
    sheet_cell(sheet, "%.4g %s", set->opening, set->unit);
  }
  return sheet;
}

static void list_text(const char *head, const char *const *items, size_t count, FILE *out) {
  if (count == 0)
    return;
  title(out, head);
  for (size_t i = 0; i < count; i++)
    paragraph(out, "-", items[i]);
}

static bool record_text(const cli_run *run, FILE *out) {
  const eb_record *record = run->record;
  const cli_units *units = run->options->units;
  fprintf(out, "%s: commissioning record\n\n%s\nRule: %s (%s)\n", run_title(run),
          record->complete ? "Complete" : "Not complete, see what is missing", record->rule,
          record->source);
  fprintf(out, "What was read %s\n", record->passes ? "passes" : "does not pass");
  paragraph(out, "", record->conditions);
  paragraph(out, "", record->instrument);
  items_text(record, out);
  for (size_t l = 0; l < record->n_levels; l++) {
    if (!record->levels[l].read)
      continue;
    if (!sheet_finish(record_rows_sheet(units, record, record->levels[l].name), out))
      return false;
    level_text(units, &record->controller, &record->levels[l], out);
  }
  if (!sheet_finish(record_settings_sheet(record), out))
    return false;
  list_text("missing", record->missing, record->n_missing, out);
  list_text("cautions", record->cautions, record->n_cautions, out);
  fputs("\nSignatures\n  installer ____________________ date ________\n"
        "  commissioner _________________ date ________\n",
        out);
  list_text("for the householder", record->owner, record->n_owner, out);
  return true;
}

cli_sheet *revisit_sheet(const cli_units *units, const eb_revisit *revisit) {
  cli_sheet *sheet = sheet_new("lllrrr");
  const char *heads[] = {"Terminal", "room", "", "before", "after", "change"};
  sheet_cell(sheet, "%s, %s", heads[0], units->flow.name);
  for (size_t i = 1; i < 6; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < revisit->n_rows; i++) {
    const eb_revisit_row *row = &revisit->rows[i];
    sheet_cell(sheet, "  %s", row->run);
    sheet_cell(sheet, "%s", row->room);
    sheet_cell(sheet, "%s", row->supply ? "supply" : "extract");
    sheet_value(sheet, &units->flow, row->before_m3_s);
    sheet_value(sheet, &units->flow, row->after_m3_s);
    if (isfinite(row->change))
      sheet_cell(sheet, "%+.0f %%", 100 * row->change);
    else
      sheet_cell(sheet, "-");
  }
  return sheet;
}

static bool revisit_text(const cli_run *run, FILE *out) {
  const eb_revisit *revisit = run->revisit;
  fprintf(out, "%s: two visits at %s\n", run_title(run), revisit->level);
  bool good = sheet_finish(revisit_sheet(run->options->units, revisit), out);
  list_text("likely", revisit->causes, revisit->n_causes, out);
  return good;
}

/* ---- CSV ---- */

static bool record_csv(const eb_record *record, FILE *out) {
  static const char *const heads[] = {"level",    "run",       "room",   "side",   "design_l_s",
                                      "read_l_s", "error_l_s", "passes", "unread", "note"};
  cli_csv csv = {.out = out};
  csv_heads(&csv, heads, sizeof heads / sizeof heads[0]);
  for (size_t i = 0; i < record->n_rows; i++) {
    const eb_record_row *row = &record->rows[i];
    csv_text(&csv, row->level);
    csv_text(&csv, row->run);
    csv_text(&csv, row->room);
    csv_text(&csv, row->supply ? "supply" : "extract");
    csv_number(&csv, 1e3 * row->design_m3_s);
    csv_number(&csv, 1e3 * row->measured_m3_s);
    csv_number(&csv, 1e3 * row->error_m3_s);
    csv_text(&csv, isfinite(row->measured_m3_s) ? (row->passes ? "yes" : "no") : "");
    csv_text(&csv, row->unread ? row->unread : "");
    csv_text(&csv, row->note);
    csv_end(&csv);
  }
  return true;
}

/* The ending of the file decides. */
static bool is_printed(const cli_options *options) {
  const char *ending = options->output ? strrchr(options->output, '.') : NULL;
  return ending && strcmp(ending, ".pdf") == 0;
}

static const char *unfit(const cli_options *options) {
  if (is_printed(options) && (options->json || options->csv || options->explain))
    return "a PDF goes neither with --json nor with --csv nor with --explain";
  if (!is_printed(options) && strcmp(options->paper->name, "a4") != 0)
    return "--paper is for a PDF: name a file that ends in .pdf after -o";
  return is_printed(options) ? record_print_unfit() : NULL;
}

static bool text(const cli_run *run, FILE *out) {
  if (is_printed(run->options))
    return record_print(run, out);
  bool good = run->revisit        ? revisit_text(run, out)
              : run->options->csv ? record_csv(run->record, out)
                                  : record_text(run, out);
  if (!good)
    fputs("evenbreath: memory ran out\n", stderr);
  return good;
}

const cli_command command_record = {
    .name = "record",
    .files = "FILE READINGS [LATER]",
    .summary = "the completed record of a visit, or what changed since an earlier one",
    .help = "The commissioning record from READINGS: what was read against the design at each\n"
            "level, pass or fail by the rule set, settings to lock, what the rule asks for and\n"
            "the record lacks, cautions, and a page for the householder. With a second file of\n"
            "READINGS, years later: what changed and the likely cause. With -o FILE.pdf it is\n"
            "printed with places to fill in and to sign, and the householder's page by itself.\n",
    .examples = "evenbreath record alder-row.yaml alder-row-balance.yaml\n"
                "evenbreath record --csv -o v.csv alder-row.yaml alder-row-balance.yaml\n"
                "evenbreath record -o visit.pdf alder-row.yaml alder-row-balance.yaml\n",
    .unfit = unfit,
    .calculate = calculate,
    .text = text,
    .json = record_json,
    .readings = 2,
    .read_first = true,
    .says_why = true,
};
