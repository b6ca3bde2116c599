/* energy_findings.c - what a reader must know beside the figures of the year */

#include "design/energy.h"

#include <math.h>

#include "physics/degree_days_normal.h"

/* A year's figure is not known better than to two significant figures. */
static double two_figures(double value) {
  if (value == 0.0)
    return 0.0;
  double unit = pow(10.0, floor(log10(fabs(value))) - 1.0);
  return round(value / unit) * unit;
}

static void check_ratio(const ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  if (house->rules == NULL || !house->rules->heat_recovery.given)
    return;
  double limit = house->rules->heat_recovery.value;
  if (in->ratio < limit)
    ebi_diag(in->context, EB_WARNING, "heat-recovery", house->unit_where,
             house->rules->heat_recovery_source.text,
             "the unit's temperature ratio is %.3g %%; the rule asks for at least %.3g %%",
             in->ratio * 100.0, limit * 100.0);
}

static void check_frost(const ebi_energy_inputs *in, const eb_energy *energy) {
  const eb_house *house = in->house;
  const ebi_unit *unit = house->unit;
  if (unit->frost == EBI_FROST_PREHEATER && !unit->frost_below.given)
    ebi_diag(in->context, EB_WARNING, "frost-not-counted", house->unit_where, NULL,
             "the frost preheater has no `below:` temperature; its electricity is not counted");
  else if (unit->frost == EBI_FROST_PREHEATER)
    ebi_diag(in->context, EB_NOTE, "frost-estimate", house->unit_where,
             ebi_formula_get(EBI_F_FROST)->source,
             "frost protection, %.0f kWh a year, is estimated: daily means are taken to spread "
             "normally about the month's, with a standard deviation of %.2f K (from k = %g/K)",
             two_figures(energy->frost_kwh), ebi_degree_days_spread(house->climate->hitchin_k),
             house->climate->hitchin_k);
  else
    ebi_diag(in->context, EB_NOTE, "frost-not-counted", house->unit_where, NULL,
             unit->frost == EBI_FROST_NONE
                 ? "the unit names no frost protection; nothing is counted for it"
                 : "what this unit's frost protection costs is not counted; only a preheater's is");
}

/* Both systems' outdoor air beside each other. */
static void compare_air(const ebi_energy_inputs *in, const eb_energy *energy) {
  const eb_house *house = in->house;
  double system =
      energy->ventilation_flow_m3_s * 3600.0 / in->volume_m3 + energy->infiltration_per_h;
  double baseline = energy->baseline_air_change_per_h;
  const char *verdict = "about the same fresh air, so the comparison is fair";
  if (baseline < 0.9 * system)
    verdict = "the baseline gets less fresh air, so part of what this system uses buys better air";
  else if (baseline > 1.1 * system)
    verdict = "the baseline gets more fresh air, so part of the saving is less air";
  ebi_diag(in->context, EB_NOTE, "comparison", house->baseline_where,
           house->baseline->entry.source.text,
           "same house, rooms and gains; %.2f air changes an hour with this system, leakage "
           "included, against %.2f with %s: %s",
           system, baseline, energy->baseline_name, verdict);
}

static void state_loss(const ebi_energy_inputs *in, const eb_energy *energy) {
  ebi_where where = in->house->baseline_where;
  if (energy->saving_heat_kwh < 0.0)
    ebi_diag(in->context, EB_NOTE, "more-heat", where, NULL,
             "this system needs %.0f kWh of heat a year more than %s",
             two_figures(-energy->saving_heat_kwh), energy->baseline_name);
  if (energy->saving_electricity_kwh < 0.0)
    ebi_diag(in->context, EB_NOTE, "more-electricity", where, NULL,
             "this system needs %.0f kWh of electricity a year more than %s",
             two_figures(-energy->saving_electricity_kwh), energy->baseline_name);
  if (energy->saving.given && energy->saving.money < 0.0)
    ebi_diag(in->context, EB_NOTE, "more-money", where, NULL,
             "this system costs %.0f %s a year more to run than %s",
             two_figures(-energy->saving.money), energy->saving.currency, energy->baseline_name);
}

static void check_prices(const ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  if (house->electricity.given != house->heating.given)
    ebi_diag(in->context, EB_NOTE, "price-missing",
             house->electricity.given ? house->electricity.where : house->heating.where, NULL,
             "money is not reckoned: `costs:` gives %s alone, and both electricity and heating are "
             "needed",
             house->electricity.given ? "electricity" : "heating");
}

void ebi_energy_findings(const ebi_energy_inputs *in, const eb_energy *energy) {
  check_ratio(in);
  check_frost(in, energy);
  check_prices(in);
  compare_air(in, energy);
  state_loss(in, energy);
}
