/* ducts_side.c - one side assembled into the network of the house */

#include "design/ducts.h"

static ebi_node end_node(const ebi_side *side, const ebi_side_run *run, bool at_to) {
  switch ((at_to ? &run->to : &run->from)->kind) {
  case EBI_END_UNIT:
    return at_to ? side->unit_in : side->unit_out;
  case EBI_END_OUTDOORS:
    return side->outside;
  case EBI_END_ROOM: /* before the valve; the terminal's part goes on from here */
    return ebi_network_node(side->network, run->run->name);
  case EBI_END_MEETING:
    break;
  }
  return (at_to ? &run->to : &run->from)->node;
}

static eb_status add_run(ebi_side *side, ebi_side_run *run) {
  run->from.node = end_node(side, run, false);
  run->to.node = end_node(side, run, true);
  ebi_element *elements = EBI_NEW_ARRAY(side->job->scratch, ebi_element, run->run->n_fittings + 5);
  if (elements == NULL || run->from.node == EBI_NONE || run->to.node == EBI_NONE)
    return EB_E_MEMORY;
  size_t count = ebi_run_elements(run, elements);
  count += ebi_end_loss(side, run, false, &elements[count]) ? 1 : 0;
  count += ebi_end_loss(side, run, true, &elements[count]) ? 1 : 0;
  count += ebi_run_stack(side->job, run, &elements[count]) ? 1 : 0;
  run->part = ebi_network_part(side->network, run->run->name, run->from.node, run->to.node,
                               run->air, elements, count);
  return run->part == EBI_NONE ? EB_E_MEMORY : ebi_leak_add(side, run);
}

static bool has_outdoor_runs(const ebi_side *side) {
  for (size_t i = 0; i < side->n_runs; i++)
    if (side->runs[i].run->air == side->outdoors)
      return true;
  return false;
}

/* The nodes every side has. Without outdoor runs the unit's own spigot is outdoors. */
static eb_status add_fixed_nodes(ebi_side *side) {
  side->unit_in = ebi_network_node(side->network, "unit");
  side->unit_out = ebi_network_node(side->network, "unit");
  side->outside = side->supply ? side->unit_in : side->unit_out;
  if (has_outdoor_runs(side))
    side->outside = ebi_network_node(side->network, "outdoors");
  if (side->unit_in == EBI_NONE || side->unit_out == EBI_NONE || side->outside == EBI_NONE)
    return EB_E_MEMORY;
  ebi_network_fix(side->network, side->outside, 0.0);
  return EB_OK;
}

eb_status ebi_side_assemble(ebi_side *side) {
  side->network = side->job->network;
  side->room_flow = EBI_NEW_ARRAY(side->job->scratch, double, side->job->house->n_rooms);
  if (side->room_flow == NULL)
    return EB_E_MEMORY;
  eb_status status = add_fixed_nodes(side);
  for (size_t m = 0; status == EB_OK && m < side->n_meetings; m++)
    status = ebi_meeting_build(side, &side->meetings[m]);
  for (size_t i = 0; status == EB_OK && i < side->n_runs; i++)
    status = add_run(side, &side->runs[i]);
  if (status == EB_OK)
    status = ebi_side_connect_terminals(side);
  return status == EB_OK ? ebi_side_fan(side) : status;
}
