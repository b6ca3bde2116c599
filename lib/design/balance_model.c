/* balance_model.c - the ducts of a house with what is not known of them */

#include "design/balance.h"

#include <math.h>
#include <string.h>

#include "physics/duct_leakage.h"

/* Standard deviations of what is built about what is calculated: runs and valves as houses are
 * found (priors of 20 to 30 % and 10 %, common practice, no source), a fan about its sheet, the
 * share of a controller's signal that moves nothing (5 to 15 %, common practice, no source). */
#define OF_RUN 0.25
#define OF_VALVE 0.10
#define OF_SLOPE 0.08
#define OF_EXPONENT 0.05
#define OF_FAN 0.15
#define OFFSET_MEAN 0.04
#define OF_OFFSET 0.05
#define OF_KEPT_FLOW 0.04 /* such units keep their flow to 3 to 5 % (from memory) */
#define OF_MAPPED_OFFSET 0.02
#define OF_LEAK 0.70
#define USUAL_BIAS 0.05 /* 95 % limits of a hood, where the readings do not say */
#define LIMITS_95 1.96

/* ---- The house as it is designed ---- */

static eb_status make_room(ebi_balance_model *model) {
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &model->job.side[s];
    size_t terminals = side->n_terminals + 1, runs = side->n_runs + 1;
    model->design_opening[s] = EBI_NEW_ARRAY(model->scratch, double, terminals);
    model->design_signal[s] = EBI_NEW_ARRAY(model->scratch, double, model->rates->n_levels + 1);
    model->run_flow[s] = EBI_NEW_ARRAY(model->scratch, double, runs);
    model->valve_unknown[s] = EBI_NEW_ARRAY(model->scratch, size_t, terminals);
    model->run_unknown[s] = EBI_NEW_ARRAY(model->scratch, size_t, runs);
    if (model->design_opening[s] == NULL || model->design_signal[s] == NULL ||
        model->run_flow[s] == NULL || model->valve_unknown[s] == NULL ||
        model->run_unknown[s] == NULL)
      return EB_E_MEMORY;
  }
  return EB_OK;
}

/* As the first settings say it. */
static double first_opening(const ebi_side *side, const ebi_terminal *terminal) {
  return terminal->loss != NULL ? ebi_by_hand(side, terminal, terminal->opening)
                                : terminal->opening;
}

/* Openings and flows of the design at the set level. */
static void note_design(ebi_balance_model *model) {
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &model->job.side[s];
    if (side->network == NULL)
      continue;
    for (size_t t = 0; t < side->n_terminals; t++)
      model->design_opening[s][t] = first_opening(side, &side->terminals[t]);
    for (size_t r = 0; r < side->n_runs; r++)
      model->run_flow[s][r] = fabs(model->job.solution.flow_ref[side->runs[r].part]);
  }
}

static eb_status design(ebi_balance_model *model) {
  ebi_ducts_job *job = &model->job;
  eb_status status = ebi_ducts_result_new(job, model->rates->levels, model->rates->n_levels);
  if (status == EB_OK)
    status = make_room(model);
  if (status == EB_OK)
    status = ebi_ducts_balance(job, model->level);
  if (status == EB_OK)
    note_design(model);
  for (size_t l = 0; status == EB_OK && l < model->rates->n_levels; l++) {
    status = ebi_ducts_run_level(job, l);
    model->design_signal[EBI_SUPPLY_SIDE][l] = job->levels[l].supply.signal;
    model->design_signal[EBI_EXTRACT_SIDE][l] = job->levels[l].extract.signal;
  }
  job->air_stands = true; /* what moves temperatures is less than what is read */
  return status;
}

/* ---- Joints that may have come apart ---- */

#define GAP_SHARE 0.7 /* of the duct's section, where it hangs beside its mouth (own figure) */

static eb_status add_gaps(ebi_balance_model *model) {
  ebi_ducts_job *job = &model->job;
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    model->gap[s] = EBI_NEW_ARRAY(model->scratch, ebi_part, side->n_terminals + 1);
    if (model->gap[s] == NULL)
      return EB_E_MEMORY;
    for (size_t t = 0; side->network != NULL && t < side->n_terminals; t++) {
      const ebi_side_run *run = &side->runs[side->terminals[t].run];
      ebi_element element = ebi_gap_element(GAP_SHARE * run->area);
      ebi_node inner = (side->supply ? &run->to : &run->from)->node;
      ebi_node house = job->house_air.common;
      model->gap[s][t] =
          ebi_network_part(side->network, run->run->name, side->supply ? inner : house,
                           side->supply ? house : inner, run->air, &element, 1);
      if (model->gap[s][t] == EBI_NONE)
        return EB_E_MEMORY;
      ebi_network_close(side->network, model->gap[s][t], true);
    }
  }
  return EB_OK;
}

