/* energy_explain.c - the account of the year's figures in the ledger */

#include "design/energy_explain.h"

#include <math.h>

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])

static const ebi_where nowhere = {NULL, 0, 0};

static ebi_step input(ebi_account *a, ebi_where where, double si, ebi_kind kind, const char *what) {
  return ebi_ledger_input(a->ledger, where, si, kind, "%s", what);
}

ebi_step ebi_account_given(ebi_account *a, const ebi_given *value, double si, ebi_kind kind,
                           const char *what) {
  return input(a, value->given ? value->where : nowhere, si, kind, what);
}

/* ---- Air --------------------------------------------------------------- */

/* One step for all months, or one for each. */
static void explain_gains(ebi_account *a) {
  const eb_house *house = a->in->house;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const ebi_given *own = &house->gains_of_month[i];
    if (own->given)
      a->gains[i] = ebi_ledger_input(a->ledger, own->where, a->in->gains_of[i], EBI_POWER,
                                     "useful gains of %s", ebi_month_name(i));
    else
      a->gains[i] = i > 0 ? a->gains[0]
                          : ebi_account_given(a, &house->gains, a->in->gains_of[0], EBI_POWER,
                                              "useful gains");
  }
}

static void explain_weather(ebi_account *a) {
  const ebi_climate *climate = a->in->house->climate;
  for (int i = 0; i < EBI_MONTHS; i++)
    a->weather[i] = ebi_ledger_input(a->ledger, climate->entry.where, climate->mean_c[i],
                                     EBI_TEMPERATURE, "mean outdoor temperature of %s, by %s",
                                     ebi_month_name(i), a->energy->method);
}

static void explain_site(ebi_account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_house *house = in->house;
  a->indoor =
      ebi_account_given(a, &house->indoor, in->indoor_c, EBI_TEMPERATURE, "indoor temperature");
  explain_gains(a);
  a->fabric = ebi_account_given(a, &house->heat_loss, in->fabric_w_k, EBI_HEAT_LOSS,
                                "heat loss of the fabric");
  a->volume =
      ebi_account_given(a, &house->volume, in->volume_m3, EBI_VOLUME, "volume of the dwelling");
  ebi_step inputs[] = {
      ebi_account_given(a, &house->altitude, in->altitude_m, EBI_LENGTH, "altitude"), a->indoor};
  a->air = ebi_ledger_step(a->ledger, EBI_F_AIR_CAPACITY, NULL, in->air_capacity, EBI_AIR_CAPACITY,
                           inputs, LENGTH(inputs), "heat capacity of the air");
  explain_weather(a);
}

/* What was read of the flows, and what ducts lose and fans give beside the ratio. */
static void explain_flows(ebi_account *a) {
  const eb_energy *energy = a->energy;
  a->ducts = a->fan_heat = EBI_NO_STEP;
  if (!isnan(energy->measured_unbalance))
    (void)ebi_ledger_step(a->ledger, EBI_F_MEASURED_UNBALANCE, NULL, energy->measured_unbalance,
                          EBI_RATIO, NULL, 0, "unbalance of the flows as read");
  (void)ebi_ledger_step(a->ledger, EBI_F_FRESH_AIR, NULL, energy->fresh_air_ratio, EBI_RATIO, NULL,
                        0, "outdoor air in the supply");
  if (energy->duct_loss_w_k != 0.0)
    a->ducts = ebi_ledger_step(a->ledger, EBI_F_DUCT_LOSS, NULL, energy->duct_loss_w_k,
                               EBI_HEAT_LOSS, &a->ratio, 1, "heat that the ducts lose");
  if (energy->fan_heat_w > 0.0)
    a->fan_heat = ebi_ledger_step(a->ledger, EBI_F_FAN_HEAT, NULL, energy->fan_heat_w, EBI_POWER,
                                  NULL, 0, "warmth of the supply fan");
}

