/* report_lists.c - parts to order, findings, assumptions and cautions */

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "drawing/report.h"
#include "findings.h"

/* ---- Parts ---- */

/* "e-main (2)" for two pieces there, "e-kitchen 4.5 m" of what is sold by length. */
static void where_text(const eb_part *part, char *text, size_t size) {
  bool length = part->length_m > 0 || strcmp(part->unit, "m") == 0;
  size_t used = 0;
  *text = '\0';
  for (size_t i = 0; i < part->n_where && used + 1 < size; i++) {
    double amount = part->where_amount[i];
    const char *comma = i ? ", " : "";
    int wrote =
        length ? snprintf(text + used, size - used, "%s%s %.4g m", comma, part->where[i], amount)
        : amount != 1
            ? snprintf(text + used, size - used, "%s%s (%.0f)", comma, part->where[i], amount)
            : snprintf(text + used, size - used, "%s%s", comma, part->where[i]);
    used += wrote > 0 ? (size_t)wrote : 0;
  }
}

static void part_row(cli_sheet *sheet, const eb_part *part, char *where, size_t size) {
  sheet_cell(sheet, "  %s", part->item);
  sheet_cell(sheet, "%.4g", part->quantity);
  sheet_cell(sheet, "%s", part->unit);
  report_cell(sheet, 2, if_any(part->piece_m));
  report_cell(sheet, 1, if_any(part->length_m));
  report_cell(sheet, 2, part->price);
  report_cell(sheet, 2, part->price * part->quantity);
  sheet_cell(sheet, "%s", part->known);
  where_text(part, where, size);
  sheet_cell(sheet, "%s", where);
}

static size_t room_for_where(const eb_parts *parts) {
  size_t most = 1;
  for (size_t i = 0; i < parts->n_items; i++) {
    size_t bytes = 1;
    for (size_t j = 0; j < parts->items[i].n_where; j++)
      bytes += strlen(parts->items[i].where[j]) + 24;
    most = bytes > most ? bytes : most;
  }
  return most;
}

static void kind_row(cli_sheet *sheet, const char *kind) {
  sheet_cell(sheet, "%s", kind);
  for (int i = 0; i < 8; i++)
    sheet_skip(sheet);
}

static void parts_rows(cli_sheet *sheet, const eb_parts *parts, char *where, size_t size) {
  for (size_t i = 0; i < parts->n_items; i++) {
    const eb_part *part = &parts->items[i];
    if (i == 0 || strcmp(part->kind, parts->items[i - 1].kind) != 0)
      kind_row(sheet, part->kind);
    part_row(sheet, part, where, size);
  }
}

static void parts_total(flow *pages, const eb_parts *parts) {
  flow_text(pages, FLOW_BOLD, "In all %.2f %s.", parts->price,
            *parts->currency ? parts->currency : "money");
  if (parts->n_unpriced > 0)
    flow_text(pages, FLOW_PLAIN, "%zu %s no price.", parts->n_unpriced,
              parts->n_unpriced == 1 ? "line has" : "lines have");
  flow_text(pages, FLOW_PLAIN,
            "For %.1f m of duct and %.3g %% waste. Lengths at the places are what is needed; "
            "prices that are invented are the program's own guesses, to be replaced by yours.",
            parts->duct_m, parts->waste * 100);
}

void report_parts(flow *pages, const cli_run *run) {
  const eb_parts *parts = run->parts;
  if (!parts)
    return;
  size_t size = room_for_where(parts);
  char *where = malloc(size);
  cli_sheet *sheet = where ? sheet_new("lrlrrrrll") : NULL;
  report_heads(sheet, (const char *const[]){"Part", "quantity", "", "piece m", "needed m", "price",
                                            "cost", "price is", "where", NULL});
  if (where)
    parts_rows(sheet, parts, where, size);
  free(where);
  flow_section(pages, "Parts to order", true);
  flow_table(pages, sheet, 1);
  parts_total(pages, parts);
}

/* ---- Findings ---- */

