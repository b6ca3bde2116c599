/* rates.c - the air plan of a house, stage by stage */

#include "design/rates_plan.h"

#include <math.h>
#include <string.h>

#include "base/result.h"

/* What eb_rates is the first part of. */
/* ---- Stages ---- */

static bool went_wrong(const ebi_rates_plan *plan) {
  return plan->no_memory || ebi_diag_errors(plan->context) != plan->errors;
}

static void find_whole(ebi_rates_plan *plan) {
  plan->governed_by = "none";
  plan->whole.step = EBI_NO_STEP;
  if (!plan->rules || !plan->rules->whole_dwelling)
    return;
  ebi_term_result result;
  if (!ebi_term_evaluate(plan, plan->rules->whole_dwelling, NULL, "whole dwelling required",
                         &result))
    return;
  plan->whole = (ebi_figure){result.flow, result.step};
  if (result.governing)
    plan->governed_by = result.governing->id;
}

/* All that is missing is told in one go, so no stage before the sharing stops. */
static bool find_requirements(ebi_rates_plan *plan) {
  if (!plan->house->n_rooms)
    ebi_diag(plan->context, EB_ERROR, "input-missing", plan->house->where, NULL,
             "there are no rooms; write \"rooms:\" with a name, a use and an area for each");
  ebi_rates_rooms(plan);
  if (plan->no_memory)
    return false;
  ebi_rates_level_list(plan);
  find_whole(plan);
  ebi_rates_level_requirements(plan);
  ebi_rates_weights(plan);
  return !went_wrong(plan);
}

/* ---- Results ---- */

static double required_at(const ebi_room_duty *duty, size_t level) {
  if (level == 0)
    return duty->least;
  return level == 1 ? fmax(duty->least, duty->high) : 0.0;
}

static const eb_duty *duty_levels(ebi_rates_plan *plan, ebi_side side, size_t room) {
  const ebi_room_duty *duty = &plan->duties[side][room];
  if (!duty->served)
    return NULL;
  eb_duty *levels = EBI_NEW_ARRAY(plan->arena, eb_duty, plan->n_levels);
  plan->no_memory = plan->no_memory || !levels;
  for (size_t i = 0; levels && i < plan->n_levels; i++) {
    const ebi_level_factor *level = &plan->levels[i];
    levels[i] = (eb_duty){required_at(duty, i), duty->normal * level->factor};
    ebi_step inputs[] = {duty->normal_step, level->step};
    if (i > 0)
      ebi_ledger_step(plan->ledger, EBI_F_LEVEL_FLOW, NULL, levels[i].design_m3_s, EBI_FLOW, inputs,
                      2, "%s %s at %s", plan->house->rooms[room].name, ebi_side_name(side),
                      level->name);
  }
  return levels;
}

/* "living, kitchen" */
static const char *join_uses(ebi_rates_plan *plan, const ebi_room *room) {
  const char *joined = room->n_uses ? room->uses[0] : "";
  for (size_t i = 1; joined && i < room->n_uses; i++)
    joined = ebi_arena_format(plan->arena, "%s, %s", joined, room->uses[i]);
  plan->no_memory = plan->no_memory || !joined;
  return joined;
}

static void fill_rooms(ebi_rates_plan *plan, eb_rates *rates) {
  size_t n = plan->house->n_rooms;
  eb_room_rates *rooms = EBI_NEW_ARRAY(plan->arena, eb_room_rates, n);
  plan->no_memory = plan->no_memory || !rooms;
  for (size_t i = 0; rooms && i < n; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    rooms[i] = (eb_room_rates){.name = room->name,
                               .use = join_uses(plan, room),
                               .area_m2 = room->area.given ? room->area.value : 0.0,
                               .volume_m3 = room->volume.given ? room->volume.value : 0.0,
                               .supply = duty_levels(plan, EBI_SIDE_SUPPLY, i),
                               .extract = duty_levels(plan, EBI_SIDE_EXTRACT, i),
                               .storey = room->storey};
  }
  if (rooms) {
    ebi_rates_openings(plan, rates, rooms);
    ebi_rates_co2(plan, rates, rooms);
  }
  rates->rooms = rooms;
  rates->n_rooms = n;
}

static const double *totals(ebi_rates_plan *plan, ebi_side side) {
  double *sums = EBI_NEW_ARRAY(plan->arena, double, plan->n_levels);
  plan->no_memory = plan->no_memory || !sums;
  for (size_t i = 0; sums && i < plan->n_levels; i++)
    sums[i] = plan->side_total[side].value * plan->levels[i].factor;
  return sums;
}

