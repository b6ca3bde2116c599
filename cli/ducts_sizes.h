/* ducts_sizes.h - sizes that ducts chose: shown, and written into the house's file */

#ifndef CLI_DUCTS_SIZES_H
#define CLI_DUCTS_SIZES_H

#include "command.h"

/* The block of the text; nothing where every run had its size. False when memory ran out. */
bool sizes_text(const cli_units *units, const eb_sizes *sizes, FILE *out);

/* The same as an object; null where every run had its size. */
json_t *sizes_json(const eb_sizes *sizes);

/* Writes the house with its sizes to a file, whole or not at all. */
eb_status sizes_write(const cli_run *run, const char *path);

#endif
