/* tables_registry.h - what a context remembers of its tables */

#ifndef EBI_TABLES_REGISTRY_H
#define EBI_TABLES_REGISTRY_H

#include "input/tables_find.h"

typedef struct ebi_kept_shelf ebi_kept_shelf;
struct ebi_kept_shelf {
  ebi_arena *arena; /* holds all of it */
  const char *folder, *kind;
  ebi_shelf shelf;
  ebi_kept_shelf *next;
};

/* A file that was read without an error. */
typedef struct ebi_kept_table {
  const char *kind, *path;
  const void *entry;
  const eb_diagnostic *said; /* warnings and notes of the reading */
  size_t n_said;
} ebi_kept_table;

/* Lives in the context's tables arena. Each table and shelf that is kept has
 * an arena of its own, so that one that fails leaves nothing behind. */
typedef struct ebi_registry {
  ebi_arena *arena;
  ebi_kept_shelf *shelves;
  ebi_names paths; /* "KIND/NAME" to a place in `found` */
  const char **found;
  size_t n_found, found_capacity;
  size_t n_folders; /* of the search list that `paths` was made with */
  ebi_names loaded; /* "KIND:PATH" to a place in `tables` */
  ebi_kept_table *tables;
  size_t n_tables, tables_capacity;
} ebi_registry;

/* The context's, made on demand. NULL when memory ran out. */
ebi_registry *ebi_table_registry(eb_context *context);

#endif
