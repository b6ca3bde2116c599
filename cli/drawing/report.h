/* report.h - the parts of the report, each put into the flow of pages
 *
 * Rates are always there; ducts, energy and parts where the house has what they need. */

#ifndef CLI_DRAWING_REPORT_H
#define CLI_DRAWING_REPORT_H

#include "drawing/flow.h"

/* Calculates what its pictures show beside what the run has. */
eb_status report_prepare(cli_run *run);

/* False after a message. */
bool report_print(const cli_run *run, FILE *out);

/* A row of what and how much; see also report_number. */
#if defined __GNUC__
__attribute__((format(printf, 3, 4)))
#endif
void report_pair(cli_sheet *sheet, const char *what, const char *format, ...);

/* Heads, one cell each; ended by NULL. */
void report_heads(cli_sheet *sheet, const char *const *heads);

typedef struct report_text {
  char text[48];
} report_text;

/* "31.0 l/s", "-" where it is not known. */
report_text report_number(const cli_unit *unit, double si);

/* With so many decimals, "-" where it is not known: for what has no unit of its own. */
void report_cell(cli_sheet *sheet, int decimals, double value);

/* The picture of that name where the house has what it shows, else why it has not. */
void report_picture(flow *pages, const cli_run *run, const picture *one);

/* True where a finding is a caution: work that can hurt someone. */
bool report_caution(const eb_diagnostic *finding);

void report_summary(flow *pages, const cli_run *run);
void report_cautions(flow *pages, const cli_run *run);
void report_air(flow *pages, const cli_run *run);
void report_ducts(flow *pages, const cli_run *run);
void report_terminals(flow *pages, const cli_run *run);
void report_fans(flow *pages, const cli_run *run);
void report_sound(flow *pages, const cli_run *run);
void report_year(flow *pages, const cli_run *run);
void report_parts(flow *pages, const cli_run *run);
void report_findings(flow *pages, const cli_run *run);
void report_sources(flow *pages, const cli_run *run);
void report_steps(flow *pages, const cli_run *run);

#endif
