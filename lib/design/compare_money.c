/* compare_money.c - rows of money
 *
 * The energy bill is that of the fans, controls, frost protection and heating
 * with the system; it needs both tariffs. The life-cycle cost is the parts and
 * that bill over the years, each year's discounted to today. */

#include "design/compare.h"

#include <math.h>

#include "base/text.h"

#define JOULES_PER_KWH 3.6e6

/* Where `costs: parts:` does not say; own choice, said in a note. */
#define YEARS 25.0
#define INTEREST 0.03

/* ---- Parts ---- */

/* The next item from `at` on whose price is not known, or NULL. */
static const eb_part *next_unpriced(const eb_parts *parts, size_t *at) {
  while (*at < parts->n_items) {
    const eb_part *part = &parts->items[(*at)++];
    if (isnan(part->price))
      return part;
  }
  return NULL;
}

static bool same_unpriced(const eb_parts *a, const eb_parts *b) {
  size_t at_a = 0, at_b = 0;
  for (;;) {
    const eb_part *of_a = next_unpriced(a, &at_a), *of_b = next_unpriced(b, &at_b);
    if (of_a == NULL || of_b == NULL)
      return of_a == of_b;
    if (!ebi_text_equal(of_a->kind, of_b->kind) || !ebi_text_equal(of_a->item, of_b->item) ||
        of_a->quantity != of_b->quantity)
      return false;
  }
}

/* Whatever has no price then adds the same to each. */
static bool find_gaps_alike(const ebi_comparing *c) {
  const eb_parts *first = NULL;
  for (size_t i = 0; i < c->n; i++) {
    const eb_parts *parts = c->inputs[i].parts;
    if (parts == NULL)
      continue;
    first = first == NULL ? parts : first;
    if (!same_unpriced(first, parts))
      return false;
  }
  return true;
}

static ebi_compare_cell parts_price(const ebi_comparing *c, size_t house, const void *key) {
  const eb_parts *parts = c->inputs[house].parts;
  (void)key;
  if (parts == NULL)
    return ebi_compare_unknown;
  ebi_compare_cell cell = ebi_compare_known(parts->price);
  cell.at_least = parts->n_unpriced > 0;
  return cell;
}

static ebi_compare_cell parts_unpriced(const ebi_comparing *c, size_t house, const void *key) {
  const eb_parts *parts = c->inputs[house].parts;
  (void)key;
  return parts != NULL ? ebi_compare_known((double)parts->n_unpriced) : ebi_compare_unknown;
}

/* ---- Bill and life cycle ---- */

static void find_bill(ebi_comparing *c, size_t house, ebi_step *step) {
  const eb_compare_input *in = &c->inputs[house];
  const ebi_tariff *electricity = &in->house->electricity, *heating = &in->house->heating;
  const eb_energy *energy = in->energy;
  c->bill[house] = NAN;
  *step = EBI_NO_STEP;
  if (energy == NULL || !electricity->given || !heating->given)
    return;
  double used = JOULES_PER_KWH * (energy->fan_kwh + energy->standby_kwh + energy->frost_kwh);
  double heat = JOULES_PER_KWH * energy->net_heat_kwh;
  c->bill[house] = used * electricity->price + heat / heating->efficiency * heating->price;
  ebi_where none = {0};
  ebi_step inputs[] = {
      ebi_ledger_input(c->ledger, none, used, EBI_ENERGY, "%s: electricity of a year", in->name),
      ebi_ledger_input(c->ledger, electricity->where, electricity->price, EBI_PRICE,
                       "%s: price of electricity", in->name),
      ebi_ledger_input(c->ledger, none, heat, EBI_ENERGY, "%s: heat of a year", in->name),
      ebi_ledger_input(c->ledger, heating->where, heating->price, EBI_PRICE, "%s: price of heating",
                       in->name),
      ebi_ledger_input(c->ledger, heating->where, heating->efficiency, EBI_RATIO,
                       "%s: efficiency of the heating", in->name)};
  *step = ebi_ledger_step(c->ledger, EBI_F_ENERGY_BILL, NULL, c->bill[house], EBI_NUMBER, inputs, 5,
                          "%s: energy bill of a year", in->name);
}

static double years_of(const eb_house *house) {
  return house->parts.years.given ? house->parts.years.value : YEARS;
}

static double interest_of(const eb_house *house) {
  return house->parts.interest.given ? house->parts.interest.value : INTEREST;
}

