/* ledger.h - an append-only account of how each number came about
 *
 * Every function takes a ledger that may be NULL and then costs nothing.
 * Inputs are indices of earlier steps, so the account has no cycle. The
 * formulas stand in one catalogue (catalogue.def). */

#ifndef EBI_LEDGER_H
#define EBI_LEDGER_H

#include "base/diag.h"
#include "base/quantity.h"
#include "evenbreath.h"

typedef enum ebi_formula {
#define ROW(name, slug, formula, validity, source, known) name,
#include "base/catalogue.def"
#undef ROW
  EBI_FORMULA_COUNT
} ebi_formula;

const eb_formula *ebi_formula_get(ebi_formula formula);

typedef size_t ebi_step;           /* index of a step */
#define EBI_NO_STEP ((ebi_step)-1) /* no ledger, or not recorded; ignored as an input */

/* A rule or table row as the source of a step, in place of the catalogue's. */
typedef struct ebi_cite {
  const char *id, *source, *known; /* must outlive the ledger */
} ebi_cite;

/* A value the user or a table gave. */
ebi_step ebi_ledger_input(eb_ledger *ledger, ebi_where where, double si, ebi_kind kind,
                          const char *format, ...)
#if defined __GNUC__
    __attribute__((format(printf, 5, 6)))
#endif
    ;

/* A calculated value. cite NULL: the catalogue's own source. */
ebi_step ebi_ledger_step(eb_ledger *ledger, ebi_formula formula, const ebi_cite *cite, double si,
                         ebi_kind kind, const ebi_step *inputs, size_t n_inputs, const char *format,
                         ...)
#if defined __GNUC__
    __attribute__((format(printf, 8, 9)))
#endif
    ;

/* EB_E_MEMORY once a step could not be recorded, else EB_OK. NULL is EB_OK. */
eb_status ebi_ledger_status(const eb_ledger *ledger);

#endif
