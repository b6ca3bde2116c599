/* fit.h - least squares with prior knowledge, through GSL's trust-region solver
 *
 * Unknowns are standardised: each is given in standard deviations from what was
 * expected of it, so that the prior is the sum of their squares and weak data
 * leave an unknown where it was. Residuals of the data are standardised too:
 * (measured - predicted)/standard deviation. */

#ifndef EBI_FIT_H
#define EBI_FIT_H

#include "base/arena.h"
#include "evenbreath.h"

typedef struct ebi_fit_problem {
  size_t n_unknowns, n_data;
  /* Residuals of the data at `unknowns`; other than EB_OK ends the fit. */
  eb_status (*residuals)(const double *unknowns, double *residuals, void *user);
  void *user;
} ebi_fit_problem;

/* In an arena; matrices row by row. */
typedef struct ebi_fit {
  double *unknowns;   /* n_unknowns: the likeliest */
  double *residuals;  /* n_data, there */
  double *jacobian;   /* n_data x n_unknowns, there */
  double *covariance; /* n_unknowns x n_unknowns, of the unknowns */
  double cost;        /* sum of squares of data and prior */
  double log_evidence; /* ln of how likely such data are, but for their own deviations */
  int steps;
} ebi_fit;

/* Starts at `fit->unknowns` where it is not NULL, else at the prior. EB_E_DIVERGED where GSL's
 * steps do not settle. */
EB_MUST_USE eb_status ebi_fit_solve(ebi_arena *arena, const ebi_fit_problem *problem, ebi_fit *fit);

/* Residuals and slopes at fit->unknowns alone, without a fit. */
EB_MUST_USE eb_status ebi_fit_look(ebi_arena *arena, const ebi_fit_problem *problem, ebi_fit *fit);

/* ---- Evidence for other explanations ----
 *
 * With the laws straight about the fit, data of noise 1 and prior deviations 1 have the
 * covariance S = I + J J' about what was expected; r0 is what they lie off. */

typedef struct ebi_evidence {
  size_t n_data;
  double *inverse; /* of S */
  double *lack;    /* r0 */
  double *pull;    /* inverse of S times r0 */
  double chi;      /* r0' S^-1 r0 */
} ebi_evidence;

EB_MUST_USE eb_status ebi_evidence_new(ebi_arena *arena, const ebi_fit_problem *problem,
                                       const ebi_fit *fit, ebi_evidence *evidence);

/* Gain in ln likelihood where r0 is really `other`. */
double ebi_evidence_of_data(const ebi_evidence *evidence, const double *other);

/* Gain in ln likelihood where something unforeseen adds `direction` times an amount of standard
 * deviation `deviation` about `mean`. *amount: the likeliest; may be NULL. */
double ebi_evidence_of_cause(const ebi_evidence *evidence, const double *direction, double mean,
                             double deviation, double *amount);

#endif
