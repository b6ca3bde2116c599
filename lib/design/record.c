/* record.c - the completed record of a visit */

#include "design/record.h"

#include <math.h>

#include "base/result.h"
#include "base/text.h"

void eb_record_free(const eb_record *record) {
  ebi_result_free(record);
}

const ebi_datum *ebi_reading_in(const ebi_balance_model *model, const ebi_stand *stand, int side,
                                size_t terminal) {
  for (size_t i = 0; stand != NULL && i < model->n_data; i++) {
    const ebi_datum *datum = &model->data[i];
    if (datum->kind == EBI_DATUM_TERMINAL && &model->stands[datum->stand] == stand &&
        datum->side == side && datum->number == terminal)
      return datum;
  }
  return NULL;
}

static void write_settings(ebi_recording *r) {
  const ebi_balance_model *model = r->model;
  eb_record_setting *settings =
      EBI_NEW_ARRAY(r->arena, eb_record_setting, model->job.n_terminals + 1);
  r->failed = r->failed || settings == NULL;
  if (settings == NULL || model->n_stands == 0)
    return;
  const ebi_stand *last = &model->stands[model->n_stands - 1];
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &model->job.side[s];
    for (size_t t = 0; t < side->n_terminals; t++) {
      const ebi_terminal *terminal = &side->terminals[t];
      const ebi_run *run = side->runs[terminal->run].run;
      if (terminal->loss == NULL)
        continue;
      settings[r->record->n_settings++] =
          (eb_record_setting){.run = run->name,
                              .room = model->house->rooms[terminal->room].name,
                              .valve = run->valve.type->entry.name,
                              .unit = run->valve.type->opening_unit,
                              .opening = last->opening[s][t]};
    }
  }
  r->record->settings = settings;
}

static eb_status fill(ebi_recording *r) {
  eb_status status = ebi_balance_rule_of(r->model, &r->rule);
  if (status != EB_OK)
    return status;
  r->record->rule = r->rule.words;
  r->record->source = r->rule.source;
  r->record->controller = r->model->house->unit->controller;
  ebi_record_levels(r);
  write_settings(r);
  ebi_record_words(r);
  return r->failed ? EB_E_MEMORY : EB_OK;
}

static void explain(const eb_record *record, eb_ledger *ledger) {
  for (size_t i = 0; i < record->n_rows; i++)
    if (!isnan(record->rows[i].measured_m3_s))
      (void)ebi_ledger_step(ledger, EBI_F_READING, NULL, record->rows[i].measured_m3_s, EBI_FLOW,
                            NULL, 0, "flow read at %s, %s, corrected", record->rows[i].run,
                            record->rows[i].level);
  for (size_t l = 0; l < record->n_levels; l++)
    if (!isnan(record->levels[l].imbalance))
      (void)ebi_ledger_step(ledger, EBI_F_IMBALANCE, NULL, record->levels[l].imbalance, EBI_RATIO,
                            NULL, 0, "imbalance at %s, as read", record->levels[l].name);
}

eb_status eb_record_write(eb_context *context, const eb_house *house, const eb_rates *rates,
                          const eb_readings *readings, const eb_record_options *options,
                          eb_ledger *ledger, const eb_record **record) {
  if (context == NULL || house == NULL || rates == NULL || readings == NULL || record == NULL ||
      (options != NULL && options->size < sizeof options->size) ||
      rates->n_rooms != house->n_rooms || rates->n_levels == 0)
    return EB_E_ARGUMENT;
  eb_record *result = EBI_NEW_RESULT(context, eb_record);
  ebi_balance_model model = {
      .context = context, .house = house, .rates = rates, .readings = readings};
  eb_status status = result == NULL ? EB_E_MEMORY : ebi_balance_begin(&model);
  if (status == EB_OK)
    status = ebi_balance_data(&model);
  if (status == EB_OK) {
    ebi_recording r = {.model = &model, .arena = ebi_result_arena(result), .record = result};
    status = fill(&r);
  }
  if (status == EB_OK) {
    explain(result, ledger);
    status = ebi_diags_failed(context) ? EB_E_MEMORY : ebi_ledger_status(ledger);
  }
  if (result != NULL)
    ebi_balance_end(&model);
  if (status == EB_OK)
    *record = result;
  else
    ebi_result_free(result);
  return status;
}
