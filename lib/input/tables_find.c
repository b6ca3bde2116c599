/* tables_find.c - from the name of a table to its file */

#include "input/tables_find.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"
#include "input/tables_registry.h"

ebi_registry *ebi_table_registry(eb_context *context) {
  void **slot = ebi_context_tables(context);
  if (*slot != NULL)
    return *slot;
  ebi_arena *arena = ebi_context_tables_arena(context);
  ebi_registry *registry = arena ? EBI_NEW(arena, ebi_registry) : NULL;
  if (registry == NULL)
    return NULL;
  registry->arena = arena;
  *slot = registry;
  return registry;
}

const char *ebi_path_beside(ebi_arena *arena, const char *file, const char *path) {
  const char *slash = file ? strrchr(file, '/') : NULL;
  if (path[0] == '/' || slash == NULL)
    return ebi_arena_text(arena, path);
  return ebi_arena_format(arena, "%.*s/%s", (int)(slash - file), file, path);
}

bool ebi_table_told(const eb_context *context, const char *path) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    if (all[i].severity == EB_ERROR && all[i].file != NULL && strcmp(all[i].file, path) == 0)
      return true;
  return false;
}

static bool is_file(const char *path) {
  struct stat about;
  return stat(path, &about) == 0 && S_ISREG(about.st_mode);
}

/* FOLDER/KIND/NAME.yaml, or the file of that folder that holds the name. */
static eb_status find_in(eb_context *context, ebi_arena *arena, const char *folder,
                         const char *kind, const char *name, const char **path) {
  const char *own = ebi_arena_format(arena, "%s/%s/%s.yaml", folder, kind, name);
  if (own == NULL)
    return EB_E_MEMORY;
  if (is_file(own)) {
    *path = own;
    return EB_OK;
  }
  const ebi_shelf *shelf;
  eb_status status = ebi_table_shelf(context, folder, kind, &shelf);
  if (status)
    return status;
  size_t at = ebi_names_find(&shelf->names, name);
  *path = at == EBI_NO_NAME ? NULL : shelf->files[at].path;
  return EB_OK;
}

static eb_status search(eb_context *context, ebi_arena *arena, const char *kind, const char *name,
                        const char **path) {
  const char *const *folders;
  size_t n_folders = ebi_context_folders(context, &folders);
  for (size_t i = 0; i < n_folders; i++) {
    eb_status status = find_in(context, arena, folders[i], kind, name, path);
    if (status || *path != NULL)
      return status;
  }
  return EB_OK;
}

/* Keeps what was found until a folder is added to the search. */
static bool remember(ebi_registry *registry, const char *key, const char *path, const char **kept) {
  const char *name = ebi_arena_text(registry->arena, key);
  *kept = ebi_arena_text(registry->arena, path);
  if (name == NULL || *kept == NULL ||
      !ebi_arena_grow(registry->arena, &registry->found, &registry->found_capacity,
                      registry->n_found, sizeof *registry->found) ||
      !ebi_names_set(&registry->paths, registry->arena, name, registry->n_found))
    return false;
  registry->found[registry->n_found++] = *kept;
  return true;
}

static void forget_where_folders_changed(eb_context *context, ebi_registry *registry) {
  const char *const *folders;
  size_t n_folders = ebi_context_folders(context, &folders);
  if (n_folders != registry->n_folders)
    registry->paths = (ebi_names){0};
  registry->n_folders = n_folders;
}

/* Looks in the folders and keeps the answer under `key`. */
static eb_status find_afresh(eb_context *context, ebi_registry *registry, const char *key,
                             const char *kind, const char *name, const char **path) {
  ebi_arena *scratch = ebi_context_arena(context);
  if (scratch == NULL)
    return EB_E_MEMORY;
  eb_status status = search(context, scratch, kind, name, path);
  if (status == EB_OK && *path != NULL && !remember(registry, key, *path, path))
    status = EB_E_MEMORY;
  ebi_context_release(context, scratch);
  return status;
}

eb_status ebi_table_find(eb_context *context, const char *kind, const char *name,
                         const char **path) {
  char key[EBI_TABLE_NAME_BYTES + 32];
  ebi_registry *registry = ebi_table_registry(context);
  if (registry == NULL)
    return EB_E_MEMORY;
  forget_where_folders_changed(context, registry);
  snprintf(key, sizeof key, "%s/%s", kind, name);
  size_t at = ebi_names_find(&registry->paths, key);
  *path = at == EBI_NO_NAME ? NULL : registry->found[at];
  return *path != NULL ? EB_OK : find_afresh(context, registry, key, kind, name, path);
}

/* Puts `other` into *best where it is nearer to `name`. */
static eb_status keep_nearer(ebi_arena *arena, const char *name, const char *other,
                             const char **best) {
  if (other == NULL ||
      (*best != NULL && ebi_text_distance(name, *best) <= ebi_text_distance(name, other)))
    return EB_OK;
  const char *copy = ebi_arena_text(arena, other);
  if (copy == NULL)
    return EB_E_MEMORY;
  *best = copy;
  return EB_OK;
}

static eb_status nearest_on(ebi_arena *arena, const ebi_shelf *shelf, const char *name,
                            const char **best) {
  eb_status status = EB_OK;
  for (size_t i = 0; status == EB_OK && i < shelf->n_files; i++) {
    const ebi_table_file *file = &shelf->files[i];
    status = keep_nearer(arena, name, ebi_text_nearest(name, &file->entry.name, 1), best);
    if (status == EB_OK)
      status =
          keep_nearer(arena, name, ebi_text_nearest(name, file->members, file->n_members), best);
  }
  return status;
}

eb_status ebi_table_nearest(eb_context *context, ebi_arena *arena, const char *kind,
                            const char *name, const char **best) {
  const char *const *folders;
  size_t n_folders = ebi_context_folders(context, &folders);
  eb_status status = EB_OK;
  *best = NULL;
  for (size_t i = 0; status == EB_OK && i < n_folders; i++) {
    const ebi_shelf *shelf;
    status = ebi_table_shelf(context, folders[i], kind, &shelf);
    if (status == EB_OK)
      status = nearest_on(arena, shelf, name, best);
  }
  return status;
}
