/* record.h - what the files of `record` share */

#ifndef CLI_RECORD_H
#define CLI_RECORD_H

#include "command.h"

/* The command's own part of the JSON object. */
bool record_json(const cli_run *run, json_t *object);

#endif
