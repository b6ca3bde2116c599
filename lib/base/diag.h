/* diag.h - problems and findings: recorded, never printed */

#ifndef EBI_DIAG_H
#define EBI_DIAG_H

#include "base/arena.h"
#include "evenbreath.h"

/* A place in a text. file NULL: nowhere. */
typedef struct ebi_where {
  const char *file;
  int line, column;
} ebi_where;

typedef struct ebi_diags ebi_diags;

ebi_diags *ebi_diags_new(const eb_allocator *allocator);
void ebi_diags_free(ebi_diags *diags);

/* Records one; all text is copied. After `EBI_DIAG_MAX` errors further ones
 * are dropped and one last line says so. Memory running out is remembered
 * (ebi_diags_failed). */
#define EBI_DIAG_MAX 100
#if defined __GNUC__
__attribute__((format(printf, 6, 7)))
#endif
void ebi_diag(eb_context *context, eb_severity severity, const char *code, ebi_where where,
              const char *source, const char *format, ...);

/* How many errors there are; the mark of a reading pass is the count before. */
size_t ebi_diag_errors(const eb_context *context);

/* What was only tried says nothing: takes back all that was recorded since the mark. */
typedef struct ebi_diags_mark {
  size_t count, errors;
} ebi_diags_mark;
ebi_diags_mark ebi_diags_here(const eb_context *context);
void ebi_diags_take_back(eb_context *context, ebi_diags_mark mark);

/* True once a diagnostic could not be recorded. */
bool ebi_diags_failed(const eb_context *context);

#endif
