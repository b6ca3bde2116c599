/* balance_result.c - what was found, written down for the caller */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/balance.h"

#define LIMITS_95 1.96
#define FAR_OFF 3.0 /* standard deviations: a reading to be taken again */

/* ---- Terminals ---- */

static double required_of(const ebi_balance_model *model, const ebi_side *side,
                          const ebi_terminal *terminal) {
  return terminal->share *
         ebi_ducts_room_flow(&model->job, ebi_room_required(side, terminal->room, model->level));
}

static const ebi_datum *last_datum(const ebi_balance_model *model, int s, size_t t) {
  for (size_t i = model->n_data; i-- > 0;)
    if (model->data[i].kind == EBI_DATUM_TERMINAL && model->data[i].side == s &&
        model->data[i].number == t)
      return &model->data[i];
  return NULL;
}

/* Why it was not read in the last round; NULL where it was. */
static const char *unread_of(const ebi_found *found, size_t run) {
  const eb_readings *readings = found->model->readings;
  if (readings == NULL || readings->n_rounds == 0)
    return NULL;
  const ebi_round *last = &readings->rounds[readings->n_rounds - 1];
  for (size_t i = 0; i < last->n_terminals; i++)
    if (last->terminals[i].run == run)
      return last->terminals[i].unread;
  return "not in the last round";
}

static bool suspected(const ebi_found *found, int s, size_t run) {
  for (size_t i = 0; i < found->suspicions.count; i++) {
    const ebi_suspicion *item = &found->suspicions.item[i];
    if (item->side == s && (item->run == run || item->other == run))
      return true;
  }
  return false;
}

static void say_why(const ebi_found *found, int s, size_t t, eb_balance_terminal *out) {
  const ebi_balance_model *model = found->model;
  const ebi_datum *datum = last_datum(model, s, t);
  double off = 0.0;
  if (datum != NULL)
    off = found->fit.residuals[datum - model->data];
  out->why = "";
  if (model->n_data == 0)
    return;
  if (suspected(found, s, model->job.side[s].terminals[t].run))
    out->why = "something is wrong here: see the suspects";
  else if (datum == NULL)
    out->why = "it was never read";
  else if (fabs(off) > FAR_OFF)
    out->why = "its reading does not fit the others";
  else if (out->move)
    out->why = "its valve is turned";
  out->read_again = out->why[0] != '\0';
}

static void write_terminal(const ebi_found *found, int s, size_t t, eb_balance_terminal *out) {
  const ebi_balance_model *model = found->model;
  const ebi_side *side = &model->job.side[s];
  const ebi_terminal *terminal = &side->terminals[t];
  const ebi_run *run = side->runs[terminal->run].run;
  bool read = model->n_data > 0;
  *out = (eb_balance_terminal){
      .run = run->name,
      .room = model->house->rooms[terminal->room].name,
      .valve = run->valve.type != NULL ? run->valve.type->entry.name : "",
      .supply = side->supply,
      .required_m3_s = required_of(model, side, terminal),
      .design_m3_s = found->rule.design[s][t],
      .target_m3_s = found->turns.target[s][t],
      .measured_m3_s = found->read.flow[s][t],
      .measured_error_m3_s = LIMITS_95 * found->read.deviation[s][t],
      .now_m3_s = read ? found->outlook.flow[s][t] : (double)NAN,
      .now_error_m3_s = read ? LIMITS_95 * found->outlook.deviation[s][t] : (double)NAN,
      .predicted_m3_s = found->future.flow[s][t],
      .predicted_error_m3_s = LIMITS_95 * found->future.deviation[s][t],
      .has_opening = terminal->loss != NULL,
      .opening = terminal->loss != NULL ? found->now.opening[s][t] : 0.0,
      .next_opening = terminal->loss != NULL ? found->turns.opening[s][t] : 0.0,
      .opening_unit = terminal->loss != NULL ? run->valve.type->opening_unit : "",
      .move = read && found->turns.move[s][t],
      .index = side->index == t,
      .unread = unread_of(found, side->runs[terminal->run].number),
      .low_m3_s = ebi_rule_lowest(&found->rule, found->rule.design[s][t]),
      .high_m3_s = ebi_rule_highest(&found->rule, found->rule.design[s][t])};
  out->passes = !isnan(out->measured_m3_s) &&
                ebi_rule_allows_flow(&found->rule, out->measured_m3_s, out->design_m3_s);
  say_why(found, s, t, out);
}

/* Supply before extract, the lowest storey first, then as in the file. */
static bool goes_before(const eb_balance_terminal *a, int storey_a, const eb_balance_terminal *b,
                        int storey_b) {
  if (a->supply != b->supply)
    return a->supply;
  return storey_a < storey_b;
}

