/* tables_shelf.c - what one folder of tables holds */

#include "input/tables_find.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "input/load.h"
#include "input/tables_registry.h"

const char *const ebi_table_kinds[] = {"baselines", "climates", "ducts",  "fittings",
                                       "rules",     "units",    "valves", NULL};

static const char ending[] = ".yaml";

bool ebi_table_plain_name(const char *name) {
  const char *plain = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-";
  size_t length = strlen(name);
  return length > 0 && length <= EBI_TABLE_NAME_BYTES && name[0] != '.' &&
         strspn(name, plain) == length;
}

/* Length of a file's name without its ending; 0 where it is no table file. */
static size_t stem_length(const char *file) {
  size_t length = strlen(file), tail = sizeof ending - 1;
  return length > tail && strcmp(file + length - tail, ending) == 0 ? length - tail : 0;
}

const char *ebi_table_base_name(ebi_arena *arena, const char *path) {
  const char *slash = strrchr(path, '/');
  const char *file = slash ? slash + 1 : path;
  size_t length = stem_length(file);
  return ebi_arena_text_n(arena, file, length ? length : strlen(file));
}

/* What a shelf is being made of. */
typedef struct making {
  eb_context *context;
  ebi_arena *arena;
  const char *kind;
  const char **names; /* of files, without ending */
  size_t n_names, names_capacity;
  ebi_table_file *files;
  size_t n_files;
} making;

