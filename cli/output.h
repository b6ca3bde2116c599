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

/* A text that is at hand, likewise. */
bool output_text(const char *text, const char *path);

/* A stream that is not held in memory: to `path` through a temporary file beside it, or to
 * standard output where path is NULL. */
typedef struct cli_file {
  FILE *stream;
  const char *path;
  char *temporary; /* NULL: written straight through */
} cli_file;

/* Each is false after a message. Closing without `keep` leaves an earlier file as it was. */
bool output_file_open(cli_file *file, const char *path);
bool output_file_write(cli_file *file, const char *bytes, size_t length);
bool output_file_close(cli_file *file, bool keep);

/* Writes what was collected to standard error. */
void output_say(cli_output *output);

/* Hands what was collected on to `out` where it is good, and drops it; false where it is not good or
 * could not be written. */
bool output_pass(cli_output *output, bool good, FILE *out);

/* Drops it. */
void output_drop(cli_output *output);

#endif
