/* balance_data.c - readings as data: how the house stood, what was read, how sure that is */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/balance.h"
#include "physics/instrument.h"

#define LIMITS_95 1.96

/* What stands where the readings do not say: a hooded vane anemometer (common practice). */
#define USUAL_REPEAT 0.03
#define USUAL_FLOOR 0.3e-3 /* m3/s */

/* A valve is set to within so much of its travel (a hand on a cone; common practice, no source). */
#define OF_SETTING 0.008

/* Unit's own display or a traverse: ASHRAE HoF 2021 ch. 37 table 5 has 2 to 10 %. */
#define OF_UNIT_FLOW 0.05
#define OF_PRESSURE 0.02
#define OF_PRESSURE_FLOOR 0.5 /* Pa */

/* ---- How the house stood ---- */

static size_t terminal_of_run(const ebi_side *side, size_t run) {
  for (size_t t = 0; t < side->n_terminals; t++)
    if (side->runs[side->terminals[t].run].number == run)
      return t;
  return EBI_NONE;
}

static bool locate(const ebi_balance_model *model, size_t run, int *side, size_t *terminal) {
  for (*side = 0; *side < EBI_SIDES; (*side)++) {
    *terminal = terminal_of_run(&model->job.side[*side], run);
    if (*terminal != EBI_NONE)
      return true;
  }
  return false;
}

/* As in the round before, the first time as designed; then what the round says. */
static eb_status take_stand(ebi_balance_model *model, size_t round) {
  const ebi_round *read = &model->readings->rounds[round];
  ebi_stand *stand = &model->stands[model->n_stands];
  const ebi_stand *before = model->n_stands > 0 ? stand - 1 : NULL;
  size_t level = ebi_ducts_rate_level(&model->job, read->level);
  level = level == EBI_NONE ? model->level : level;
  stand->round = round;
  for (int s = 0; s < EBI_SIDES; s++) {
    size_t count = model->job.side[s].n_terminals;
    stand->opening[s] = EBI_NEW_ARRAY(model->scratch, double, count + 1);
    if (stand->opening[s] == NULL)
      return EB_E_MEMORY;
    memcpy(stand->opening[s], before != NULL ? before->opening[s] : model->design_opening[s],
           count * sizeof *stand->opening[s]);
    stand->signal[s] =
        read->fan_signal[s].given ? read->fan_signal[s].value : model->design_signal[s][level];
    if (!read->fan_signal[s].given && model->job.side[s].network != NULL)
      ebi_diag(model->context, EB_WARNING, "fan-not-read", read->where, NULL,
               "round %zu does not say what the %s fan was set to: it is taken as designed for %s",
               round + 1, model->job.side[s].name, model->rates->levels[level]);
  }
  for (size_t v = 0; v < read->n_valves; v++) {
    int side;
    size_t terminal;
    if (locate(model, read->valves[v].run, &side, &terminal))
      stand->opening[side][terminal] = read->valves[v].opening;
  }
  model->n_stands++;
  return EB_OK;
}

/* ---- One terminal ---- */

static double given_or(const ebi_given *given, double otherwise) {
  return given->given ? given->value : otherwise;
}

/* What the instrument shows as flow of the air that it was in. */
static double for_density(const ebi_balance_model *model, const ebi_instrument *instrument,
                          double flow) {
  if (instrument->kind == EBI_INSTRUMENT_PRESSURE)
    return flow * ebi_pressure_instrument_factor(model->job.room_density);
  return instrument->kind == EBI_INSTRUMENT_THERMAL
             ? flow * ebi_thermal_instrument_factor(model->job.room_density)
             : flow;
}

double ebi_balance_branch_drop(const ebi_side *side, const ebi_terminal *terminal,
                               double flow_ref) {
  const ebi_side_run *run = &side->runs[terminal->run];
  double flow = ebi_ducts_actual(flow_ref, run->air.density);
  double drop = ebi_terminal_drop(side, terminal, flow_ref);
  size_t count;
  const ebi_element *elements = ebi_network_elements(side->network, run->part, &count);
  for (size_t i = 0; i < count; i++)
    drop += ebi_element_drop(&elements[i], run->air, flow).pa;
  return drop;
}

/* Of run and valve as calculated, Pa/(m3/s)^2. */
static double branch_resistance(const ebi_balance_model *model, int s, size_t t, double flow) {
  const ebi_side *side = &model->job.side[s];
  double flow_ref = ebi_ducts_ref(&model->job, flow);
  return ebi_balance_branch_drop(side, &side->terminals[t], flow_ref) / (flow * flow);
}

static double hood_resistance(const ebi_instrument *instrument) {
  bool known = instrument->drop.given && instrument->drop_at.given && !instrument->powered;
  double at = instrument->drop_at.value;
  return known && at > 0.0 ? instrument->drop.value / (at * at) : 0.0;
}

/* An unpowered hood takes air away from the terminal it stands on, and the others of the house take
 * it: the house as drawn is solved with it and without (`plain`). Where there is no valve
 * to put it behind, the pressure behind the branch is taken to stay. */
