/* record_levels.c - design against measured, terminal by terminal and level by level */

#include <math.h>

#include "base/text.h"
#include "design/record.h"

#define LIMITS_95 1.96
#define HOURS_OF_DAY 24.0
#define SECONDS_PER_HOUR 3600.0

/* ---- Rows ---- */

static const ebi_terminal_reading *typed_of(const ebi_balance_model *model, const ebi_stand *stand,
                                            size_t run) {
  const ebi_round *round = &model->readings->rounds[stand->round];
  for (size_t i = 0; i < round->n_terminals; i++)
    if (round->terminals[i].run == run)
      return &round->terminals[i];
  return NULL;
}

static double design_at(const ebi_balance_model *model, const ebi_side *side,
                        const ebi_terminal *terminal, size_t level) {
  return ebi_ducts_room_flow(&model->job, ebi_terminal_design(side, terminal, level));
}

static eb_record_row row_of(const ebi_recording *r, const ebi_stand *stand, int s, size_t t,
                            size_t level) {
  const ebi_balance_model *model = r->model;
  const ebi_side *side = &model->job.side[s];
  const ebi_terminal *terminal = &side->terminals[t];
  const ebi_side_run *run = &side->runs[terminal->run];
  const ebi_terminal_reading *typed = typed_of(model, stand, run->number);
  const ebi_datum *datum = ebi_reading_in(model, stand, s, t);
  eb_record_row row = {
      .run = run->run->name,
      .room = model->house->rooms[terminal->room].name,
      .level = model->rates->levels[level],
      .supply = side->supply,
      .design_m3_s = design_at(model, side, terminal, level),
      .required_m3_s =
          terminal->share *
          ebi_ducts_room_flow(&model->job, ebi_room_required(side, terminal->room, level)),
      .measured_m3_s = NAN,
      .error_m3_s = NAN,
      .unread = typed == NULL ? "not in the readings" : typed->unread,
      .note = typed == NULL || typed->note == NULL ? "" : typed->note};
  if (datum == NULL)
    return row;
  const ebi_instrument *instrument = &model->readings->rounds[stand->round].instrument;
  double bias = instrument->bias.given ? instrument->bias.value * datum->value : 0.0;
  row.measured_m3_s = datum->value;
  row.error_m3_s = hypot(LIMITS_95 * datum->repeat, bias);
  row.written =
      typed != NULL && typed->n_flows > 0 && typed->written != NULL ? typed->written[0] : NULL;
  row.passes = ebi_rule_allows_flow(&r->rule, row.measured_m3_s, row.design_m3_s);
  return row;
}

/* ---- Levels ---- */

static double power_of(const ebi_recording *r, const ebi_stand *stand) {
  const ebi_round *round = &r->model->readings->rounds[stand->round];
  return round->power.given ? round->power.value : (double)NAN;
}

/* Of a level all of whose terminals were read. */
static void judge(const ebi_recording *r, eb_record_level *level, bool all_pass) {
  const ebi_balance_model *model = r->model;
  const double read[] = {level->supply_m3_s, level->extract_m3_s};
  const double design[] = {level->design_supply_m3_s, level->design_extract_m3_s};
  if (model->job.side[0].network != NULL && model->job.side[1].network != NULL)
    level->imbalance = ebi_balance_imbalance(&r->rule, read[0], read[1]);
  level->passes = all_pass && ebi_rule_allows_totals(model, &r->rule, read, design);
}

static void write_level(ebi_recording *r, size_t l, eb_record_row *rows, eb_record_level *level) {
  const ebi_balance_model *model = r->model;
  const ebi_stand *stand = ebi_last_stand(model, model->rates->levels[l]);
  const ebi_tariff *tariff = &model->house->electricity;
  bool all = true, pass = true;
  double total[EBI_SIDES] = {0.0, 0.0}, design[EBI_SIDES] = {0.0, 0.0};
  *level = (eb_record_level){.name = model->rates->levels[l],
                             .read = stand != NULL,
                             .supply_signal = NAN,
                             .extract_signal = NAN,
                             .supply_m3_s = NAN,
                             .extract_m3_s = NAN,
                             .imbalance = NAN,
                             .power_w = NAN,
                             .specific_fan_power = NAN,
                             .cost_per_day = NAN};
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t t = 0; t < model->job.side[s].n_terminals; t++) {
      const ebi_side *side = &model->job.side[s];
      if (side->terminals[t].idle)
        continue;
      design[s] += design_at(model, side, &side->terminals[t], l);
      if (stand == NULL)
        continue;
      eb_record_row *row = &rows[r->record->n_rows++];
      *row = row_of(r, stand, s, t, l);
      all = all && !isnan(row->measured_m3_s);
      pass = pass && row->passes;
      total[s] += row->measured_m3_s;
    }
  level->design_supply_m3_s = design[EBI_SUPPLY_SIDE];
  level->design_extract_m3_s = design[EBI_EXTRACT_SIDE];
  if (stand == NULL)
    return;
  level->supply_signal = stand->signal[EBI_SUPPLY_SIDE];
  level->extract_signal = stand->signal[EBI_EXTRACT_SIDE];
  level->power_w = power_of(r, stand);
  if (tariff->given && !isnan(level->power_w))
    level->cost_per_day = tariff->price * level->power_w * HOURS_OF_DAY * SECONDS_PER_HOUR;
  if (!all)
    return;
  level->supply_m3_s = total[EBI_SUPPLY_SIDE];
  level->extract_m3_s = total[EBI_EXTRACT_SIDE];
  level->specific_fan_power =
      level->power_w / ebi_ducts_ref(&model->job, fmax(level->supply_m3_s, level->extract_m3_s));
  judge(r, level, pass);
}

void ebi_record_levels(ebi_recording *r) {
  const ebi_balance_model *model = r->model;
  size_t n = model->rates->n_levels;
  eb_record_row *rows = EBI_NEW_ARRAY(r->arena, eb_record_row, n * model->job.n_terminals + 1);
  eb_record_level *levels = EBI_NEW_ARRAY(r->arena, eb_record_level, n + 1);
  r->failed = r->failed || rows == NULL || levels == NULL;
  if (rows == NULL || levels == NULL)
    return;
  r->record->passes = true;
  bool any = false;
  for (size_t l = 0; l < n; l++) {
    write_level(r, l, rows, &levels[l]);
    any = any || levels[l].read;
    r->record->passes = r->record->passes && (!levels[l].read || levels[l].passes);
  }
  r->record->passes = r->record->passes && any;
  r->record->rows = rows;
  r->record->levels = levels;
  r->record->n_levels = n;
}