/* "house.yaml:12", without its folder. */
static report_text place_of(const eb_diagnostic *finding) {
  report_text place = {""};
  const char *name = finding->file ? strrchr(finding->file, '/') : NULL;
  name = name ? name + 1 : finding->file;
  if (name && finding->line > 0)
    snprintf(place.text, sizeof place.text, "%.34s:%d", name, finding->line);
  else if (name)
    snprintf(place.text, sizeof place.text, "%.46s", name);
  return place;
}

bool report_caution(const eb_diagnostic *finding) {
  static const char *const codes[] = {"combustion", "frost",      "legionella", "radon",
                                      "smoke",      "garage",     "appliance",  "condensation",
                                      "duct-cold",  "open-flued", "fire"};
  for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
    if (strncmp(finding->code, codes[i], strlen(codes[i])) == 0)
      return true;
  return false;
}

static cli_sheet *findings_sheet(const cli_run *run, bool notes) {
  size_t count;
  const eb_diagnostic *findings = eb_diagnostics(run->context, &count);
  cli_sheet *sheet = sheet_new("llll");
  report_heads(sheet,
               (const char *const[]){"Severity", "finding", "clause or source", "place", NULL});
  for (size_t i = 0; i < count; i++) {
    const eb_diagnostic *finding = &findings[i];
    if ((finding->severity == EB_NOTE) != notes)
      continue;
    sheet_cell(sheet, "  %s", severity_name(finding->severity));
    sheet_cell(sheet, "%s", finding->message);
    sheet_cell(sheet, "%s", finding->source ? finding->source : "");
    sheet_cell(sheet, "%s", place_of(finding).text);
  }
  return sheet;
}

static void findings(flow *pages, const cli_run *run, bool notes) {
  cli_sheet *sheet = findings_sheet(run, notes);
  if (sheet_complete(sheet) && sheet_rows(sheet) == 1) {
    flow_text(pages, FLOW_PLAIN, "Nothing was found.");
    sheet_free(sheet);
  } else
    flow_table(pages, sheet, 1);
}

void report_findings(flow *pages, const cli_run *run) {
  flow_section(pages, "Findings", true);
  flow_text(pages, FLOW_PLAIN,
            "An error must be mended, a warning does not comply or falls short of good practice.");
  findings(pages, run, false);
  flow_section(pages, "Assumptions and notes", false);
  flow_text(pages, FLOW_PLAIN,
            "What the program took for want of a word in the house file, what the rules say "
            "beside, and how it was counted.");
  findings(pages, run, true);
}

/* ---- Cautions ---- */

static const char *const always[] = {
    "Combustion: before an open-flued, solid-fuel or vaporising appliance burns in a house with "
    "fans, a registered person does a spillage test with every fan, hood and dryer on and off.",
    "Fire stopping: a duct that passes a wall or floor which holds back fire needs the stop or "
    "damper that the local code asks for. This design does not place them.",
    "Hot water and legionella: temperatures of stored water are matters of local codes and "
    "licensed people; nothing here lowers them.",
    "Radon and gas from the ground: more extract than supply draws air out of the ground. Where "
    "radon is known, the balance of the air and the sealing of the floor are checked together.",
    "Frost: the condensate drain and ducts outside the insulation are kept from freezing, and "
    "the unit has the frost protection that its maker asks for.",
    "Electricity: the unit, its controls and heaters are connected by a licensed person.",
};

void report_cautions(flow *pages, const cli_run *run) {
  size_t count, found = 0;
  const eb_diagnostic *list = eb_diagnostics(run->context, &count);
  flow_section(pages, "Cautions", false);
  for (size_t i = 0; i < sizeof always / sizeof always[0]; i++)
    flow_text(pages, FLOW_ITEM, "%s", always[i]);
  for (size_t i = 0; i < count; i++) {
    if (!report_caution(&list[i]))
      continue;
    if (found++ == 0)
      flow_heading(pages, "Of this house");
    flow_text(pages, FLOW_ITEM, "%s", list[i].message);
  }
}
