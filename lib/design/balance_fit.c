/* balance_fit.c - the likeliest house behind all rounds of readings */

#include "design/balance.h"

static eb_status residuals(const double *unknowns, double *lacks, void *user) {
  ebi_balance_model *model = user;
  eb_status status = ebi_balance_predict(model, unknowns);
  for (size_t i = 0; status == EB_OK && i < model->n_data; i++)
    lacks[i] = (model->data[i].value - model->predicted[i]) / model->data[i].deviation;
  return status;
}

ebi_fit_problem ebi_balance_problem(ebi_balance_model *model) {
  return (ebi_fit_problem){.n_unknowns = model->n_unknowns,
                           .n_data = model->n_data,
                           .residuals = residuals,
                           .user = model};
}

/* Starts where the last fit of the same unknowns ended; leaves the network as found. */
eb_status ebi_balance_fit(ebi_balance_model *model, ebi_fit *fit) {
  ebi_fit_problem problem = ebi_balance_problem(model);
  eb_status status = ebi_fit_solve(model->scratch, &problem, fit);
  if (status == EB_E_DIVERGED)
    ebi_diag(model->context, EB_ERROR, "not-converged", model->readings->where, NULL,
             "no house was found that explains the readings: the fit does not settle; look for a "
             "reading that cannot be true");
  if (status == EB_OK)
    ebi_balance_take(model, fit->unknowns);
  return status;
}
