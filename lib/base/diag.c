/* diag.c - problems and findings: recorded, never printed */

#include "base/diag.h"

#include <stdarg.h>
#include <string.h>

#include "base/context.h"

struct ebi_diags {
  eb_allocator allocator;
  ebi_arena *arena; /* of the texts; made with the first */
  eb_diagnostic *items;
  size_t count, capacity;
  size_t errors; /* those dropped counted too */
  bool failed;
};

ebi_diags *ebi_diags_new(const eb_allocator *allocator) {
  eb_allocator filled = ebi_allocator_filled(allocator);
  ebi_diags *diags = filled.resize(filled.user, NULL, 0, sizeof *diags);
  if (diags == NULL)
    return NULL;
  memset(diags, 0, sizeof *diags);
  diags->allocator = filled;
  return diags;
}

void ebi_diags_free(ebi_diags *diags) {
  if (diags == NULL)
    return;
  eb_allocator allocator = diags->allocator;
  ebi_arena_free(diags->arena);
  allocator.resize(allocator.user, diags, sizeof *diags, 0);
}

static void clear(ebi_diags *diags) {
  ebi_arena_free(diags->arena);
  eb_allocator allocator = diags->allocator;
  memset(diags, 0, sizeof *diags);
  diags->allocator = allocator;
}

/* The file's name again: the one of the diagnostic before, where it is the same. */
static const char *copy_file(ebi_diags *diags, const char *file) {
  const char *last = diags->count == 0 ? NULL : diags->items[diags->count - 1].file;
  if (last != NULL && strcmp(last, file) == 0)
    return last;
  return ebi_arena_text(diags->arena, file);
}

static bool record(ebi_diags *diags, eb_severity severity, const char *code, ebi_where where,
                   const char *source, const char *format, va_list arguments) {
  if (diags->arena == NULL)
    diags->arena = ebi_arena_new(&diags->allocator);
  if (diags->arena == NULL)
    return false;
  eb_diagnostic item = {.severity = severity};
  item.code = ebi_arena_text(diags->arena, code);
  item.message = ebi_arena_format_list(diags->arena, format, arguments);
  if (item.code == NULL || item.message == NULL)
    return false;
  if (source != NULL && (item.source = ebi_arena_text(diags->arena, source)) == NULL)
    return false;
  if (where.file != NULL) {
    item.file = copy_file(diags, where.file);
    item.line = where.line;
    item.column = where.column;
    if (item.file == NULL)
      return false;
  }
  if (!ebi_arena_grow(diags->arena, &diags->items, &diags->capacity, diags->count, sizeof item))
    return false;
  diags->items[diags->count++] = item;
  return true;
}

void ebi_diag(eb_context *context, eb_severity severity, const char *code, ebi_where where,
              const char *source, const char *format, ...) {
  ebi_diags *diags = ebi_context_diags(context);
  if (severity == EB_ERROR && ++diags->errors > EBI_DIAG_MAX) {
    if (diags->errors == EBI_DIAG_MAX + 1)
      ebi_diag(context, EB_NOTE, "too-many-errors", (ebi_where){where.file, 0, 0}, NULL,
               "there are more than %d errors; the further ones are not listed", EBI_DIAG_MAX);
    return;
  }
  va_list arguments;
  va_start(arguments, format);
  if (!record(diags, severity, code, where, source, format, arguments))
    diags->failed = true;
  va_end(arguments);
}

size_t ebi_diag_errors(const eb_context *context) {
  return ebi_context_diags(context)->errors;
}

ebi_diags_mark ebi_diags_here(const eb_context *context) {
  const ebi_diags *diags = ebi_context_diags(context);
  return (ebi_diags_mark){diags->count, diags->errors};
}

void ebi_diags_take_back(eb_context *context, ebi_diags_mark mark) {
  ebi_diags *diags = ebi_context_diags(context);
  diags->count = mark.count < diags->count ? mark.count : diags->count;
  diags->errors = mark.errors < diags->errors ? mark.errors : diags->errors;
}

bool ebi_diags_failed(const eb_context *context) {
  return ebi_context_diags(context)->failed;
}

const eb_diagnostic *eb_diagnostics(const eb_context *context, size_t *count) {
  const ebi_diags *diags = ebi_context_diags(context);
  *count = diags->count;
  return diags->items;
}

void eb_diagnostics_clear(eb_context *context) {
  clear(ebi_context_diags(context));
}
