/* rates_share.c - how the total is shared over the rooms at normal
 *
 * Each free room gets k x weight, k common to its side, but not less than its
 * rule asks. Weights are what the rules say. Where they leave extract free, it
 * is weighted by the high rates (own choice): then one boost factor brings all
 * rooms to their high rates at once. */

#include "design/rates_plan.h"

#include <math.h>

static double fill(const ebi_room_duty *duty) {
  return duty->fixed ? duty->normal : duty->least;
}

static bool is_free(const ebi_room_duty *duty) {
  return duty->served && !duty->fixed;
}

static size_t count_free(const ebi_rates_plan *plan, ebi_side side) {
  size_t count = 0;
  for (size_t i = 0; i < plan->house->n_rooms; i++)
    count += is_free(&plan->duties[side][i]) ? 1 : 0;
  return count;
}

/* ---- Weights ---- */

/* The rate that shows how much a room is meant to move. */
static void weigh_by_rule(ebi_room_duty *duty) {
  bool high = duty->high > 0.0;
  duty->weight = high ? duty->high : duty->least;
  duty->weight_step = high ? duty->high_step : duty->least_step;
  if (duty->own_boost > 0.0)
    duty->weight = duty->own_boost;
}

static void weigh_by_use(const ebi_rates_plan *plan, const ebi_room *room, ebi_room_duty *duty) {
  for (size_t i = 0; i < room->n_uses; i++) {
    const ebi_use_rule *use = ebi_use_of(plan->rules, room->uses[i]);
    if (use && use->weight > duty->weight)
      duty->weight = use->weight;
  }
  duty->weight_step = ebi_ledger_input(plan->ledger, room->where, duty->weight, EBI_NUMBER,
                                       "weight of %s", room->name);
}

static void weigh_by_size(ebi_rates_plan *plan, const ebi_room *room, ebi_split split,
                          ebi_room_duty *duty) {
  ebi_driver driver = split == EBI_SPLIT_AREA ? EBI_PER_ROOM_AREA : EBI_PER_ROOM_VOLUME;
  ebi_figure size;
  if (!ebi_driver_value(plan, driver, room, &size))
    return;
  duty->weight = size.value;
  duty->weight_step = size.step;
}

static ebi_split split_of(const ebi_rates_plan *plan, ebi_side side) {
  if (!plan->rules)
    return EBI_SPLIT_RULE;
  return side == EBI_SIDE_SUPPLY ? plan->rules->supply_split : plan->rules->extract_split;
}

static void weigh(ebi_rates_plan *plan, ebi_side side, size_t at) {
  const ebi_room *room = &plan->house->rooms[at];
  ebi_room_duty *duty = &plan->duties[side][at];
  ebi_split split = split_of(plan, side);
  if (split == EBI_SPLIT_RULE)
    weigh_by_rule(duty);
  else if (split == EBI_SPLIT_WEIGHTS)
    weigh_by_use(plan, room, duty);
  else if (split == EBI_SPLIT_EQUAL)
    duty->weight = 1.0;
  else
    weigh_by_size(plan, room, split, duty);
}

/* A single free room takes all, whatever its size; rooms without any weight
 * share alike. */
static void weigh_side(ebi_rates_plan *plan, ebi_side side) {
  size_t free_rooms = count_free(plan, side);
  double sum = 0.0;
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    ebi_room_duty *duty = &plan->duties[side][i];
    if (is_free(duty) && free_rooms > 1)
      weigh(plan, side, i);
    sum += is_free(duty) ? duty->weight : 0.0;
  }
  for (size_t i = 0; sum <= 0.0 && i < plan->house->n_rooms; i++)
    plan->duties[side][i].weight = 1.0;
}

void ebi_rates_weights(ebi_rates_plan *plan) {
  for (int side = 0; side < EBI_SIDES; side++)
    weigh_side(plan, (ebi_side)side);
}

/* ---- Flows ---- */

static void set_own_flows(ebi_rates_plan *plan, ebi_side side) {
  double factor = ebi_rates_set_factor(plan);
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    ebi_room_duty *duty = &plan->duties[side][i];
    if (duty->fixed)
      duty->normal = duty->own_boost > 0.0 ? duty->own : duty->own / factor;
  }
}

/* Rooms that stand at their least flow; the rest takes k x weight. Rooms fall
 * to their least together, since that only lowers k for the others. */
static double common_factor(ebi_room_duty *duties, size_t n, double total) {
  for (;;) {
    double rest = total, weights = 0.0;
    for (size_t i = 0; i < n; i++) {
      if (is_free(&duties[i]) && !duties[i].held)
        weights += duties[i].weight;
      else if (duties[i].served)
        rest -= fill(&duties[i]);
    }
    double k = weights > 0.0 && rest > 0.0 ? rest / weights : 0.0;
    bool changed = false;
    for (size_t i = 0; i < n; i++) {
      bool low = is_free(&duties[i]) && !duties[i].held && k * duties[i].weight < duties[i].least;
      duties[i].held = duties[i].held || low;
      changed = changed || low;
    }
    if (!changed)
      return k;
  }
}

static double share_side(ebi_rates_plan *plan, ebi_side side) {
  ebi_room_duty *duties = plan->duties[side];
  size_t n = plan->house->n_rooms;
  double sum = 0.0;
  for (size_t i = 0; i < n; i++)
    duties[i].held = false;
  double k = common_factor(duties, n, plan->total.value);
  for (size_t i = 0; i < n; i++) {
    if (is_free(&duties[i]))
      duties[i].normal = duties[i].held ? duties[i].least : k * duties[i].weight;
    sum += duties[i].served ? duties[i].normal : 0.0;
  }
  return sum;
}

