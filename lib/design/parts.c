/* parts.c - the order list of a house, from its entry point */

#include "design/parts.h"

#include "base/result.h"

#define WASTE 0.10 /* where the house does not say; common practice, no source */

void eb_parts_free(const eb_parts *parts) {
  ebi_result_free(parts);
}

/* ---- Start and end ---- */

static eb_status start(ebi_order *order, eb_parts **result) {
  ebi_ducts_job *job = &order->job;
  *result = EBI_NEW_RESULT(job->context, eb_parts);
  job->scratch = *result != NULL ? ebi_context_arena(job->context) : NULL;
  if (job->scratch == NULL)
    return EB_E_MEMORY;
  job->arena = ebi_result_arena(*result);
  order->waste = job->house->parts.waste.given ? job->house->parts.waste.value : WASTE;
  return ebi_ducts_sides(job);
}

static eb_status end(ebi_order *order, eb_status status, const eb_parts *result,
                     const eb_parts **parts) {
  ebi_ducts_job *job = &order->job;
  if (job->scratch != NULL)
    ebi_context_release(job->context, job->scratch);
  if (status == EB_OK)
    *parts = result;
  else
    ebi_result_free(result);
  return status;
}

/* ---- What must be there ---- */

static eb_status check(const ebi_order *order) {
  const eb_house *house = order->job.house;
  eb_context *context = order->job.context;
  size_t before = ebi_diag_errors(context);
  if (house->n_runs == 0)
    ebi_diag(context, EB_ERROR, "ducts-missing", house->where, NULL,
             "the house describes no ducts, so there is nothing to order: write \"ducts:\" with "
             "its runs");
  for (size_t i = 0; i < house->n_runs; i++)
    if (!house->runs[i].sized)
      ebi_diag(context, EB_ERROR, "duct-unsized", house->runs[i].duct_where, NULL,
               "run %s names no size of duct, only \"%s\": choose it with \"evenbreath ducts\" "
               "first",
               house->runs[i].name, house->runs[i].duct_family);
  return ebi_diag_errors(context) == before ? EB_OK : EB_E_INPUT;
}

/* ---- The list ---- */

/* Both sides are looked at before giving up, so that all problems come at once. */
static eb_status lay_out(ebi_order *order) {
  eb_status worst = EB_OK;
  for (int s = 0; s < EBI_SIDES; s++) {
    eb_status status = ebi_side_lay_out(&order->job.side[s]);
    if (status == EB_E_MEMORY)
      return status;
    worst = status != EB_OK ? status : worst;
  }
  return worst;
}

static eb_status order_side(ebi_order *order, ebi_side *side) {
  eb_status status = EB_OK;
  for (size_t i = 0; i < side->n_runs; i++)
    ebi_order_run(order, &side->runs[i]);
  for (size_t m = 0; m < side->n_meetings && status == EB_OK; m++)
    status = ebi_order_meeting(order, side, &side->meetings[m]);
  return status;
}

static void order_unit(ebi_order *order) {
  const ebi_unit *unit = order->job.house->unit;
  if (unit != NULL)
    ebi_order_add(order, &(ebi_wanted){.kind = EBI_PART_UNIT,
                                       .item = unit->entry.name,
                                       .quantity = 1,
                                       .where = "unit",
                                       .price = ebi_price_entry(unit->price, &unit->entry)});
}

static eb_status list(ebi_order *order, eb_parts *parts) {
  eb_context *context = order->job.context;
  eb_status status = check(order);
  if (status == EB_OK)
    status = lay_out(order);
  order_unit(order);
  for (int s = 0; s < EBI_SIDES && status == EB_OK; s++)
    status = order_side(order, &order->job.side[s]);
  if (status != EB_OK)
    return status;
  size_t before = ebi_diag_errors(context);
  status = order->no_memory ? EB_E_MEMORY : ebi_order_finish(order, parts);
  if (status == EB_OK && ebi_diag_errors(context) != before)
    status = EB_E_INPUT; /* a price in the wrong unit */
  if (status == EB_OK)
    ebi_order_notes(order, parts);
  return status == EB_OK && ebi_diags_failed(context) ? EB_E_MEMORY : status;
}

eb_status eb_parts_list(eb_context *context, const eb_house *house, const eb_parts_options *options,
                        eb_ledger *ledger, const eb_parts **parts) {
  if (context == NULL || house == NULL || parts == NULL ||
      (options != NULL && options->size < sizeof options->size))
    return EB_E_ARGUMENT;
  ebi_order order = {.job = {.context = context, .house = house, .ledger = ledger}};
  eb_parts *result = NULL;
  eb_status status = start(&order, &result);
  if (status == EB_OK)
    status = list(&order, result);
  return end(&order, status, result, parts);
}
