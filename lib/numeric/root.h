/* root.h - one bracketed root, through GSL's Brent solver */

#ifndef EBI_ROOT_H
#define EBI_ROOT_H

#include "evenbreath.h"

typedef struct ebi_function {
  double (*call)(double x, void *data);
  void *data;
} ebi_function;

/* Root of f in [low, high] to `tolerance` in x (absolute, > 0). A zero at an
 * end is that end. EB_E_NO_SOLUTION where the ends have one sign,
 * EB_E_DIVERGED where a value is not finite or 200 steps do not do,
 * EB_E_MEMORY. */
EB_MUST_USE eb_status ebi_root(ebi_function f, double low, double high, double tolerance,
                               double *root);

/* The same of a function that rises; where it has no zero between the ends, as rounding may have
 * it, the end nearer to one. NAN where ebi_root fails. */
double ebi_root_rising(ebi_function f, double low, double high, double tolerance);

#endif
