/* help.h - what the program and each command say of themselves */

#ifndef CLI_HELP_H
#define CLI_HELP_H

#include "command.h"

/* All commands and options. */
void help_text(FILE *out);
int help_run(void);

/* One command with the options it takes, to the file or where NULL to standard output. Both return
 * the exit status. */
int help_of(const cli_command *command, const char *file);

#endif
