/* context.c - what a context is made of */

#include "base/context.h"

#include <stdlib.h>
#include <string.h>

#ifndef EBI_TABLES_DIR
#define EBI_TABLES_DIR "/usr/local/share/evenbreath" /* configure says the real one */
#endif

struct eb_context {
  eb_allocator allocator;
  ebi_diags *diags;
  ebi_arena *own; /* folder names */
  ebi_arena **arenas;
  size_t n_arenas, arenas_capacity;
  const char **folders;
  size_t n_folders, folders_capacity;
  ebi_arena *tables_arena;
  void *tables;
};

/* One more folder, at place `at` of the list. */
static bool add_folder(eb_context *context, size_t at, const char *name, size_t length) {
  const char *copy = ebi_arena_text_n(context->own, name, length);
  if (copy == NULL || !ebi_arena_grow(context->own, &context->folders, &context->folders_capacity,
                                      context->n_folders, sizeof *context->folders))
    return false;
  const char **place = context->folders + at;
  memmove(place + 1, place, (context->n_folders - at) * sizeof *place);
  *place = copy;
  context->n_folders++;
  return true;
}

static bool add_default_folders(eb_context *context) {
  const char *list = getenv("EVENBREATH_TABLES");
  while (list != NULL && *list != '\0') {
    size_t length = strcspn(list, ":");
    if (length != 0 && !add_folder(context, context->n_folders, list, length))
      return false;
    list += length + (list[length] == ':');
  }
  if (!add_folder(context, context->n_folders, EBI_TABLES_DIR, strlen(EBI_TABLES_DIR)))
    return false;
#ifdef EBI_SOURCE_TABLES
  /* Last, so that a program not yet installed finds those it was built with. */
  return add_folder(context, context->n_folders, EBI_SOURCE_TABLES, strlen(EBI_SOURCE_TABLES));
#else
  return true;
#endif
}

eb_context *eb_context_new(const eb_allocator *allocator) {
  eb_allocator filled = ebi_allocator_filled(allocator);
  eb_context *context = filled.resize(filled.user, NULL, 0, sizeof *context);
  if (context == NULL)
    return NULL;
  memset(context, 0, sizeof *context);
  context->allocator = filled;
  context->diags = ebi_diags_new(&filled);
  context->own = ebi_arena_new(&filled);
  if (context->diags == NULL || context->own == NULL || !add_default_folders(context)) {
    eb_context_free(context);
    return NULL;
  }
  return context;
}

void eb_context_free(eb_context *context) {
  if (context == NULL)
    return;
  eb_allocator allocator = context->allocator;
  for (size_t i = context->n_arenas; i-- > 0;)
    ebi_arena_free(context->arenas[i]);
  allocator.resize(allocator.user, context->arenas,
                   context->arenas_capacity * sizeof *context->arenas, 0);
  ebi_arena_free(context->own);
  ebi_diags_free(context->diags);
  allocator.resize(allocator.user, context, sizeof *context, 0);
}

eb_status eb_tables_search(eb_context *context, const char *folder) {
  if (context == NULL || folder == NULL || *folder == '\0')
    return EB_E_ARGUMENT;
  return add_folder(context, 0, folder, strlen(folder)) ? EB_OK : EB_E_MEMORY;
}

const eb_allocator *ebi_context_allocator(const eb_context *context) {
  return &context->allocator;
}

/* Room for one more arena in the list. */
static bool grow_arenas(eb_context *context) {
  if (context->n_arenas < context->arenas_capacity)
    return true;
  size_t larger = context->arenas_capacity == 0 ? 8 : context->arenas_capacity * 2;
  const size_t size = sizeof *context->arenas;
  ebi_arena **list = context->allocator.resize(context->allocator.user, context->arenas,
                                               context->arenas_capacity * size, larger * size);
  if (list == NULL)
    return false;
  context->arenas = list;
  context->arenas_capacity = larger;
  return true;
}

ebi_arena *ebi_context_arena(eb_context *context) {
  if (!grow_arenas(context))
    return NULL;
  ebi_arena *arena = ebi_arena_new(&context->allocator);
  if (arena != NULL)
    context->arenas[context->n_arenas++] = arena;
  return arena;
}

void ebi_context_release(eb_context *context, ebi_arena *arena) {
  for (size_t i = context->n_arenas; i-- > 0;) {
    if (context->arenas[i] == arena) {
      context->arenas[i] = context->arenas[--context->n_arenas];
      ebi_arena_free(arena);
      return;
    }
  }
}

ebi_diags *ebi_context_diags(const eb_context *context) {
  return context->diags;
}

size_t ebi_context_folders(const eb_context *context, const char *const **folders) {
  *folders = (const char *const *)context->folders;
  return context->n_folders;
}

void **ebi_context_tables(eb_context *context) {
  return &context->tables;
}

ebi_arena *ebi_context_tables_arena(eb_context *context) {
  if (context->tables_arena == NULL)
    context->tables_arena = ebi_context_arena(context);
  return context->tables_arena;
}