static int storey_of(const eb_house *house, const char *room) {
  for (size_t r = 0; r < house->n_rooms; r++)
    if (ebi_text_equal(house->rooms[r].name, room))
      return house->rooms[r].storey;
  return 0;
}

static void order_round(const eb_house *house, eb_balance_terminal *terminals, size_t count) {
  for (size_t i = 1; i < count; i++) {
    eb_balance_terminal moving = terminals[i];
    int storey = storey_of(house, moving.room);
    size_t at = i;
    for (; at > 0 && goes_before(&moving, storey, &terminals[at - 1],
                                 storey_of(house, terminals[at - 1].room));
         at--)
      terminals[at] = terminals[at - 1];
    terminals[at] = moving;
  }
  for (size_t i = 0; i < count; i++)
    terminals[i].turn = i + 1;
}

/* What is good is left alone. */
static void leave_alone(eb_balance_terminal *terminal) {
  terminal->move = terminal->read_again = false;
  terminal->next_opening = terminal->opening;
  terminal->predicted_m3_s = terminal->now_m3_s;
  terminal->predicted_error_m3_s = terminal->now_error_m3_s;
  terminal->why = "";
}

static eb_status write_terminals(const ebi_found *found, ebi_arena *arena, eb_balance *balance) {
  const ebi_balance_model *model = found->model;
  eb_balance_terminal *terminals =
      EBI_NEW_ARRAY(arena, eb_balance_terminal, model->job.n_terminals + 1);
  if (terminals == NULL)
    return EB_E_MEMORY;
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++)
      if (!model->job.side[s].terminals[t].idle)
        write_terminal(found, s, t, &terminals[balance->n_terminals++]);
  if (balance->status.verdict == EB_VERDICT_DONE)
    for (size_t i = 0; i < balance->n_terminals; i++)
      leave_alone(&terminals[i]);
  order_round(model->house, terminals, balance->n_terminals);
  balance->terminals = terminals;
  return EB_OK;
}

/* ---- Levels ---- */

/* Further above or below what was read than a tenth is extrapolation. */
static bool beyond_readings(const ebi_balance_model *model, const double signal[EBI_SIDES]) {
  for (int s = 0; s < EBI_SIDES; s++) {
    double least = HUGE_VAL, most = 0.0;
    for (size_t i = 0; i < model->n_stands; i++) {
      least = fmin(least, model->stands[i].signal[s]);
      most = fmax(most, model->stands[i].signal[s]);
    }
    if (model->job.side[s].network != NULL && model->n_stands > 0 &&
        (signal[s] > 1.1 * most || signal[s] < 0.9 * least))
      return true;
  }
  return false;
}

/* A house that is done is left alone. */
static eb_status write_level(const ebi_found *found, size_t l, bool done, eb_balance_level *out) {
  ebi_balance_model *model = found->model;
  const ebi_stand *stand = done ? ebi_last_stand(model, model->rates->levels[l]) : NULL;
  if (stand == NULL)
    stand = &found->turns.level[l];
  ebi_outlook outlook;
  eb_status status = ebi_balance_look(model, &found->fit, NULL, stand,
                                      (const bool *const *)found->turns.move, &outlook);
  if (status != EB_OK)
    return status;
  double over = 1.0 + found->turns.over_supply;
  const eb_rates *rates = model->rates;
  *out = (eb_balance_level){
      .name = rates->levels[l],
      .supply_signal = stand->signal[EBI_SUPPLY_SIDE],
      .extract_signal = stand->signal[EBI_EXTRACT_SIDE],
      .supply_m3_s = outlook.total[EBI_SUPPLY_SIDE],
      .extract_m3_s = outlook.total[EBI_EXTRACT_SIDE],
      .supply_error_m3_s = LIMITS_95 * outlook.total_deviation[EBI_SUPPLY_SIDE],
      .extract_error_m3_s = LIMITS_95 * outlook.total_deviation[EBI_EXTRACT_SIDE],
      .required_supply_m3_s = over * rates->supply_total_m3_s[l],
      .required_extract_m3_s = over * rates->extract_total_m3_s[l],
      .imbalance = ebi_balance_imbalance(&found->rule, outlook.total[EBI_SUPPLY_SIDE],
                                         outlook.total[EBI_EXTRACT_SIDE]),
      .power_w = found->turns.power[l],
      .limited =
          found->turns.limited[EBI_SUPPLY_SIDE][l] || found->turns.limited[EBI_EXTRACT_SIDE][l],
      .beyond = beyond_readings(model, stand->signal)};
  return EB_OK;
}

static eb_status write_levels(const ebi_found *found, ebi_arena *arena, eb_balance *balance) {
  balance->n_levels = found->model->rates->n_levels;
  eb_balance_level *levels = EBI_NEW_ARRAY(arena, eb_balance_level, balance->n_levels);
  eb_status status = levels == NULL ? EB_E_MEMORY : EB_OK;
  for (size_t l = 0; status == EB_OK && l < balance->n_levels; l++)
    status = write_level(found, l, balance->status.verdict == EB_VERDICT_DONE, &levels[l]);
  balance->levels = levels;
  return status;
}

