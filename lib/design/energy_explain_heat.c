/* energy_explain_heat.c - the account of the year's heat in the ledger */

#include "design/energy_explain.h"

#include <math.h>

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])

/* ---- Needs -------------------------------------------------------------- */

static ebi_formula degree_day_formula(const ebi_climate *climate) {
  static const ebi_formula of_months[] = {[EBI_MONTH_HITCHIN] = EBI_F_DEGREE_DAYS,
                                          [EBI_MONTH_ISO] = EBI_F_DEGREE_DAYS_ISO,
                                          [EBI_MONTH_NORMAL] = EBI_F_DEGREE_DAYS_NORMAL,
                                          [EBI_MONTH_ERBS] = EBI_F_DEGREE_DAYS_ERBS};
  switch (ebi_climate_finest(climate)) {
  case EBI_WEATHER_HOURS:
    return EBI_F_DEGREE_DAYS_HOURS;
  case EBI_WEATHER_DAYS:
    return EBI_F_DEGREE_DAYS_MIN_MAX;
  case EBI_WEATHER_MONTHS:
    break;
  }
  return of_months[climate->month_rule];
}

/* A way to run the house, and the steps its heat loss follows from. */
typedef struct way {
  const char *name;
  const ebi_energy_need *need;
  const ebi_step *air;
  size_t n_air;
  bool by_month;   /* its heat loss differs from month to month */
  double fan_heat; /* W, in `warmth` */
  ebi_step warmth, frost;
} way;

static bool gains_by_month(const ebi_account *a) {
  return a->in->house->gains_of_month[0].given;
}

static ebi_step base_of(ebi_account *a, const way *w, int month, ebi_step loss, const char *when) {
  const ebi_energy_inputs *in = a->in;
  ebi_step from[] = {a->indoor, a->gains[month], w->warmth, loss};
  double base = eb_base_temperature(in->indoor_c, in->gains_of[month] + w->fan_heat,
                                    w->need->heat_loss[month]);
  return ebi_ledger_step(a->ledger, EBI_F_BASE_TEMPERATURE, NULL, base, EBI_TEMPERATURE, from,
                         LENGTH(from), "base temperature %s, %s", w->name, when);
}

/* Heat loss, base temperature, degree-days and heat; the step of the year's heat is returned. */
static ebi_step explain_need(ebi_account *a, const way *w) {
  const ebi_energy_need *need = w->need;
  ebi_formula rule = degree_day_formula(a->in->house->climate);
  ebi_step sum[EBI_MONTHS], loss = EBI_NO_STEP, base = EBI_NO_STEP;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const char *month = ebi_month_name(i), *when = w->by_month ? month : "the year";
    if (i == 0 || w->by_month)
      loss = ebi_ledger_step(a->ledger, EBI_F_HEAT_LOSS, NULL, need->heat_loss[i], EBI_HEAT_LOSS,
                             w->air, w->n_air, "heat loss %s, %s", w->name, when);
    if (i == 0 || w->by_month || gains_by_month(a))
      base = base_of(a, w, i, loss, gains_by_month(a) ? month : when);
    ebi_step of_days[] = {base, a->weather[i]};
    ebi_step days =
        ebi_ledger_step(a->ledger, rule, NULL, need->degree_days[i], EBI_DEGREE_DAYS, of_days,
                        LENGTH(of_days), "heating degree-days %s, %s", w->name, month);
    ebi_step of_heat[] = {loss, days, w->frost};
    sum[i] =
        ebi_ledger_step(a->ledger, EBI_F_HEATING_NEED, NULL, need->heat_kwh[i] * EBI_JOULES_PER_KWH,
                        EBI_ENERGY, of_heat, LENGTH(of_heat), "heat %s, %s", w->name, month);
  }
  return ebi_ledger_step(a->ledger, EBI_F_YEAR_SUM, NULL,
                         ebi_energy_sum(need->heat_kwh) * EBI_JOULES_PER_KWH, EBI_ENERGY, sum,
                         EBI_MONTHS, "heat %s, the year", w->name);
}