static void explain_leakage(ebi_account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_house *house = in->house;
  if (house->n50.given) {
    a->n50 = ebi_account_given(a, &house->n50, in->n50, EBI_AIR_CHANGE, "air changes at 50 Pa");
  } else {
    ebi_step inputs[] = {ebi_account_given(a, &house->q50, house->q50.value, EBI_PERMEABILITY,
                                           "permeability at 50 Pa"),
                         ebi_account_given(a, &house->envelope_area, house->envelope_area.value,
                                           EBI_AREA, "envelope area"),
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
static void explain_flow(ebi_account *a) {
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

static void explain_ratio(ebi_account *a) {
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

/* ---- Electricity ------------------------------------------------------- */

static ebi_step explain_power(ebi_account *a, const ebi_energy_level *level, ebi_step hours) {
  static const char *const what = "power of both fans and controls at %s";
  if (a->in->power_basis == EBI_POWER_OF_DUCTS)
    return ebi_ledger_input(a->ledger, nowhere, level->power_w, EBI_POWER, what, level->name);
  ebi_formula formula =
      a->in->power_basis == EBI_POWER_OF_UNIT ? EBI_F_FAN_FROM_UNIT : EBI_F_FAN_FROM_LIMIT;
  return ebi_ledger_step(a->ledger, formula, NULL, level->power_w, EBI_POWER, &hours, 1, what,
                         level->name);
}

static void explain_electricity(ebi_account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_energy *energy = a->energy;
  ebi_step inputs[32];
  size_t n = 0;
  for (size_t i = 0; i < in->n_levels && n < LENGTH(inputs); i++)
    inputs[n++] = explain_power(a, &in->levels[i], a->flow);
  for (int i = 0; i < EBI_MONTHS; i++)
    (void)ebi_ledger_step(a->ledger, EBI_F_FAN_ENERGY, NULL,
                          energy->months[i].fan_kwh * EBI_JOULES_PER_KWH, EBI_ENERGY, inputs, n,
                          "electricity of the fans, %s", ebi_month_name(i));
  a->fans = ebi_ledger_step(a->ledger, EBI_F_FAN_ENERGY, NULL, energy->fan_kwh * EBI_JOULES_PER_KWH,
                            EBI_ENERGY, inputs, n, "electricity of the fans, the year");
  ebi_step standby =
      input(a, in->house->unit_where, in->house->unit->standby, EBI_POWER, "standby power");
  a->standby =
      ebi_ledger_step(a->ledger, EBI_F_STANDBY, NULL, energy->standby_kwh * EBI_JOULES_PER_KWH,
                      EBI_ENERGY, &standby, 1, "electricity of standby, the year");
}

/* ---- Saving ------------------------------------------------------------ */

/* The step of the money saved. */
static ebi_step explain_money(ebi_account *a) {
  const eb_house *house = a->in->house;
  const ebi_tariff *heating = &house->heating, *electricity = &house->electricity;
  const eb_money *saving = &a->energy->saving;
  if (!saving->given)
    return EBI_NO_STEP;
  ebi_step efficiency =
      input(a, heating->where, heating->efficiency, EBI_RATIO, "efficiency of the heating");
  ebi_step prices[] = {
      a->saved_heat, a->saved_electricity, efficiency,
      input(a, heating->where, heating->price, EBI_PRICE, "price of heating energy"),
      input(a, electricity->where, electricity->price, EBI_PRICE, "price of electricity")};
  ebi_step saved =
      ebi_ledger_step(a->ledger, EBI_F_SAVING_MONEY, NULL, saving->money, EBI_NUMBER, prices,
                      LENGTH(prices), "money saved in %s, the year", saving->currency);
  if (!saving->carbon_given)
    return saved;
  ebi_step factors[] = {a->saved_heat, a->saved_electricity, efficiency,
                        ebi_account_given(a, &heating->carbon, heating->carbon.value, EBI_CARBON,
                                          "carbon of heating energy"),
                        ebi_account_given(a, &electricity->carbon, electricity->carbon.value,
                                          EBI_CARBON, "carbon of electricity")};
  (void)ebi_ledger_step(a->ledger, EBI_F_SAVING_CARBON, NULL, saving->carbon_kg, EBI_MASS, factors,
                        LENGTH(factors), "carbon dioxide saved, the year");
  return saved;
}

static void explain_saving(ebi_account *a) {
  const eb_energy *energy = a->energy;
  a->saved_heat = ebi_account_difference(a, energy->saving_heat_kwh, a->baseline, a->net,
                                         "heat saved against the baseline", "the year");
  ebi_step inputs[] = {a->baseline_fans, a->fans, a->standby, a->frost};
  a->saved_electricity =
      ebi_ledger_step(a->ledger, EBI_F_SAVING_ELECTRICITY, NULL,
                      energy->saving_electricity_kwh * EBI_JOULES_PER_KWH, EBI_ENERGY, inputs,
                      LENGTH(inputs), "electricity saved against the baseline, the year");
  ebi_energy_certainty_explain(a->in, energy, a->saved_heat, a->ledger);
  ebi_energy_money_explain(a->in, energy, explain_money(a), a->ledger);
}

void ebi_energy_explain(const ebi_energy_inputs *in, const ebi_energy_needs *needs,
                        const eb_energy *energy, eb_ledger *ledger) {
  if (ledger == NULL)
    return;
  ebi_account a = {.in = in, .needs = needs, .energy = energy, .ledger = ledger};
  explain_site(&a);
  explain_flow(&a);
  explain_ratio(&a);
  explain_leakage(&a);
  explain_flows(&a);
  ebi_account_needs(&a);
  ebi_account_recovered(&a);
  ebi_account_baseline(&a);
  explain_electricity(&a);
  explain_saving(&a);
}
