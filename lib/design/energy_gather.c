/* energy_gather.c - what the house gives for the year, and what it lacks */

#include "design/energy.h"

#include <math.h>

/* What stands where a key is not given: common practice. */
#define INDOOR_C 20.0
#define BYPASS_RESIDUAL 0.10 /* from memory: 5 to 20 % of what the exchanger does when shut */
#define ALTITUDE_M 0.0

static void missing(const ebi_energy_inputs *in, ebi_where where, const char *key,
                    const char *example) {
  ebi_diag(in->context, EB_ERROR, "energy-missing", where, NULL,
           "the year's energy needs `%s`, and the house does not give it: write %s", key, example);
}

static double with_default(const ebi_energy_inputs *in, const ebi_given *given, double value,
                           const char *key, const char *text) {
  if (given->given)
    return given->value;
  ebi_diag(in->context, EB_NOTE, "energy-default", in->house->where, NULL,
           "`%s` is not given: %s is taken", key, text);
  return value;
}

static void gather_site(ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  if (house->climate == NULL)
    missing(in, house->where, "site.climate", "`site: {climate: nottingham}`, or a file of yours");
  in->indoor_c = with_default(in, &house->indoor, INDOOR_C, "site.indoor", "20 C");
  in->altitude_m = with_default(in, &house->altitude, ALTITUDE_M, "site.altitude", "0 m");
  in->air_capacity = eb_air_heat_capacity(in->indoor_c, eb_air_pressure(in->altitude_m));
}

static void gather_envelope(ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  in->fabric_w_k = house->heat_loss.value;
  in->volume_m3 = in->rates->volume_m3;
  if (!house->heat_loss.given)
    missing(in, house->where, "envelope.heat_loss", "`envelope: {heat_loss: 78 W/K}`");
  else if (!(in->fabric_w_k > 0.0))
    ebi_diag(in->context, EB_ERROR, "energy-range", house->heat_loss.where, NULL,
             "the heat loss of the fabric is %g W/K; it must be above 0", in->fabric_w_k);
  if (!house->gains.given)
    missing(in, house->where, "envelope.gains", "`envelope: {gains: 320 W}`");
  if (!(in->volume_m3 > 0.0))
    missing(in, house->where, "volume", "`volume: 221 m3`, or the height of each room");
}

/* Twelve powers, or one for all months. */
static void gather_gains(ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  const double *days = house->climate->days;
  double sum = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const ebi_given *own = &house->gains_of_month[i];
    in->gains_of[i] = own->given ? own->value : house->gains.value;
    sum += in->gains_of[i] * days[i];
  }
  in->gains_w = sum / ebi_energy_sum(days);
}

static void gather_leakage(ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  if (house->n50.given)
    in->n50 = house->n50.value;
  else if (!house->q50.given)
    missing(in, house->where, "envelope.leakage", "`leakage: 1.0 ach`, air changes at 50 Pa");
  else if (!house->envelope_area.given)
    missing(in, house->q50.where, "envelope.envelope_area",
            "the area the leakage is for, `envelope_area: 240 m2`");
  else if (in->volume_m3 > 0.0)
    in->n50 = house->q50.value * 3600.0 * house->envelope_area.value / in->volume_m3;
  in->shielding = ebi_energy_shielding(house);
}

static void gather_unit(ebi_energy_inputs *in) {
  const ebi_unit *unit = in->house->unit;
  if (unit == NULL) {
    missing(in, in->house->where, "unit", "`unit: generic-unit-a`, or the unit's own figures");
    return;
  }
  if (!unit->has_exchanger) {
    missing(in, in->house->unit_where, "unit.exchanger",
            "`exchanger: {temperature_ratio: 85 %, at: 50 l/s}`");
    return;
  }
  in->ratio = unit->temperature_ratio;
  if (unit->ratio_at.given)
    in->ratio_at = unit->ratio_at.value;
  else
    ebi_diag(in->context, EB_NOTE, "ratio-without-flow", in->house->unit_where, NULL,
             "the unit's temperature ratio does not say at which flow it was measured (`at:`); it "
             "is taken as it stands at every flow");
  if (!(in->ratio >= 0.0 && in->ratio < 1.0))
    ebi_diag(in->context, EB_ERROR, "energy-range", in->house->unit_where, NULL,
             "the unit's temperature ratio is %g %%; it must be at least 0 %% and below 100 %%",
             in->ratio * 100.0);
}

static void gather_bypass(ebi_energy_inputs *in) {
  const ebi_given *residual = &in->house->unit->bypass_residual;
  in->bypass_residual = 1.0; /* nothing goes past the exchanger */
  if (!in->house->unit->bypass_opens_above.given)
    return;
  in->bypass_residual = residual->given ? residual->value : BYPASS_RESIDUAL;
  if (!residual->given)
    ebi_diag(in->context, EB_NOTE, "bypass-default", in->house->unit_where,
             "common practice, from memory",
             "`bypass.residual` is not given: an open bypass is taken to leave 10 %% of the "
             "recovery; it is counted in gross recovery alone");
}

eb_status ebi_energy_gather(ebi_energy_inputs *in) {
  size_t errors = ebi_diag_errors(in->context);
  gather_site(in);
  gather_envelope(in);
  gather_leakage(in);
  gather_unit(in);
  ebi_energy_baseline_gather(in);
  if (ebi_diag_errors(in->context) > errors)
    return EB_E_INPUT;
  gather_gains(in);
  gather_bypass(in);
  ebi_energy_frost_gather(in);
  ebi_energy_unbalance(in);
  eb_status status = ebi_energy_levels(in);
  if (status == EB_OK)
    status = ebi_energy_power(in);
  if (status == EB_OK)
    ebi_energy_ducts(in);
  return status;
}
