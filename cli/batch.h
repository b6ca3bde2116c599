/* batch.h - evenbreath batch: one command on any number of houses, a line each */

#ifndef CLI_BATCH_H
#define CLI_BATCH_H

#include "command.h"

extern const char batch_help[];

/* Why these options and files cannot be; NULL where they can. */
const char *batch_unfit(const cli_command *command, const cli_options *options);

/* Returns the exit status. */
int batch_run(const cli_command *command, const cli_options *options);

#endif
