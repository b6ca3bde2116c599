/* energy_money.c - money and carbon of the year, and whether the system pays
 *
 * Heat saved is paid for at the meter: it is divided by the boiler's efficiency or the heat pump's
 * seasonal performance before it is priced. Prices, factors, years and rates are the user's; what
 * is not given is not guessed, and the figures that need it are not defined. */

#include "design/energy.h"

#include <math.h>

#define JOULES_PER_KWH 3.6e6
#define LENGTH(array) (sizeof(array) / sizeof(array)[0])

/* ---- Prices ------------------------------------------------------------ */

static eb_price price_of(const ebi_tariff *tariff) {
  return (eb_price){
      .given = tariff->given,
      .per_kwh = tariff->price * JOULES_PER_KWH,
      .carbon_kg_kwh = tariff->carbon.given ? tariff->carbon.value * JOULES_PER_KWH : (double)NAN,
      .efficiency = tariff->efficiency,
      .date = tariff->date,
      .source = tariff->source,
  };
}

/* What was given without a date or source is asked for one. */
static void ask_when(const ebi_energy_inputs *in, const char *section, bool given, const char *date,
                     const char *source, ebi_where where) {
  bool dated = date != NULL && date[0] != '\0', sourced = source != NULL && source[0] != '\0';
  if (!given || (dated && sourced))
    return;
  ebi_diag(in->context, EB_NOTE, "price-undated", where, NULL,
           "`costs.%s` has no %s: prices and carbon factors move by tens of per cent, so say when "
           "yours held and where they are from",
           section,
           dated     ? "`source:`"
           : sourced ? "`date:`"
                     : "`date:` and no `source:`");
}

/* What heat and electricity saved come to at prices or carbon factors per joule. */
static double worth(const eb_house *house, double heat_kwh, double electricity_kwh, double per_heat,
                    double per_electricity) {
  double bought = heat_kwh * JOULES_PER_KWH / house->heating.efficiency;
  return bought * per_heat + electricity_kwh * JOULES_PER_KWH * per_electricity;
}

double ebi_money_saved(const eb_house *house, double heat_kwh, double electricity_kwh) {
  if (!house->electricity.given || !house->heating.given)
    return NAN;
  return worth(house, heat_kwh, electricity_kwh, house->heating.price, house->electricity.price);
}

static void set_saving(const eb_house *house, eb_energy *energy) {
  const ebi_given *heat = &house->heating.carbon, *electricity = &house->electricity.carbon;
  double money = ebi_money_saved(house, energy->saving_heat_kwh, energy->saving_electricity_kwh);
  energy->saving = (eb_money){.currency = house->currency};
  if (isnan(money))
    return;
  energy->saving.given = true;
  energy->saving.money = money;
  if (!electricity->given || !heat->given)
    return;
  energy->saving.carbon_given = true;
  energy->saving.carbon_kg = worth(house, energy->saving_heat_kwh, energy->saving_electricity_kwh,
                                   heat->value, electricity->value);
}

static double cost_per_day(const ebi_energy_inputs *in, const eb_energy *energy) {
  double kwh = energy->fan_kwh + energy->standby_kwh + energy->frost_kwh;
  if (!in->house->electricity.given)
    return NAN;
  return kwh * JOULES_PER_KWH * in->house->electricity.price /
         ebi_energy_sum(in->house->climate->days);
}

/* ---- The investment ---------------------------------------------------- */

static double or_nothing(const ebi_given *given) {
  return given->given ? given->value : 0.0;
}

static double or_unknown(const ebi_given *given) {
  return given->given ? given->value : (double)NAN;
}

