/* options.h - the command line as a struct; one list gives parsing and help */

#ifndef CLI_OPTIONS_H
#define CLI_OPTIONS_H

#include <stdbool.h>
#include <stdio.h>

#include "evenbreath.h"
#include "units.h"

/* Exit statuses, as the manual page lists them. */
enum {
  EXIT_DONE = 0,
  EXIT_NOT_COMPLYING = 1,
  EXIT_USAGE = 2,
  EXIT_INPUT = 3,
  EXIT_NO_SOLUTION = 4,
  EXIT_FILE = 5,
  EXIT_FAULT = 6
};

enum { OPTIONS_MOST_JOBS = 64 };

/* Of pages that are printed. */
typedef struct cli_paper {
  const char *name;
  double width, height; /* points of 1/72 inch */
} cli_paper;

typedef struct cli_options {
  bool json, csv, explain, strict, timings, help;
  const cli_units *units;
  const char *rules;  /* of --rules: NULL, a set's name or "all" */
  const char *output; /* NULL: standard cli_output */
  const char *write;  /* file for the house with its sizes, or NULL */
  eb_sizing sizing;   /* of --method */
  const char *readings; /* energy: file of what was read on site, or NULL */
  bool blank;         /* balance: a form to fill in */
  bool detail;        /* energy: the rest of the air's work too */
  bool sketch;        /* propose ducts instead, laid so */
  eb_layout layout;
  const char *show;       /* draw: the picture, or NULL */
  const cli_paper *paper; /* of what is printed */
  const char **overrides; /* of --set */
  size_t n_overrides;
  const char **tables; /* of --tables */
  size_t n_tables;
  int jobs; /* of --jobs, 0 where not given */
  char **files;
  int n_files;
} cli_options;

/* Parses argv[1..] after the command's name. False after a message on
 * standard error. Free with options_free either way. */
bool options_parse(cli_options *options, const char *command, int argc, char **argv);
void options_free(cli_options *options);

/* The lines of --help about the options. */
void options_help(FILE *out);

#endif