static void fill_levels(ebi_rates_plan *plan, eb_rates *rates) {
  const char **names = EBI_NEW_ARRAY(plan->arena, const char *, plan->n_levels);
  plan->no_memory = plan->no_memory || !names;
  for (size_t i = 0; names && i < plan->n_levels; i++)
    names[i] = plan->levels[i].name;
  rates->levels = names;
  rates->n_levels = plan->n_levels;
  rates->supply_total_m3_s = totals(plan, EBI_SIDE_SUPPLY);
  rates->extract_total_m3_s = totals(plan, EBI_SIDE_EXTRACT);
}

/* Size of the dwelling: given, else that of the rooms where all have it, else 0. */
static double dwelling_size(const eb_house *house, bool area) {
  const ebi_given *given = area ? &house->floor_area : &house->volume;
  double sum = 0.0;
  if (given->given)
    return given->value;
  for (size_t i = 0; i < house->n_rooms; i++) {
    const ebi_given *part = area ? &house->rooms[i].area : &house->rooms[i].volume;
    if (!part->given)
      return 0.0;
    sum += part->value;
  }
  return sum;
}

static void fill_rules(ebi_rates_plan *plan, eb_rates *rates) {
  const ebi_entry *entry = plan->rules ? &plan->rules->entry : NULL;
  rates->rules = entry ? entry->name : "none";
  rates->rules_title = entry ? entry->title : "";
  rates->rules_source = entry ? entry->source.text : "";
  rates->rules_known = entry ? entry->source.known : "";
}

static void fill(ebi_rates_plan *plan, eb_rates *rates) {
  fill_rules(plan, rates);
  rates->floor_area_m2 = dwelling_size(plan->house, true);
  rates->volume_m3 = dwelling_size(plan->house, false);
  rates->required_m3_s = plan->whole.value;
  rates->boost_required_m3_s = plan->boost_required.value;
  rates->governed_by = plan->governed_by;
  fill_levels(plan, rates);
  fill_rooms(plan, rates);
  ebi_rates_flows(plan, rates);
  rates->transfers = ebi_rates_transfers(plan, &rates->n_transfers);
  rates->doors = ebi_rates_doors(plan, &rates->n_doors);
  plan->no_memory = plan->no_memory || !rates->transfers || !rates->doors;
}

static eb_status make(ebi_rates_plan *plan, eb_rates *rates) {
  if (find_requirements(plan))
    ebi_rates_levels(plan);
  if (!went_wrong(plan))
    fill(plan, rates);
  if (!went_wrong(plan)) {
    ebi_rates_findings(plan, rates);
    ebi_combustion_findings(plan, rates);
  }
  if (plan->no_memory || ebi_diags_failed(plan->context) || ebi_ledger_status(plan->ledger))
    return EB_E_MEMORY;
  if (went_wrong(plan))
    return EB_E_INPUT;
  double sum = rates->boost_required_m3_s;
  for (int side = 0; side < EBI_SIDES; side++)
    sum += plan->side_total[side].value * plan->levels[1].factor;
  return isfinite(sum) ? EB_OK : EB_E_RANGE;
}

eb_status eb_rates_plan(eb_context *context, const eb_house *house, const eb_rates_options *options,
                        eb_ledger *ledger, const eb_rates **rates) {
  if (!context || !house || !rates || (options && options->size < sizeof options->size))
    return EB_E_ARGUMENT;
  eb_rates *result = EBI_NEW_RESULT(context, eb_rates);
  ebi_arena *arena = result ? ebi_result_arena(result) : NULL;
  unsigned char *missing = result ? EBI_NEW_ARRAY(arena, unsigned char, house->n_rooms) : NULL;
  eb_status status = EB_E_MEMORY;
  if (missing) {
    ebi_rates_plan plan = {.context = context,
                           .house = house,
                           .rules = house->rules,
                           .ledger = ledger,
                           .arena = arena,
                           .room_missing = missing,
                           .errors = ebi_diag_errors(context)};
    status = make(&plan, result);
  }
  if (status == EB_OK)
    *rates = result;
  else
    ebi_result_free(result);
  return status;
}

void eb_rates_free(const eb_rates *rates) {
  ebi_result_free(rates);
}
