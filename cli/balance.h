/* balance.h - what the files of `balance` share */

#ifndef CLI_BALANCE_H
#define CLI_BALANCE_H

#include "command.h"

/* "first settings", "adjust", ... as JSON has it. */
const char *verdict_name(eb_verdict verdict);

/* The command's own part of the JSON object. */
bool balance_json(const cli_run *run, json_t *object);

/* A blank form for the ladder, in the order to go round. */
bool balance_sheet(const cli_run *run, FILE *out);

#endif
