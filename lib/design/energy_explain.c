/* energy_explain.c - the account of the year's figures in the ledger */

#include "design/energy.h"

#include <math.h>

#define JOULES_PER_KWH 3.6e6
#define LENGTH(array) (sizeof(array) / sizeof(array)[0])

/* What is being written, and the steps others rest on. */
typedef struct account {
  const ebi_energy_inputs *in;
  const ebi_energy_needs *needs;
  const eb_energy *energy;
  eb_ledger *ledger;
  ebi_step indoor, gains, fabric, volume, n50, air, flow, ratio, infiltration, mean[EBI_MONTHS];
  ebi_step net, no_recovery, no_air, baseline; /* heat of the year */
  ebi_step fans, standby, frost, baseline_fans;
  ebi_step saved_heat, saved_electricity;
} account;

static const ebi_where nowhere = {NULL, 0, 0};

static ebi_step input(account *a, ebi_where where, double si, ebi_kind kind, const char *what) {
  return ebi_ledger_input(a->ledger, where, si, kind, "%s", what);
}

static ebi_step given(account *a, const ebi_given *value, double si, ebi_kind kind,
                      const char *what) {
  return input(a, value->given ? value->where : nowhere, si, kind, what);
}

/* ---- Air --------------------------------------------------------------- */

static void explain_site(account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_house *house = in->house;
  a->indoor = given(a, &house->indoor, in->indoor_c, EBI_TEMPERATURE, "indoor temperature");
  a->gains = given(a, &house->gains, in->gains_w, EBI_POWER, "useful gains");
  a->fabric = given(a, &house->heat_loss, in->fabric_w_k, EBI_HEAT_LOSS, "heat loss of the fabric");
  a->volume = given(a, &house->volume, in->volume_m3, EBI_VOLUME, "volume of the dwelling");
  ebi_step inputs[] = {given(a, &house->altitude, in->altitude_m, EBI_LENGTH, "altitude"),
                       a->indoor};
  a->air = ebi_ledger_step(a->ledger, EBI_F_AIR_CAPACITY, NULL, in->air_capacity, EBI_AIR_CAPACITY,
                           inputs, LENGTH(inputs), "heat capacity of the air");
  for (int i = 0; i < EBI_MONTHS; i++)
    a->mean[i] =
        ebi_ledger_input(a->ledger, house->climate->entry.where, house->climate->mean_c[i],
                         EBI_TEMPERATURE, "mean outdoor temperature of %s", ebi_month_name(i));
}

static void explain_leakage(account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_house *house = in->house;
  if (house->n50.given) {
    a->n50 = given(a, &house->n50, in->n50, EBI_AIR_CHANGE, "air changes at 50 Pa");
  } else {
    ebi_step inputs[] = {
        given(a, &house->q50, house->q50.value, EBI_PERMEABILITY, "permeability at 50 Pa"),
        given(a, &house->envelope_area, house->envelope_area.value, EBI_AREA, "envelope area"),
        a->volume};
    a->n50 = ebi_ledger_step(a->ledger, EBI_F_N50, NULL, in->n50, EBI_AIR_CHANGE, inputs,
                             LENGTH(inputs), "air changes at 50 Pa");
  }
  ebi_step inputs[] = {a->n50, a->volume, a->flow};
  a->infiltration =
      ebi_ledger_step(a->ledger, EBI_F_INFILTRATION, NULL, a->needs->air.infiltration,
                      EBI_AIR_CHANGE, inputs, LENGTH(inputs), "leakage beside the ventilation");
}

/* Hours and the larger flow of each level, then the year's mean. */
static void explain_flow(account *a) {
  const ebi_energy_inputs *in = a->in;
  ebi_step inputs[32];
  size_t n = 0;
  for (size_t i = 0; i < in->n_levels && n + 2 <= LENGTH(inputs); i++) {
    const ebi_energy_level *level = &in->levels[i];
    inputs[n++] = ebi_ledger_input(a->ledger, level->where, level->hours, EBI_HOURS_PER_DAY,
                                   "hours at %s", level->name);
    inputs[n++] =
        ebi_ledger_input(a->ledger, nowhere, fmax(level->supply, level->extract), EBI_FLOW,
                         "%s flow at %s", in->ducts != NULL ? "delivered" : "design", level->name);
  }
  a->flow = ebi_ledger_step(a->ledger, EBI_F_YEAR_FLOW, NULL, a->needs->air.flow, EBI_FLOW, inputs,
                            n, "mean ventilation flow of the year");
}