static void set_figures(const eb_money *saving, eb_investment *investment) {
  double paid = investment->price - investment->avoided, yearly = NAN;
  if (saving->given)
    yearly = saving->money + investment->avoided_upkeep - investment->upkeep;
  investment->yearly = yearly;
  investment->payback_years = eb_payback(paid, yearly);
  investment->discounted_payback_years =
      eb_discounted_payback(paid, yearly, investment->interest, investment->growth);
  investment->net_present_value = eb_net_present_value(paid, yearly, investment->interest,
                                                       investment->growth, investment->years);
  investment->internal_rate = eb_internal_rate(paid, yearly, investment->growth, investment->years);
  investment->annual_cost =
      eb_annual_cost(investment->price, investment->interest, investment->years);
}

/* Why some figures are not defined, all reasons in a row; NULL where all are. */
static eb_status set_why(ebi_arena *arena, eb_investment *investment) {
  double paid = investment->price - investment->avoided, yearly = investment->yearly;
  bool priced = !isnan(yearly), pays = investment->payback_years >= 0.0;
  const struct {
    bool holds;
    const char *reason;
  } reasons[] = {
      {!priced, "`costs:` gives no price of both electricity and heating"},
      {isnan(investment->years), "`years:` is not given"},
      {isnan(investment->interest), "`interest:` is not given"},
      {priced && !pays && paid > 0.0,
       "never: the upkeep and electricity cost more than the heat saved brings"},
      {priced && !pays && paid <= 0.0,
       "bought for no more than what it replaces, but dearer to run each year"},
      {pays && !isnan(investment->interest) && isnan(investment->discounted_payback_years),
       "never in today's money: each year brings less than the interest on the price"},
      {pays && paid <= 0.0, "no internal rate: it costs no more than what it replaces"},
  };
  const char *why = NULL;
  for (size_t i = 0; i < LENGTH(reasons); i++) {
    if (!reasons[i].holds)
      continue;
    why =
        why == NULL ? reasons[i].reason : ebi_arena_format(arena, "%s; %s", why, reasons[i].reason);
    if (why == NULL)
      return EB_E_MEMORY;
  }
  investment->why = why;
  return EB_OK;
}

static void say_investment(const ebi_energy_inputs *in) {
  const ebi_investment *given = &in->house->investment;
  if (!given->filters.given && !given->service.given)
    ebi_diag(in->context, EB_NOTE, "upkeep-missing", given->where, NULL,
             "`costs.investment` gives neither `filters:` nor `service:`: no upkeep is counted; "
             "write for example `filters: 48 per year`");
  if (!given->growth.given && given->interest.given)
    ebi_diag(in->context, EB_NOTE, "growth-missing", given->where, NULL,
             "`costs.investment` gives no `growth:` of prices: none is taken, which is right where "
             "`interest:` is above inflation and prices follow it");
}

static eb_status set_investment(const ebi_energy_inputs *in, eb_energy *energy) {
  const ebi_investment *given = &in->house->investment;
  eb_investment *investment = &energy->investment;
  *investment = (eb_investment){.given = given->given, .date = "", .source = ""};
  if (!given->given)
    return EB_OK;
  investment->price = given->price;
  investment->avoided = or_nothing(&given->avoided);
  investment->upkeep = or_nothing(&given->filters) + or_nothing(&given->service);
  investment->avoided_upkeep = or_nothing(&given->avoided_service);
  investment->years = or_unknown(&given->years);
  investment->interest = or_unknown(&given->interest);
  investment->growth = or_nothing(&given->growth);
  investment->date = given->date;
  investment->source = given->source;
  set_figures(&energy->saving, investment);
  say_investment(in);
  return set_why(in->arena, investment);
}

eb_status ebi_energy_money(const ebi_energy_inputs *in, eb_energy *energy) {
  const eb_house *house = in->house;
  const ebi_tariff *electricity = &house->electricity, *heating = &house->heating;
  const ebi_investment *investment = &house->investment;
  energy->electricity_price = price_of(electricity);
  energy->heating_price = price_of(heating);
  set_saving(house, energy);
  energy->cost_per_day = cost_per_day(in, energy);
  ask_when(in, "electricity", electricity->given, electricity->date, electricity->source,
           electricity->where);
  ask_when(in, "heating", heating->given, heating->date, heating->source, heating->where);
  ask_when(in, "investment", investment->given, investment->date, investment->source,
           investment->where);
  return set_investment(in, energy);
}