void ebi_account_needs(ebi_account *a) {
  const ebi_energy_needs *needs = a->needs;
  double fan = a->in->fan_heat_w;
  ebi_account_frost(a);
  ebi_step all[] = {a->fabric, a->air, a->volume, a->infiltration, a->flow, a->ratio, a->ducts};
  way closed = {"without ventilation", &needs->no_air, all, 4, false, 0.0,
                EBI_NO_STEP,           EBI_NO_STEP};
  way open = {"without recovery", &needs->no_recovery, all, 5, false, fan, a->fan_heat, a->frost};
  way own = {"with recovery", &needs->recovery, all, LENGTH(all), false, fan,
             a->fan_heat,     a->frost};
  a->no_air = explain_need(a, &closed);
  a->no_recovery = explain_need(a, &open);
  a->net = explain_need(a, &own);
  (void)ebi_ledger_step(a->ledger, EBI_F_YEAR_SUM, NULL, a->energy->heating_degree_days,
                        EBI_DEGREE_DAYS, &a->net, 1, "heating degree-days with recovery, the year");
  ebi_step from[] = {a->indoor, a->gains[0], a->fan_heat, a->net};
  if (gains_by_month(a))
    (void)ebi_ledger_step(a->ledger, EBI_F_BASE_TEMPERATURE, NULL, a->energy->base_temperature_c,
                          EBI_TEMPERATURE, from, LENGTH(from),
                          "base temperature with recovery, at the year's mean gains");
}

/* ---- Recovered ---------------------------------------------------------- */

ebi_step ebi_account_difference(ebi_account *a, double kwh, ebi_step larger, ebi_step smaller,
                                const char *what, const char *when) {
  ebi_step inputs[] = {larger, smaller};
  return ebi_ledger_step(a->ledger, EBI_F_NEED_DIFFERENCE, NULL, kwh * EBI_JOULES_PER_KWH,
                         EBI_ENERGY, inputs, LENGTH(inputs), "%s, %s", what, when);
}

/* What asks for heat and what is recovered, three answers, of a month or the year. */
typedef struct recovered {
  double ventilation, useful, gross, heating; /* kWh */
} recovered;

static void explain_recovered(ebi_account *a, const recovered *r, const char *when) {
  ebi_step inputs[] = {a->air, a->flow, a->ratio, a->indoor, a->frost};
  (void)ebi_account_difference(a, r->ventilation, a->no_recovery, a->no_air,
                               "heat for ventilation before recovery", when);
  (void)ebi_account_difference(a, r->useful, a->no_recovery, a->net, "heat recovered, useful",
                               when);
  (void)ebi_ledger_step(a->ledger, EBI_F_GROSS_RECOVERY, NULL, r->gross * EBI_JOULES_PER_KWH,
                        EBI_ENERGY, inputs, LENGTH(inputs), "heat recovered, gross, %s", when);
  (void)ebi_ledger_step(a->ledger, EBI_F_HEATING_RECOVERY, NULL, r->heating * EBI_JOULES_PER_KWH,
                        EBI_ENERGY, inputs, LENGTH(inputs),
                        "heat recovered while the house needs heating, %s", when);
}

void ebi_account_recovered(ebi_account *a) {
  const eb_energy *energy = a->energy;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const eb_energy_month *m = &energy->months[i];
    recovered month = {m->ventilation_heat_kwh, m->recovered_heat_kwh, m->gross_recovered_kwh,
                       m->recovered_heating_kwh};
    explain_recovered(a, &month, ebi_month_name(i));
  }
  recovered year = {energy->ventilation_heat_kwh, energy->recovered_heat_kwh,
                    energy->gross_recovered_kwh, energy->recovered_heating_kwh};
  explain_recovered(a, &year, "the year");
}

/* ---- Frost -------------------------------------------------------------- */

static ebi_step frost_step(ebi_account *a, ebi_formula formula, double si, ebi_kind kind,
                           const char *what, const char *when) {
  ebi_step inputs[] = {a->air, a->flow, a->ratio};
  return ebi_ledger_step(a->ledger, formula, NULL, si, kind, inputs, LENGTH(inputs), "%s, %s", what,
                         when);
}