static void explain_ratio(account *a) {
  const ebi_energy_inputs *in = a->in;
  const ebi_unit *unit = in->house->unit;
  ebi_step inputs[] = {
      input(a, in->house->unit_where, in->ratio, EBI_RATIO, "temperature ratio of the unit"),
      unit->ratio_at.given
          ? input(a, unit->ratio_at.where, in->ratio_at, EBI_FLOW, "flow of that ratio")
          : EBI_NO_STEP,
      a->flow};
  a->ratio = ebi_ledger_step(a->ledger, EBI_F_EXCHANGER_RATIO, NULL, a->needs->air.ratio, EBI_RATIO,
                             inputs, LENGTH(inputs), "heat recovered at the flows of the year");
}

/* ---- Heat -------------------------------------------------------------- */

/* Heat loss, base temperature, degree-days and heat of one way to run the
 * house; the step of the year's heat is returned. */
static ebi_step explain_need(account *a, const ebi_energy_need *need, const char *name,
                             const ebi_step *air, size_t n_air, bool by_month) {
  const ebi_energy_inputs *in = a->in;
  ebi_step sum[EBI_MONTHS], loss = EBI_NO_STEP, base = EBI_NO_STEP;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const char *month = ebi_month_name(i);
    if (i == 0 || by_month) {
      const char *when = by_month ? month : "the year";
      loss = ebi_ledger_step(a->ledger, EBI_F_HEAT_LOSS, NULL, need->heat_loss[i], EBI_HEAT_LOSS,
                             air, n_air, "heat loss %s, %s", name, when);
      ebi_step from[] = {a->indoor, a->gains, loss};
      base = ebi_ledger_step(a->ledger, EBI_F_BASE_TEMPERATURE, NULL,
                             eb_base_temperature(in->indoor_c, in->gains_w, need->heat_loss[i]),
                             EBI_TEMPERATURE, from, LENGTH(from), "base temperature %s, %s", name,
                             when);
    }
    ebi_step of_days[] = {base, a->mean[i]};
    ebi_step days =
        ebi_ledger_step(a->ledger, EBI_F_DEGREE_DAYS, NULL, need->degree_days[i], EBI_DEGREE_DAYS,
                        of_days, LENGTH(of_days), "heating degree-days %s, %s", name, month);
    ebi_step of_heat[] = {loss, days};
    sum[i] =
        ebi_ledger_step(a->ledger, EBI_F_HEATING_NEED, NULL, need->heat_kwh[i] * JOULES_PER_KWH,
                        EBI_ENERGY, of_heat, LENGTH(of_heat), "heat %s, %s", name, month);
  }
  return ebi_ledger_step(a->ledger, EBI_F_YEAR_SUM, NULL,
                         ebi_energy_sum(need->heat_kwh) * JOULES_PER_KWH, EBI_ENERGY, sum,
                         EBI_MONTHS, "heat %s, the year", name);
}

static void explain_needs(account *a) {
  const ebi_energy_needs *needs = a->needs;
  ebi_step all[] = {a->fabric, a->air, a->volume, a->infiltration, a->flow, a->ratio};
  a->no_air = explain_need(a, &needs->no_air, "without ventilation", all, 4, false);
  a->no_recovery = explain_need(a, &needs->no_recovery, "without recovery", all, 5, false);
  a->net = explain_need(a, &needs->recovery, "with recovery", all, 6, false);
  (void)ebi_ledger_step(a->ledger, EBI_F_YEAR_SUM, NULL, a->energy->heating_degree_days,
                        EBI_DEGREE_DAYS, &a->net, 1, "heating degree-days with recovery, the year");
}

static ebi_step difference(account *a, double kwh, ebi_step larger, ebi_step smaller,
                           const char *what, const char *when) {
  ebi_step inputs[] = {larger, smaller};
  return ebi_ledger_step(a->ledger, EBI_F_NEED_DIFFERENCE, NULL, kwh * JOULES_PER_KWH, EBI_ENERGY,
                         inputs, LENGTH(inputs), "%s, %s", what, when);
}

