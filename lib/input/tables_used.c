/* tables_used.c - which tables a context has read for its houses */

#include <stdlib.h>
#include <string.h>

#include "input/tables_registry.h"

/* The struct of every kind of table begins with its entry. */
static bool describe(ebi_arena *arena, const ebi_kept_table *table, eb_table_info *info) {
  const ebi_entry *entry = table->entry;
  *info = (eb_table_info){.kind = table->kind,
                          .name = ebi_arena_text(arena, entry->name),
                          .title = ebi_arena_text(arena, entry->title),
                          .source = ebi_arena_text(arena, entry->source.text),
                          .known = entry->source.known,
                          .path = ebi_arena_text(arena, table->path)};
  return info->name && info->title && info->source && info->path;
}

static int by_kind_and_path(const void *a, const void *b) {
  const eb_table_info *left = a, *right = b;
  int kinds = strcmp(left->kind, right->kind);
  return kinds ? kinds : strcmp(left->path, right->path);
}

static eb_table_info *describe_all(ebi_arena *arena, const ebi_registry *registry) {
  eb_table_info *infos = EBI_NEW_ARRAY(arena, eb_table_info, registry->n_tables);
  for (size_t i = 0; infos != NULL && i < registry->n_tables; i++)
    if (!describe(arena, &registry->tables[i], &infos[i]))
      return NULL;
  if (infos != NULL && registry->n_tables > 1)
    qsort(infos, registry->n_tables, sizeof *infos, by_kind_and_path);
  return infos;
}

eb_status eb_tables_used(eb_context *context, const eb_table_info **tables, size_t *count) {
  if (context == NULL || tables == NULL || count == NULL)
    return EB_E_ARGUMENT;
  const ebi_registry *registry = ebi_table_registry(context);
  ebi_arena *arena = registry ? ebi_context_arena(context) : NULL;
  if (arena == NULL)
    return EB_E_MEMORY;
  const eb_table_info *infos = describe_all(arena, registry);
  if (infos == NULL) {
    ebi_context_release(context, arena);
    return EB_E_MEMORY;
  }
  *tables = infos;
  *count = registry->n_tables;
  return EB_OK;
}
