/* compare.c - houses side by side: the entry point */

#include "design/compare.h"

#include <math.h>

#include "base/result.h"
#include "base/text.h"

void eb_comparison_free(const eb_comparison *comparison) {
  ebi_result_free(comparison);
}

void ebi_compare_name(ebi_comparing *c, ebi_compare_names *names, const char *name) {
  if (ebi_names_find(&names->known, name) != EBI_NO_NAME)
    return;
  if (ebi_arena_grow(c->scratch, &names->items, &names->capacity, names->count,
                     sizeof *names->items) &&
      ebi_names_set(&names->known, c->scratch, name, names->count))
    names->items[names->count++] = name;
  else
    c->failed = true;
}

static void gather_levels(ebi_comparing *c) {
  ebi_compare_names names = {0};
  for (size_t i = 0; i < c->n; i++)
    for (size_t l = 0; c->inputs[i].rates != NULL && l < c->inputs[i].rates->n_levels; l++)
      ebi_compare_name(c, &names, c->inputs[i].rates->levels[l]);
  c->levels = names.items;
  c->n_levels = names.count;
}

static void gather_currency(ebi_comparing *c) {
  c->currency = c->inputs[0].house->currency;
  for (size_t i = 1; i < c->n; i++)
    if (!ebi_text_equal(c->currency, c->inputs[i].house->currency))
      c->currencies_differ = true;
  if (!c->currencies_differ)
    return;
  c->currency = "";
  ebi_diag(c->context, EB_NOTE, "compare-currency", (ebi_where){0}, NULL,
           "the files are not in one currency: their money is not compared");
}

static eb_status compare(ebi_comparing *c) {
  gather_levels(c);
  gather_currency(c);
  c->bill = EBI_NEW_ARRAY(c->scratch, double, c->n);
  if (c->failed || c->bill == NULL)
    return EB_E_MEMORY;
  ebi_compare_air(c);
  ebi_compare_fans(c);
  ebi_compare_sound(c);
  ebi_compare_ducts(c);
  ebi_compare_year(c);
  ebi_compare_money(c);
  ebi_compare_findings(c);
  ebi_compare_differences(c);
  if (c->failed || ebi_diags_failed(c->context))
    return EB_E_MEMORY;
  return ebi_ledger_status(c->ledger);
}

/* The comparison in an arena of its own; NULL on failure. */
static eb_comparison *start(ebi_comparing *c) {
  eb_comparison *result = EBI_NEW_RESULT(c->context, eb_comparison);
  c->scratch = result != NULL ? ebi_context_arena(c->context) : NULL;
  c->arena = result != NULL ? ebi_result_arena(result) : NULL;
  return result;
}

static bool inputs_good(const eb_compare_input *inputs, size_t count) {
  for (size_t i = 0; inputs != NULL && i < count; i++) {
    const eb_compare_input *in = &inputs[i];
    bool rates = in->rates != NULL, ducts = in->ducts != NULL;
    if (in->name == NULL || in->house == NULL || (in->findings == NULL && in->n_findings > 0) ||
        (rates && in->rates->n_rooms != in->house->n_rooms) ||
        (ducts &&
         (in->ducts->n_rooms != in->house->n_rooms || in->ducts->n_runs != in->house->n_runs)))
      return false;
  }
  return inputs != NULL && count > 0;
}

eb_status eb_compare_houses(eb_context *context, const eb_compare_input *inputs, size_t n_inputs,
                            const eb_compare_options *options, eb_ledger *ledger,
                            const eb_comparison **comparison) {
  if (context == NULL || comparison == NULL || !inputs_good(inputs, n_inputs) ||
      (options != NULL && options->size < sizeof options->size))
    return EB_E_ARGUMENT;
  ebi_comparing c = {.context = context, .ledger = ledger, .inputs = inputs, .n = n_inputs};
  eb_comparison *result = start(&c);
  eb_status status = c.scratch == NULL ? EB_E_MEMORY : compare(&c);
  if (status == EB_OK) {
    *result = (eb_comparison){.n_houses = c.n,
                              .rows = c.rows,
                              .n_rows = c.n_rows,
                              .differences = c.differences,
                              .n_differences = c.n_differences};
    *comparison = result;
  } else {
    ebi_result_free(result);
  }
  if (c.scratch != NULL)
    ebi_context_release(context, c.scratch);
  return status;
}
