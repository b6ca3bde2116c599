/* ducts.c - the duct calculation from its entry points */

#include <stddef.h>

#include "base/result.h"
#include "design/sizing.h"

void eb_ducts_free(const eb_ducts *ducts) {
  ebi_result_free(ducts);
}

/* ---- Start and end of a job ---- */

static void side_start(ebi_ducts_job *job, int number) {
  bool supply = number == EBI_SUPPLY_SIDE;
  job->side[number] = (ebi_side){.job = job,
                                 .supply = supply,
                                 .name = supply ? "supply" : "extract",
                                 .inlet = supply ? EB_OUTDOOR : EB_EXTRACT,
                                 .outlet = supply ? EB_SUPPLY : EB_EXHAUST,
                                 .rooms = supply ? EB_SUPPLY : EB_EXTRACT,
                                 .outdoors = supply ? EB_OUTDOOR : EB_EXHAUST,
                                 .fan_factor = 1.0,
                                 .index = EBI_NONE,
                                 .runner_up = EBI_NONE};
}

eb_status ebi_ducts_sides(ebi_ducts_job *job) {
  const eb_house *house = job->house;
  for (int s = 0; s < EBI_SIDES; s++)
    side_start(job, s);
  for (size_t r = 0; r < house->n_rooms; r++)
    if (!ebi_names_set(&job->rooms, job->scratch, house->rooms[r].name, r))
      return EB_E_MEMORY;
  for (size_t j = 0; j < house->n_junctions; j++)
    if (!ebi_names_set(&job->junctions, job->scratch, house->junctions[j].name, j))
      return EB_E_MEMORY;
  return EB_OK;
}

eb_status ebi_ducts_job_start(ebi_ducts_job *job) {
  job->least_factor = 1.0;
  job->result = EBI_NEW_RESULT(job->context, eb_ducts);
  job->scratch = job->result != NULL ? ebi_context_arena(job->context) : NULL;
  if (job->scratch == NULL)
    return EB_E_MEMORY;
  job->arena = ebi_result_arena(job->result);
  return ebi_ducts_sides(job);
}

eb_status ebi_ducts_job_end(ebi_ducts_job *job, eb_status status, const eb_ducts **ducts) {
  ebi_network_free(job->network);
  if (job->scratch != NULL)
    ebi_context_release(job->context, job->scratch);
  if (status == EB_OK && ducts != NULL)
    *ducts = job->result;
  else
    ebi_result_free(job->result);
  return status;
}

/* ---- Building ---- */

static eb_status number_terminals(ebi_ducts_job *job) {
  const eb_house *house = job->house;
  job->terminal_order = EBI_NEW_ARRAY(job->scratch, size_t, house->n_runs);
  job->runs = EBI_NEW_ARRAY(job->scratch, const ebi_run *, house->n_runs);
  if (job->terminal_order == NULL || job->runs == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < house->n_runs; i++) {
    const ebi_run *run = job->runs[i] = &house->runs[i];
    const char *place = run->air == EB_SUPPLY ? run->to : run->air == EB_EXTRACT ? run->from : "";
    bool terminal = ebi_names_find(&job->rooms, place) != EBI_NO_NAME;
    job->terminal_order[i] = terminal ? job->n_terminals++ : EBI_NONE;
  }
  return EB_OK;
}

/* Both sides are looked at before giving up, so that all problems come at once. */
static eb_status lay_out(ebi_ducts_job *job) {
  eb_status worst = EB_OK;
  for (int s = 0; s < EBI_SIDES; s++) {
    eb_status status = ebi_side_lay_out(&job->side[s]);
    if (status == EB_OK)
      status = ebi_side_add_terminals(&job->side[s]);
    if (status == EB_E_MEMORY)
      return status;
    worst = status != EB_OK ? status : worst;
  }
  return worst != EB_OK ? worst : ebi_ducts_check_rooms(job);
}

static eb_status assemble(ebi_ducts_job *job) {
  eb_status status = ebi_house_start(job);
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
    if (job->side[s].n_terminals > 0)
      status = ebi_side_assemble(&job->side[s]);
  return status == EB_OK ? ebi_house_assemble(job) : status;
}

eb_status ebi_ducts_job_build(ebi_ducts_job *job) {
  eb_status status = ebi_ducts_check(job);
  if (status == EB_OK)
    status = number_terminals(job);
  if (status == EB_OK)
    status = lay_out(job);
  if (status != EB_OK)
    return status;
  ebi_ducts_air(job);
  status = ebi_ducts_size(job);
  return status == EB_OK ? assemble(job) : status;
}

/* ---- The two modes ---- */

size_t ebi_ducts_set_level(const ebi_ducts_job *job) {
  size_t level = ebi_ducts_rate_level(job, job->house->set_level);
  return level == EBI_NONE ? 0 : level;
}