static int by_text(const void *a, const void *b) {
  return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static bool add_name(making *m, const char *file) {
  size_t length = stem_length(file);
  if (length == 0)
    return true;
  char *name = ebi_arena_text_n(m->arena, file, length);
  if (name == NULL)
    return false;
  if (!ebi_table_plain_name(name))
    return true;
  if (!ebi_arena_grow(m->arena, &m->names, &m->names_capacity, m->n_names, sizeof *m->names))
    return false;
  m->names[m->n_names++] = name;
  return true;
}

/* The names of the table files in a folder, sorted. */
static eb_status list_folder(making *m, const char *path) {
  DIR *folder = opendir(path);
  if (folder == NULL && errno == ENOMEM)
    return EB_E_MEMORY;
  if (folder == NULL && (errno == ENOENT || errno == ENOTDIR))
    return EB_OK;
  if (folder == NULL) {
    ebi_diag(m->context, EB_ERROR, "file", (ebi_where){path, 0, 0}, NULL,
             "the folder of tables cannot be read");
    return EB_E_FILE;
  }
  bool memory = true;
  for (struct dirent *entry; memory && (entry = readdir(folder)) != NULL;)
    memory = add_name(m, entry->d_name);
  closedir(folder);
  if (!memory)
    return EB_E_MEMORY;
  if (m->n_names > 1)
    qsort(m->names, m->n_names, sizeof *m->names, by_text);
  return EB_OK;
}

/* The names in the mapping under `key`, each after `before` and a dash. */
static bool add_members(ebi_arena *arena, const ebi_yaml *mapping, const char *before,
                        ebi_table_file *file) {
  if (mapping == NULL || mapping->kind != EBI_YAML_MAPPING || mapping->count == 0)
    return true;
  const char **members = EBI_NEW_ARRAY(arena, const char *, mapping->count);
  if (members == NULL)
    return false;
  for (size_t i = 0; i < mapping->count; i++) {
    const char *key = mapping->pairs[i].key->text;
    members[i] = before ? ebi_arena_format(arena, "%s-%s", before, key) : key;
    if (members[i] == NULL)
      return false;
  }
  file->members = members;
  file->n_members = mapping->count;
  return true;
}

static bool silences(const ebi_yaml *mapping) {
  return mapping->kind == EBI_YAML_MAPPING && ebi_yaml_get(mapping, "insertion_loss") != NULL;
}

/* Notes which names take sound from a duct, so that not all tables need be read for a cure. */
static bool note_silencers(ebi_arena *arena, const ebi_yaml *root, ebi_table_file *file) {
  const ebi_yaml *entries = ebi_yaml_get(root, "entries");
  bool several = entries != NULL && entries->kind == EBI_YAML_MAPPING;
  size_t most = several ? entries->count : 1;
  const char **names = EBI_NEW_ARRAY(arena, const char *, most);
  if (names == NULL)
    return false;
  if (!several && silences(root))
    names[file->n_silencers++] = file->entry.name;
  for (size_t i = 0; several && i < entries->count; i++)
    if (silences(entries->pairs[i].value))
      names[file->n_silencers++] = file->members[i];
  file->silencers = names;
  return true;
}

/* Reads what a list needs of one file. EB_E_TABLE: it is left out. */
static eb_status read_file(making *m, const char *path, const char *name, ebi_table_file *file) {
  ebi_document document = {0};
  const char *bytes;
  size_t length, mark = ebi_diag_errors(m->context);
  eb_status status = ebi_file_read(m->context, m->arena, path, &bytes, &length);
  if (status == EB_OK)
    status = ebi_document_parse(m->context, m->arena, path, bytes, length, &document);
  if (status)
    return status == EB_E_MEMORY ? status : EB_E_TABLE;
  ebi_reader reader = {m->context, m->arena, path, NULL};
  file->path = path;
  ebi_entry_read(&reader, &document, name, &file->entry);
  if (!add_members(m->arena, ebi_yaml_get(document.root, "sizes"), name, file) ||
      (file->n_members == 0 &&
       !add_members(m->arena, ebi_yaml_get(document.root, "entries"), NULL, file)) ||
      !note_silencers(m->arena, document.root, file))
    return EB_E_MEMORY;
  if (ebi_diags_failed(m->context))
    return EB_E_MEMORY;
  return ebi_diag_errors(m->context) == mark ? EB_OK : EB_E_TABLE;
}

/* Reads every file; *whole is false where one was left out. */
static eb_status read_files(making *m, const char *folder, bool *whole) {
  m->files = EBI_NEW_ARRAY(m->arena, ebi_table_file, m->n_names);
  if (m->files == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < m->n_names; i++) {
    const char *path = ebi_arena_format(m->arena, "%s/%s%s", folder, m->names[i], ending);
    if (path == NULL)
      return EB_E_MEMORY;
    eb_status status = EB_E_TABLE;
    if (!ebi_table_told(m->context, path))
      status = read_file(m, path, m->names[i], &m->files[m->n_files]);
    if (status == EB_E_MEMORY)
      return status;
    if (status == EB_OK)
      m->n_files++;
    else
      *whole = false;
  }
  return EB_OK;
}

/* Members first, so that a file's own name goes before them; of two files that
 * hold the same name the first one keeps it. */
static bool index_names(const making *m, ebi_names *names) {
  for (size_t i = m->n_files; i-- > 0;)
    for (size_t j = 0; j < m->files[i].n_members; j++)
      if (!ebi_names_set(names, m->arena, m->files[i].members[j], i))
        return false;
  for (size_t i = 0; i < m->n_files; i++)
    if (!ebi_names_set(names, m->arena, m->files[i].entry.name, i))
      return false;
  return true;
}

static eb_status make_shelf(making *m, const char *folder, ebi_shelf *shelf) {
  const char *path = ebi_arena_format(m->arena, "%s/%s", folder, m->kind);
  eb_status status = path ? list_folder(m, path) : EB_E_MEMORY;
  if (status == EB_OK)
    status = read_files(m, path, &shelf->whole);
  if (status)
    return status;
  shelf->files = m->files;
  shelf->n_files = m->n_files;
  return index_names(m, &shelf->names) ? EB_OK : EB_E_MEMORY;
}

/* Made before and still good: one with a file left out is made anew. */
static const ebi_kept_shelf *kept(eb_context *context, ebi_registry *registry, const char *folder,
                                  const char *kind) {
  for (ebi_kept_shelf **place = &registry->shelves; *place != NULL; place = &(*place)->next) {
    ebi_kept_shelf *one = *place;
    if (strcmp(one->folder, folder) != 0 || strcmp(one->kind, kind) != 0)
      continue;
    if (one->shelf.whole)
      return one;
    *place = one->next;
    ebi_context_release(context, one->arena);
    return NULL;
  }
  return NULL;
}

static eb_status make_kept(eb_context *context, ebi_arena *arena, const char *folder,
                           const char *kind, ebi_kept_shelf **made) {
  ebi_kept_shelf *one = EBI_NEW(arena, ebi_kept_shelf);
  if (one == NULL)
    return EB_E_MEMORY;
  making m = {.context = context, .arena = arena, .kind = kind};
  one->arena = arena;
  one->shelf.whole = true;
  one->folder = ebi_arena_text(arena, folder);
  one->kind = ebi_arena_text(arena, kind);
  if (one->folder == NULL || one->kind == NULL)
    return EB_E_MEMORY;
  *made = one;
  return make_shelf(&m, folder, &one->shelf);
}

eb_status ebi_table_shelf(eb_context *context, const char *folder, const char *kind,
                          const ebi_shelf **shelf) {
  ebi_registry *registry = ebi_table_registry(context);
  if (registry == NULL)
    return EB_E_MEMORY;
  const ebi_kept_shelf *before = kept(context, registry, folder, kind);
  if (before != NULL) {
    *shelf = &before->shelf;
    return EB_OK;
  }
  ebi_arena *arena = ebi_context_arena(context);
  if (arena == NULL)
    return EB_E_MEMORY;
  ebi_kept_shelf *made;
  eb_status status = make_kept(context, arena, folder, kind, &made);
  if (status) {
    ebi_context_release(context, arena);
    return status;
  }
  made->next = registry->shelves;
  registry->shelves = made;
  *shelf = &made->shelf;
  return EB_OK;
}