/* ---- The account ------------------------------------------------------- */

typedef struct money_account {
  eb_ledger *ledger;
  const ebi_investment *given;
  ebi_step paid[2], years, interest, growth;
} money_account;

static ebi_step input(const money_account *a, const ebi_given *value, ebi_kind kind,
                      const char *what) {
  if (!value->given)
    return EBI_NO_STEP;
  return ebi_ledger_input(a->ledger, value->where, value->value, kind, "%s", what);
}

static void figure(const money_account *a, ebi_formula formula, double value, ebi_kind kind,
                   const ebi_step *inputs, size_t n_inputs, const char *what) {
  if (!isnan(value))
    (void)ebi_ledger_step(a->ledger, formula, NULL, value, kind, inputs, n_inputs, "%s", what);
}

/* Each from what it takes alone. */
static void explain_figures(const money_account *a, const eb_investment *investment,
                            ebi_step yearly) {
  ebi_step all[] = {a->paid[0], a->paid[1], yearly, a->growth, a->interest, a->years};
  ebi_step rate[] = {a->paid[0], a->paid[1], yearly, a->growth, a->years};
  ebi_step cost[] = {a->paid[0], a->interest, a->years};
  figure(a, EBI_F_PAYBACK, investment->payback_years, EBI_NUMBER, all, 3, "payback, years");
  figure(a, EBI_F_DISCOUNTED_PAYBACK, investment->discounted_payback_years, EBI_NUMBER, all, 5,
         "payback in today's money, years");
  figure(a, EBI_F_NET_PRESENT_VALUE, investment->net_present_value, EBI_NUMBER, all, 6,
         "net present value");
  figure(a, EBI_F_INTERNAL_RATE, investment->internal_rate, EBI_RATIO, rate, 5,
         "internal rate of return");
  figure(a, EBI_F_ANNUAL_COST, investment->annual_cost, EBI_NUMBER, cost, 3,
         "price as an equal sum a year");
}

static ebi_step explain_yearly(const money_account *a, const eb_investment *investment,
                               ebi_step saved) {
  const ebi_investment *given = a->given;
  ebi_step inputs[] = {
      saved, input(a, &given->avoided_service, EBI_MONEY_PER_YEAR, "service of the baseline"),
      input(a, &given->filters, EBI_MONEY_PER_YEAR, "filters"),
      input(a, &given->service, EBI_MONEY_PER_YEAR, "service")};
  return ebi_ledger_step(a->ledger, EBI_F_YEARLY_GAIN, NULL, investment->yearly, EBI_MONEY_PER_YEAR,
                         inputs, LENGTH(inputs), "money gained, upkeep counted");
}

void ebi_energy_money_explain(const ebi_energy_inputs *in, const eb_energy *energy, ebi_step saved,
                              eb_ledger *ledger) {
  const ebi_investment *given = &in->house->investment;
  const eb_investment *investment = &energy->investment;
  if (!given->given)
    return;
  money_account a = {.ledger = ledger, .given = given};
  a.paid[0] = ebi_ledger_input(ledger, given->where, given->price, EBI_NUMBER, "price");
  a.paid[1] = input(&a, &given->avoided, EBI_NUMBER, "price avoided");
  a.years = input(&a, &given->years, EBI_NUMBER, "years");
  a.interest = input(&a, &given->interest, EBI_RATIO, "interest a year");
  a.growth = input(&a, &given->growth, EBI_RATIO, "growth of prices a year");
  ebi_step yearly = EBI_NO_STEP;
  if (!isnan(investment->yearly))
    yearly = explain_yearly(&a, investment, saved);
  explain_figures(&a, investment, yearly);
}
