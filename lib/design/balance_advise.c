/* balance_advise.c - valves and fans of the house as it was found
 *
 * The design's own balance is asked of the network with its unknowns put in: one
 * valve a side open, the others taking up what is to spare, and each level by the
 * fans alone. Openings are rounded to what a hand can set, and what need not move
 * stays. */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/balance.h"

/* Turning a valve for less than this of its flow is not worth the ladder. */
#define WORTH_TURNING 0.025

/* ---- Valves as they were found ---- */

static const ebi_curve *curve_found(const ebi_balance_model *model, int s, size_t t) {
  const ebi_side *side = &model->job.side[s];
  const ebi_valve *type = side->runs[side->terminals[t].run].run->valve.type;
  double *opening = EBI_NEW_ARRAY(model->scratch, double, type->n_loss);
  double *k = EBI_NEW_ARRAY(model->scratch, double, type->n_loss);
  if (opening == NULL || k == NULL)
    return NULL;
  for (size_t i = 0; i < type->n_loss; i++) {
    opening[i] = type->loss[i].x;
    k[i] = type->loss[i].y * ebi_balance_valve_factor(model, s, t, opening[i]);
    if (i > 0) /* a steep correction must not turn the curve */
      k[i] = fmax(k[i], k[i - 1] * (1.0 + 1e-6));
  }
  return ebi_curve_new(model->scratch, opening, k, type->n_loss);
}

/* Puts the curves found in the place of the tables', and those into `kept`. */
static eb_status put_curves(ebi_balance_model *model, const ebi_curve **kept[EBI_SIDES]) {
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &model->job.side[s];
    kept[s] = EBI_NEW_ARRAY(model->scratch, const ebi_curve *, side->n_terminals + 1);
    if (kept[s] == NULL)
      return EB_E_MEMORY;
    for (size_t t = 0; t < side->n_terminals; t++)
      kept[s][t] = side->terminals[t].loss;
  }
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &model->job.side[s];
    for (size_t t = 0; t < side->n_terminals; t++) {
      if (model->valve_unknown[s][t] == EBI_NONE)
        continue;
      const ebi_curve *found = curve_found(model, s, t);
      if (found == NULL)
        return EB_E_MEMORY;
      side->terminals[t].loss = found;
    }
  }
  return EB_OK;
}

static void put_back_curves(ebi_balance_model *model, const ebi_curve **const kept[EBI_SIDES]) {
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; kept[s] != NULL && t < model->job.side[s].n_terminals; t++)
      model->job.side[s].terminals[t].loss = kept[s][t];
}

/* ---- What a hand can set ---- */

/* Steps by the unit on the valve (common practice: a quarter of a millimetre, an eighth of a
 * turn). */
static double hand_step(const char *unit, double travel) {
  if (ebi_text_equal(unit, "mm"))
    return 0.25;
  if (ebi_text_equal(unit, "turns") || ebi_text_equal(unit, "turn"))
    return 0.125;
  if (ebi_text_equal(unit, "deg") || ebi_text_equal(unit, "%") || ebi_text_equal(unit, "position"))
    return 1.0;
  return travel / 100.0;
}

double ebi_by_hand(const ebi_side *side, const ebi_terminal *terminal, double opening) {
  double low = ebi_curve_first(terminal->loss), high = ebi_curve_last(terminal->loss);
  const char *unit = side->runs[terminal->run].run->valve.type->opening_unit;
  double step = hand_step(unit, high - low);
  double rounded = opening >= high ? high : step * round(opening / step);
  return fmin(fmax(rounded, low), high);
}

/* How much of the flow a change of opening is worth, the valve's share of its branch counted. */
static double worth(const ebi_balance_model *model, int s, size_t t, double from, double to) {
  const ebi_side *side = &model->job.side[s];
  const ebi_terminal *terminal = &side->terminals[t];
  double flow = ebi_terminal_design(side, terminal, model->level);
  double valve = ebi_valve_drop(side, terminal, flow);
  double branch = ebi_balance_branch_drop(side, terminal, flow);
  double k_from = ebi_curve_held(terminal->loss, from).y;
  double k_to = ebi_curve_held(terminal->loss, to).y;
  return fabs(log(k_from / k_to)) * (branch > 0.0 ? valve / branch : 1.0);
}

