/* sobol.h - quasi-random samples of independent inputs, and what each does to a result
 *
 * Sobol's sequence of GSL, always from its start: the same samples on every run. */

#ifndef EBI_SOBOL_H
#define EBI_SOBOL_H

#include "evenbreath.h"

#define EBI_SOBOL_INPUTS 20 /* at most: GSL has 40 dimensions, and two sets are drawn */

/* The result for inputs in standard deviations from their middle. */
typedef struct ebi_model {
  double (*call)(const double *deviations, void *data);
  void *data;
  size_t n_inputs;
} ebi_model;

typedef struct ebi_spread {
  double low, high; /* quantiles */
  double variance;
  double effect[EBI_SOBOL_INPUTS]; /* half of what one input from -1 to +1 changes */
  double share[EBI_SOBOL_INPUTS];  /* of the variance that one input alone makes: first-order
                                      Sobol index, 0..1; 0 where nothing varies */
} ebi_spread;

/* Inputs are normal, cut at -3 and +3 deviations. The model is asked first in the middle and twice
 * for each input, then n (n_inputs + 2) times; `work` has twice n (n_inputs + 2) places. The
 * quantiles are `tail` and 1 - tail. EB_E_DIVERGED where a result is not finite, EB_E_ARGUMENT,
 * EB_E_MEMORY. */
EB_MUST_USE eb_status ebi_sobol_spread(ebi_model model, size_t n, double tail, double *work,
                                       ebi_spread *spread);

#endif
