/* run.h - one command on one house: read, calculated, shown */

#ifndef CLI_RUN_H
#define CLI_RUN_H

#include "command.h"

/* A context for the run, with the tables and the ledger that its options ask for. */
eb_status run_open(cli_run *run);

/* Reads the house, calculates and writes what there is to say to `out`, as text with the findings
 * on `said`, or as one JSON object (`said` may then be NULL). A context that is open already is
 * used. Returns the exit status. The run keeps house and results until run_close or run_clear. */
int run_house(const cli_command *command, cli_run *run, FILE *out, FILE *said);

/* The first half of it. */
eb_status run_calculate(const cli_command *command, cli_run *run);

/* What the column of the house with this number is called: A, B, ... Z, AA, AB, ... */
void run_set_label(cli_run *run, size_t number);

/* Drops the context and all in it. */
void run_close(cli_run *run);

/* Drops house, results and findings; the context stays, with its tables. */
void run_clear(cli_run *run);

/* The keys that begin every object. */
json_t *run_head_json(const cli_command *command, const cli_run *run);

/* Something must be said on every failure, if only the sentence of its status. */
void run_say_failure(const cli_run *run, eb_status status, FILE *said);

#endif
