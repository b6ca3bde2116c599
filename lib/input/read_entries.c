/* read_entries.c - table files with one entry or several
 *
 *   table: fittings            table: fittings
 *   title: ...                 title: ...
 *   source: ...                source: ...
 *   known: read                known: read
 *   coefficient: 0.5           entries:
 *                                bend-a: {title: ..., coefficient: 0.3}
 *                                bend-b: {title: ..., coefficient: 0.2, source: ..., known: ...}
 *
 * An entry takes the title, source and known of its file where it has none. */

#include <string.h>

#include "input/load.h"
#include "input/quote.h"
#include "input/tables_find.h"

static ebi_entry *item_at(const ebi_entry_set *set, size_t index) {
  return (ebi_entry *)((char *)set->items + index * set->item_size);
}

static const ebi_field set_fields[] = {EBI_ENTRY_FIELDS,
                                       {.key = "entries",
                                        .type = EBI_FIELD_IGNORED,
                                        .about = "the entries of this file, each by its name"}};

/* One entry of several: what it does not say is the file's. */
static void read_head(ebi_reader *reader, const ebi_yaml_pair *pair, const ebi_entry *file,
                      ebi_entry *entry) {
  const ebi_yaml *title = ebi_yaml_get(pair->value, "title");
  *entry = *file;
  entry->name = pair->key->text;
  entry->where = pair->key->where;
  if (!ebi_table_plain_name(entry->name))
    ebi_read_error(reader, pair->key, "table-name",
                   "\"%s\" cannot be a name: names have letters, digits, '.', '_' and '-', and no "
                   "'.' at the start",
                   ebi_quote(entry->name).text);
  if (title != NULL)
    (void)ebi_read_text(reader, title, &entry->title);
  ebi_read_source(reader, pair->value, &file->source, &entry->source);
}

static void read_several(ebi_reader *reader, const ebi_yaml *entries, ebi_entry_set *set,
                         ebi_entry_reader read) {
  for (size_t i = 0; i < set->n_items; i++) {
    const ebi_yaml_pair *pair = &entries->pairs[i];
    if (pair->value->kind != EBI_YAML_MAPPING) {
      ebi_read_error(reader, pair->value, "kind-wrong", "an entry must be a mapping of its keys");
      continue;
    }
    read_head(reader, pair, &set->entry, item_at(set, i));
    read(reader, pair->value, item_at(set, i));
  }
}

const ebi_entry_set *ebi_entries_read(ebi_reader *reader, const ebi_document *document,
                                      const char *name, size_t item_size, ebi_entry_reader read) {
  const ebi_yaml *entries = ebi_yaml_get(document->root, "entries");
  bool several = entries != NULL && entries->kind == EBI_YAML_MAPPING && entries->count > 0;
  ebi_entry_set *set = EBI_NEW(reader->arena, ebi_entry_set);
  if (set == NULL)
    return NULL;
  set->item_size = item_size;
  set->n_items = several ? entries->count : 1;
  set->items = ebi_arena_array(reader->arena, set->n_items, item_size);
  if (set->items == NULL)
    return NULL;
  ebi_entry_read(reader, document, name, &set->entry);
  if (entries == NULL) {
    *item_at(set, 0) = set->entry;
    read(reader, document->root, set->items);
    return set;
  }
  ebi_fields_read(reader, document->root, "a table with several entries", set_fields,
                  sizeof set_fields / sizeof set_fields[0], set);
  if (several)
    read_several(reader, entries, set, read);
  else
    ebi_read_error(reader, entries, "kind-wrong", "`entries:` is a mapping of names to entries");
  return set;
}

const void *ebi_entries_pick(ebi_reader *asking, const ebi_yaml *value, const ebi_entry_set *set) {
  if (set == NULL)
    return NULL;
  for (size_t i = 0; i < set->n_items; i++)
    if (strcmp(item_at(set, i)->name, value->text) == 0)
      return item_at(set, i);
  if (set->n_items == 1)
    return item_at(set, 0);
  ebi_read_error(asking, value, "table-several",
                 "\"%s\" holds %zu entries: put it into a folder of tables and name one of them, "
                 "such as \"%s\"",
                 ebi_quote(value->text).text, set->n_items, item_at(set, 0)->name);
  return NULL;
}