static eb_status for_hood(ebi_balance_model *model, size_t stand, int s, size_t t,
                          double *const plain[EBI_SIDES], double *flow) {
  double hood = hood_resistance(&model->readings->rounds[model->stands[stand].round].instrument);
  if (!(hood > 0.0) || !(*flow > 0.0))
    return EB_OK;
  if (model->job.side[s].terminals[t].valve == EBI_NONE) {
    double branch = branch_resistance(model, s, t, *flow);
    *flow = branch > 0.0 ? ebi_flow_without_hood(*flow, hood, branch) : *flow;
    return EB_OK;
  }
  model->hood = (ebi_hood){s, t, hood};
  eb_status status = ebi_balance_stand(model, &model->stands[stand]);
  double with = ebi_balance_flow(model, s, t);
  model->hood = (ebi_hood){0};
  if (status == EB_OK && with > 0.0 && plain[s][t] > with)
    *flow *= plain[s][t] / with;
  return status;
}

/* Standard deviation of ln k for a hand on the valve, half of which goes to the flow. */
double ebi_balance_hand(const ebi_balance_model *model, int s, size_t t, double opening) {
  const ebi_curve *loss = model->job.side[s].terminals[t].loss;
  if (loss == NULL)
    return 0.0;
  double travel = ebi_curve_last(loss) - ebi_curve_first(loss);
  ebi_curve_value at = ebi_curve_held(loss, opening);
  return at.y > 0.0 ? 0.5 * OF_SETTING * travel * at.slope / at.y : 0.0;
}

/* Of one reading with this instrument. */
static double repeat_of(const ebi_instrument *instrument, double flow) {
  double repeat = given_or(&instrument->repeat, USUAL_REPEAT) / LIMITS_95 * fabs(flow);
  return hypot(repeat, given_or(&instrument->floor, USUAL_FLOOR) / LIMITS_95);
}

double ebi_balance_repeat(const ebi_balance_model *model, double flow) {
  static const ebi_instrument usual = {0};
  return repeat_of(model->readings != NULL ? &model->readings->instrument : &usual, flow);
}

/* How sure a reading is where the flow is this. */
static void doubt_at(const ebi_balance_model *model, ebi_datum *datum, double flow) {
  const ebi_stand *stand = &model->stands[datum->stand];
  const ebi_instrument *instrument = &model->readings->rounds[stand->round].instrument;
  double hand = ebi_balance_hand(model, datum->side, datum->number,
                                 stand->opening[datum->side][datum->number]);
  datum->repeat = repeat_of(instrument, flow) / sqrt((double)datum->reading->n_flows);
  datum->deviation = hypot(datum->repeat, hand * fabs(flow));
}

/* A reading that is low by chance must not count as the surer for it: how sure it is goes by what
 * the fit says was there. */
void ebi_balance_doubt(ebi_balance_model *model) {
  for (size_t i = 0; i < model->n_data; i++) {
    ebi_datum *datum = &model->data[i];
    if (datum->kind == EBI_DATUM_TERMINAL && !datum->odd)
      doubt_at(model, datum, model->predicted[i]);
  }
}

static eb_status add_terminal(ebi_balance_model *model, size_t stand,
                              double *const plain[EBI_SIDES], const ebi_terminal_reading *read) {
  int s;
  size_t t;
  if (read->n_flows == 0 || !locate(model, read->run, &s, &t))
    return EB_OK;
  const ebi_instrument *instrument =
      &model->readings->rounds[model->stands[stand].round].instrument;
  double sum = 0.0, n = (double)read->n_flows;
  for (size_t i = 0; i < read->n_flows; i++)
    sum += read->flows[i];
  double value = for_density(model, instrument, sum / n);
  eb_status status = for_hood(model, stand, s, t, plain, &value);
  ebi_datum *datum = &model->data[model->n_data++];
  *datum = (ebi_datum){.kind = EBI_DATUM_TERMINAL,
                       .stand = stand,
                       .side = s,
                       .number = t,
                       .value = value,
                       .reading = read};
  doubt_at(model, datum, value);
  return status;
}

/* Flows of the house as drawn, with no hood anywhere. */
static eb_status plain_flows(ebi_balance_model *model, size_t stand, double *plain[EBI_SIDES]) {
  eb_status status = ebi_balance_stand(model, &model->stands[stand]);
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    size_t count = model->job.side[s].n_terminals;
    plain[s] = EBI_NEW_ARRAY(model->scratch, double, count + 1);
    if (plain[s] == NULL)
      return EB_E_MEMORY;
    for (size_t t = 0; t < count; t++)
      plain[s][t] = ebi_balance_flow(model, s, t);
  }
  return status;
}

static eb_status add_terminals(ebi_balance_model *model, size_t stand) {
  const ebi_round *round = &model->readings->rounds[model->stands[stand].round];
  double *plain[EBI_SIDES] = {NULL, NULL};
  bool hooded = hood_resistance(&round->instrument) > 0.0;
  eb_status status = hooded ? plain_flows(model, stand, plain) : EB_OK;
  for (size_t i = 0; status == EB_OK && i < round->n_terminals; i++)
    status = add_terminal(model, stand, plain, &round->terminals[i]);
  return status;
}

