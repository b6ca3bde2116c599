/* oom_house.h - everything the library does, once, for the tests of memory
 * running out */

#ifndef OOM_HOUSE_H
#define OOM_HOUSE_H

#include "evenbreath.h"

typedef struct oom_case {
  const char *name;
  const char *path; /* of a house, below the source folder; NULL: text */
  const char *text;
  const char *override; /* or NULL */
  bool calculate;       /* rates, ducts and energy too */
  bool balance;         /* readings, advice and record */
  eb_status wanted;     /* with memory enough */
} oom_case;

extern const oom_case oom_cases[];
extern const size_t n_oom_cases;

/* Runs the case in a context of its own. EB_E_MEMORY where the context could
 * not be made. Aborts where a failure left something in an output. */
eb_status oom_run(const oom_case *one, const eb_allocator *allocator);

#endif
