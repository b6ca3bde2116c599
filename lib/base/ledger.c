/* ledger.c - an append-only account of how each number came about */

#include "base/ledger.h"

#include <stdarg.h>
#include <string.h>

#include "base/context.h"

static const eb_formula catalogue[] = {
#define ROW(name, id, formula, validity, source, known)                                            \
  [name] = {EBI_GROUP, id, formula, validity, source, known},
#include "base/catalogue.def"
#undef ROW
};

/* A step as it is kept: the value in SI, shown late. */
typedef struct entry {
  ebi_formula formula;
  ebi_cite cite; /* id NULL: the catalogue's own */
  double si;
  ebi_kind kind;
  const char *what;
  const size_t *inputs;
  size_t n_inputs;
  const char *file;
  int line;
} entry;

struct eb_ledger {
  eb_context *context;
  ebi_arena *arena;
  entry *entries;
  size_t count, capacity;
  bool failed;
};

const eb_formula *ebi_formula_get(ebi_formula formula) {
  return &catalogue[formula];
}

const eb_formula *eb_formulas(size_t *count) {
  *count = EBI_FORMULA_COUNT - 1;
  return catalogue + 1; /* an input, the first, is no formula */
}

eb_ledger *eb_ledger_new(eb_context *context) {
  ebi_arena *arena = ebi_context_arena(context);
  if (arena == NULL)
    return NULL;
  eb_ledger *ledger = EBI_NEW(arena, eb_ledger);
  if (ledger == NULL) {
    ebi_context_release(context, arena);
    return NULL;
  }
  ledger->context = context;
  ledger->arena = arena;
  return ledger;
}

void eb_ledger_free(eb_ledger *ledger) {
  if (ledger != NULL)
    ebi_context_release(ledger->context, ledger->arena);
}

size_t eb_ledger_count(const eb_ledger *ledger) {
  return ledger == NULL ? 0 : ledger->count;
}

eb_step eb_ledger_step(const eb_ledger *ledger, size_t index) {
  if (ledger == NULL || index >= ledger->count)
    return (eb_step){.id = "", .formula = "", .source = "", .known = "", .what = "", .unit = ""};
  const entry *from = &ledger->entries[index];
  const eb_formula *info = ebi_formula_get(from->formula);
  bool own = from->cite.id == NULL;
  ebi_shown shown = ebi_quantity_show(from->si, from->kind);
  return (eb_step){
      .id = own ? info->id : from->cite.id,
      .formula = info->formula,
      .source = own ? info->source : from->cite.source,
      .known = own ? info->known : from->cite.known,
      .what = from->what,
      .value = shown.value,
      .unit = shown.unit,
      .inputs = from->inputs,
      .n_inputs = from->n_inputs,
      .file = from->file,
      .line = from->line,
  };
}

static ebi_step append(eb_ledger *ledger, entry fresh, const char *format, va_list arguments) {
  fresh.what = ebi_arena_format_list(ledger->arena, format, arguments);
  if (fresh.what == NULL || !ebi_arena_grow(ledger->arena, &ledger->entries, &ledger->capacity,
                                            ledger->count, sizeof fresh)) {
    ledger->failed = true;
    return EBI_NO_STEP;
  }
  ledger->entries[ledger->count] = fresh;
  return ledger->count++;
}

/* The file's name again: the one of the step before, where it is the same. */
static const char *copy_file(eb_ledger *ledger, const char *file) {
  const char *last = ledger->count == 0 ? NULL : ledger->entries[ledger->count - 1].file;
  if (last != NULL && strcmp(last, file) == 0)
    return last;
  const char *copy = ebi_arena_text(ledger->arena, file);
  ledger->failed = ledger->failed || copy == NULL;
  return copy;
}

ebi_step ebi_ledger_input(eb_ledger *ledger, ebi_where where, double si, ebi_kind kind,
                          const char *format, ...) {
  if (ledger == NULL)
    return EBI_NO_STEP;
  entry fresh = {.formula = EBI_F_INPUT, .si = si, .kind = kind};
  if (where.file != NULL) {
    fresh.file = copy_file(ledger, where.file);
    fresh.line = where.line;
  }
  va_list arguments;
  va_start(arguments, format);
  ebi_step step = append(ledger, fresh, format, arguments);
  va_end(arguments);
  return step;
}

/* The inputs that were recorded, copied. */
static bool copy_inputs(eb_ledger *ledger, entry *fresh, const ebi_step *inputs, size_t n_inputs) {
  if (n_inputs == 0)
    return true;
  size_t *copy = EBI_NEW_ARRAY(ledger->arena, size_t, n_inputs);
  if (copy == NULL)
    return false;
  for (size_t i = 0; i < n_inputs; i++)
    if (inputs[i] < ledger->count) /* EBI_NO_STEP is beyond any count */
      copy[fresh->n_inputs++] = inputs[i];
  fresh->inputs = copy;
  return true;
}

ebi_step ebi_ledger_step(eb_ledger *ledger, ebi_formula formula, const ebi_cite *cite, double si,
                         ebi_kind kind, const ebi_step *inputs, size_t n_inputs, const char *format,
                         ...) {
  if (ledger == NULL)
    return EBI_NO_STEP;
  entry fresh = {.formula = formula, .si = si, .kind = kind};
  if (cite != NULL)
    fresh.cite = *cite;
  if (!copy_inputs(ledger, &fresh, inputs, n_inputs)) {
    ledger->failed = true;
    return EBI_NO_STEP;
  }
  va_list arguments;
  va_start(arguments, format);
  ebi_step step = append(ledger, fresh, format, arguments);
  va_end(arguments);
  return step;
}

eb_status ebi_ledger_status(const eb_ledger *ledger) {
  return ledger != NULL && ledger->failed ? EB_E_MEMORY : EB_OK;
}