/* ---- What is not known ---- */

static size_t add(ebi_balance_model *model, ebi_unknown_kind kind, int side, size_t number,
                  double mean, double deviation) {
  model->unknowns[model->n_unknowns] = (ebi_unknown){kind, side, number, mean, deviation};
  return model->n_unknowns++;
}

/* The runs between unit and rooms; those outdoors cannot be told from the fan. */
static void add_runs(ebi_balance_model *model, int s) {
  const ebi_side *side = &model->job.side[s];
  for (size_t r = 0; r < side->n_runs; r++) {
    bool carries = side->runs[r].run->air == side->rooms && model->run_flow[s][r] > 0.0;
    model->run_unknown[s][r] = carries ? add(model, EBI_UNKNOWN_RUN, s, r, 0.0, OF_RUN) : EBI_NONE;
  }
}

static void add_valves(ebi_balance_model *model, int s) {
  const ebi_side *side = &model->job.side[s];
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_terminal *terminal = &side->terminals[t];
    model->valve_unknown[s][t] = EBI_NONE;
    if (terminal->loss == NULL || terminal->idle)
      continue;
    model->valve_unknown[s][t] = add(model, EBI_UNKNOWN_VALVE, s, t, 0.0, OF_VALVE);
    (void)add(model, EBI_UNKNOWN_SLOPE, s, t, 0.0, OF_SLOPE);
  }
}

static double bias_of(const ebi_balance_model *model) {
  const eb_readings *readings = model->readings;
  bool given = readings != NULL && readings->instrument.bias.given;
  return (given ? readings->instrument.bias.value : USUAL_BIAS) / LIMITS_95;
}

/* First of all unknowns: what changes with them needs no solving (ebi_balance_predict). */
static bool add_reading(ebi_balance_model *model, int s) {
  double bias = bias_of(model);
  size_t rounds = model->readings != NULL ? model->readings->n_rounds : 0;
  /* Blowing and sucking a hood errs differently: the biases of the sides are two. */
  model->bias_unknown[s] = bias > 0.0 ? add(model, EBI_UNKNOWN_BIAS, s, 0, 0.0, bias) : EBI_NONE;
  model->wind_unknown[s] = EBI_NEW_ARRAY(model->scratch, size_t, rounds + 1);
  for (size_t r = 0; model->wind_unknown[s] != NULL && r < rounds; r++)
    model->wind_unknown[s][r] = add(model, EBI_UNKNOWN_WIND, s, r, 0.0, EBI_OF_WIND);
  return model->wind_unknown[s] != NULL;
}

static void add_side(ebi_balance_model *model, int s) {
  const ebi_side *side = &model->job.side[s];
  bool mapped = side->drive.map != NULL;
  add_runs(model, s);
  add_valves(model, s);
  model->exponent_unknown[s] = add(model, EBI_UNKNOWN_EXPONENT, s, 0, 0.0, OF_EXPONENT);
  model->fan_unknown[s] = add(model, side->drive.flow ? EBI_UNKNOWN_KEPT : EBI_UNKNOWN_FAN, s, 0,
                              0.0, side->drive.flow ? OF_KEPT_FLOW : OF_FAN);
  model->offset_unknown[s] = EBI_NONE;
  if (!side->drive.flow)
    model->offset_unknown[s] = add(model, EBI_UNKNOWN_OFFSET, s, 0, mapped ? 0.0 : OFFSET_MEAN,
                                   mapped ? OF_MAPPED_OFFSET : OF_OFFSET);
  model->leak_unknown[s] =
      ebi_side_leaks(side) ? add(model, EBI_UNKNOWN_LEAK, s, 0, 0.0, OF_LEAK) : EBI_NONE;
}

static eb_status list_unknowns(ebi_balance_model *model) {
  size_t most = 1;
  for (int s = 0; s < EBI_SIDES; s++)
    most += model->job.side[s].n_runs + 2 * model->job.side[s].n_terminals + 5 +
            (model->readings != NULL ? model->readings->n_rounds : 0);
  model->unknowns = EBI_NEW_ARRAY(model->scratch, ebi_unknown, most);
  model->values = EBI_NEW_ARRAY(model->scratch, double, most);
  model->carried_by = EBI_NEW_ARRAY(model->scratch, double, most);
  if (model->unknowns == NULL || model->values == NULL || model->carried_by == NULL)
    return EB_E_MEMORY;
  for (int s = 0; s < EBI_SIDES; s++)
    if (model->job.side[s].network != NULL && !add_reading(model, s))
      return EB_E_MEMORY;
  for (int s = 0; s < EBI_SIDES; s++)
    if (model->job.side[s].network != NULL)
      add_side(model, s);
  return EB_OK;
}

