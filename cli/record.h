/* record.h - what the files of `record` share */

#ifndef CLI_RECORD_H
#define CLI_RECORD_H

#include "command.h"

/* The command's own part of the JSON object. */
bool record_json(const cli_run *run, json_t *object);

/* As a PDF; false after a message. And why this program cannot, or NULL. */
bool record_print(const cli_run *run, FILE *out);
const char *record_print_unfit(void);

#endif
