/* rates_terms.c - what a rule asks: its terms evaluated for a house or a room */

#include "design/rates_plan.h"

#include <math.h>

static ebi_cite cite_of(const ebi_term *term) {
  return (ebi_cite){term->id, term->source.text, term->source.known};
}

static ebi_step record(const ebi_rates_plan *plan, const ebi_term *term, ebi_formula formula,
                       double flow, const ebi_step *inputs, size_t n_inputs, const char *what) {
  ebi_cite cite = cite_of(term);
  return ebi_ledger_step(plan->ledger, formula, &cite, flow, EBI_FLOW, inputs, n_inputs, "%s",
                         what);
}

/* *applies is whether all conditions hold. False where an input is missing. */
static bool check_conditions(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                             bool *applies) {
  bool known = true;
  *applies = true;
  for (size_t i = 0; i < term->n_conditions; i++) {
    const ebi_condition *condition = &term->conditions[i];
    ebi_figure figure;
    if (!ebi_driver_value(plan, condition->driver, room, &figure))
      known = false;
    else if (figure.value < condition->at_least || figure.value > condition->at_most)
      *applies = false;
  }
  return known;
}

static ebi_kind rate_kind(ebi_driver driver) {
  switch (driver) {
  case EBI_PER_FLOOR_AREA:
  case EBI_PER_ROOM_AREA:
    return EBI_FLOW_PER_AREA;
  case EBI_PER_VOLUME:
  case EBI_PER_ROOM_VOLUME:
    return EBI_FLOW_PER_VOLUME;
  case EBI_PER_PERSON:
  case EBI_PER_ROOM_SLEEPER:
    return EBI_FLOW_PER_PERSON;
  default:
    return EBI_FLOW;
  }
}

static bool evaluate_per(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                         const char *what, ebi_term_result *result) {
  ebi_figure driver;
  if (!ebi_driver_value(plan, term->driver, room, &driver))
    return false;
  ebi_step inputs[] = {ebi_ledger_input(plan->ledger, term->where, term->flow,
                                        rate_kind(term->driver), "rate of %s", term->id),
                       driver.step};
  result->flow = term->flow * driver.value;
  result->step = record(plan, term, EBI_F_TERM_PER, result->flow, inputs, 2, what);
  return true;
}

static bool evaluate_steps(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                           const char *what, ebi_term_result *result) {
  ebi_figure driver;
  if (!ebi_driver_value(plan, term->driver, room, &driver))
    return false;
  size_t row = 0;
  while (row + 1 < term->n_steps && term->steps[row + 1].from <= driver.value)
    row++;
  if (!term->n_steps || driver.value < term->steps[0].from) {
    ebi_diag(plan->context, EB_ERROR, "rule-range", plan->house->where, term->source.text,
             "the table \"%s\" of the rules has no row for %g", term->id, driver.value);
    return false;
  }
  result->flow = term->steps[row].flow;
  if (row + 1 == term->n_steps)
    result->flow += term->each_further * (driver.value - term->steps[row].from);
  result->step = record(plan, term, EBI_F_TERM_STEPS, result->flow, &driver.step, 1, what);
  return true;
}

/* The larger, or the sum, of the children that apply. */
static bool evaluate_children(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                              const char *what, ebi_term_result *result) {
  bool known = true, sum = term->kind == EBI_TERM_SUM;
  ebi_step *steps = EBI_NEW_ARRAY(plan->arena, ebi_step, term->n_children);
  plan->no_memory = plan->no_memory || !steps;
  for (size_t i = 0; steps && i < term->n_children; i++) {
    ebi_term_result child;
    steps[i] = EBI_NO_STEP;
    if (!ebi_term_evaluate(plan, term->children[i], room, what, &child)) {
      known = false;
      continue;
    }
    steps[i] = child.step;
    if (!child.governing)
      continue;
    if (sum)
      result->flow += child.flow;
    else if (result->governing == term || child.flow > result->flow)
      *result = child;
  }
  result->step = record(plan, term, sum ? EBI_F_TERM_SUM : EBI_F_TERM_LARGEST, result->flow, steps,
                        steps ? term->n_children : 0, what);
  return known;
}

static void evaluate_rooms(const ebi_rates_plan *plan, const ebi_term *term, const char *what,
                           ebi_term_result *result) {
  size_t n = plan->house->n_rooms;
  ebi_step *steps = EBI_NEW_ARRAY(plan->arena, ebi_step, n);
  bool boost = term->level[0] == 'b';
  for (size_t i = 0; i < n; i++) {
    const ebi_room_duty *duty = &plan->duties[EBI_SIDE_EXTRACT][i];
    bool high = boost && duty->high > duty->least;
    result->flow += high ? duty->high : duty->least;
    if (steps)
      steps[i] = high ? duty->high_step : duty->least_step;
  }
  result->step = record(plan, term, EBI_F_TERM_ROOMS, result->flow, steps, steps ? n : 0, what);
}

static bool evaluate_kind(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                          const char *what, ebi_term_result *result) {
  switch (term->kind) {
  case EBI_TERM_PER:
    return evaluate_per(plan, term, room, what, result);
  case EBI_TERM_STEPS:
    return evaluate_steps(plan, term, room, what, result);
  case EBI_TERM_LARGEST:
  case EBI_TERM_SUM:
    return evaluate_children(plan, term, room, what, result);
  case EBI_TERM_SUM_OF_ROOMS:
    evaluate_rooms(plan, term, what, result);
    return true;
  case EBI_TERM_FLOW:
    break;
  }
  result->flow = term->flow;
  result->step = record(plan, term, EBI_F_TERM_FLOW, term->flow, NULL, 0, what);
  return true;
}

bool ebi_term_evaluate(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                       const char *what, ebi_term_result *result) {
  bool applies;
  *result = (ebi_term_result){0.0, EBI_NO_STEP, NULL};
  if (!check_conditions(plan, term, room, &applies))
    return false;
  if (!applies)
    return true;
  result->governing = term;
  if (!evaluate_kind(plan, term, room, what, result))
    return false;
  double clipped = fmin(fmax(result->flow, term->at_least), term->at_most);
  if (clipped != result->flow) {
    result->flow = clipped;
    result->governing = term;
    result->step = record(plan, term, EBI_F_TERM_CLIP, clipped, &result->step, 1, what);
  }
  return true;
}