eb_status ebi_balance_begin(ebi_balance_model *model) {
  ebi_ducts_job *job = &model->job;
  *job = (ebi_ducts_job){
      .context = model->context, .house = model->house, .rates = model->rates, .designing = true};
  eb_status status = ebi_ducts_job_start(job);
  model->scratch = job->scratch;
  if (status == EB_OK)
    status = ebi_ducts_job_build(job);
  if (status == EB_OK)
    status = add_gaps(model);
  if (status == EB_OK) {
    model->level = ebi_ducts_set_level(job);
    status = design(model);
  }
  return status == EB_OK ? list_unknowns(model) : status;
}

void ebi_balance_end(ebi_balance_model *model) {
  (void)ebi_ducts_job_end(&model->job, EB_E_ARGUMENT, NULL);
}

/* ---- Unknowns into the network ---- */

static double value_or(const ebi_balance_model *model, size_t unknown, double otherwise) {
  return unknown == EBI_NONE ? otherwise : model->values[unknown];
}

double ebi_balance_value(const ebi_balance_model *model, size_t unknown) {
  return model->values[unknown];
}

static void take_side(ebi_balance_model *model, int s) {
  ebi_side *side = &model->job.side[s];
  double exponent = fmin(fmax(value_or(model, model->exponent_unknown[s], 0.0), -0.3), 0.3);
  for (size_t r = 0; r < side->n_runs; r++) {
    const ebi_side_run *run = &side->runs[r];
    size_t unknown = model->run_unknown[s][r];
    if (unknown != EBI_NONE)
      ebi_network_correct(side->network, run->part, exp(model->values[unknown]), exponent,
                          model->run_flow[s][r]);
    double leak = exp(-value_or(model, model->leak_unknown[s], 0.0) / EBI_DUCT_LEAKAGE_EXPONENT);
    for (int end = 0; end < 2 && run->leak[0] != EBI_NONE; end++)
      ebi_network_correct(side->network, run->leak[end], leak, 0.0, 0.0);
  }
  side->fan_factor = side->drive.flow ? 1.0 : exp(value_or(model, model->fan_unknown[s], 0.0));
  side->drive.offset = fmin(fmax(value_or(model, model->offset_unknown[s], 0.0), -0.3), 0.5);
  ebi_network_correct(side->network, side->fan_part, side->fan_factor, 0.0, 0.0);
}

/* A step of the fit may try what no house can be: it comes no further than so many deviations, and
 * smoothly, so that there is a way back. */
#define FARTHEST 8.0

void ebi_balance_take(ebi_balance_model *model, const double *standardised) {
  for (size_t i = 0; i < model->n_unknowns; i++) {
    double within = FARTHEST * tanh(standardised[i] / FARTHEST);
    model->values[i] = model->unknowns[i].mean + model->unknowns[i].deviation * within;
  }
  for (int s = 0; s < EBI_SIDES; s++)
    if (model->job.side[s].network != NULL)
      take_side(model, s);
}

/* From -1 where the valve is shut to 1 where it is open, by ln k. */
static double how_open(const ebi_curve *loss, double opening) {
  double low = log(ebi_curve_at(loss, ebi_curve_first(loss)).y);
  double high = log(ebi_curve_at(loss, ebi_curve_last(loss)).y);
  double at = log(ebi_curve_held(loss, opening).y);
  return high > low ? 2.0 * (at - low) / (high - low) - 1.0 : 0.0;
}

double ebi_balance_valve_factor(const ebi_balance_model *model, int s, size_t t, double opening) {
  const ebi_curve *loss = model->job.side[s].terminals[t].loss;
  size_t unknown = model->valve_unknown[s][t];
  if (unknown == EBI_NONE || loss == NULL)
    return 1.0;
  return exp(model->values[unknown] + model->values[unknown + 1] * how_open(loss, opening));
}

double ebi_balance_kept(const ebi_balance_model *model, int s) {
  bool keeps = model->job.side[s].drive.flow;
  return keeps ? exp(value_or(model, model->fan_unknown[s], 0.0)) : 1.0;
}

