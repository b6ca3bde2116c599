/* rates_terms.c - what a rule asks: its terms evaluated for a house or a room */

#include "design/rates_plan.h"

#include <math.h>

#include "base/text.h"

ebi_step ebi_term_record(const ebi_rates_plan *plan, const ebi_term *term, ebi_formula formula,
                         double value, const ebi_step *inputs, size_t n_inputs, const char *what) {
  ebi_cite cite = {term->id, term->source.text, term->source.known};
  return ebi_ledger_step(plan->ledger, formula, &cite, value, term->value, inputs, n_inputs, "%s",
                         what);
}

/* ---- Kinds ---- */

static ebi_kind rate_kind(const ebi_term *term) {
  if (term->value != EBI_FLOW || term->every != 1.0 || term->power != 1.0)
    return term->value;
  switch (term->count.driver) {
  case EBI_PER_FLOOR_AREA:
  case EBI_PER_ENVELOPE_AREA:
  case EBI_PER_ROOM_AREA:
    return EBI_FLOW_PER_AREA;
  case EBI_PER_VOLUME:
  case EBI_PER_ROOM_VOLUME:
    return EBI_FLOW_PER_VOLUME;
  case EBI_PER_PERSON:
  case EBI_PER_SLEEPER:
  case EBI_PER_ROOM_SLEEPER:
    return EBI_FLOW_PER_PERSON;
  case EBI_PER_LEAKAGE_FLOW:
  case EBI_PER_TRANSFER_FLOW:
    return EBI_NUMBER;
  default:
    return EBI_FLOW;
  }
}

static bool evaluate_per(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                         const char *what, ebi_term_result *result) {
  ebi_figure count;
  if (!ebi_count_value(plan, &term->count, room, &count))
    return false;
  double units = count.value / term->every;
  if (term->power != 1.0)
    units = pow(units, term->power);
  ebi_step inputs[] = {ebi_ledger_input(plan->ledger, term->where, term->flow, rate_kind(term),
                                        "rate of %s", term->id),
                       count.step};
  result->flow = term->flow * units;
  result->step = ebi_term_record(plan, term, EBI_F_TERM_PER, result->flow, inputs, 2, what);
  return true;
}

/* How a list of terms takes in one more that applies. */
static void take_in(const ebi_term *term, const ebi_term_result *child, bool begun,
                    ebi_term_result *result) {
  if (term->kind == EBI_TERM_SUM)
    result->flow += child->flow;
  else if (!begun || (term->kind == EBI_TERM_LARGEST ? child->flow > result->flow
                                                     : child->flow < result->flow))
    *result = *child;
}

static const ebi_formula list_formulas[] = {[EBI_TERM_LARGEST] = EBI_F_TERM_LARGEST,
                                            [EBI_TERM_SMALLEST] = EBI_F_TERM_SMALLEST,
                                            [EBI_TERM_SUM] = EBI_F_TERM_SUM};

/* The larger, the smaller, or the sum, of the children that apply. */
static bool evaluate_list(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                          const char *what, ebi_term_result *result) {
  bool known = true, begun = false;
  ebi_step *steps = EBI_NEW_ARRAY(plan->arena, ebi_step, term->children.count);
  plan->no_memory = plan->no_memory || !steps;
  for (size_t i = 0; steps && i < term->children.count; i++) {
    ebi_term_result child;
    steps[i] = EBI_NO_STEP;
    if (!ebi_term_evaluate(plan, term->children.items[i], room, what, &child)) {
      known = false;
      continue;
    }
    steps[i] = child.step;
    if (!child.governing)
      continue;
    take_in(term, &child, begun, result);
    begun = true;
  }
  result->step = ebi_term_record(plan, term, list_formulas[term->kind], result->flow, steps,
                                 steps ? term->children.count : 0, what);
  return known;
}

static bool evaluate_first(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                           const char *what, ebi_term_result *result) {
  *result = (ebi_term_result){0.0, EBI_NO_STEP, NULL};
  for (size_t i = 0; i < term->children.count && !result->governing; i++)
    if (!ebi_term_evaluate(plan, term->children.items[i], room, what, result))
      return false;
  return true;
}

static bool evaluate_ratio(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                           const char *what, ebi_term_result *result) {
  ebi_term_result over, under;
  if (!ebi_term_evaluate(plan, term->children.items[0], room, what, &over) ||
      !ebi_term_evaluate(plan, term->children.items[1], room, what, &under))
    return false;
  ebi_step inputs[] = {over.step, under.step};
  result->flow = under.flow > 0.0 ? over.flow / under.flow : 0.0;
  result->step = ebi_term_record(plan, term, EBI_F_TERM_RATIO, result->flow, inputs, 2, what);
  return true;
}

static void evaluate_rooms(const ebi_rates_plan *plan, const ebi_term *term, const char *what,
                           ebi_term_result *result) {
  size_t n = plan->house->n_rooms, taken = 0;
  ebi_step *steps = EBI_NEW_ARRAY(plan->arena, ebi_step, n);
  const ebi_count rooms = {.of = term->of};
  bool boost = ebi_text_equal(term->level, "boost");
  for (size_t i = 0; i < n; i++) {
    const ebi_room_duty *duty = &plan->duties[term->supply ? EBI_SIDE_SUPPLY : EBI_SIDE_EXTRACT][i];
    bool high = boost && duty->high > duty->least;
    if (!ebi_count_takes(&rooms, &plan->house->rooms[i]))
      continue;
    result->flow += high ? duty->high : duty->least;
    if (steps)
      steps[taken++] = high ? duty->high_step : duty->least_step;
  }
  result->step = ebi_term_record(plan, term, EBI_F_TERM_ROOMS, result->flow, steps, taken, what);
}

