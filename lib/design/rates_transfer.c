/* rates_transfer.c - air between rooms: what passes each door, and the gap for it */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

/* Sharp-edged gap; from memory, as the catalogue says. */
#define GAP_DISCHARGE 0.6

/* Flow that a gap of 1 m2 lets through at 1 Pa. */
static double speed_at_1_pa(void) {
  return GAP_DISCHARGE * sqrt(2.0 * 1.0 / EB_REFERENCE_DENSITY);
}

double ebi_gap_for_1_pa(double flow, double width) {
  return width > 0.0 ? fabs(flow) / speed_at_1_pa() / width : 0.0;
}

/* The narrowest door of a room, since it needs the largest gap; NULL: none. */
static const ebi_door *narrowest_door(const eb_house *house, const char *room) {
  const ebi_door *found = NULL;
  for (size_t i = 0; i < house->n_doors; i++) {
    const ebi_door *door = &house->doors[i];
    if (!door->width.given ||
        !(ebi_text_equal(door->between[0], room) || ebi_text_equal(door->between[1], room)))
      continue;
    if (!found || door->width.value < found->width.value)
      found = door;
  }
  return found;
}

static bool finish_laid(const eb_house *house, const char *room) {
  for (size_t i = 0; i < house->n_doors; i++) {
    const ebi_door *door = &house->doors[i];
    if (!door->finish_laid &&
        (ebi_text_equal(door->between[0], room) || ebi_text_equal(door->between[1], room)))
      return false;
  }
  return true;
}

/* ---- The rule's gap ---- */

double ebi_rates_outward(const ebi_rates_plan *plan, size_t room, size_t level) {
  double flow = 0.0;
  for (int side = 0; side < EBI_SIDES; side++) {
    const ebi_room_duty *duty = &plan->duties[side][room];
    double design = duty->served ? duty->normal * plan->levels[level].factor : 0.0;
    flow += side == EBI_SIDE_SUPPLY ? design : -design;
  }
  return flow;
}

/* Free area by the rules; 0 where they give none. */
static double rule_area(ebi_rates_plan *plan, const ebi_room *room) {
  const ebi_transfer_rule *rule = &plan->rules->transfer;
  ebi_term_result result = {0.0, EBI_NO_STEP, NULL};
  plan->transfer_flow = fabs(ebi_rates_outward(plan, (size_t)(room - plan->house->rooms), 0));
  ebi_use_terms_largest(plan, &rule->of_use, room, "free area at the door", &result);
  if (!result.governing && rule->area)
    ebi_term_evaluate(plan, rule->area, room, "free area at the door", &result);
  return result.governing ? result.flow : 0.0;
}

bool ebi_rule_gap(ebi_rates_plan *plan, const ebi_room *room, double width, bool laid,
                  ebi_gap *gap) {
  *gap = (ebi_gap){0.0, 0.0};
  if (!plan->rules || !plan->rules->transfer.given)
    return false;
  const ebi_transfer_rule *rule = &plan->rules->transfer;
  gap->area = rule_area(plan, room);
  gap->undercut = rule->undercut_laid.value;
  if (gap->area > 0.0 && width > 0.0)
    gap->undercut = gap->area / width;
  if (gap->area <= 0.0)
    gap->area = gap->undercut * width;
  if (!laid && rule->undercut_bare.given) {
    double finish = rule->undercut_bare.value - rule->undercut_laid.value;
    gap->undercut = fmax(rule->undercut_bare.value, gap->undercut + finish);
  }
  return true;
}

/* ---- At each room ---- */

static void find_gaps(ebi_rates_plan *plan, const ebi_room *room, eb_transfer *transfer,
                      ebi_step flow) {
  const ebi_rule_set *rules = plan->rules;
  const ebi_door *door = narrowest_door(plan->house, transfer->room);
  if (door)
    transfer->door_width_m = door->width.value;
  else if (rules && rules->transfer.door_width.given)
    transfer->door_width_m = rules->transfer.door_width.value;
  ebi_step width = EBI_NO_STEP;
  if (transfer->door_width_m > 0.0)
    width = ebi_ledger_input(plan->ledger, door ? door->width.where : rules->entry.where,
                             transfer->door_width_m, EBI_LENGTH, "door of %s", transfer->room);
  ebi_step inputs[] = {flow, width};
  ebi_gap gap;
  if (ebi_rule_gap(plan, room, transfer->door_width_m, finish_laid(plan->house, room->name),
                   &gap)) {
    ebi_cite cite = {"transfer.rule-gap", rules->transfer.source.text,
                     rules->transfer.source.known};
    transfer->rule_area_m2 = gap.area;
    transfer->rule_undercut_m = gap.undercut;
    ebi_ledger_step(plan->ledger, EBI_F_TRANSFER_GAP, &cite, transfer->rule_undercut_m, EBI_LENGTH,
                    &width, 1, "rule's gap at the door of %s", transfer->room);
  }
  if (transfer->door_width_m <= 0.0)
    return;
  transfer->undercut_for_1_pa_m = ebi_gap_for_1_pa(transfer->flow_m3_s, transfer->door_width_m);
  ebi_ledger_step(plan->ledger, EBI_F_TRANSFER_1_PA, NULL, transfer->undercut_for_1_pa_m,
                  EBI_LENGTH, inputs, 2, "gap for 1 Pa at the door of %s", transfer->room);
}

const eb_transfer *ebi_rates_transfers(ebi_rates_plan *plan, size_t *count) {
  size_t n = plan->house->n_rooms;
  eb_transfer *transfers = EBI_NEW_ARRAY(plan->arena, eb_transfer, n);
  *count = 0;
  for (size_t i = 0; transfers && i < n; i++) {
    const ebi_room_duty *supply = &plan->duties[EBI_SIDE_SUPPLY][i];
    const ebi_room_duty *extract = &plan->duties[EBI_SIDE_EXTRACT][i];
    if (!supply->served && !extract->served)
      continue;
    eb_transfer *transfer = &transfers[(*count)++];
    transfer->room = plan->house->rooms[i].name;
    transfer->flow_m3_s = ebi_rates_outward(plan, i, 1);
    ebi_step inputs[] = {supply->normal_step, extract->normal_step, plan->levels[1].step};
    ebi_step flow =
        ebi_ledger_step(plan->ledger, EBI_F_TRANSFER, NULL, transfer->flow_m3_s, EBI_FLOW, inputs,
                        3, "air from %s to the rest at boost", transfer->room);
    find_gaps(plan, &plan->house->rooms[i], transfer, flow);
  }
  return transfers;
}
