/* load.c - tables found by name and read once for a context
 *
 * A file that was read without an error stays, with an arena of its own, until
 * the context ends. One with errors leaves nothing behind but its diagnostics;
 * it is read again the next time, once those have been cleared. */

#include "input/load.h"

#include <string.h>

#include "input/quote.h"
#include "input/tables_registry.h"

/* ---- From what is written to a file ------------------------------------ */

static const char *singular(const char *kind) {
  static const char *const words[][2] = {{"baselines", "baseline"}, {"climates", "climate"},
                                         {"ducts", "duct"},         {"fittings", "fitting"},
                                         {"rules", "rule set"},     {"units", "unit"},
                                         {"valves", "valve"}};
  for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
    if (strcmp(words[i][0], kind) == 0)
      return words[i][1];
  return kind;
}

static bool ends(const char *text, const char *ending) {
  size_t length = strlen(text), tail = strlen(ending);
  return length > tail && strcmp(text + length - tail, ending) == 0;
}

static bool is_path(const char *text) {
  return strchr(text, '/') != NULL || ends(text, ".yaml") || ends(text, ".csv");
}

/* "the folders a, b and c" is long: the list as it is searched. */
static const char *folder_list(ebi_reader *asking, const char *kind) {
  const char *const *folders;
  size_t n_folders = ebi_context_folders(asking->context, &folders);
  const char *list = "";
  for (size_t i = 0; list != NULL && i < n_folders; i++)
    list = ebi_arena_format(asking->arena, "%s%s%s/%s", list, i ? ", " : "", folders[i], kind);
  return list;
}

static void unknown_name(ebi_reader *asking, const ebi_yaml *value, const char *kind) {
  const char *nearest, *list = NULL;
  eb_status status = ebi_table_nearest(asking->context, asking->arena, kind, value->text, &nearest);
  if (status == EB_OK && nearest == NULL)
    list = folder_list(asking, kind);
  if (status == EB_E_MEMORY || (nearest == NULL && list == NULL))
    ebi_read_no_memory(asking, value);
  else if (nearest != NULL)
    ebi_read_error(asking, value, "table-unknown",
                   "there is no %s called \"%s\"; did you mean \"%s\"?", singular(kind),
                   ebi_quote(value->text).text, nearest);
  else
    ebi_read_error(asking, value, "table-unknown",
                   "there is no %s called \"%s\"; looked in %s (`evenbreath tables %s` lists those "
                   "there are)",
                   singular(kind), ebi_quote(value->text).text, list, kind);
}

/* The file that `value` names. NULL with an error recorded. */
static const char *resolve(ebi_reader *asking, const ebi_yaml *value, const char *kind) {
  const char *path = NULL;
  if (value->kind != EBI_YAML_SCALAR || value->length == 0 ||
      strlen(value->text) != value->length) {
    ebi_read_error(asking, value, "table-name", "here stands the name of a %s", singular(kind));
  } else if (ends(value->text, ".csv") && strcmp(kind, "climates") != 0) {
    ebi_read_error(asking, value, "table-name", "a %s is read from YAML, not from CSV",
                   singular(kind));
  } else if (is_path(value->text)) {
    path = ebi_path_beside(asking->arena, asking->file, value->text);
    if (path == NULL)
      ebi_read_no_memory(asking, value);
  } else if (!ebi_table_plain_name(value->text)) {
    ebi_read_error(asking, value, "table-name",
                   "\"%s\" is not the name of a %s: names have letters, digits, '.', '_' and '-', "
                   "and no '.' at the start",
                   ebi_quote(value->text).text, singular(kind));
  } else {
    eb_status status = ebi_table_find(asking->context, kind, value->text, &path);
    if (status == EB_E_MEMORY)
      ebi_read_no_memory(asking, value);
    else if (path == NULL)
      unknown_name(asking, value, kind);
  }
  return path;
}

/* ---- Reading a file ---------------------------------------------------- */

/* `table:` must be the folder's name where it is given. */
static bool kind_fits(ebi_reader *reader, const ebi_document *document, const char *kind) {
  const ebi_yaml *given = ebi_yaml_get(document->root, "table");
  if (given == NULL || (given->kind == EBI_YAML_SCALAR && strcmp(given->text, kind) == 0))
    return true;
  ebi_read_error(
      reader, given, "table-kind", "\"%s\": this file is used as a %s, so `table: %s` is due",
      given->kind == EBI_YAML_SCALAR ? ebi_quote(given->text).text : "...", singular(kind), kind);
  return false;
}

static eb_status parse(eb_context *context, ebi_arena *arena, const char *path,
                       ebi_document *document) {
  const char *bytes;
  size_t length;
  eb_status status = ebi_file_read(context, arena, path, &bytes, &length);
  return status ? status : ebi_document_parse(context, arena, path, bytes, length, document);
}

/* Reads the file into the arena; NULL after an error. What is not YAML is left to `read`, with no
 * document. */
static const void *read_table(eb_context *context, ebi_arena *arena, const char *path,
                              const char *kind, ebi_table_reader read, eb_status *status) {
  const char *kept_path = ebi_arena_text(arena, path);
  const char *name = ebi_table_base_name(arena, path);
  size_t mark = ebi_diag_errors(context);
  bool bare = ends(path, ".csv");
  ebi_document document = {0};
  *status = kept_path && name ? EB_OK : EB_E_MEMORY;
  if (*status == EB_OK && !bare)
    *status = parse(context, arena, kept_path, &document);
  if (*status)
    return NULL;
  ebi_reader reader = {context, arena, kept_path, NULL};
  const void *entry = NULL;
  if (bare || kind_fits(&reader, &document, kind))
    entry = read(&reader, bare ? NULL : &document, name);
  bool wrong = ebi_diag_errors(context) != mark;
  if (ebi_diags_failed(context) || (entry == NULL && !wrong))
    *status = EB_E_MEMORY;
  else if (wrong)
    *status = EB_E_TABLE;
  return *status ? NULL : entry;
}

