/* report.c - the report from its first page to its last */

#include "drawing/report.h"

#include <math.h>
#include <stdarg.h>

/* Those that stand in the report, in the order of its pages. */
static const char *const shown[] = {"scheme", "pressures", "duty", "sound", "year"};
enum { SHOWN = sizeof shown / sizeof shown[0] };

static const char *lacks(const picture *one, const cli_run *run) {
  return one->lacks ? one->lacks(run, 1) : NULL;
}

eb_status report_prepare(cli_run *run) {
  eb_status status = EB_OK;
  for (int i = 0; i < SHOWN && !status; i++) {
    const picture *one = picture_find(shown[i]);
    if (one && one->calculate && !lacks(one, run))
      status = one->calculate(run);
  }
  return status;
}

void report_picture(flow *pages, const cli_run *run, const picture *one) {
  if (!one)
    return;
  const char *why = lacks(one, run);
  if (why) {
    flow_text(pages, FLOW_PLAIN, "There is no picture \"%s\": %s.", one->title, why);
    return;
  }
  flow_heading(pages, one->title);
  flow_picture(pages, one, run, 1);
}

/* ---- Cells ---- */

void report_pair(cli_sheet *sheet, const char *what, const char *format, ...) {
  char text[1200];
  va_list arguments;
  va_start(arguments, format);
  vsnprintf(text, sizeof text, format, arguments);
  va_end(arguments);
  sheet_cell(sheet, "  %s", what);
  sheet_cell(sheet, "%s", text);
}

void report_heads(cli_sheet *sheet, const char *const *heads) {
  for (; *heads; heads++)
    sheet_cell(sheet, "%s", *heads);
}

report_text report_number(const cli_unit *unit, double si) {
  report_text text = {"-"};
  double value = unit_value(unit, si);
  if (fabs(value) < 0.5 * pow(10, -unit->decimals))
    value = 0; /* no "-0.0" */
  if (isfinite(si))
    snprintf(text.text, sizeof text.text, "%.*f %s", unit->decimals, value, unit->name);
  return text;
}

void report_cell(cli_sheet *sheet, int decimals, double value) {
  if (!isfinite(value))
    sheet_cell(sheet, "-");
  else
    sheet_cell(sheet, "%.*f", decimals, fabs(value) < 0.5 * pow(10, -decimals) ? 0.0 : value);
}

/* ---- The whole ---- */

static void lacking(flow *pages, const cli_run *run) {
  if (!run->ducts)
    flow_text(pages, FLOW_ITEM,
              "The house file describes no ducts: there are no pressures, valve settings, fan "
              "duties, sound and parts in this report.");
  if (!run->energy)
    flow_text(pages, FLOW_ITEM,
              "The house file names no climate: there is no yearly account in this report.");
  if (run->ducts && !run->parts)
    flow_text(pages, FLOW_ITEM,
              "Sizes of ducts were chosen here and do not stand in the house file: there is no "
              "list of parts. `evenbreath ducts --write` writes the file with its sizes.");
}

static void contents(flow *pages, const cli_run *run) {
  flow_section(pages, "What is in this report", true);
  flow_contents(pages);
  if (!run->ducts || !run->energy || !run->parts)
    flow_heading(pages, "What it lacks");
  lacking(pages, run);
}

bool report_print(const cli_run *run, FILE *out) {
  flow *pages = flow_new(run_title(run), run->options->paper);
  report_summary(pages, run);
  contents(pages, run);
  report_cautions(pages, run);
  report_air(pages, run);
  report_ducts(pages, run);
  report_terminals(pages, run);
  report_fans(pages, run);
  report_sound(pages, run);
  report_year(pages, run);
  report_parts(pages, run);
  report_findings(pages, run);
  report_sources(pages, run);
  report_steps(pages, run);
  bool good = flow_print(pages, out);
  flow_free(pages);
  return good;
}