/* ---- What else was read ---- */

/* Of the two places a side's air can be read at the unit, the rooms' first. */
static void add_unit_flows(ebi_balance_model *model, size_t stand) {
  const ebi_round *round = &model->readings->rounds[model->stands[stand].round];
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &model->job.side[s];
    const ebi_given *flow = round->unit_flow[side->rooms].given ? &round->unit_flow[side->rooms]
                                                                : &round->unit_flow[side->outdoors];
    if (side->network == NULL || !flow->given)
      continue;
    double deviation = hypot(OF_UNIT_FLOW * flow->value, USUAL_FLOOR);
    model->data[model->n_data++] = (ebi_datum){.kind = EBI_DATUM_FAN,
                                               .stand = stand,
                                               .side = s,
                                               .value = flow->value,
                                               .deviation = deviation,
                                               .repeat = deviation};
  }
}

static bool find_node(const ebi_balance_model *model, const char *at, int *s, ebi_node *node) {
  for (*s = 0; *s < EBI_SIDES; (*s)++) {
    const ebi_side *side = &model->job.side[*s];
    for (size_t m = 0; m < side->n_meetings; m++)
      if (ebi_text_equal(side->meetings[m].name, at) && side->meetings[m].n_ends > 0) {
        *node = ebi_side_end(side, side->meetings[m].ends[0])->node;
        return true;
      }
    for (size_t t = 0; t < side->n_terminals; t++) {
      const ebi_side_run *run = &side->runs[side->terminals[t].run];
      if (ebi_text_equal(run->run->name, at)) {
        *node = (side->supply ? &run->to : &run->from)->node;
        return true;
      }
    }
  }
  return false;
}

static void add_pressures(ebi_balance_model *model, size_t stand) {
  const ebi_round *round = &model->readings->rounds[model->stands[stand].round];
  for (size_t i = 0; i < round->n_pressures; i++) {
    const ebi_pressure_reading *read = &round->pressures[i];
    ebi_datum datum = {.kind = EBI_DATUM_PRESSURE, .stand = stand, .value = fabs(read->pressure)};
    if (ebi_text_equal(read->at, "house")) {
      datum.kind = EBI_DATUM_HOUSE;
      datum.value = read->pressure;
      datum.node = model->job.house_air.common;
    } else if (!find_node(model, read->at, &datum.side, &datum.node)) {
      continue;
    }
    datum.deviation = datum.repeat = hypot(OF_PRESSURE * read->pressure, OF_PRESSURE_FLOOR);
    model->data[model->n_data++] = datum;
  }
}

/* ---- All of it ---- */

/* A unit that bypasses or fights frost does not move the air it was set to. */
static bool comparable(const ebi_balance_model *model, const ebi_round *round, size_t number) {
  bool frost = round->frost != NULL && !ebi_text_equal(round->frost, "off");
  bool bypass = round->bypass != NULL && !ebi_text_equal(round->bypass, "shut");
  if (frost || bypass)
    ebi_diag(model->context, EB_WARNING, "round-not-used", round->where, NULL,
             "round %zu was read %s: its flows are not those of the unit as it is set and are not "
             "used; read it again with frost protection off and the bypass shut",
             number + 1, frost ? "in frost protection" : "with the bypass open");
  return !frost && !bypass;
}

eb_status ebi_balance_data(ebi_balance_model *model) {
  const eb_readings *readings = model->readings;
  size_t most = 1;
  for (size_t r = 0; r < readings->n_rounds; r++)
    most += readings->rounds[r].n_terminals + readings->rounds[r].n_pressures + EBI_SIDES;
  model->stands = EBI_NEW_ARRAY(model->scratch, ebi_stand, readings->n_rounds + 1);
  model->data = EBI_NEW_ARRAY(model->scratch, ebi_datum, most);
  model->predicted = EBI_NEW_ARRAY(model->scratch, double, most);
  model->carried = EBI_NEW_ARRAY(model->scratch, double, most);
  double *expected = EBI_NEW_ARRAY(model->scratch, double, model->n_unknowns + 1);
  if (model->stands == NULL || model->data == NULL || model->predicted == NULL ||
      model->carried == NULL || expected == NULL)
    return EB_E_MEMORY;
  ebi_balance_take(model, expected);
  for (size_t r = 0; r < readings->n_rounds; r++) {
    const ebi_round *round = &readings->rounds[r];
    if (!comparable(model, round, r))
      continue;
    eb_status status = take_stand(model, r);
    if (status != EB_OK)
      return status;
    status = add_terminals(model, model->n_stands - 1);
    if (status != EB_OK)
      return status;
    add_unit_flows(model, model->n_stands - 1);
    add_pressures(model, model->n_stands - 1);
  }
  return EB_OK;
}
