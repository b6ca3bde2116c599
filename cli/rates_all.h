/* rates_all.h - evenbreath rates --rules all: one house under every rule set */

#ifndef CLI_RATES_ALL_H
#define CLI_RATES_ALL_H

#include "command.h"

/* True where that was asked for. */
bool rates_all_wanted(const cli_run *run);

eb_status rates_all_calculate(cli_run *run);
bool rates_all_text(const cli_run *run, FILE *out);
bool rates_all_json(const cli_run *run, json_t *object);

#endif