static void round_openings(ebi_balance_model *model, const ebi_stand *now, ebi_turns *turns) {
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &model->job.side[s];
    for (size_t t = 0; t < side->n_terminals; t++) {
      ebi_terminal *terminal = &side->terminals[t];
      if (terminal->loss == NULL) {
        turns->move[s][t] = false;
        continue;
      }
      double wanted = ebi_by_hand(side, terminal, terminal->opening);
      double stands = now != NULL ? now->opening[s][t] : wanted;
      bool move = now == NULL || worth(model, s, t, stands, wanted) > WORTH_TURNING;
      turns->move[s][t] = move && !terminal->idle && (now == NULL || wanted != stands);
      turns->opening[s][t] = terminal->opening = turns->move[s][t] || now == NULL ? wanted : stands;
    }
  }
}

/* ---- Fans ---- */

/* A controller goes by whole percents, steps of a switch, m3/h, or half l/s; by tenths of a volt.
 */
static double as_told(const eb_controller *controller, double signal) {
  double fine = ebi_text_equal(controller->unit, "V")     ? 10.0
                : ebi_text_equal(controller->unit, "l/s") ? 2.0
                                                          : 1.0;
  double step = 1.0 / (controller->scale * fine);
  return fmin(fmax(step * round(signal / step), 0.0), controller->flow ? HUGE_VAL : 1.0);
}

static eb_status set_levels(ebi_balance_model *model, ebi_turns *turns) {
  ebi_ducts_job *job = &model->job;
  eb_status status = EB_OK;
  for (size_t l = 0; status == EB_OK && l < model->rates->n_levels; l++) {
    const eb_side_state *states[EBI_SIDES] = {&job->levels[l].supply, &job->levels[l].extract};
    status = ebi_ducts_run_level(job, l);
    for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
      turns->level[l].opening[s] = turns->opening[s];
      turns->level[l].signal[s] =
          as_told(&model->house->unit->controller, states[s]->signal / ebi_balance_kept(model, s));
      turns->limited[s][l] = states[s]->limited;
      turns->power[l] += states[s]->fan_power_w;
    }
  }
  return status;
}

/* ---- All of it ---- */

static eb_status make_room(ebi_balance_model *model, ebi_turns *turns) {
  size_t levels = model->rates->n_levels + 1;
  bool good = true;
  for (int s = 0; s < EBI_SIDES; s++) {
    size_t count = model->job.side[s].n_terminals + 1;
    turns->opening[s] = EBI_NEW_ARRAY(model->scratch, double, count);
    turns->move[s] = EBI_NEW_ARRAY(model->scratch, bool, count);
    turns->target[s] = EBI_NEW_ARRAY(model->scratch, double, count);
    turns->limited[s] = EBI_NEW_ARRAY(model->scratch, bool, levels);
    good = good && turns->opening[s] != NULL && turns->move[s] != NULL &&
           turns->target[s] != NULL && turns->limited[s] != NULL;
  }
  turns->level = EBI_NEW_ARRAY(model->scratch, ebi_stand, levels);
  turns->power = EBI_NEW_ARRAY(model->scratch, double, levels);
  return good && turns->level != NULL && turns->power != NULL ? EB_OK : EB_E_MEMORY;
}

static void set_targets(const ebi_balance_model *model, ebi_turns *turns) {
  const ebi_ducts_job *job = &model->job;
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    for (size_t t = 0; t < side->n_terminals; t++)
      turns->target[s][t] =
          (1.0 + turns->over_supply) *
          ebi_ducts_room_flow(job, ebi_terminal_design(side, &side->terminals[t], model->level));
  }
}

eb_status ebi_balance_set(ebi_balance_model *model, const ebi_stand *now, double over_supply,
                          ebi_turns *turns) {
  const ebi_curve **kept[EBI_SIDES] = {NULL, NULL};
  ebi_diags_mark mark = ebi_diags_here(model->context);
  turns->over_supply = over_supply;
  eb_status status = make_room(model, turns);
  if (status == EB_OK)
    status = put_curves(model, kept);
  if (status == EB_OK)
    status = ebi_ducts_balance(&model->job, model->level);
  if (status == EB_OK) {
    round_openings(model, now, turns);
    model->job.least_factor = 1.0 + over_supply;
    status = set_levels(model, turns);
    model->job.least_factor = 1.0;
    set_targets(model, turns);
  }
  put_back_curves(model, kept);
  if (status == EB_OK)
    ebi_diags_take_back(model->context, mark); /* said of the design already */
  return status;
}
