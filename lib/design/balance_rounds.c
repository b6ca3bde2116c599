/* balance_rounds.c - what was read in each round that counts, terminal by terminal */

#include <math.h>

#include "design/balance.h"

#define LIMITS_95 1.96

/* Design of a terminal at the level of a round, at the room's air. */
static double design_at(const ebi_balance_model *model, int s, size_t t, size_t level) {
  const ebi_side *side = &model->job.side[s];
  return ebi_ducts_room_flow(&model->job, ebi_terminal_design(side, &side->terminals[t], level));
}

/* A datum's place among the terminals as they are shown; their number where it has none. */
static size_t place_of(const ebi_balance_model *model, const eb_balance *balance, int s, size_t t) {
  const ebi_side *side = &model->job.side[s];
  const char *run = side->runs[side->terminals[t].run].run->name;
  size_t i = 0;
  while (i < balance->n_terminals && balance->terminals[i].run != run)
    i++;
  return i;
}

static void set_designs(const ebi_found *found, const eb_balance *balance, size_t level,
                        eb_balance_reading *flows) {
  const ebi_balance_model *model = found->model;
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++) {
      size_t place = place_of(model, balance, s, t);
      double design = design_at(model, s, t, level);
      if (place >= balance->n_terminals)
        continue;
      flows[place] = (eb_balance_reading){.design_m3_s = design,
                                          .low_m3_s = ebi_rule_lowest(&found->rule, design),
                                          .high_m3_s = ebi_rule_highest(&found->rule, design),
                                          .measured_m3_s = NAN,
                                          .error_m3_s = NAN};
    }
}

static void set_readings(const ebi_found *found, const eb_balance *balance, size_t stand,
                         eb_balance_reading *flows) {
  const ebi_balance_model *model = found->model;
  for (size_t i = 0; i < model->n_data; i++) {
    const ebi_datum *datum = &model->data[i];
    if (datum->kind != EBI_DATUM_TERMINAL || datum->stand != stand)
      continue;
    size_t place = place_of(model, balance, datum->side, datum->number);
    if (place >= balance->n_terminals)
      continue;
    eb_balance_reading *flow = &flows[place];
    flow->measured_m3_s = datum->value;
    flow->error_m3_s = LIMITS_95 * datum->repeat;
    flow->passes = ebi_rule_allows_flow(&found->rule, datum->value, flow->design_m3_s);
  }
}

eb_status ebi_balance_rounds(const ebi_found *found, ebi_arena *arena, eb_balance *balance) {
  const ebi_balance_model *model = found->model;
  eb_balance_round *rounds = EBI_NEW_ARRAY(arena, eb_balance_round, model->n_stands + 1);
  if (rounds == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < model->n_stands; i++) {
    const ebi_stand *stand = &model->stands[i];
    size_t level = ebi_ducts_rate_level(&model->job, model->readings->rounds[stand->round].level);
    level = level == EBI_NONE ? model->level : level;
    eb_balance_reading *flows = EBI_NEW_ARRAY(arena, eb_balance_reading, balance->n_terminals + 1);
    if (flows == NULL)
      return EB_E_MEMORY;
    set_designs(found, balance, level, flows);
    set_readings(found, balance, i, flows);
    rounds[i] = (eb_balance_round){
        .number = stand->round + 1, .level = model->rates->levels[level], .readings = flows};
  }
  balance->rounds = rounds;
  balance->n_rounds = model->n_stands;
  return EB_OK;
}
