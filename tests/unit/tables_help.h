/* tables_help.h - a folder of tables of a test's own, and how to ask for one */

#ifndef TABLES_HELP_H
#define TABLES_HELP_H

#include "base/context.h"
#include "input/load.h"

/* A context that searches one folder before all others. */
typedef struct tables_desk {
  eb_context *context;
  ebi_reader reader; /* of "house.yaml" in the folder */
  char folder[64];   /* temporary, "" where it is the shipped one */
  char house[96];
} tables_desk;

/* With an empty temporary folder; allocator NULL: malloc. False: no memory. */
bool tables_desk_start(tables_desk *desk, const eb_allocator *allocator);

/* With the shipped tables. */
bool tables_desk_shipped(tables_desk *desk, const eb_allocator *allocator);
void tables_desk_end(tables_desk *desk);

/* Writes FOLDER/PATH, and the folder it is in. */
void tables_write(tables_desk *desk, const char *path, const char *text);
void tables_remove(tables_desk *desk, const char *path);

/* A name as it stands at line 3, column 7 of the house. */
ebi_yaml tables_value(const tables_desk *desk, const char *text);

const ebi_fitting *tables_fitting(tables_desk *desk, const char *name);
const ebi_valve *tables_valve(tables_desk *desk, const char *name);
const ebi_unit *tables_unit(tables_desk *desk, const char *name);
ebi_run tables_duct(tables_desk *desk, const char *name);

/* Loads a table of any kind; false with diagnostics where it will not do. */
bool tables_load(tables_desk *desk, const char *kind, const char *name);

/* The diagnostic with that code, or NULL. */
const eb_diagnostic *tables_said(const tables_desk *desk, const char *code);

/* A mapping of a house, read from text: {bore: 104 mm, ...}. */
const ebi_yaml *tables_mapping(tables_desk *desk, const char *text);

#endif
