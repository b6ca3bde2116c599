/* tables_list.c - what tables there are, and the text of each */

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "input/quote.h"
#include "input/tables_registry.h"

typedef struct table_list {
  eb_context *context;
  ebi_arena *arena;
  eb_table_info *items;
  size_t count, capacity;
  bool whole; /* every file could be read */
} table_list;

static size_t count_kinds(void) {
  size_t count = 0;
  while (ebi_table_kinds[count] != NULL)
    count++;
  return count;
}

static bool known_kind(const char *kind) {
  for (size_t i = 0; i < count_kinds(); i++)
    if (strcmp(ebi_table_kinds[i], kind) == 0)
      return true;
  return false;
}

static eb_status unknown_kind(eb_context *context, const char *kind) {
  const char *nearest = ebi_text_nearest(kind, ebi_table_kinds, count_kinds());
  ebi_diag(context, EB_ERROR, "table-kind", (ebi_where){NULL, 0, 0}, NULL,
           "\"%s\" is no kind of table%s%s%s; there are baselines, climates, ducts, fittings, "
           "rules, units and valves",
           ebi_quote(kind).text, nearest ? "; did you mean \"" : "", nearest ? nearest : "",
           nearest ? "\"?" : "");
  return EB_E_TABLE;
}

static bool listed(const table_list *list, const char *kind, const char *name) {
  for (size_t i = 0; i < list->count; i++)
    if (strcmp(list->items[i].kind, kind) == 0 && strcmp(list->items[i].name, name) == 0)
      return true;
  return false;
}

/* The members' names, copied. */
static const char *const *copy_names(ebi_arena *arena, const char *const *names, size_t count) {
  const char **copies = EBI_NEW_ARRAY(arena, const char *, count);
  for (size_t i = 0; copies != NULL && i < count; i++)
    if ((copies[i] = ebi_arena_text(arena, names[i])) == NULL)
      return NULL;
  return copies;
}

/* A copy, since a shelf may be made anew. */
static bool add(table_list *list, const char *kind, const ebi_table_file *file) {
  const ebi_entry *entry = &file->entry;
  if (!ebi_arena_grow(list->arena, &list->items, &list->capacity, list->count, sizeof *list->items))
    return false;
  eb_table_info *info = &list->items[list->count];
  *info = (eb_table_info){.kind = kind,
                          .name = ebi_arena_text(list->arena, entry->name),
                          .title = ebi_arena_text(list->arena, entry->title),
                          .source = ebi_arena_text(list->arena, entry->source.text),
                          .known = entry->source.known,
                          .path = ebi_arena_text(list->arena, file->path)};
  info->members = copy_names(list->arena, file->members, file->n_members);
  info->n_members = file->n_members;
  if (!info->name || !info->title || !info->source || !info->path || !info->members)
    return false;
  list->count++;
  return true;
}

/* The tables of one kind; of two with one name the first one found. */
static eb_status list_kind(table_list *list, const char *kind) {
  const char *const *folders;
  size_t n_folders = ebi_context_folders(list->context, &folders);
  for (size_t i = 0; i < n_folders; i++) {
    const ebi_shelf *shelf;
    eb_status status = ebi_table_shelf(list->context, folders[i], kind, &shelf);
    if (status)
      return status;
    list->whole = list->whole && shelf->whole;
    for (size_t j = 0; j < shelf->n_files; j++)
      if (!listed(list, kind, shelf->files[j].entry.name) && !add(list, kind, &shelf->files[j]))
        return EB_E_MEMORY;
  }
  return EB_OK;
}

static int by_kind_and_name(const void *a, const void *b) {
  const eb_table_info *left = a, *right = b;
  int kinds = strcmp(left->kind, right->kind);
  return kinds ? kinds : strcmp(left->name, right->name);
}

static eb_status fill(table_list *list, const char *kind) {
  for (size_t i = 0; ebi_table_kinds[i] != NULL; i++) {
    if (kind != NULL && strcmp(kind, ebi_table_kinds[i]) != 0)
      continue;
    eb_status status = list_kind(list, ebi_table_kinds[i]);
    if (status)
      return status;
  }
  if (list->count > 1)
    qsort(list->items, list->count, sizeof *list->items, by_kind_and_name);
  return list->whole ? EB_OK : EB_E_TABLE;
}

eb_status eb_tables_list(eb_context *context, const char *kind, const eb_table_info **tables,
                         size_t *count) {
  if (context == NULL || tables == NULL || count == NULL)
    return EB_E_ARGUMENT;
  if (kind != NULL && !known_kind(kind))
    return unknown_kind(context, kind);
  table_list list = {.context = context, .arena = ebi_context_arena(context), .whole = true};
  if (list.arena == NULL)
    return EB_E_MEMORY;
  eb_status status = fill(&list, kind);
  if (status) {
    ebi_context_release(context, list.arena);
    return status;
  }
  *tables = list.items;
  *count = list.count;
  return EB_OK;
}

static eb_status unknown_table(eb_context *context, ebi_arena *arena, const char *kind,
                               const char *name) {
  const char *nearest;
  eb_status status = ebi_table_nearest(context, arena, kind, name, &nearest);
  if (status)
    return status;
  ebi_diag(context, EB_ERROR, "table-unknown", (ebi_where){NULL, 0, 0}, NULL,
           "there is no table \"%s\" among the %s%s%s%s", ebi_quote(name).text, kind,
           nearest ? "; did you mean \"" : "", nearest ? nearest : "", nearest ? "\"?" : "");
  return EB_E_TABLE;
}

static eb_status read_text(eb_context *context, ebi_arena *arena, const char *kind,
                           const char *name, const char **text, size_t *length) {
  const char *path = NULL;
  eb_status status = EB_OK;
  if (ebi_table_plain_name(name))
    status = ebi_table_find(context, kind, name, &path);
  if (status)
    return status;
  if (path == NULL)
    return unknown_table(context, arena, kind, name);
  return ebi_file_read(context, arena, path, text, length);
}

eb_status eb_table_text(eb_context *context, const char *kind, const char *name, const char **text,
                        size_t *length) {
  if (context == NULL || kind == NULL || name == NULL || text == NULL || length == NULL)
    return EB_E_ARGUMENT;
  if (!known_kind(kind))
    return unknown_kind(context, kind);
  ebi_arena *arena = ebi_context_arena(context);
  if (arena == NULL)
    return EB_E_MEMORY;
  const char *bytes;
  size_t size;
  eb_status status = read_text(context, arena, kind, name, &bytes, &size);
  if (status) {
    ebi_context_release(context, arena);
    return status;
  }
  *text = bytes;
  *length = size;
  return EB_OK;
}
