/* compare_air.c - rows of the air: what is required and met, totals, imbalance
 *
 * What counts is what is delivered where there are ducts, else what is planned.
 */

#include "design/compare.h"

#include <math.h>

#include "base/text.h"

/* Shares that are short by less are met; as the findings of the ducts have it.
 */
#define SHORT 1e-6

const eb_level_state *ebi_compare_level(const eb_compare_input *input, const char *name) {
  for (size_t l = 0; input->ducts != NULL && l < input->ducts->n_levels; l++)
    if (ebi_text_equal(input->ducts->levels[l].name, name))
      return &input->ducts->levels[l];
  return NULL;
}

#define NO_LEVEL ((size_t)-1)

static size_t rate_level(const eb_compare_input *in, const char *name) {
  for (size_t l = 0; in->rates != NULL && l < in->rates->n_levels; l++)
    if (ebi_text_equal(in->rates->levels[l], name))
      return l;
  return NO_LEVEL;
}

/* A plan, and the ducts solved where there are any. */
static bool known(const eb_compare_input *in, const char *level) {
  if (rate_level(in, level) == NO_LEVEL)
    return false;
  return in->house->n_runs == 0 || ebi_compare_level(in, level) != NULL;
}

static double side_total(const eb_compare_input *in, const char *level, bool supply) {
  const eb_level_state *state = ebi_compare_level(in, level);
  if (state != NULL)
    return (supply ? &state->supply : &state->extract)->flow_m3_s;
  size_t l = rate_level(in, level);
  return supply ? in->rates->supply_total_m3_s[l] : in->rates->extract_total_m3_s[l];
}

/* ---- Flows met ---- */

static void count_duty(double required, double got, ebi_compare_cell *cell) {
  if (!(required > 0.0))
    return;
  cell->of += 1.0;
  cell->value += got >= required * (1.0 - SHORT);
}

static void count_room(const eb_compare_input *in, size_t room, size_t level,
                       const eb_level_state *state, ebi_compare_cell *cell) {
  const eb_duty *supply = in->rates->rooms[room].supply, *extract = in->rates->rooms[room].extract;
  if (supply != NULL)
    count_duty(supply[level].required_m3_s,
               state != NULL ? state->rooms[room].supply.delivered_m3_s : supply[level].design_m3_s,
               cell);
  if (extract != NULL)
    count_duty(extract[level].required_m3_s,
               state != NULL ? state->rooms[room].extract.delivered_m3_s
                             : extract[level].design_m3_s,
               cell);
}

/* Rooms, and at normal the whole dwelling on each side that there is. */
static ebi_compare_cell flows_met(const ebi_comparing *c, size_t house, const void *key) {
  const eb_compare_input *in = &c->inputs[house];
  const char *name = key;
  if (!known(in, name))
    return ebi_compare_unknown;
  size_t level = rate_level(in, name);
  ebi_compare_cell cell = {0};
  for (size_t r = 0; r < in->rates->n_rooms; r++)
    count_room(in, r, level, ebi_compare_level(in, name), &cell);
  for (int side = 0; ebi_text_equal(name, "normal") && side < 2; side++) {
    const double *plan = side == 0 ? in->rates->supply_total_m3_s : in->rates->extract_total_m3_s;
    if (plan[level] > 0.0)
      count_duty(in->rates->required_m3_s, side_total(in, name, side == 0), &cell);
  }
  return cell.of > 0.0 ? cell : ebi_compare_unknown;
}

/* ---- Totals ---- */

static ebi_compare_cell supply_total(const ebi_comparing *c, size_t house, const void *key) {
  const eb_compare_input *in = &c->inputs[house];
  return known(in, key) ? ebi_compare_known(side_total(in, key, true)) : ebi_compare_unknown;
}

static ebi_compare_cell extract_total(const ebi_comparing *c, size_t house, const void *key) {
  const eb_compare_input *in = &c->inputs[house];
  return known(in, key) ? ebi_compare_known(side_total(in, key, false)) : ebi_compare_unknown;
}

/* On mass, over what the rules name. */
static ebi_compare_cell imbalance(const ebi_comparing *c, size_t house, const void *key) {
  const eb_compare_input *in = &c->inputs[house];
  if (!known(in, key))
    return ebi_compare_unknown;
  const eb_level_state *state = ebi_compare_level(in, key);
  double supply = state != NULL ? state->supply.flow_ref_m3_s : side_total(in, key, true);
  double extract = state != NULL ? state->extract.flow_ref_m3_s : side_total(in, key, false);
  double divisor = fmax(supply, extract);
  const ebi_rule_set *rules = in->house->rules;
  if (rules != NULL && rules->imbalance.at_most.given && rules->imbalance.divisor == EBI_OF_SUPPLY)
    divisor = supply;
  if (rules != NULL && rules->imbalance.at_most.given && rules->imbalance.divisor == EBI_OF_MEAN)
    divisor = 0.5 * (supply + extract);
  return divisor > 0.0 ? ebi_compare_known((supply - extract) / divisor) : ebi_compare_unknown;
}

void ebi_compare_air(ebi_comparing *c) {
  static const ebi_compare_kind met = {"air", EBI_COMPARE_PIECES, EB_SENSE_ALL_MET, flows_met};
  static const ebi_compare_kind supply = {"air", EBI_COMPARE_FLOW, EB_SENSE_NONE, supply_total};
  static const ebi_compare_kind extract = {"air", EBI_COMPARE_FLOW, EB_SENSE_NONE, extract_total};
  static const ebi_compare_kind apart = {"air", EBI_COMPARE_FINE_RATIO, EB_SENSE_NEAR_ZERO,
                                         imbalance};
  ebi_compare_row(c, &met, "normal", "required flows met at normal");
  ebi_compare_row(c, &met, "boost", "required flows met at boost");
  ebi_compare_row(c, &supply, "normal", "supply at normal");
  ebi_compare_row(c, &extract, "normal", "extract at normal");
  ebi_compare_row(c, &apart, "normal", "supply more than extract at normal");
}