static bool evaluate_kind(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                          const char *what, ebi_term_result *result) {
  switch (term->kind) {
  case EBI_TERM_PER:
    return evaluate_per(plan, term, room, what, result);
  case EBI_TERM_STEPS:
  case EBI_TERM_POLYNOMIAL:
  case EBI_TERM_BINS:
    return ebi_term_look_up(plan, term, room, what, result);
  case EBI_TERM_LARGEST:
  case EBI_TERM_SMALLEST:
  case EBI_TERM_SUM:
    return evaluate_list(plan, term, room, what, result);
  case EBI_TERM_FIRST:
    return evaluate_first(plan, term, room, what, result);
  case EBI_TERM_RATIO:
    return evaluate_ratio(plan, term, room, what, result);
  case EBI_TERM_SAME:
    return ebi_term_evaluate(plan, term->same, NULL, what, result);
  case EBI_TERM_SUM_OF_ROOMS:
    evaluate_rooms(plan, term, what, result);
    return true;
  case EBI_TERM_FLOW:
    break;
  }
  result->flow = term->flow;
  result->step = ebi_term_record(plan, term, EBI_F_TERM_FLOW, term->flow, NULL, 0, what);
  return true;
}

/* ---- What stands beside ---- */

static void change(const ebi_rates_plan *plan, const ebi_term *term, ebi_formula formula,
                   double value, ebi_step other, const char *what, ebi_term_result *result) {
  ebi_step inputs[] = {result->step, other};
  result->flow = value;
  result->step = ebi_term_record(plan, term, formula, value, inputs, 2, what);
}

static bool multiply(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                     const char *what, ebi_term_result *result) {
  for (size_t i = 0; i < term->times.count; i++) {
    ebi_term_result factor;
    if (!ebi_term_evaluate(plan, term->times.items[i], room, what, &factor))
      return false;
    if (factor.governing)
      change(plan, term, EBI_F_TERM_TIMES, result->flow * factor.flow, factor.step, what, result);
  }
  return true;
}

static bool take_off(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                     const char *what, ebi_term_result *result) {
  ebi_term_result less = {0.0, EBI_NO_STEP, NULL};
  if (term->less && !ebi_term_evaluate(plan, term->less, room, what, &less))
    return false;
  if (less.governing)
    change(plan, term, EBI_F_TERM_LESS, result->flow - less.flow, less.step, what, result);
  return true;
}

/* Halves go up, those too that arithmetic leaves a hair below. */
static void round_off(const ebi_rates_plan *plan, const ebi_term *term, const char *what,
                      ebi_term_result *result) {
  if (term->round_to > 0.0)
    change(plan, term, EBI_F_TERM_ROUND,
           floor(result->flow / term->round_to + 0.5 + 1e-9) * term->round_to, EBI_NO_STEP, what,
           result);
}

/* A bound that is a term and does not apply does not bind. */
static bool bound(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                  const char *what, double *value, ebi_step *step) {
  ebi_term_result result;
  if (!term)
    return true;
  if (!ebi_term_evaluate(plan, term, room, what, &result))
    return false;
  if (result.governing) {
    *value = result.flow;
    *step = result.step;
  }
  return true;
}

static bool clip(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room, const char *what,
                 ebi_term_result *result) {
  double least = term->at_least, most = term->at_most;
  ebi_step inputs[] = {result->step, EBI_NO_STEP, EBI_NO_STEP};
  if (!bound(plan, term->least_term, room, what, &least, &inputs[1]) ||
      !bound(plan, term->most_term, room, what, &most, &inputs[2]))
    return false;
  double clipped = fmin(fmax(result->flow, least), most);
  if (clipped != result->flow) {
    result->flow = clipped;
    result->governing = term;
    result->step = ebi_term_record(plan, term, EBI_F_TERM_CLIP, clipped, inputs, 3, what);
  }
  return true;
}

bool ebi_term_evaluate(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                       const char *what, ebi_term_result *result) {
  bool applies;
  *result = (ebi_term_result){0.0, EBI_NO_STEP, NULL};
  if (!ebi_conditions_hold(plan, &term->conditions, room, &applies))
    return false;
  if (!applies)
    return true;
  result->governing = term;
  if (!evaluate_kind(plan, term, room, what, result))
    return false;
  if (!result->governing)
    return true;
  if (!multiply(plan, term, room, what, result) || !take_off(plan, term, room, what, result))
    return false;
  round_off(plan, term, what, result);
  return clip(plan, term, room, what, result);
}

bool ebi_term_try(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                  const char *what, ebi_term_result *result) {
  bool before = plan->quiet;
  plan->quiet = true;
  bool known = ebi_term_evaluate(plan, term, room, what, result);
  plan->quiet = before;
  return known;
}

bool ebi_use_terms_largest(ebi_rates_plan *plan, const ebi_use_terms *terms, const ebi_room *room,
                           const char *what, ebi_term_result *result) {
  bool known = true;
  *result = (ebi_term_result){0.0, EBI_NO_STEP, NULL};
  for (size_t i = 0; i < terms->count; i++) {
    const ebi_count of_use = {.of = {&terms->items[i].use, 1}};
    ebi_term_result one;
    if (!ebi_count_takes(&of_use, room))
      continue;
    plan->use = terms->items[i].use;
    if (!ebi_term_evaluate(plan, terms->items[i].term, room, what, &one))
      known = false;
    else if (one.governing && (!result->governing || one.flow > result->flow))
      *result = one;
    plan->use = NULL;
  }
  return known;
}
