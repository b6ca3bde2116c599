/* load_silencers.c - the silencers there are to choose from */

#include <string.h>

#include "base/context.h"
#include "input/load.h"
#include "input/tables_find.h"

typedef struct silencer_names {
  const char **items;
  size_t count, capacity;
} silencer_names;

static bool has_name(const silencer_names *names, const char *name) {
  for (size_t i = 0; i < names->count; i++)
    if (strcmp(names->items[i], name) == 0)
      return true;
  return false;
}

/* Copied, since a shelf may be made anew while they are read. */
static bool add_name(ebi_arena *arena, silencer_names *names, const char *name) {
  if (has_name(names, name))
    return true;
  if (!ebi_arena_grow(arena, &names->items, &names->capacity, names->count, sizeof *names->items))
    return false;
  names->items[names->count] = ebi_arena_text(arena, name);
  return names->items[names->count++] != NULL;
}

static bool add_folder(const ebi_reader *reader, const char *folder, silencer_names *names) {
  const ebi_shelf *shelf;
  eb_status status = ebi_table_shelf(reader->context, folder, "fittings", &shelf);
  if (status != EB_OK)
    return status != EB_E_MEMORY; /* what else is wrong is said already */
  for (size_t i = 0; i < shelf->n_files; i++)
    for (size_t j = 0; j < shelf->files[i].n_silencers; j++)
      if (!add_name(reader->arena, names, shelf->files[i].silencers[j]))
        return false;
  return true;
}

static bool list_names(const ebi_reader *reader, silencer_names *names) {
  const char *const *folders;
  size_t n_folders = ebi_context_folders(reader->context, &folders);
  for (size_t i = 0; i < n_folders; i++)
    if (!add_folder(reader, folders[i], names))
      return false;
  return true;
}

void ebi_silencers_load(ebi_reader *asking, const ebi_yaml *value,
                        const ebi_fitting *const **silencers, size_t *count) {
  silencer_names names = {0};
  const ebi_fitting **found = NULL;
  if (list_names(asking, &names))
    found = EBI_NEW_ARRAY(asking->arena, const ebi_fitting *, names.count);
  if (found == NULL) {
    ebi_read_no_memory(asking, value);
    return;
  }
  *count = 0;
  for (size_t i = 0; i < names.count; i++) {
    ebi_yaml name = {.kind = EBI_YAML_SCALAR,
                     .where = value->where,
                     .text = names.items[i],
                     .length = strlen(names.items[i])};
    found[*count] = ebi_fitting_load(asking, &name);
    *count += found[*count] != NULL && found[*count]->insertion_loss.given;
  }
  *silencers = found;
}
