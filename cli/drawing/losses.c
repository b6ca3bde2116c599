/* losses.c - the ways through the ducts, and what each step of them takes */

#include "drawing/losses.h"

#include <string.h>

double losses_sum(const losses *some) {
  double sum = 0;
  for (int kind = 0; kind < LOSS_KINDS; kind++)
    sum += some->of[kind];
  return sum;
}

/* ---- A side ---- */

static const eb_level_state *level_set(const eb_ducts *ducts) {
  for (size_t i = 0; i < ducts->n_levels; i++)
    if (ducts->levels[i].name == ducts->set_level)
      return &ducts->levels[i];
  return &ducts->levels[0];
}

bool loss_side_of(const eb_rates *rates, const eb_ducts *ducts, bool supply, loss_side *side) {
  const eb_level_state *level = level_set(ducts);
  *side = (loss_side){.name = supply ? "Supply" : "Extract",
                      .supply = supply,
                      .ducts = ducts,
                      .level = level,
                      .fan = supply ? &level->supply : &level->extract};
  /* Storeys do not matter here: the order is that of the ducts. */
  tree_bands one = {.n_storeys = 1, .count = 1, .merged = true};
  const char *index = side->fan->index_run;
  return duct_tree_of(rates, ducts, &one, supply ? EB_OUTDOOR : EB_EXHAUST, index,
                      &side->outside) &&
         duct_tree_of(rates, ducts, &one, supply ? EB_SUPPLY : EB_EXTRACT, index, &side->inside);
}

void loss_side_free(loss_side *side) {
  duct_tree_free(&side->outside);
  duct_tree_free(&side->inside);
}

const tree_run *loss_end(const loss_side *side, size_t from) {
  const tree_run *found = NULL;
  for (size_t i = 0; i < side->inside.count; i++) {
    const tree_run *run = &side->inside.runs[i];
    if (run->leaf && run->room != TREE_NO_ROOM && run->order >= from &&
        (!found || run->order < found->order))
      found = run;
  }
  return found;
}

/* ---- Ways ---- */

/* Along the air's way through the house; against it where a ring runs backward. */
static loss_step step_of(const loss_side *side, const tree_run *run) {
  const eb_run_info *info = &side->ducts->runs[run->run];
  const eb_run_state *state = &side->level->runs[run->run];
  bool away = info->air == EB_SUPPLY || info->air == EB_EXHAUST;
  double sign = strcmp(away ? info->to : info->from, run->outer) == 0 ? 1 : -1;
  loss_step step = {.name = info->name};
  step.lost.of[LOSS_DUCT] = sign * state->friction_pa;
  step.lost.of[LOSS_FITTINGS] = sign * state->fittings_pa;
  step.lost.of[LOSS_VALVE] = sign * state->valve_pa;
  step.lost.of[LOSS_STACK] = -sign * state->stack_pa;
  return step;
}

/* Where the way outside begins; any end will do, the losses to all are the same. */
static size_t outdoors(const duct_tree *outside) {
  size_t at = 0;
  while (at < outside->count &&
         !(outside->runs[at].leaf && strcmp(outside->runs[at].outer, "outdoors") == 0))
    at++;
  return at;
}

static size_t way_outside(const loss_side *side, loss_step *steps) {
  const duct_tree *tree = &side->outside;
  size_t count = 0;
  for (size_t at = outdoors(tree); at < tree->count; at = tree->runs[at].parent)
    steps[count++] = step_of(side, &tree->runs[at]);
  return count;
}

static size_t way_inside(const loss_side *side, const tree_run *end, loss_step *steps) {
  size_t count = 0;
  for (const tree_run *run = end; run;
       run = run->parent == TREE_UNIT ? NULL : &side->inside.runs[run->parent])
    steps[count++] = step_of(side, run);
  for (size_t i = 0; i < count / 2; i++) { /* it was found from its end */
    loss_step other = steps[i];
    steps[i] = steps[count - 1 - i];
    steps[count - 1 - i] = other;
  }
  return count;
}

size_t loss_way(const loss_side *side, const tree_run *end, loss_step *steps) {
  const eb_room_state *room = &side->level->rooms[end->room];
  size_t count = way_outside(side, steps);
  count += way_inside(side, end, steps + count);
  if (side->ducts->house_known) {
    steps[count] = (loss_step){.name = room->name};
    steps[count++].lost.of[LOSS_ROOM] = side->supply ? room->pressure_pa : -room->pressure_pa;
  }
  return count;
}

/* What is lost from a run of a tree on to the unit. */
static double lost_from(const loss_side *side, const duct_tree *tree, size_t at) {
  double sum = 0;
  for (; at < tree->count; at = tree->runs[at].parent) {
    losses lost = step_of(side, &tree->runs[at]).lost;
    sum += losses_sum(&lost);
  }
  return sum;
}

losses loss_of_way(const loss_side *side, const tree_run *end) {
  losses all = step_of(side, end).lost;
  double room = side->level->rooms[end->room].pressure_pa;
  all.of[LOSS_SHARED] = lost_from(side, &side->outside, outdoors(&side->outside)) +
                        lost_from(side, &side->inside, end->parent);
  if (side->ducts->house_known)
    all.of[LOSS_ROOM] = side->supply ? room : -room;
  return all;
}