void ebi_rates_share(ebi_rates_plan *plan) {
  plan->total.value = plan->whole.value;
  for (int side = 0; side < EBI_SIDES; side++) {
    set_own_flows(plan, (ebi_side)side);
    plan->side_least[side] = 0.0;
    for (size_t i = 0; i < plan->house->n_rooms; i++)
      if (plan->duties[side][i].served)
        plan->side_least[side] += fill(&plan->duties[side][i]);
    plan->total.value = fmax(plan->total.value, plan->side_least[side]);
  }
  for (int side = 0; side < EBI_SIDES; side++)
    plan->side_total[side].value = share_side(plan, (ebi_side)side);
}

/* ---- The ledger ---- */

static ebi_step record_own(const ebi_rates_plan *plan, ebi_side side, size_t at) {
  const ebi_room *room = &plan->house->rooms[at];
  const ebi_room_duty *duty = &plan->duties[side][at];
  const ebi_given *given = side == EBI_SIDE_SUPPLY ? &room->supply.normal : &room->extract.normal;
  ebi_step own = ebi_ledger_input(plan->ledger, given->where, duty->own, EBI_FLOW, "%s of %s",
                                  ebi_side_name(side), room->name);
  return ebi_ledger_step(plan->ledger, EBI_F_OWN_FLOW, NULL, duty->normal, EBI_FLOW, &own, 1,
                         "%s %s at normal", room->name, ebi_side_name(side));
}

/* The step of each free room's weight, and of their sum. */
static ebi_step record_weights(const ebi_rates_plan *plan, ebi_side side, ebi_step *steps) {
  static const ebi_kind kinds[] = {[EBI_SPLIT_VOLUME] = EBI_VOLUME,
                                   [EBI_SPLIT_AREA] = EBI_AREA,
                                   [EBI_SPLIT_WEIGHTS] = EBI_NUMBER,
                                   [EBI_SPLIT_RULE] = EBI_FLOW,
                                   [EBI_SPLIT_EQUAL] = EBI_NUMBER};
  ebi_split split = split_of(plan, side);
  double sum = 0.0;
  size_t n = 0;
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    if (!is_free(&plan->duties[side][i]))
      continue;
    sum += plan->duties[side][i].weight;
    steps[n++] = plan->duties[side][i].weight_step;
  }
  if (n < 2)
    return EBI_NO_STEP;
  return ebi_ledger_step(plan->ledger, EBI_F_WEIGHTS, NULL, sum, kinds[split], steps, n,
                         "weights of all %s rooms", ebi_side_name(side));
}

static void record_side(ebi_rates_plan *plan, ebi_side side, ebi_step *steps) {
  bool supply = side == EBI_SIDE_SUPPLY;
  ebi_step weights = record_weights(plan, side, steps);
  ebi_cite cite = {supply ? "rates.supply-share" : "rates.extract-share", "", ""};
  const ebi_source *source = !plan->rules ? NULL
                             : supply     ? &plan->rules->supply_split_source
                                          : &plan->rules->extract_split_source;
  bool cited = source && source->text && split_of(plan, side) != EBI_SPLIT_RULE;
  if (cited) {
    cite.source = source->text;
    cite.known = source->known;
  }
  size_t n = 0;
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    ebi_room_duty *duty = &plan->duties[side][i];
    if (!duty->served)
      continue;
    ebi_step inputs[] = {plan->total.step, duty->weight_step, weights, duty->least_step};
    duty->normal_step =
        duty->fixed
            ? record_own(plan, side, i)
            : ebi_ledger_step(plan->ledger, supply ? EBI_F_SUPPLY_SHARE : EBI_F_EXTRACT_SHARE,
                              cited ? &cite : NULL, duty->normal, EBI_FLOW, inputs, 4,
                              "%s %s at normal", plan->house->rooms[i].name, ebi_side_name(side));
    steps[n++] = duty->normal_step;
  }
  plan->side_total[side].step =
      ebi_ledger_step(plan->ledger, EBI_F_SIDE_TOTAL, NULL, plan->side_total[side].value, EBI_FLOW,
                      steps, n, "%s total at normal", ebi_side_name(side));
}

void ebi_rates_share_record(ebi_rates_plan *plan) {
  ebi_step *steps = EBI_NEW_ARRAY(plan->arena, ebi_step, plan->house->n_rooms);
  plan->no_memory = plan->no_memory || !steps;
  if (!steps || !plan->ledger)
    return;
  ebi_step inputs[] = {plan->whole.step, EBI_NO_STEP, EBI_NO_STEP};
  for (int side = 0; side < EBI_SIDES; side++)
    if (plan->side_least[side] > 0.0)
      inputs[side + 1] =
          ebi_ledger_step(plan->ledger, EBI_F_SIDE_LEAST, NULL, plan->side_least[side], EBI_FLOW,
                          NULL, 0, "least of all %s rooms", ebi_side_name((ebi_side)side));
  plan->total.step = ebi_ledger_step(plan->ledger, EBI_F_TOTAL, NULL, plan->total.value, EBI_FLOW,
                                     inputs, 3, "total of each side at normal");
  for (int side = 0; side < EBI_SIDES; side++)
    record_side(plan, (ebi_side)side, steps);
}