static void explain_differences(account *a) {
  const eb_energy *energy = a->energy;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const eb_energy_month *month = &energy->months[i];
    const char *name = ebi_month_name(i);
    (void)difference(a, month->ventilation_heat_kwh, a->no_recovery, a->no_air,
                     "heat for ventilation", name);
    (void)difference(a, month->recovered_heat_kwh, a->no_recovery, a->net, "heat recovered", name);
  }
  (void)difference(a, energy->ventilation_heat_kwh, a->no_recovery, a->no_air,
                   "heat for ventilation before recovery", "the year");
  (void)difference(a, energy->recovered_heat_kwh, a->no_recovery, a->net, "heat recovered, useful",
                   "the year");
  ebi_step inputs[] = {a->air, a->flow, a->ratio, a->indoor};
  (void)ebi_ledger_step(a->ledger, EBI_F_GROSS_RECOVERY, NULL,
                        energy->gross_recovered_kwh * JOULES_PER_KWH, EBI_ENERGY, inputs,
                        LENGTH(inputs), "heat recovered, gross, the year");
}

static void explain_baseline(account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_house *house = in->house;
  const ebi_baseline *baseline = house->baseline;
  const ebi_cite cite = {baseline->entry.name, baseline->entry.source.text,
                         baseline->entry.source.known};
  ebi_step fans = given(a, &house->baseline_fans, in->baseline_fans, EBI_NUMBER, "extract fans");
  ebi_step n50 = house->baseline_n50.given
                     ? given(a, &house->baseline_n50, in->baseline_n50, EBI_AIR_CHANGE,
                             "air changes of the baseline at 50 Pa")
                     : a->n50;
  ebi_step inputs[] = {n50, fans, a->volume};
  bool own = !isnan(in->baseline_given);
  ebi_step change =
      own ? given(a, &house->baseline_air_change, in->baseline_given, EBI_AIR_CHANGE,
                  "air changes of the baseline")
          : ebi_ledger_step(a->ledger, EBI_F_BASELINE_AIR, &cite,
                            a->energy->baseline_air_change_per_h, EBI_AIR_CHANGE, inputs,
                            LENGTH(inputs), "air changes of the baseline, mean of the year");
  ebi_step all[] = {a->fabric, a->air, a->volume, change};
  a->baseline = explain_need(a, &a->needs->baseline, "of the baseline", all, LENGTH(all), !own);
  ebi_step base[] = {a->indoor, a->gains, a->fabric, a->air, a->volume, change};
  (void)ebi_ledger_step(a->ledger, EBI_F_BASE_TEMPERATURE, NULL,
                        a->energy->baseline_base_temperature_c, EBI_TEMPERATURE, base, LENGTH(base),
                        "base temperature of the baseline, at the year's mean air change");
  a->baseline_fans = ebi_ledger_step(a->ledger, EBI_F_BASELINE_FANS, &cite,
                                     a->energy->baseline_fan_kwh * JOULES_PER_KWH, EBI_ENERGY,
                                     &fans, 1, "electricity of the baseline's fans, the year");
}

/* ---- Electricity ------------------------------------------------------- */

static ebi_step explain_power(account *a, const ebi_energy_level *level, ebi_step hours) {
  static const char *const what = "power of both fans and controls at %s";
  if (a->in->power_basis == EBI_POWER_OF_DUCTS)
    return ebi_ledger_input(a->ledger, nowhere, level->power_w, EBI_POWER, what, level->name);
  ebi_formula formula =
      a->in->power_basis == EBI_POWER_OF_UNIT ? EBI_F_FAN_FROM_UNIT : EBI_F_FAN_FROM_LIMIT;
  return ebi_ledger_step(a->ledger, formula, NULL, level->power_w, EBI_POWER, &hours, 1, what,
                         level->name);
}