void ebi_account_frost(ebi_account *a) {
  static const char *const what = "electricity of frost protection";
  const eb_frost *frost = &a->energy->frost;
  const ebi_given *below = &a->in->house->unit->frost_below;
  a->frost = frost_step(a, EBI_F_FROST, a->energy->frost_kwh * EBI_JOULES_PER_KWH, EBI_ENERGY, what,
                        "the year");
  if (a->in->protection.method == EBI_FROST_NONE)
    return;
  (void)ebi_account_given(a, below, frost->below_c, EBI_TEMPERATURE,
                          "temperature below which frost protection works");
  for (int i = 0; i < EBI_MONTHS; i++)
    (void)frost_step(a, EBI_F_FROST, a->energy->months[i].frost_kwh * EBI_JOULES_PER_KWH,
                     EBI_ENERGY, what, ebi_month_name(i));
  (void)frost_step(a, EBI_F_FROST_HOURS, frost->hours, EBI_NUMBER,
                   "hours below the temperature of frost protection", "the year");
  if (frost->useful_kwh > 0.0)
    (void)frost_step(a, EBI_F_FROST_USEFUL, frost->useful_kwh * EBI_JOULES_PER_KWH, EBI_ENERGY,
                     "warmth of frost protection that reaches the rooms", "the year");
  if (frost->lost_recovery_kwh > 0.0)
    (void)frost_step(a, EBI_F_FROST_LOST, frost->lost_recovery_kwh * EBI_JOULES_PER_KWH, EBI_ENERGY,
                     "heat not recovered against frost", "the year");
  if (frost->lost_air_m3 > 0.0)
    (void)frost_step(a, EBI_F_FROST_AIR, frost->lost_air_m3, EBI_VOLUME,
                     "outdoor air not supplied against frost", "the year");
}

/* ---- Baseline ----------------------------------------------------------- */

static ebi_step air_of_baseline(ebi_account *a, const ebi_cite *cite) {
  const ebi_energy_inputs *in = a->in;
  const eb_house *house = in->house;
  ebi_step fans =
      ebi_account_given(a, &house->baseline_fans, in->baseline_fans, EBI_NUMBER, "extract fans");
  ebi_step n50 = house->baseline_n50.given
                     ? ebi_account_given(a, &house->baseline_n50, in->baseline_n50, EBI_AIR_CHANGE,
                                         "air changes of the baseline at 50 Pa")
                     : a->n50;
  ebi_step inputs[] = {n50, fans, a->volume, a->flow, a->infiltration};
  if (!isnan(in->baseline_given))
    inputs[0] = ebi_account_given(a, &house->baseline_air_change, in->baseline_given,
                                  EBI_AIR_CHANGE, "air changes of the baseline as given");
  return ebi_ledger_step(a->ledger, ebi_energy_baseline_air_formula(in), cite,
                         a->energy->baseline_air_change_per_h, EBI_AIR_CHANGE, inputs,
                         LENGTH(inputs), "air changes of the baseline, mean of the year");
}

void ebi_account_baseline(ebi_account *a) {
  const ebi_energy_inputs *in = a->in;
  const eb_house *house = in->house;
  const ebi_baseline *baseline = house->baseline;
  const ebi_cite cite = {baseline->entry.name, baseline->entry.source.text,
                         baseline->entry.source.known};
  ebi_step change = air_of_baseline(a, &cite);
  ebi_step all[] = {a->fabric, a->air, a->volume, change};
  double own = ebi_energy_baseline_fan_heat(in);
  bool by_month = a->needs->baseline.heat_loss[0] != a->needs->baseline.heat_loss[6];
  way w = {"of the baseline",
           &a->needs->baseline,
           all,
           LENGTH(all),
           by_month,
           own,
           own > 0.0 ? a->fan_heat : EBI_NO_STEP,
           EBI_NO_STEP};
  a->baseline = explain_need(a, &w);
  ebi_step base[] = {a->indoor, a->gains[0], a->fabric, a->air, a->volume, change};
  (void)ebi_ledger_step(a->ledger, EBI_F_BASE_TEMPERATURE, NULL,
                        a->energy->baseline_base_temperature_c, EBI_TEMPERATURE, base, LENGTH(base),
                        "base temperature of the baseline, at the year's mean air change");
  a->baseline_fans = ebi_ledger_step(a->ledger, ebi_energy_baseline_fans_formula(in), &cite,
                                     a->energy->baseline_fan_kwh * EBI_JOULES_PER_KWH, EBI_ENERGY,
                                     &change, 1, "electricity of the baseline's fans, the year");
}
