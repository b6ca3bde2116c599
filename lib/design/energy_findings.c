/* energy_findings.c - what a reader must know beside the figures of the year */

#include "design/energy.h"

#include <math.h>

double ebi_energy_two_figures(double value) {
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

static void compare_air(const ebi_energy_inputs *in, const eb_energy *energy) {
  const eb_house *house = in->house;
  ebi_diag(in->context, EB_NOTE, "comparison", house->baseline_where,
           house->baseline->entry.source.text, "same house, rooms and gains; %s: %s",
           energy->baseline_name, energy->baseline_why);
}

static void state_loss(const ebi_energy_inputs *in, const eb_energy *energy) {
  ebi_where where = in->house->baseline_where;
  if (energy->saving_heat_kwh < 0.0)
    ebi_diag(in->context, EB_NOTE, "more-heat", where, NULL,
             "this system needs %.0f kWh of heat a year more than %s",
             ebi_energy_two_figures(-energy->saving_heat_kwh), energy->baseline_name);
  if (energy->saving_electricity_kwh < 0.0)
    ebi_diag(in->context, EB_NOTE, "more-electricity", where, NULL,
             "this system needs %.0f kWh of electricity a year more than %s",
             ebi_energy_two_figures(-energy->saving_electricity_kwh), energy->baseline_name);
  if (energy->saving.given && energy->saving.money < 0.0)
    ebi_diag(in->context, EB_NOTE, "more-money", where, NULL,
             "this system costs %.0f %s a year more to run than %s",
             ebi_energy_two_figures(-energy->saving.money), energy->saving.currency,
             energy->baseline_name);
}

/* What the unbalance that was read costs, and which way it drives moist air. */
static void tell_unbalance(const ebi_energy_inputs *in, const eb_energy *energy) {
  const ebi_energy_shift none = EBI_NO_SHIFT;
  ebi_energy_inputs balanced = *in;
  ebi_energy_needs needs;
  if (isnan(in->measured_unbalance))
    return;
  balanced.measured_unbalance = 0.0;
  ebi_energy_needs_of(&balanced, ebi_climate_finest(in->house->climate), &none, &needs);
  double more = energy->net_heat_kwh - ebi_energy_sum(needs.recovery.heat_kwh);
  ebi_diag(in->context, EB_NOTE, "unbalance-cost", in->house->unit_where, NULL,
           "with %.2g %% more %s the house needs %.0f kWh of heat a year %s than balanced at the "
           "larger flow; %s",
           fabs(in->measured_unbalance) * 100.0,
           in->measured_unbalance < 0.0 ? "extract" : "supply", ebi_energy_two_figures(fabs(more)),
           more < 0.0 ? "less" : "more",
           in->measured_unbalance < 0.0
               ? "it draws cold air in through gaps, which is felt, keeps water out of the walls "
                 "and can pull fumes from an open flue"
               : "it presses moist air out through gaps of walls and roof, where its water can "
                 "gather in winter");
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
  ebi_energy_frost_findings(in, energy);
  tell_unbalance(in, energy);
  check_prices(in);
  compare_air(in, energy);
  state_loss(in, energy);
}
