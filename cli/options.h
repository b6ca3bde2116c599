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

enum { OPTIONS_MOST_JOBS = 64, OPTIONS_AT_MOST = 64 };

/* Of pages that are printed. */
typedef struct cli_paper {
  const char *name;
  double width, height; /* points of 1/72 inch */
} cli_paper;

typedef struct cli_options {
  bool json, csv, explain, strict, timings, help;
  const cli_units *units;
  const char *rules;    /* of --rules: NULL, a set's name or "all" */
  const char *output;   /* NULL: standard cli_output */
  const char *write;    /* file for the house with its sizes, or NULL */
  eb_sizing sizing;     /* of --method */
  const char *readings; /* energy: file of what was read on site, or NULL */
  bool blank;           /* balance: a form to fill in */
  bool detail;          /* energy: the rest of the air's work too */
  bool sketch;          /* propose ducts instead, laid so */
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
  const char *name; /* new: of the dwelling, or NULL */
  int bedrooms, storeys;
  const char **rooms; /* of --room */
  size_t n_rooms;
  unsigned long long given; /* a bit for each row of the list */
} cli_options;

/* A row of the one list that parsing, help, refusals and completion are made from. */
typedef struct cli_option {
  const char *name;
  char letter;          /* stands for it too; 0: none */
  const char *argument; /* FILE and DIR are completed, a|b is a choice; NULL: takes none */
  const char *commands; /* that take it, apart by blanks; NULL: every one */
  bool (*take)(cli_options *options, size_t place, const char *argument);
  size_t place; /* in the options, for `take` */
  const char *about;
  const char *words;   /* what the argument can be, where `argument` does not say it */
  const char *without; /* options that it does not go with */
  bool one_file;       /* it takes one file only */
} cli_option;

/* NULL where there is no such paper. */
const cli_paper *options_paper(const char *name);

const cli_option *options_list(size_t *count);
bool option_is_of(const cli_option *option, const char *command);

/* True where a word stands among words apart by blanks. */
bool options_word(const char *word, const char *words);

/* Parses argv[1..] after the command's name. False after a message on
 * standard error. Free with options_free either way. */
bool options_parse(cli_options *options, const char *command, int argc, char **argv);
void options_free(cli_options *options);

/* False after saying which option a command does not take, or not with another. `speaker` is the
 * command that was called: the same one, or batch. */
bool options_fit(const cli_options *options, const char *speaker, const char *command);

#endif