static void explain_electricity(account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_energy *energy = a->energy;
  ebi_step inputs[32];
  size_t n = 0;
  for (size_t i = 0; i < in->n_levels && n < LENGTH(inputs); i++)
    inputs[n++] = explain_power(a, &in->levels[i], a->flow);
  for (int i = 0; i < EBI_MONTHS; i++)
    (void)ebi_ledger_step(a->ledger, EBI_F_FAN_ENERGY, NULL,
                          energy->months[i].fan_kwh * JOULES_PER_KWH, EBI_ENERGY, inputs, n,
                          "electricity of the fans, %s", ebi_month_name(i));
  a->fans = ebi_ledger_step(a->ledger, EBI_F_FAN_ENERGY, NULL, energy->fan_kwh * JOULES_PER_KWH,
                            EBI_ENERGY, inputs, n, "electricity of the fans, the year");
  ebi_step standby =
      input(a, in->house->unit_where, in->house->unit->standby, EBI_POWER, "standby power");
  a->standby = ebi_ledger_step(a->ledger, EBI_F_STANDBY, NULL, energy->standby_kwh * JOULES_PER_KWH,
                               EBI_ENERGY, &standby, 1, "electricity of standby, the year");
  ebi_step frost[] = {a->air, a->flow,
                      given(a, &in->house->unit->frost_below, in->house->unit->frost_below.value,
                            EBI_TEMPERATURE, "temperature below which frost protection works")};
  a->frost = ebi_ledger_step(a->ledger, EBI_F_FROST, NULL, energy->frost_kwh * JOULES_PER_KWH,
                             EBI_ENERGY, frost, LENGTH(frost), "frost protection, the year");
}

/* ---- Saving ------------------------------------------------------------ */

static void explain_range(account *a) {
  const double ends[] = {a->energy->range_low_kwh, a->energy->range_high_kwh};
  for (size_t i = 0; i < LENGTH(ends); i++)
    (void)ebi_ledger_step(a->ledger, EBI_F_SAVING_RANGE, NULL, ends[i] * JOULES_PER_KWH, EBI_ENERGY,
                          &a->saved_heat, 1, "%s end of the 95 %% range of the heat saved",
                          i == 0 ? "low" : "high");
}

static void explain_money(account *a) {
  const eb_house *house = a->in->house;
  const ebi_tariff *heating = &house->heating, *electricity = &house->electricity;
  const eb_money *saving = &a->energy->saving;
  if (!saving->given)
    return;
  ebi_step efficiency =
      input(a, heating->where, heating->efficiency, EBI_RATIO, "efficiency of the heating");
  ebi_step prices[] = {
      a->saved_heat, a->saved_electricity, efficiency,
      input(a, heating->where, heating->price, EBI_PRICE, "price of heating energy"),
      input(a, electricity->where, electricity->price, EBI_PRICE, "price of electricity")};
  (void)ebi_ledger_step(a->ledger, EBI_F_SAVING_MONEY, NULL, saving->money, EBI_NUMBER, prices,
                        LENGTH(prices), "money saved in %s, the year", saving->currency);
  if (!saving->carbon_given)
    return;
  ebi_step factors[] = {
      a->saved_heat, a->saved_electricity, efficiency,
      given(a, &heating->carbon, heating->carbon.value, EBI_CARBON, "carbon of heating energy"),
      given(a, &electricity->carbon, electricity->carbon.value, EBI_CARBON,
            "carbon of electricity")};
  (void)ebi_ledger_step(a->ledger, EBI_F_SAVING_CARBON, NULL, saving->carbon_kg, EBI_MASS, factors,
                        LENGTH(factors), "carbon dioxide saved, the year");
}

static void explain_saving(account *a) {
  const eb_energy *energy = a->energy;
  a->saved_heat = difference(a, energy->saving_heat_kwh, a->baseline, a->net,
                             "heat saved against the baseline", "the year");
  ebi_step inputs[] = {a->baseline_fans, a->fans, a->standby, a->frost};
  a->saved_electricity = ebi_ledger_step(
      a->ledger, EBI_F_SAVING_ELECTRICITY, NULL, energy->saving_electricity_kwh * JOULES_PER_KWH,
      EBI_ENERGY, inputs, LENGTH(inputs), "electricity saved against the baseline, the year");
  explain_range(a);
  explain_money(a);
}

void ebi_energy_explain(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                        const eb_energy *energy, eb_ledger *ledger) {
  if (ledger == NULL)
    return;
  account a = {.in = in, .needs = needs, .energy = energy, .ledger = ledger};
  explain_site(&a);
  explain_flow(&a);
  explain_ratio(&a);
  explain_leakage(&a);
  explain_needs(&a);
  explain_differences(&a);
  explain_baseline(&a);
  explain_electricity(&a);
  explain_saving(&a);
}