/* ---- Suspects and unknowns ---- */

/* Odds against nothing being wrong, as a probability. */
static double probability_of(double gain) {
  return 1.0 / (1.0 + exp(-gain));
}

static const char *run_name(const ebi_found *found, const ebi_suspicion *item, size_t run) {
  const ebi_side *side = &found->model->job.side[item->side];
  if (run != EBI_NONE)
    return side->runs[run].run->name;
  return side->supply ? "supply fan" : "extract fan";
}

static eb_status write_suspects(const ebi_found *found, ebi_arena *arena, eb_balance *balance) {
  size_t count = found->suspicions.count;
  eb_suspect *suspects = EBI_NEW_ARRAY(arena, eb_suspect, count + 1);
  if (suspects == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < count; i++) {
    const ebi_suspicion *item = &found->suspicions.item[i];
    suspects[i] =
        (eb_suspect){.code = item->code,
                     .run = run_name(found, item, item->run),
                     .other = item->other == EBI_NONE ? "" : run_name(found, item, item->other),
                     .factor = item->factor,
                     .probability = probability_of(item->gain),
                     .message = ebi_suspicion_words(found, arena, item)};
    if (suspects[i].message == NULL)
      return EB_E_MEMORY;
  }
  balance->suspects = suspects;
  balance->n_suspects = count;
  return EB_OK;
}

static const char *of_what(const ebi_balance_model *model, ebi_arena *arena,
                           const ebi_unknown *unknown) {
  const ebi_side *side = &model->job.side[unknown->side];
  switch (unknown->kind) {
  case EBI_UNKNOWN_RUN:
    return side->runs[unknown->number].run->name;
  case EBI_UNKNOWN_VALVE:
  case EBI_UNKNOWN_SLOPE:
    return side->runs[side->terminals[unknown->number].run].run->name;
  case EBI_UNKNOWN_WIND:
    return ebi_arena_format(arena, "%s, round %zu", side->name, unknown->number + 1);
  default:
    return side->name;
  }
}

/* In the order of ebi_unknown_kind. */
static const char *const unknown_words[] = {"ln of the run's pressure over what was calculated",
                                            "ln of the valve's k over its table's",
                                            "ln of the valve's k, more open than shut",
                                            "exponent of the runs, more than calculated",
                                            "ln of what the fan raises over its curve",
                                            "ln of the flow kept over what was told",
                                            "share of the signal that moves nothing",
                                            "ln of the ducts' leakage over its class",
                                            "ln of a reading over the truth",
                                            "ln of what moved in a round over a calm one"};

static eb_status write_unknowns(const ebi_found *found, ebi_arena *arena, eb_balance *balance) {
  const ebi_balance_model *model = found->model;
  size_t n = model->n_unknowns;
  eb_balance_unknown *unknowns = EBI_NEW_ARRAY(arena, eb_balance_unknown, n + 1);
  if (unknowns == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < n; i++) {
    const ebi_unknown *unknown = &model->unknowns[i];
    double deviation = unknown->deviation;
    unknowns[i] = (eb_balance_unknown){
        .what = unknown_words[unknown->kind],
        .of = of_what(model, arena, unknown),
        .expected = unknown->mean,
        .expected_error = LIMITS_95 * deviation,
        .found = unknown->mean + deviation * found->fit.unknowns[i],
        .found_error = LIMITS_95 * deviation * sqrt(fmax(found->fit.covariance[i * n + i], 0.0))};
    if (unknowns[i].of == NULL)
      return EB_E_MEMORY;
  }
  balance->unknowns = unknowns;
  balance->n_unknowns = n;
  return EB_OK;
}

eb_status ebi_balance_write(const ebi_found *found, ebi_arena *arena, eb_balance *balance) {
  const ebi_balance_model *model = found->model;
  balance->set_level = model->rates->levels[model->level];
  balance->controller = model->house->unit->controller;
  balance->fit_steps = found->fit.steps;
  balance->readings_each = ebi_balance_readings_each(model, &found->rule);
  ebi_balance_judge(found, arena, &balance->status);
  eb_status status = write_terminals(found, arena, balance);
  if (status == EB_OK)
    status = ebi_balance_rounds(found, arena, balance);
  if (status == EB_OK)
    status = write_levels(found, arena, balance);
  if (status == EB_OK)
    status = write_suspects(found, arena, balance);
  if (status == EB_OK)
    status = write_unknowns(found, arena, balance);
  if (status == EB_OK)
    status = ebi_balance_checks(found, arena, balance);
  return status;
}
