/* revisit.c - two visits to one house, years apart: what changed and why */

#include <math.h>

#include "base/result.h"
#include "base/text.h"
#include "design/record.h"

#define WORTH_TELLING 0.10 /* share of the flow before: less is within what hoods tell */
#define ALONE 0.15         /* a terminal's change beside that of its side */

void eb_revisit_free(const eb_revisit *revisit) {
  ebi_result_free(revisit);
}

/* ---- Flows of one visit ---- */

/* Corrected flows by run of the house at the set level; NAN where not read. */
static eb_status flows_of(eb_context *context, const eb_house *house, const eb_rates *rates,
                          const eb_readings *readings, double *flow, const char **level) {
  ebi_balance_model model = {
      .context = context, .house = house, .rates = rates, .readings = readings};
  ebi_diags_mark mark = ebi_diags_here(context);
  eb_status status = ebi_balance_begin(&model);
  if (status == EB_OK) {
    ebi_diags_take_back(context, mark); /* of the design, which `ducts` tells */
    status = ebi_balance_data(&model);
  }
  if (status == EB_OK) {
    *level = rates->levels[model.level];
    const ebi_stand *stand = ebi_last_stand(&model, *level);
    if (stand == NULL) {
      ebi_diag(context, EB_ERROR, "not-read", readings->where, NULL,
               "%s has no round at %s, the level at which valves are set", readings->file, *level);
      status = EB_E_INPUT;
    }
    for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
      for (size_t t = 0; t < model.job.side[s].n_terminals; t++) {
        const ebi_datum *datum = ebi_reading_in(&model, stand, s, t);
        const ebi_side *side = &model.job.side[s];
        if (datum != NULL)
          flow[side->runs[side->terminals[t].run].number] = datum->value;
      }
  }
  ebi_balance_end(&model);
  return status;
}

/* ---- What changed ---- */

static bool is_terminal(const ebi_run *run, const eb_house *house, const char **room) {
  *room = run->air == EB_SUPPLY ? run->to : run->air == EB_EXTRACT ? run->from : "";
  for (size_t r = 0; r < house->n_rooms; r++)
    if (ebi_text_equal(house->rooms[r].name, *room))
      return true;
  return false;
}

static double median(double *values, size_t count) {
  for (size_t i = 1; i < count; i++) {
    double moving = values[i];
    size_t at = i;
    for (; at > 0 && values[at - 1] > moving; at--)
      values[at] = values[at - 1];
    values[at] = moving;
  }
  if (count == 0)
    return NAN;
  return count % 2 == 1 ? values[count / 2] : 0.5 * (values[count / 2 - 1] + values[count / 2]);
}

static eb_status write_rows(const eb_house *house, const double *before, const double *after,
                            ebi_arena *arena, eb_revisit *revisit) {
  eb_revisit_row *rows = EBI_NEW_ARRAY(arena, eb_revisit_row, house->n_runs + 1);
  double *changes = EBI_NEW_ARRAY(arena, double, house->n_runs + 1);
  if (rows == NULL || changes == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < house->n_runs; i++) {
    const ebi_run *run = &house->runs[i];
    const char *room;
    if (is_terminal(run, house, &room))
      rows[revisit->n_rows++] = (eb_revisit_row){.run = run->name,
                                                 .room = room,
                                                 .supply = run->air == EB_SUPPLY,
                                                 .before_m3_s = before[i],
                                                 .after_m3_s = after[i],
                                                 .change = after[i] / before[i] - 1.0};
  }
  for (int s = 0; s < EBI_SIDES; s++) {
    size_t n = 0;
    for (size_t i = 0; i < revisit->n_rows; i++)
      if (rows[i].supply == (s == EBI_SUPPLY_SIDE) && isfinite(rows[i].change))
        changes[n++] = rows[i].change;
    revisit->side_change[s] = median(changes, n);
  }
  for (size_t i = 0; i < revisit->n_rows; i++) {
    double side = revisit->side_change[rows[i].supply ? EBI_SUPPLY_SIDE : EBI_EXTRACT_SIDE];
    rows[i].alone = fabs(rows[i].change - side) > ALONE;
  }
  revisit->rows = rows;
  return EB_OK;
}