/* ---- What would be read ---- */

eb_status ebi_balance_stand(ebi_balance_model *model, const ebi_stand *stand) {
  ebi_ducts_job *job = &model->job;
  ebi_aim aims[EBI_SIDES] = {{EBI_AIM_SPEED, 0.0}, {EBI_AIM_SPEED, 0.0}};
  ebi_duty duties[EBI_SIDES];
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    if (side->network == NULL)
      continue;
    for (size_t t = 0; t < side->n_terminals; t++)
      side->terminals[t].opening = stand->opening[s][t];
    ebi_side_set_valves(side, ""); /* two-position valves too stand as they were found */
    for (size_t t = 0; t < side->n_terminals; t++) {
      const ebi_terminal *terminal = &side->terminals[t];
      if (terminal->valve == EBI_NONE)
        continue;
      ebi_element *elements = ebi_network_elements(side->network, terminal->part, NULL);
      double *k = &elements[terminal->valve].as.valve.k;
      *k *= ebi_balance_valve_factor(model, s, t, terminal->opening);
      if (model->hood.resistance > 0.0 && model->hood.side == s && model->hood.terminal == t)
        *k = 1.0 / sqrt(1.0 / (*k * *k) + model->hood.resistance);
    }
    aims[s] = ebi_side_told(side, stand->signal[s] * ebi_balance_kept(model, s));
  }
  return ebi_ducts_run(job, aims, false, duties);
}

double ebi_balance_flow(const ebi_balance_model *model, int s, size_t t) {
  const ebi_side *side = &model->job.side[s];
  return ebi_ducts_room_flow(&model->job, ebi_terminal_flow(side, &side->terminals[t]));
}

bool ebi_unknown_of_reading(const ebi_unknown *unknown) {
  return unknown->kind == EBI_UNKNOWN_BIAS || unknown->kind == EBI_UNKNOWN_WIND;
}

/* Of the last solve. */
static double carried(const ebi_balance_model *model, const ebi_datum *datum) {
  const ebi_ducts_job *job = &model->job;
  const double *pressure = job->solution.pressure;
  switch (datum->kind) {
  case EBI_DATUM_TERMINAL:
    return ebi_balance_flow(model, datum->side, datum->number);
  case EBI_DATUM_FAN:
    return ebi_ducts_room_flow(job, job->side[datum->side].fan_flow);
  case EBI_DATUM_PRESSURE:
    return fabs(pressure[datum->node] - pressure[job->house_air.common]);
  case EBI_DATUM_HOUSE:
    break;
  }
  return pressure[datum->node] - pressure[job->house_air.outdoors];
}

/* What is of the reading alone: what the round had of wind, and what the instrument makes of it. */
static double as_read(const ebi_balance_model *model, const ebi_datum *datum) {
  if (datum->kind != EBI_DATUM_TERMINAL && datum->kind != EBI_DATUM_FAN)
    return 1.0;
  double ln = model->values[model->wind_unknown[datum->side][model->stands[datum->stand].round]];
  if (datum->kind == EBI_DATUM_TERMINAL)
    ln += value_or(model, model->bias_unknown[datum->side], 0.0);
  return exp(ln);
}

/* True where the house is the one that was solved last. */
static bool house_is_solved(const ebi_balance_model *model) {
  bool same = model->carried_holds;
  for (size_t i = 0; same && i < model->n_unknowns; i++)
    same = ebi_unknown_of_reading(&model->unknowns[i]) || model->values[i] == model->carried_by[i];
  return same;
}

static eb_status solve_stands(ebi_balance_model *model) {
  model->carried_holds = false;
  for (size_t n = 0; n < model->n_stands; n++) {
    eb_status status = ebi_balance_stand(model, &model->stands[n]);
    if (status != EB_OK)
      return status;
    for (size_t i = 0; i < model->n_data; i++)
      if (model->data[i].stand == n)
        model->carried[i] = carried(model, &model->data[i]);
  }
  memcpy(model->carried_by, model->values, model->n_unknowns * sizeof *model->values);
  model->carried_holds = true;
  return EB_OK;
}

eb_status ebi_balance_predict(ebi_balance_model *model, const double *standardised) {
  ebi_balance_take(model, standardised);
  eb_status status = house_is_solved(model) ? EB_OK : solve_stands(model);
  for (size_t i = 0; status == EB_OK && i < model->n_data; i++)
    model->predicted[i] = model->carried[i] * as_read(model, &model->data[i]);
  return status;
}
