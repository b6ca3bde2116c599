/* report.c - evenbreath report: the design file of a house as a PDF */

#define _POSIX_C_SOURCE 200809L /* isatty */
#include <string.h>
#include <unistd.h>

#include "drawing/report.h"

static const char *unfit(const cli_options *options) {
  canvas_format format;
  if (options->n_files > 1)
    return "takes one house file";
  if (options->show)
    return "--show is for draw";
  if (options->output && strncmp(options->output, "/dev/", 5) != 0 &&
      (!canvas_format_of(options->output, &format) || format != CANVAS_PDF))
    return "the file after -o must end in .pdf";
  if (!options->output && isatty(STDOUT_FILENO))
    return "name the file with -o FILE.pdf: a terminal cannot show it";
  return NULL;
}

static eb_status calculate_year(cli_run *run) {
  if (!eb_house_has_climate(run->house))
    return EB_OK;
  const eb_energy_options options = {.size = sizeof options};
  return eb_energy_year(run->context, run->house, run->rates, run->ducts, &options, run->ledger,
                        &run->energy);
}

/* Ducts that were given a size here have none in the file to order by. */
static eb_status calculate_parts(cli_run *run) {
  if (!run->ducts || run->ducts->sizes)
    return EB_OK;
  return eb_parts_list(run->context, run->house, NULL, run->ledger, &run->parts);
}

static eb_status calculate(cli_run *run) {
  run->curves = true; /* for the picture of the duties */
  run->ledger = eb_ledger_new(run->context);
  if (!run->ledger)
    return EB_E_MEMORY;
  eb_status status = eb_house_has_ducts(run->house) ? calculate_ducts(run) : calculate_rates(run);
  status = status ? status : calculate_year(run);
  status = status ? status : calculate_parts(run);
  return status ? status : report_prepare(run);
}

static bool text(const cli_run *run, FILE *out) {
  return report_print(run, out);
}

const cli_command command_report = {
    .name = "report",
    .summary = "the design file of a house: all of the above with its reasons, as PDF",
    .help = "Writes the design of one house for a client or a building control body into the PDF\n"
            "after -o: a summary on one page, air plan, ducts, valves, fans, sound, the year,\n"
            "parts, findings with their clauses, the tables used with the hash of each, cautions\n"
            "and every step of the calculation. A house without ducts or climate gets a shorter\n"
            "one that says what it lacks.\n",
    .files = "HOUSE -o FILE.pdf",
    .examples = "evenbreath report alder-row.yaml -o design.pdf\n"
                "evenbreath report --paper letter --units imperial -o design.pdf alder-row.yaml\n",
    .unfit = unfit,
    .calculate = calculate,
    .text = text,
    .says_why = true,
};