static eb_status design(ebi_ducts_job *job) {
  eb_status status = ebi_ducts_balance(job, ebi_ducts_set_level(job));
  for (size_t l = 0; status == EB_OK && l < job->result->n_levels; l++)
    status = ebi_ducts_run_level(job, l);
  return status;
}

static eb_status operate(ebi_ducts_job *job, const eb_setting *settings) {
  eb_status status = EB_OK;
  for (size_t l = 0; status == EB_OK && l < job->result->n_levels; l++)
    status = ebi_ducts_run_setting(job, l, &settings[l]);
  return status;
}

/* Findings and explanation belong to a finished result. */
static eb_status finish(ebi_ducts_job *job) {
  eb_status status = ebi_ducts_complete(job);
  if (status == EB_OK && job->curves)
    status = ebi_ducts_sheet_curves(job);
  if (status == EB_OK)
    status = ebi_ducts_sound(job);
  if (status != EB_OK)
    return status;
  status = ebi_ducts_findings(job);
  if (status == EB_OK)
    status = ebi_ducts_heat_findings(job);
  if (status == EB_OK)
    status = ebi_ducts_size_findings(job);
  if (status == EB_OK)
    status = ebi_ducts_explain(job);
  if (status == EB_OK && ebi_diags_failed(job->context))
    status = EB_E_MEMORY;
  return status;
}

static bool arguments_good(const ebi_ducts_job *job, const eb_ducts_options *options,
                           const eb_ducts *const *ducts) {
  if (job->context == NULL || job->house == NULL || job->rates == NULL || ducts == NULL)
    return false;
  if (options != NULL && options->size < sizeof options->size)
    return false;
  return job->rates->n_rooms == job->house->n_rooms && job->rates->n_levels > 0;
}

/* A caller of an earlier release knows fewer of them. */
static void take_options(ebi_ducts_job *job, const eb_ducts_options *options) {
  size_t size = options != NULL ? options->size : 0;
  if (size >= offsetof(eb_ducts_options, curves))
    job->sizing = options->sizing;
  if (size >= sizeof *options)
    job->curves = options->curves;
}

eb_status eb_ducts_design(eb_context *context, const eb_house *house, const eb_rates *rates,
                          const eb_ducts_options *options, eb_ledger *ledger,
                          const eb_ducts **ducts) {
  ebi_ducts_job job = {
      .context = context, .house = house, .rates = rates, .ledger = ledger, .designing = true};
  if (!arguments_good(&job, options, ducts))
    return EB_E_ARGUMENT;
  take_options(&job, options);
  eb_status status = ebi_ducts_job_start(&job);
  if (status == EB_OK)
    status = ebi_ducts_job_build(&job);
  if (status == EB_OK)
    status = ebi_ducts_result_new(&job, rates->levels, rates->n_levels);
  if (status == EB_OK)
    status = design(&job);
  if (status == EB_OK)
    status = finish(&job);
  return ebi_ducts_job_end(&job, status, ducts);
}

static const char **setting_names(const ebi_ducts_job *job, const eb_setting *settings,
                                  size_t count) {
  const char **names = EBI_NEW_ARRAY(job->scratch, const char *, count);
  for (size_t i = 0; names != NULL && i < count; i++)
    names[i] = settings[i].name;
  return names;
}

static bool settings_good(const eb_setting *settings, size_t count) {
  for (size_t i = 0; settings != NULL && i < count; i++)
    if (settings[i].name == NULL || settings[i].openings == NULL)
      return false;
  return settings != NULL && count > 0;
}

eb_status eb_ducts_operate(eb_context *context, const eb_house *house, const eb_rates *rates,
                           const eb_setting *settings, size_t n_settings,
                           const eb_ducts_options *options, eb_ledger *ledger,
                           const eb_ducts **ducts) {
  ebi_ducts_job job = {.context = context, .house = house, .rates = rates, .ledger = ledger};
  if (!arguments_good(&job, options, ducts) || !settings_good(settings, n_settings))
    return EB_E_ARGUMENT;
  take_options(&job, options);
  const char **names = NULL;
  eb_status status = ebi_ducts_job_start(&job);
  if (status == EB_OK && (names = setting_names(&job, settings, n_settings)) == NULL)
    status = EB_E_MEMORY;
  if (status == EB_OK)
    status = ebi_ducts_job_build(&job);
  if (status == EB_OK)
    status = ebi_ducts_result_new(&job, names, n_settings);
  if (status == EB_OK)
    status = operate(&job, settings);
  if (status == EB_OK)
    status = finish(&job);
  return ebi_ducts_job_end(&job, status, ducts);
}
