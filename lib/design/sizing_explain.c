/* sizing_explain.c - the steps behind the sizes chosen */

#include <math.h>

#include "design/sizing.h"

static ebi_step explain_per_pa(const ebi_sizer *sizer, const ebi_sizing_side *s) {
  eb_ledger *ledger = sizer->job->ledger;
  const eb_house *house = sizer->job->house;
  const ebi_sizing_money *money = &sizer->money;
  const ebi_step inputs[] = {
      ebi_ledger_input(ledger, house->electricity.where, money->per_joule, EBI_PRICE,
                       "price of electricity%s", money->price_assumed ? " (invented)" : ""),
      ebi_ledger_input(ledger, house->parts.years.where, money->years, EBI_NUMBER, "years"),
      ebi_ledger_input(ledger, house->parts.interest.where, money->interest, EBI_RATIO,
                       "interest a year"),
      ebi_ledger_input(ledger, sizer->given->hours.where, money->hours, EBI_HOURS_PER_DAY,
                       "hours that the fans run"),
      ebi_ledger_input(ledger, (ebi_where){0}, s->flow[EBI_DESIGN_FLOW], EBI_FLOW,
                       "flow of the %s fan at %s", s->side->name, house->set_level)};
  return ebi_ledger_step(ledger, EBI_F_SIZE_PER_PA, NULL, s->per_pa, EBI_NUMBER, inputs, 5,
                         "money that a Pa of the %s side costs", s->side->name);
}

static void explain_other(eb_ledger *ledger, const eb_sized_run *run, const eb_other_size *other,
                          const char *which, ebi_step cost) {
  if (other->duct[0] == '\0')
    return;
  const char *limit = other->against[0] != '\0' ? ", against the limit of " : "";
  ebi_ledger_step(ledger, EBI_F_SIZE_OTHER, NULL, other->money, EBI_NUMBER, &cost, 1,
                  "money more with %s %d x %s in %s%s%s", which, other->parallel, other->duct,
                  run->run, limit, other->against);
  ebi_ledger_step(ledger, EBI_F_SIZE_OTHER, NULL, other->pressure_pa, EBI_PRESSURE, &cost, 1,
                  "pressure more of the index run with %s in %s", other->duct, run->run);
  if (!isnan(other->sound_db))
    ebi_ledger_step(ledger, EBI_F_SIZE_OTHER, NULL, other->sound_db, EBI_SOUND, &cost, 1,
                    "sound more in its room with %s in %s", other->duct, run->run);
}

static void explain_run(const ebi_sizer *sizer, const eb_sized_run *run, const ebi_step per_pa[2]) {
  eb_ledger *ledger = sizer->job->ledger;
  ebi_step price = ebi_ledger_step(ledger, EBI_F_SIZE_PRICE, NULL, run->price, EBI_NUMBER, NULL, 0,
                                   "price of %s of %d x %s", run->run, run->parallel, run->duct);
  const ebi_step inputs[] = {price, per_pa[0], per_pa[1]};
  ebi_step chosen = ebi_ledger_step(ledger, EBI_F_SIZE_CHOSEN, NULL, run->parallel, EBI_NUMBER,
                                    inputs, 3, "tubes of %s chosen for %s", run->duct, run->run);
  explain_other(ledger, run, &run->smaller, "the next smaller", chosen);
  explain_other(ledger, run, &run->larger, "the next larger", chosen);
}

void ebi_sizing_explain(const ebi_sizer *sizer) {
  ebi_step per_pa[EBI_SIDES] = {EBI_NO_STEP, EBI_NO_STEP};
  if (sizer->job->ledger == NULL)
    return;
  for (int i = 0; i < EBI_SIDES; i++)
    if (sizer->side[i].n_open > 0)
      per_pa[i] = explain_per_pa(sizer, &sizer->side[i]);
  for (size_t r = 0; r < sizer->sizes->n_runs; r++)
    explain_run(sizer, &sizer->sizes->runs[r], per_pa);
  ebi_ledger_step(sizer->job->ledger, EBI_F_SIZE_COST, NULL,
                  sizer->sizes->parts_cost + sizer->sizes->energy_cost, EBI_NUMBER, per_pa, 2,
                  "life-cycle cost of the runs that were sized, with the fans' electricity");
}
