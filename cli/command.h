/* command.h - a command: what it needs calculated and how it is shown */

#ifndef CLI_COMMAND_H
#define CLI_COMMAND_H

#include <jansson.h>
#include <stdio.h>

#include "evenbreath.h"
#include "options.h"

typedef struct cli_rule_rows cli_rule_rows;

/* One run of one command on one house. */
typedef struct cli_run {
  const cli_options *options;
  const char *path;
  const char *bytes; /* of a document of a batch, or NULL: those of the path */
  size_t length;
  int first_line;                /* of the bytes in their stream, from 1 */
  int document;                  /* its number in the stream, 0 where it is the only one */
  bool line;                     /* shown as one line of a batch, with its status */
  const eb_allocator *allocator; /* of the context; NULL: malloc */
  size_t n_overrides;            /* of the options', so many hold for it */
  char label[8];                 /* of its column, "" where it has none */
  const char *setting; /* "as written" or "with", where one file is compared with itself */
  eb_status lacking;   /* what a comparison does without */
  eb_status status;    /* of reading and calculating */
  const char *failure; /* why it cannot be shown, where no finding says so; or NULL */
  eb_context *context;
  eb_house *house;
  eb_ledger *ledger;
  const eb_rates *rates;
  const eb_ducts *ducts;
  const eb_energy *energy;
  const eb_parts *parts;
  const eb_comparison *comparison;
  eb_readings *readings; /* of --readings, or NULL */
  const eb_unit_diagnosis *diagnosis;
  const eb_balance *balance;
  const eb_record *record;
  eb_readings *later; /* of a second visit */
  const eb_revisit *revisit;
  const char *sketch; /* a house file with proposed ducts, or NULL */
  size_t sketch_length;
  bool curves;              /* ducts with curves of fans and ducts */
  cli_rule_rows *rule_rows; /* of rates --rules all, else NULL */
} cli_run;

typedef struct cli_command {
  const char *name;
  const char *files;   /* what it is given, as in --help; NULL: FILE... */
  const char *words;   /* what the first of them can be, apart by blanks, where it is no file */
  const char *summary; /* one line of --help */
  const char *help;    /* what it does and prints: paragraphs, filled to the width */
  void (*help_more)(FILE *out); /* NULL: nothing more */
  const char *examples;         /* command lines, one a line, of the files in examples/ */
  /* Does it all where it is no command on houses; returns the exit status. */
  int (*run)(const cli_options *options);
  /* Why it cannot take these files and options; NULL where it can, or where the fields below and
   * the list of options say all there is to say. */
  const char *(*unfit)(const cli_options *options);
  /* How many of the files are houses; NULL: as the fields below say. */
  int (*houses)(const cli_options *options);
  /* Calculates into the run. */
  eb_status (*calculate)(cli_run *run);
  /* What is left to do once all houses are calculated; a run that cannot be shown gets its
   * `failure`. NULL: nothing. */
  eb_status (*finish)(cli_run *runs, size_t count);
  /* Writes text; false when memory ran out, or after a message of its own (`says_why`). */
  bool (*text)(const cli_run *run, FILE *out);
  /* Adds the command's own part to the object; false when memory ran out. */
  bool (*json)(const cli_run *run, json_t *object);
  /* The same for several files as one question; NULL where each stands alone. */
  bool (*text_all)(const cli_run *runs, size_t count, FILE *out);
  bool (*json_all)(const cli_run *runs, size_t count, json_t *object);
  /* Calculates from all files into runs[count], a run without a house; NULL: nothing to. One file
   * then stands for two: as it is written, and with what --set says. */
  eb_status (*together)(cli_run *runs, size_t count);
  int most_files;  /* 0: any number */
  int readings;    /* so many files after the house may be readings taken in it */
  bool read_first; /* and one must be */
  bool says_why;
} cli_command;

extern const cli_command command_check, command_rates, command_ducts, command_energy, command_parts,
    command_compare, command_balance, command_record, command_draw, command_batch, command_tables,
    command_new, command_report, command_schema, command_completion;

/* All of them, as --help lists them; one by its name or NULL. */
const cli_command *const *command_list(size_t *count);
const cli_command *command_find(const char *name);

/* What the house is called on paper: its own name, else its file's. */
const char *run_title(const cli_run *run);

/* The calculations, shared by the commands. */
eb_status calculate_rates(cli_run *run);
eb_status calculate_ducts(cli_run *run);

/* Runs a command over its files; returns the exit status. */
int command_run(const cli_command *command, const cli_options *options);

/* The exit status that belongs to a status. */
int exit_of(eb_status status);

#endif
