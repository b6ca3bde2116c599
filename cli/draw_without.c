/* draw_without.c - what a program without cairo and pango says when it is to draw */

#include "record.h"

/* The command line asks for what this program does not have: a matter of usage, status 2. */
const char *record_print_unfit(void) {
  return "this evenbreath was built without drawings (configure --without-drawings)";
}

static const char *unfit(const cli_options *options) {
  (void)options;
  return record_print_unfit();
}

/* Never asked for: record_print_unfit stands before it. */
bool record_print(const cli_run *run, FILE *out) {
  (void)run;
  (void)out;
  return false;
}

const cli_command command_report = {
    .name = "report",
    .summary = "the design file as PDF: not in this program, built without drawings",
    .help = "This program was built without drawings: build it with cairo and pango.\n",
    .unfit = unfit,
};

const cli_command command_draw = {
    .name = "draw",
    .summary = "pictures: not in this program, built without drawings",
    .help = "This program was built without drawings: build it with cairo and pango.\n",
    .unfit = unfit,
};
