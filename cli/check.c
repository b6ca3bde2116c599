/* check.c - evenbreath check: is the file right, and does the house comply */

#include "command.h"

/* As far as the house is described: rooms, then ducts where there are any. */
static eb_status calculate(cli_run *run) {
  return eb_house_has_ducts(run->house) ? calculate_ducts(run) : calculate_rates(run);
}

static bool text(const cli_run *run, FILE *out) {
  size_t count, warnings = 0, notes = 0;
  const eb_diagnostic *list = eb_diagnostics(run->context, &count);
  for (size_t i = 0; i < count; i++)
    *(list[i].severity == EB_NOTE ? &notes : &warnings) += 1;
  fprintf(out, "%s: can be read; %zu warning%s, %zu note%s\n", run->path, warnings,
          warnings == 1 ? "" : "s", notes, notes == 1 ? "" : "s");
  return true;
}

const cli_command command_check = {
    .name = "check",
    .summary = "is the file right, and what does not comply",
    .help = "Reads the house, plans its rates and, where it has ducts, solves them, and prints\n"
            "only what it found: errors (the file is wrong), warnings (something does not\n"
            "comply or will not work), notes (what was assumed).\n",
    .examples = "evenbreath check alder-row.yaml\n"
                "evenbreath check --strict --json alder-row.yaml one-room.yaml\n",
    .calculate = calculate,
    .text = text,
    .json = NULL,
};