/* ---- The cache --------------------------------------------------------- */

/* Copies what was recorded since there were `mark` diagnostics. */
static bool keep_said(const eb_context *context, ebi_arena *arena, size_t mark,
                      ebi_kept_table *table) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  eb_diagnostic *said = EBI_NEW_ARRAY(arena, eb_diagnostic, count - mark);
  for (size_t i = mark; said != NULL && i < count; i++) {
    eb_diagnostic *one = &said[i - mark];
    *one = all[i];
    one->code = ebi_arena_text(arena, all[i].code);
    one->message = ebi_arena_text(arena, all[i].message);
    one->source = all[i].source ? ebi_arena_text(arena, all[i].source) : NULL;
    one->file = all[i].file ? ebi_arena_text(arena, all[i].file) : NULL;
    if (!one->code || !one->message || (all[i].source && !one->source) ||
        (all[i].file && !one->file))
      return false;
  }
  table->said = said;
  table->n_said = count - mark;
  return said != NULL;
}

static bool is_said(const eb_context *context, const eb_diagnostic *one) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    if (all[i].line == one->line && strcmp(all[i].code, one->code) == 0 &&
        strcmp(all[i].message, one->message) == 0)
      return true;
  return false;
}

/* Each house that names a table is told of it, not only the first of a context. */
static void say_again(eb_context *context, const ebi_kept_table *table) {
  for (size_t i = 0; i < table->n_said; i++) {
    const eb_diagnostic *one = &table->said[i];
    if (!is_said(context, one))
      ebi_diag(context, one->severity, one->code, (ebi_where){one->file, one->line, one->column},
               one->source, "%s", one->message);
  }
}

static bool keep(ebi_registry *registry, ebi_arena *arena, const char *key, const char *kind,
                 const char *path, ebi_kept_table table) {
  if (!ebi_arena_grow(registry->arena, &registry->tables, &registry->tables_capacity,
                      registry->n_tables, sizeof *registry->tables))
    return false;
  table.kind = ebi_arena_text(arena, kind);
  table.path = ebi_arena_text(arena, path);
  const char *name = ebi_arena_text(arena, key);
  if (table.kind == NULL || table.path == NULL || name == NULL ||
      !ebi_names_set(&registry->loaded, registry->arena, name, registry->n_tables))
    return false;
  registry->tables[registry->n_tables++] = table;
  return true;
}

static const void *load_afresh(eb_context *context, ebi_registry *registry, const char *key,
                               const char *path, const char *kind, ebi_table_reader read,
                               eb_status *status) {
  ebi_arena *arena = ebi_context_arena(context);
  *status = EB_E_MEMORY;
  if (arena == NULL)
    return NULL;
  size_t mark;
  eb_diagnostics(context, &mark);
  const void *entry = read_table(context, arena, path, kind, read, status);
  ebi_kept_table table = {.entry = entry};
  if (entry != NULL && (!keep_said(context, arena, mark, &table) ||
                        !keep(registry, arena, key, kind, path, table))) {
    *status = EB_E_MEMORY;
    entry = NULL;
  }
  if (entry == NULL)
    ebi_context_release(context, arena);
  return entry;
}

/* The entry of a file, read now or before. */
static const void *entry_of(ebi_reader *asking, const char *path, const char *kind,
                            ebi_table_reader read, eb_status *status) {
  ebi_registry *registry = ebi_table_registry(asking->context);
  const char *key = ebi_arena_format(asking->arena, "%s:%s", kind, path);
  *status = registry && key ? EB_OK : EB_E_MEMORY;
  if (*status)
    return NULL;
  size_t at = ebi_names_find(&registry->loaded, key);
  if (at != EBI_NO_NAME) {
    say_again(asking->context, &registry->tables[at]);
    return registry->tables[at].entry;
  }
  *status = EB_E_TABLE;
  if (ebi_table_told(asking->context, path))
    return NULL;
  return load_afresh(asking->context, registry, key, path, kind, read, status);
}

const void *ebi_table_load(ebi_reader *asking, const ebi_yaml *value, const char *kind,
                           ebi_table_reader read) {
  const char *path = resolve(asking, value, kind);
  if (path == NULL)
    return NULL;
  eb_status status;
  const void *entry = entry_of(asking, path, kind, read, &status);
  if (status == EB_E_MEMORY)
    ebi_read_no_memory(asking, value);
  else if (entry == NULL)
    ebi_read_error(asking, value, "table-broken",
                   "the %s \"%s\" cannot be used: see what is said of %s", singular(kind),
                   ebi_quote(value->text).text, path);
  return entry;
}

void ebi_entry_read(ebi_reader *reader, const ebi_document *document, const char *name,
                    ebi_entry *entry) {
  const ebi_yaml *title = ebi_yaml_get(document->root, "title");
  entry->name = name;
  entry->title = "";
  entry->where = document->root->where;
  if (title == NULL)
    ebi_read_error(reader, document->root, "key-missing",
                   "a table needs `title:`, a few words that say what it is");
  else
    (void)ebi_read_text(reader, title, &entry->title);
  ebi_read_source(reader, document->root, NULL, &entry->source);
}
