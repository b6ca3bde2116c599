/* output.h - results go out whole or not at all */

#ifndef CLI_OUTPUT_H
#define CLI_OUTPUT_H

#include <stdbool.h>
#include <stdio.h>

/* A stream in memory that is written in one go at the end. */
typedef struct cli_output {
  FILE *stream;
  char *bytes;
  size_t length;
} cli_output;

bool output_open(cli_output *output);

/* Writes what was collected to the file `path` through a temporary file beside
 * it, or to standard output where path is NULL. False after a message. */
bool output_close(cli_output *output, const char *path);

/* Writes what was collected to standard error. */
void output_say(cli_output *output);

/* Drops it. */
void output_drop(cli_output *output);

#endif
