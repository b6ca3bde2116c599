/* rates_tables.c - terms that look a flow up: steps, polynomials, bins */

#include "design/rates_plan.h"

static bool no_row(const ebi_rates_plan *plan, const ebi_term *term, double value) {
  if (!plan->quiet)
    ebi_diag(plan->context, EB_ERROR, "rule-range", plan->house->where, term->source.text,
             "the table \"%s\" of the rules has no row for %g", term->id, value);
  return false;
}

static bool look_up_steps(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                          const char *what, ebi_term_result *result) {
  ebi_figure count;
  if (!ebi_count_value(plan, &term->count, room, &count))
    return false;
  size_t row = 0;
  while (row + 1 < term->n_steps && term->steps[row + 1].from <= count.value)
    row++;
  if (!term->n_steps || count.value < term->steps[0].from)
    return no_row(plan, term, count.value);
  result->flow = term->steps[row].flow;
  if (row + 1 == term->n_steps)
    result->flow += term->each_further * (count.value - term->steps[row].from);
  result->step = ebi_term_record(plan, term, EBI_F_TERM_STEPS, result->flow, &count.step, 1, what);
  return true;
}

/* Horner's scheme. */
static bool look_up_polynomial(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                               const char *what, ebi_term_result *result) {
  ebi_figure count;
  if (!ebi_count_value(plan, &term->count, room, &count))
    return false;
  double x = count.value / term->x_unit, sum = 0.0;
  for (size_t i = term->n_coefficients; i-- > 0;)
    sum = sum * x + term->coefficients[i];
  result->flow = sum * term->y_unit;
  result->step =
      ebi_term_record(plan, term, EBI_F_TERM_POLYNOMIAL, result->flow, &count.step, 1, what);
  return true;
}

/* Sizes written in other units come out a hair above a bound. */
#define BOUND_SLACK 1e-12

/* The bin a house falls into in one direction; 0 where the table has none. */
static bool find_bin(ebi_rates_plan *plan, const ebi_term *term, const ebi_bins *bins,
                     const ebi_room *room, size_t *at, ebi_step *step) {
  ebi_figure count;
  *at = 0;
  if (!bins->n)
    return true;
  if (!ebi_count_value(plan, &bins->count, room, &count))
    return false;
  *step = count.step;
  for (; *at < bins->n; ++*at) {
    double bound = bins->up_to[*at], slack = BOUND_SLACK * bound;
    if (bins->under[*at] ? count.value < bound - slack : count.value <= bound + slack)
      return true;
  }
  return no_row(plan, term, count.value);
}

static bool look_up_bins(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                         const char *what, ebi_term_result *result) {
  ebi_step inputs[] = {EBI_NO_STEP, EBI_NO_STEP};
  size_t down, across;
  if (!find_bin(plan, term, &term->down, room, &down, &inputs[0]) ||
      !find_bin(plan, term, &term->across, room, &across, &inputs[1]))
    return false;
  result->flow = term->cells[down * (term->across.n ? term->across.n : 1) + across];
  result->step = ebi_term_record(plan, term, EBI_F_TERM_BINS, result->flow, inputs, 2, what);
  return true;
}

bool ebi_term_look_up(ebi_rates_plan *plan, const ebi_term *term, const ebi_room *room,
                      const char *what, ebi_term_result *result) {
  if (term->kind == EBI_TERM_STEPS)
    return look_up_steps(plan, term, room, what, result);
  if (term->kind == EBI_TERM_POLYNOMIAL)
    return look_up_polynomial(plan, term, room, what, result);
  return look_up_bins(plan, term, room, what, result);
}
