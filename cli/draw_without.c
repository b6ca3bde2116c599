/* draw_without.c - what a program without cairo and pango says when it is to draw */

#include "command.h"

/* The command line asks for what this program does not have: a matter of usage, status 2. */
static const char *unfit(const cli_options *options) {
  (void)options;
  return "this evenbreath was built without drawings (configure --without-drawings)";
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
