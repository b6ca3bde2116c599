/* methods.h - what a case row can ask for
 *
 * A method is a name, the count of its numbers and a function on plain SI
 * numbers. To add one: put it into the array of its group's methods_<group>.c
 * (last entry all zero); a new group is also a line METHODS(<group>) in
 * methods.def and a source in files.am. */

#ifndef METHODS_H
#define METHODS_H

#include <stdio.h>

#include "evenbreath.h"

#define CASE_IN_MAX 512
#define CASE_OUT_MAX 64
#define CASE_ANY (-1) /* n_in: as many as the row's columns */

typedef struct case_method {
  const char *name; /* "friction.factor" */
  int n_in, n_out;
  /* Other than EB_OK is what a `fail` row expects. */
  eb_status (*run)(const double *in, int n_in, double *out);
} case_method;

#define METHODS(group) extern const case_method case_methods_##group[];
#include "methods.def"
#undef METHODS

/* NULL where there is none of that name. */
const case_method *case_method_find(const char *name);

/* All names, one a line. */
void case_methods_list(FILE *to);

#endif
