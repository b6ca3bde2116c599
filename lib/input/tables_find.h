/* tables_find.h - where table files are, and which names each of them holds
 *
 * FOLDER/KIND/NAME.yaml is the table NAME. A file may hold several entries: the
 * keys of its `sizes:` are NAME-KEY (duct sizes), the keys of its `entries:`
 * are names of their own. Folders are searched first to last; within one, a
 * file of that name goes before an entry of that name. */

#ifndef EBI_TABLES_FIND_H
#define EBI_TABLES_FIND_H

#include "input/names.h"
#include "input/tree.h"
#include "model/tables.h"

/* The folders under a table folder, sorted; ended by NULL. */
extern const char *const ebi_table_kinds[];

typedef struct ebi_table_file {
  ebi_entry entry; /* of the file: its name is the file's without the ending */
  const char *path;
  const char *const *members;
  size_t n_members;
  const char *const *silencers; /* those with an insertion loss, itself or members */
  size_t n_silencers;
} ebi_table_file;

/* The files of one kind in one folder, sorted by name. */
typedef struct ebi_shelf {
  const ebi_table_file *files;
  size_t n_files;
  ebi_names names; /* of files and members: the number of the file */
  bool whole;      /* no file had to be left out */
} ebi_shelf;

/* Letters, digits, '.', '_' and '-', no dot at the start. */
#define EBI_TABLE_NAME_BYTES 100
bool ebi_table_plain_name(const char *name);

/* The file's name without folder and ending. NULL when memory ran out. */
const char *ebi_table_base_name(ebi_arena *arena, const char *path);

/* `path` as seen from the folder of `file`. NULL when memory ran out. */
const char *ebi_path_beside(ebi_arena *arena, const char *file, const char *path);

/* What the folder holds, from the cache or looked up now; valid until the next
 * such call. A file that cannot be read is recorded and left out, and the
 * folder is then looked up again the next time. A folder that is not there is
 * empty. */
eb_status ebi_table_shelf(eb_context *context, const char *folder, const char *kind,
                          const ebi_shelf **shelf);

/* The path of the file that holds `name`, or NULL where none does. */
eb_status ebi_table_find(eb_context *context, const char *kind, const char *name,
                         const char **path);

/* The known name nearest to `name` (copied into the arena), or NULL. */
eb_status ebi_table_nearest(eb_context *context, ebi_arena *arena, const char *kind,
                            const char *name, const char **best);

/* True where an error in that file is among the diagnostics already, so that
 * it need not be told for every place that names it. The file is read afresh
 * once the diagnostics have been cleared. */
bool ebi_table_told(const eb_context *context, const char *path);

#endif