/* A drop of all together is fan or filter; of one alone its branch (a field study of 42 homes saw
 * extract halved in five years by dirt and low settings; causes: common practice). */
static const char *side_cause(ebi_arena *arena, bool supply, double change) {
  if (!(fabs(change) > WORTH_TELLING))
    return ebi_arena_format(arena, "%s: no change worth telling (%+.0f %%)",
                            supply ? "supply" : "extract", 100.0 * change);
  return ebi_arena_format(
      arena,
      change < 0.0 ? "all of the %s has fallen by about %.0f %%: a loaded filter, a dirty or "
                     "blocked %s, a fan setting turned down"
                   : "all of the %s has risen by about %.0f %%: a fan setting turned up, a "
                     "filter left out (%s)",
      supply ? "supply" : "extract", 100.0 * fabs(change),
      supply ? "intake" : "set of valves and grilles");
}

static eb_status write_causes(ebi_arena *arena, eb_revisit *revisit) {
  const char **causes = EBI_NEW_ARRAY(arena, const char *, revisit->n_rows + EBI_SIDES);
  if (causes == NULL)
    return EB_E_MEMORY;
  for (int s = 0; s < EBI_SIDES; s++)
    if (isfinite(revisit->side_change[s])) {
      causes[revisit->n_causes++] =
          side_cause(arena, s == EBI_SUPPLY_SIDE, revisit->side_change[s]);
      if (causes[revisit->n_causes - 1] == NULL)
        return EB_E_MEMORY;
    }
  for (size_t i = 0; i < revisit->n_rows; i++) {
    const eb_revisit_row *row = &revisit->rows[i];
    if (!row->alone || !isfinite(row->change))
      continue;
    causes[revisit->n_causes++] = ebi_arena_format(
        arena,
        "%s (%s) alone has %s by %.0f %%: its valve was turned or is dirty, or its tube is %s",
        row->run, row->room, row->change < 0.0 ? "fallen" : "risen", 100.0 * fabs(row->change),
        row->change < 0.0 ? "crushed or choked" : "open before its end");
    if (causes[revisit->n_causes - 1] == NULL)
      return EB_E_MEMORY;
  }
  revisit->causes = causes;
  return EB_OK;
}

/* Of either visit, nothing read yet. */
static eb_status new_flows(ebi_arena *arena, size_t n_runs, double *flow[2]) {
  for (int v = 0; v < 2; v++) {
    flow[v] = EBI_NEW_ARRAY(arena, double, n_runs + 1);
    if (flow[v] == NULL)
      return EB_E_MEMORY;
    for (size_t i = 0; i < n_runs; i++)
      flow[v][i] = NAN;
  }
  return EB_OK;
}

eb_status eb_revisit_compare(eb_context *context, const eb_house *house, const eb_rates *rates,
                             const eb_readings *before, const eb_readings *after,
                             const eb_revisit **revisit) {
  if (context == NULL || house == NULL || rates == NULL || before == NULL || after == NULL ||
      revisit == NULL || rates->n_rooms != house->n_rooms || rates->n_levels == 0)
    return EB_E_ARGUMENT;
  eb_revisit *result = EBI_NEW_RESULT(context, eb_revisit);
  if (result == NULL)
    return EB_E_MEMORY;
  ebi_arena *arena = ebi_result_arena(result);
  double *flow[2];
  eb_status status = new_flows(arena, house->n_runs, flow);
  if (status == EB_OK)
    status = flows_of(context, house, rates, before, flow[0], &result->level);
  if (status == EB_OK)
    status = flows_of(context, house, rates, after, flow[1], &result->level);
  if (status == EB_OK)
    status = write_rows(house, flow[0], flow[1], arena, result);
  if (status == EB_OK)
    status = write_causes(arena, result);
  if (status == EB_OK && ebi_diags_failed(context))
    status = EB_E_MEMORY;
  if (status == EB_OK)
    *revisit = result;
  else
    ebi_result_free(result);
  return status;
}
