/* balance.c - from readings to settings: the entry point */

#include "design/balance.h"

#include <math.h>

#include "base/result.h"

#define CONFIDENCE 0.95

void eb_balance_free(const eb_balance *balance) {
  ebi_result_free(balance);
}

/* What is aimed at depends on how sure the flows are, and the other way round; twice will do. */
static eb_status set(ebi_found *found) {
  ebi_balance_model *model = found->model;
  const ebi_stand *now = model->n_data > 0 ? &found->now : NULL;
  double over_supply = 0.0;
  eb_status status = EB_OK;
  for (int pass = 0; status == EB_OK && pass < 2; pass++) {
    status = ebi_balance_set(model, now, over_supply, &found->turns);
    if (status == EB_OK)
      status = ebi_balance_look(model, &found->fit, &found->rule, &found->turns.level[model->level],
                                (const bool *const *)found->turns.move, &found->future);
    double wanted = ebi_balance_over_supply(model, &found->rule, &found->future);
    if (now == NULL || fabs(wanted - over_supply) < 1e-3)
      break; /* before the visit the doubt is the drawing's: readings will mend it, not more air */
    over_supply = wanted;
  }
  return status;
}

static eb_status find(ebi_found *found) {
  ebi_balance_model *model = found->model;
  eb_status status = ebi_balance_begin(model);
  if (status == EB_OK && model->readings != NULL)
    status = ebi_balance_data(model);
  if (status == EB_OK)
    status = ebi_balance_rule_of(model, &found->rule);
  if (status == EB_OK)
    status = ebi_balance_suspect(model, &found->fit, &found->suspicions);
  if (status == EB_OK)
    status = ebi_balance_now(model, &found->now);
  if (status == EB_OK)
    status = ebi_balance_as_read(model, &found->now, &found->read);
  if (status == EB_OK && model->n_data > 0)
    status = ebi_balance_look(model, &found->fit, &found->rule, &found->now, NULL, &found->outlook);
  return status == EB_OK ? set(found) : status;
}

static bool arguments_good(const eb_context *context, const eb_house *house, const eb_rates *rates,
                           const eb_balance_options *options, const eb_balance *const *balance) {
  if (context == NULL || house == NULL || rates == NULL || balance == NULL)
    return false;
  if (options != NULL && options->size < sizeof options->size)
    return false;
  return rates->n_rooms == house->n_rooms && rates->n_levels > 0;
}

eb_status eb_balance_advise(eb_context *context, const eb_house *house, const eb_rates *rates,
                            const eb_readings *readings, const eb_balance_options *options,
                            eb_ledger *ledger, const eb_balance **balance) {
  if (!arguments_good(context, house, rates, options, balance))
    return EB_E_ARGUMENT;
  eb_balance *result = EBI_NEW_RESULT(context, eb_balance);
  ebi_balance_model model = {
      .context = context, .house = house, .rates = rates, .readings = readings};
  ebi_found found = {.model = &model, .confidence = CONFIDENCE};
  if (options != NULL && options->confidence > 0.0)
    found.confidence = options->confidence;
  eb_status status = result == NULL ? EB_E_MEMORY : find(&found);
  if (status == EB_OK)
    status = ebi_balance_write(&found, ebi_result_arena(result), result);
  if (status == EB_OK)
    status = ebi_balance_explain(&found, result, ledger);
  if (status == EB_OK && ebi_diags_failed(context))
    status = EB_E_MEMORY;
  if (result != NULL)
    ebi_balance_end(&model);
  if (status == EB_OK)
    *balance = result;
  else
    ebi_result_free(result);
  return status;
}
