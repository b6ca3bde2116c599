/* rates_rooms.c - what each room must give and get by the rules, or by its owner */

#include "design/rates_plan.h"

#include "base/text.h"

const char *ebi_side_name(ebi_side side) {
  return side == EBI_SIDE_SUPPLY ? "supply" : "extract";
}

const ebi_use_rule *ebi_use_of(const ebi_rule_set *rules, const char *use) {
  for (size_t i = 0; rules && i < rules->n_uses; i++)
    if (ebi_text_equal(rules->uses[i].use, use))
      return &rules->uses[i];
  return NULL;
}

/* A use the rules do not know is an error with the nearest they do know. */
static void unknown_use(ebi_rates_plan *plan, const ebi_room *room, const char *use) {
  size_t n = plan->rules->n_uses;
  const char **names = EBI_NEW_ARRAY(plan->arena, const char *, n);
  plan->no_memory = plan->no_memory || !names;
  for (size_t i = 0; names && i < n; i++)
    names[i] = plan->rules->uses[i].use;
  const char *near = names ? ebi_text_nearest(use, names, n) : NULL;
  ebi_diag(plan->context, EB_ERROR, "use-unknown", room->where, NULL,
           "the rules \"%s\" know no use \"%s\"%s%s%s", plan->rules->entry.name, use,
           near ? "; did you mean \"" : "", near ? near : "", near ? "\"?" : "");
}

/* The larger of what a room's uses ask for at a level: a bathroom with a WC in
 * it has one rate, not two. */
static void room_term(ebi_rates_plan *plan, const ebi_room *room, const ebi_room_rule *rule,
                      ebi_room_duty *duty) {
  bool boost = ebi_text_equal(rule->level, "boost");
  plan->use = rule->use;
  const char *what = ebi_arena_format(
      plan->arena, "%s %s required at %s", room->name,
      ebi_side_name(rule->supply ? EBI_SIDE_SUPPLY : EBI_SIDE_EXTRACT), rule->level);
  ebi_term_result result;
  plan->no_memory = plan->no_memory || !what;
  bool known = what && ebi_term_evaluate(plan, rule->term, room, what, &result);
  plan->use = NULL;
  if (!known || !result.governing)
    return;
  double *flow = boost ? &duty->high : &duty->least;
  if (result.flow <= *flow)
    return;
  *flow = result.flow;
  *(boost ? &duty->high_step : &duty->least_step) = result.step;
  duty->source = result.governing->source.text;
}

static void rules_of_use(ebi_rates_plan *plan, size_t at, const ebi_use_rule *use) {
  ebi_room_duty *supply = &plan->duties[EBI_SIDE_SUPPLY][at];
  ebi_room_duty *extract = &plan->duties[EBI_SIDE_EXTRACT][at];
  supply->by_rule = supply->by_rule || use->supplied;
  extract->by_rule = extract->by_rule || use->extracted;
  for (size_t i = 0; i < plan->rules->n_room_rules; i++) {
    const ebi_room_rule *rule = &plan->rules->room_rules[i];
    if (ebi_text_equal(rule->use, use->use))
      room_term(plan, &plan->house->rooms[at], rule, rule->supply ? supply : extract);
  }
}

/* The user's flow at the level where valves are set; one at boost needs it too
 * unless rules give the room a share. */
static void own_flow(ebi_rates_plan *plan, const ebi_room *room, ebi_side side,
                     ebi_room_duty *duty) {
  const ebi_flow_by_level *flow = side == EBI_SIDE_SUPPLY ? &room->supply : &room->extract;
  duty->fixed = flow->normal.given;
  duty->own = flow->normal.given ? flow->normal.value : 0.0;
  duty->own_boost = flow->boost.given ? flow->boost.value : 0.0;
  duty->served = duty->by_rule || flow->normal.given || flow->boost.given;
  if (flow->boost.given && !flow->normal.given && !duty->by_rule)
    ebi_diag(plan->context, EB_ERROR, "input-missing", room->where, NULL,
             "\"%s\" has %s at boost but none at normal; write %s: {normal: ..., boost: ...}",
             room->name, ebi_side_name(side), ebi_side_name(side));
}

static ebi_room_duty *new_duties(ebi_rates_plan *plan) {
  ebi_room_duty *duties = EBI_NEW_ARRAY(plan->arena, ebi_room_duty, plan->house->n_rooms);
  plan->no_memory = plan->no_memory || !duties;
  for (size_t i = 0; duties && i < plan->house->n_rooms; i++)
    duties[i].least_step = duties[i].high_step = duties[i].weight_step = duties[i].normal_step =
        EBI_NO_STEP;
  return duties;
}

void ebi_rates_rooms(ebi_rates_plan *plan) {
  for (int side = 0; side < EBI_SIDES; side++)
    plan->duties[side] = new_duties(plan);
  if (plan->no_memory)
    return;
  for (size_t i = 0; i < plan->house->n_rooms; i++) {
    const ebi_room *room = &plan->house->rooms[i];
    for (size_t j = 0; plan->rules && j < room->n_uses; j++) {
      const ebi_use_rule *use = ebi_use_of(plan->rules, room->uses[j]);
      if (use)
        rules_of_use(plan, i, use);
      else
        unknown_use(plan, room, room->uses[j]);
    }
    own_flow(plan, room, EBI_SIDE_SUPPLY, &plan->duties[EBI_SIDE_SUPPLY][i]);
    own_flow(plan, room, EBI_SIDE_EXTRACT, &plan->duties[EBI_SIDE_EXTRACT][i]);
  }
}
