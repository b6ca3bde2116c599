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

double ebi_rule_undercut(const ebi_rule_set *rules, double width, bool laid) {
  double gap = rules->transfer_area.value / width;
  if (laid)
    return gap;
  double finish = rules->undercut_bare.value - rules->undercut_laid.value;
  return fmax(rules->undercut_bare.value, gap + finish);
}

static void find_gaps(ebi_rates_plan *plan, eb_transfer *transfer, ebi_step flow) {
  const ebi_rule_set *rules = plan->rules;
  const ebi_door *door = narrowest_door(plan->house, transfer->room);
  if (door)
    transfer->door_width_m = door->width.value;
  else if (rules && rules->transfer_door_width.given)
    transfer->door_width_m = rules->transfer_door_width.value;
  if (transfer->door_width_m <= 0.0)
    return;
  ebi_step width =
      ebi_ledger_input(plan->ledger, door ? door->width.where : rules->entry.where,
                       transfer->door_width_m, EBI_LENGTH, "door of %s", transfer->room);
  ebi_step inputs[] = {flow, width};
  if (rules && rules->transfer_area.given) {
    ebi_cite cite = {"transfer.rule-gap", rules->transfer_source.text,
                     rules->transfer_source.known};
    transfer->rule_area_m2 = rules->transfer_area.value;
    transfer->rule_undercut_m =
        ebi_rule_undercut(rules, transfer->door_width_m, finish_laid(plan->house, transfer->room));
    ebi_ledger_step(plan->ledger, EBI_F_TRANSFER_GAP, &cite, transfer->rule_undercut_m, EBI_LENGTH,
                    &width, 1, "rule's gap at the door of %s", transfer->room);
  }
  transfer->undercut_for_1_pa_m =
      fabs(transfer->flow_m3_s) / speed_at_1_pa() / transfer->door_width_m;
  ebi_ledger_step(plan->ledger, EBI_F_TRANSFER_1_PA, NULL, transfer->undercut_for_1_pa_m,
                  EBI_LENGTH, inputs, 2, "gap for 1 Pa at the door of %s", transfer->room);
}

static double at_boost(const ebi_rates_plan *plan, ebi_side side, size_t room) {
  const ebi_room_duty *duty = &plan->duties[side][room];
  return duty->served ? duty->normal * plan->levels[1].factor : 0.0;
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
    transfer->flow_m3_s = at_boost(plan, EBI_SIDE_SUPPLY, i) - at_boost(plan, EBI_SIDE_EXTRACT, i);
    ebi_step inputs[] = {supply->normal_step, extract->normal_step, plan->levels[1].step};
    ebi_step flow =
        ebi_ledger_step(plan->ledger, EBI_F_TRANSFER, NULL, transfer->flow_m3_s, EBI_FLOW, inputs,
                        3, "air from %s to the rest at boost", transfer->room);
    find_gaps(plan, transfer, flow);
  }
  return transfers;
}
