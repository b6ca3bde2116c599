/* load.h - tables found by name and read once for a context
 *
 * A name is looked for in KIND/ of every search folder; a value with a '/' or
 * ending in .yaml (of climates .csv too) is a path relative to the file that names it. Each
 * function returns NULL after recording an error (code "memory" where memory ran out). Duct sizes,
 * fittings and valves may stand several to a file (a family). */

#ifndef EBI_LOAD_H
#define EBI_LOAD_H

#include "input/fields.h"
#include "model/house.h"

/* Reads the table `value` names. The reader's record is not used. `read` makes
 * the entry in the context's tables arena; it is called once for each file. Of a climate's file
 * ending in .csv the document is NULL, and the reader's file is still to be read. */
typedef const void *(*ebi_table_reader)(ebi_reader *reader, const ebi_document *document,
                                        const char *name);
const void *ebi_table_load(ebi_reader *asking, const ebi_yaml *value, const char *kind,
                           ebi_table_reader read);

/* The keys every table file has: title, source, known (and `table: KIND`).
 * The first is for the list of a file's keys. */
#define EBI_ENTRY_FIELDS                                                                           \
  {.key = "table",                                                                                 \
   .type = EBI_FIELD_IGNORED,                                                                      \
   EBI_HOLDS_TEXT,                                                                                 \
   .about = "the folder it belongs to"},                                                           \
      {.key = "title",                                                                             \
       .type = EBI_FIELD_IGNORED,                                                                  \
       EBI_HOLDS_TEXT,                                                                             \
       .about = "what it is, in a few words"},                                                     \
      EBI_SOURCE_FIELDS
#define EBI_SOURCE_FIELDS                                                                          \
  {.key = "source",                                                                                \
   .type = EBI_FIELD_IGNORED,                                                                      \
   .holds = &ebi_source_form,                                                                      \
   .about = "document, edition and place"},                                                        \
  {                                                                                                \
    .key = "known", .type = EBI_FIELD_IGNORED, .holds = &ebi_known_form,                           \
    .about = "read, quoted, memory or invented"                                                    \
  }
void ebi_entry_read(ebi_reader *reader, const ebi_document *document, const char *name,
                    ebi_entry *entry);

/* Records that memory ran out, at a node. */
void ebi_read_no_memory(ebi_reader *reader, const ebi_yaml *node);

/* A curve {columns: [...], points: [[x, y], ...]}, x rising. The unit written
 * over x is returned where `x_unit` is not NULL. */
bool ebi_read_points(ebi_reader *reader, const ebi_yaml *value, const ebi_column columns[2],
                     const ebi_point **points, size_t *n_points, const char **x_unit);

/* The rows of a curve of n_columns (at most 8), each number in its range. */
bool ebi_read_table(ebi_reader *reader, const ebi_yaml *value, const ebi_column *columns,
                    size_t n_columns, const double **rows, size_t *n_rows,
                    const char *const **units);

/* A file of fittings or valves: one entry that is the file itself, or several
 * under `entries:`. Each item begins with its ebi_entry. */
typedef struct ebi_entry_set {
  ebi_entry entry;
  void *items;
  size_t n_items, item_size;
} ebi_entry_set;

/* Reads such a file; `read` fills in an item whose entry is set already. The
 * fields must hold EBI_ENTRY_FIELDS. NULL when memory ran out. */
typedef void (*ebi_entry_reader)(ebi_reader *reader, const ebi_yaml *mapping, void *item);
const ebi_entry_set *ebi_entries_read(ebi_reader *reader, const ebi_document *document,
                                      const char *name, size_t item_size, ebi_entry_reader read);

/* The item that `value` names. set NULL gives NULL. */
const void *ebi_entries_pick(ebi_reader *asking, const ebi_yaml *value, const ebi_entry_set *set);

const ebi_rule_set *ebi_rules_load(ebi_reader *asking, const ebi_yaml *value);
const ebi_climate *ebi_climate_load(ebi_reader *asking, const ebi_yaml *value);
const ebi_baseline *ebi_baseline_load(ebi_reader *asking, const ebi_yaml *value);

/* Fitting by name. */
const ebi_fitting *ebi_fitting_load(ebi_reader *asking, const ebi_yaml *value);

/* All fittings of the tables that take sound from a duct, sorted by folder, file and place.
 * The errors of their files are told at `value`. */
void ebi_silencers_load(ebi_reader *asking, const ebi_yaml *value,
                        const ebi_fitting *const **silencers, size_t *count);

/* The shortest a flexible duct may lie, of its full length. */
#define EBI_LEAST_STRETCHED 0.4

/* A run's `duct:`: size, family or mapping. Sets sized, duct, duct_family, duct_where; of a
 * family without a size duct.flexible too. */
void ebi_duct_read(ebi_reader *asking, const ebi_yaml *value, ebi_run *run);

/* A list of ducts to choose from. */
void ebi_duct_choices_read(ebi_reader *reader, const ebi_yaml *list, ebi_run *run);

/* Of a duct as it lies, outside [m]. */
double ebi_duct_height(const ebi_duct_size *size);

/* Valve by name in the tables, or read from a mapping of the house's `valves:`. */
const ebi_valve *ebi_valve_load(ebi_reader *asking, const ebi_yaml *value);
const ebi_valve *ebi_valve_read(ebi_reader *reader, const char *name, const ebi_yaml *mapping);

/* A unit by name, or read from the house's mapping. */
const ebi_unit *ebi_unit_load(ebi_reader *asking, const ebi_yaml *value);

/* What these hold in a house file. */
extern const ebi_field ebi_duct_form, ebi_valve_form, ebi_unit_form;

#endif