static double life_cycle(const ebi_comparing *c, size_t house) {
  const eb_compare_input *in = &c->inputs[house];
  if (in->parts == NULL)
    return NAN;
  return in->parts->price + c->bill[house] * eb_annuity_factor(interest_of(in->house), years_of(in->house));
}

static void explain_life_cycle(ebi_comparing *c, size_t house, ebi_step bill) {
  const eb_compare_input *in = &c->inputs[house];
  const ebi_part_costs *costs = &in->house->parts;
  double cost = life_cycle(c, house);
  if (isnan(cost))
    return;
  ebi_step inputs[] = {ebi_ledger_input(c->ledger, (ebi_where){0}, in->parts->price, EBI_NUMBER,
                                        "%s: parts whose price is known", in->name),
                       bill,
                       ebi_ledger_input(c->ledger, costs->years.where, years_of(in->house),
                                        EBI_NUMBER, "%s: years", in->name),
                       ebi_ledger_input(c->ledger, costs->interest.where, interest_of(in->house),
                                        EBI_RATIO, "%s: interest", in->name)};
  ebi_ledger_step(c->ledger, EBI_F_LIFE_CYCLE_COST, NULL, cost, EBI_NUMBER, inputs, 4,
                  "%s: life-cycle cost", in->name);
}

static ebi_compare_cell bill(const ebi_comparing *c, size_t house, const void *key) {
  (void)key;
  return ebi_compare_known(c->bill[house]);
}

static ebi_compare_cell saved(const ebi_comparing *c, size_t house, const void *key) {
  const eb_energy *energy = c->inputs[house].energy;
  (void)key;
  return energy != NULL && energy->saving.given ? ebi_compare_known(energy->saving.money)
                                                : ebi_compare_unknown;
}

static ebi_compare_cell life_cycle_cost(const ebi_comparing *c, size_t house, const void *key) {
  ebi_compare_cell cell = parts_price(c, house, key);
  cell.value = life_cycle(c, house);
  cell.at_least = cell.at_least && !isnan(cell.value);
  return cell;
}

static bool same_terms(const eb_house *a, const eb_house *b) {
  return years_of(a) == years_of(b) && interest_of(a) == interest_of(b);
}

/* What the life-cycle costs stand on: said once, and where it is not the same.
 */
static void say_years(ebi_comparing *c) {
  const eb_house *first = NULL;
  for (size_t i = 0; i < c->n; i++) {
    const eb_house *house = c->inputs[i].house;
    if (isnan(life_cycle(c, i)) || (first != NULL && same_terms(house, first)))
      continue;
    if (first != NULL || !house->parts.years.given || !house->parts.interest.given)
      ebi_diag(c->context, EB_NOTE, "compare-life-cycle", house->where, NULL,
               "%sthe life-cycle cost is the parts and the energy bills of %g "
               "years at %g %% "
               "interest above inflation; `costs: {parts: {years: %g, "
               "interest: %g %%}}` says "
               "otherwise",
               first != NULL ? "not as in the first file: " : "", years_of(house),
               100.0 * interest_of(house), YEARS, 100.0 * INTEREST);
    first = first == NULL ? house : first;
  }
}

void ebi_compare_money(ebi_comparing *c) {
  static const ebi_compare_kind parts = {"money", EBI_COMPARE_MONEY, EB_SENSE_LESS, parts_price};
  static const ebi_compare_kind unpriced = {"money", EBI_COMPARE_PIECES, EB_SENSE_NONE,
                                            parts_unpriced};
  static const ebi_compare_kind bills = {"money", EBI_COMPARE_MONEY, EB_SENSE_LESS, bill};
  static const ebi_compare_kind savings = {"money", EBI_COMPARE_MONEY, EB_SENSE_MORE, saved};
  static const ebi_compare_kind cycle = {"money", EBI_COMPARE_MONEY, EB_SENSE_LESS,
                                         life_cycle_cost};
  c->gaps_alike = find_gaps_alike(c);
  for (size_t i = 0; i < c->n; i++) {
    ebi_step step;
    find_bill(c, i, &step);
    explain_life_cycle(c, i, step);
  }
  ebi_compare_row(c, &parts, NULL, "parts");
  ebi_compare_row(c, &unpriced, NULL, "parts without a price");
  ebi_compare_row(c, &bills, NULL, "energy bill of a year");
  ebi_compare_row(c, &savings, NULL, "saved a year against the baseline");
  ebi_compare_row(c, &cycle, NULL, "life-cycle cost");
  say_years(c);
}
