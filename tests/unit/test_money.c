/* test_money.c - money over the years: identities, limits and what is not defined */

#include <check.h>
#include <math.h>

#include "design/energy.h"
#include "rates_house.h"
#include "suites.h"

#define NEAR(value, expected, slack) ck_assert_double_eq_tol((value), (expected), (slack))

/* Year by year, as a ledger would have it. */
static double summed(double yearly, double interest, double growth, int years) {
  double sum = 0.0, payment = yearly, discount = 1.0;
  for (int k = 1; k <= years; k++) {
    discount /= 1.0 + interest;
    sum += payment * discount;
    payment *= 1.0 + growth;
  }
  return sum;
}

START_TEST(present_value_is_the_sum_of_years) {
  static const double rates[] = {-0.031, 0.0, 1e-9, 0.0117, 0.0371, 0.0371 + 1e-12, 0.083};
  for (size_t i = 0; i < 7; i++)
    for (size_t j = 0; j < 7; j++)
      for (int years = 1; years < 42; years += 13) {
        double want = summed(173.0, rates[i], rates[j], years) - 2917.0;
        NEAR(eb_net_present_value(2917.0, 173.0, rates[i], rates[j], years), want,
             1e-9 * (fabs(want) + 2917.0));
      }
}
END_TEST

START_TEST(paid_back_when_present_value_is_nothing) {
  for (double growth = -0.013; growth < 0.05; growth += 0.0091)
    for (double interest = 0.0; interest < 0.06; interest += 0.013) {
      double years = eb_discounted_payback(2917.0, 293.0, interest, growth);
      ck_assert(years > 0.0);
      NEAR(eb_net_present_value(2917.0, 293.0, interest, growth, years), 0.0, 1e-8);
    }
  NEAR(eb_discounted_payback(2917.0, 293.0, 0.0, 0.0), eb_payback(2917.0, 293.0), 1e-12);
}
END_TEST

START_TEST(present_value_at_the_internal_rate_is_nothing) {
  for (double price = 310.0; price < 4e4; price *= 1.93)
    for (double growth = -0.02; growth < 0.05; growth += 0.0173)
      for (double years = 1.0; years < 90.0; years *= 2.7) {
        double rate = eb_internal_rate(price, 293.0, growth, years);
        ck_assert(rate > -1.0);
        NEAR(eb_net_present_value(price, 293.0, rate, growth, years) / price, 0.0, 1e-6);
      }
}
END_TEST

START_TEST(annual_cost_buys_the_price_back) {
  NEAR(eb_net_present_value(3141.0, eb_annual_cost(3141.0, 0.043, 17.0), 0.043, 0.0, 17.0), 0.0,
       1e-9);
  NEAR(eb_annual_cost(3141.0, 0.0, 17.0), 3141.0 / 17.0, 1e-12);
}
END_TEST

START_TEST(what_is_not_defined_is_no_number) {
  ck_assert(isnan(eb_payback(3000.0, 0.0)));
  ck_assert(isnan(eb_payback(3000.0, -17.0)));
  ck_assert(isnan(eb_payback(NAN, 17.0)));
  ck_assert(isnan(eb_payback(3000.0, HUGE_VAL)));
  ck_assert(isnan(eb_discounted_payback(3000.0, 150.0, 0.05, 0.0))); /* just the interest */
  ck_assert(isnan(eb_discounted_payback(3000.0, 170.0, NAN, 0.0)));
  ck_assert(isnan(eb_net_present_value(3000.0, 170.0, -1.0, 0.0, 15.0)));
  ck_assert(isnan(eb_net_present_value(3000.0, 170.0, 0.05, 0.0, NAN)));
  ck_assert(isnan(eb_net_present_value(3000.0, NAN, 0.05, 0.0, 15.0)));
  ck_assert(isnan(eb_internal_rate(3000.0, -17.0, 0.0, 15.0)));
  ck_assert(isnan(eb_internal_rate(-3.0, 17.0, 0.0, 15.0)));
  ck_assert(isnan(eb_internal_rate(3000.0, 17.0, 0.0, 0.5)));
  ck_assert(isnan(eb_annual_cost(3000.0, 0.05, 0.0)));
  ck_assert(isnan(eb_annuity_factor(-1.0, 15.0)));
}
END_TEST

/* ---- A house's investment ---------------------------------------------- */

typedef struct invested {
  test_house test;
  ebi_climate climate;
  ebi_energy_inputs in;
  eb_energy energy;
} invested;

/* 2487.14 kWh of heat saved for 547.5 kWh of electricity at 90 %, 0.07 and 0.28: 40.14 a year
 * (own calculation). */
static void set_up(invested *f) {
  *f = (invested){.climate = {.days = {365.0}}};
  test_house_start(&f->test, NULL);
  eb_house *house = &f->test.house;
  house->climate = &f->climate;
  house->currency = "CHF";
  house->heating = (ebi_tariff){.given = true,
                                .price = 0.07 / 3.6e6,
                                .efficiency = 0.9,
                                .date = "2026-11",
                                .source = "invented"};
  house->electricity = house->heating;
  house->electricity.price = 0.28 / 3.6e6;
  house->investment = (ebi_investment){.given = true,
                                       .price = 912.0,
                                       .avoided = test_given(217.0),
                                       .filters = test_given(3.5),
                                       .service = test_given(2.25),
                                       .avoided_service = test_given(1.5),
                                       .years = test_given(23.0),
                                       .interest = test_given(0.027),
                                       .growth = test_given(0.011),
                                       .date = "2026-10",
                                       .source = "invented"};
  f->in = (ebi_energy_inputs){
      .context = f->test.context, .house = house, .arena = ebi_context_arena(f->test.context)};
  f->energy = (eb_energy){.saving_heat_kwh = 2487.14,
                          .saving_electricity_kwh = -547.5,
                          .fan_kwh = 488.5,
                          .standby_kwh = 31.0,
                          .frost_kwh = 28.0};
}

static const eb_investment *invest(invested *f) {
  ck_assert_int_eq(ebi_energy_money(&f->in, &f->energy), EB_OK);
  return &f->energy.investment;
}

START_TEST(an_investment_that_pays) {
  invested f;
  set_up(&f);
  const eb_investment *investment = invest(&f);
  double yearly = 40.1442222222222 + 1.5 - 5.75;
  ck_assert(f.energy.saving.given && !f.energy.saving.carbon_given && investment->given);
  NEAR(f.energy.saving.money, 40.1442222222222, 1e-9);
  NEAR(investment->yearly, yearly, 1e-9);
  NEAR(investment->payback_years, 695.0 / yearly, 1e-9);
  NEAR(investment->net_present_value, summed(yearly, 0.027, 0.011, 23) - 695.0, 1e-8);
  ck_assert(investment->discounted_payback_years > investment->payback_years);
  ck_assert(investment->internal_rate > 0.0 && investment->annual_cost > 912.0 / 23.0);
  NEAR(f.energy.cost_per_day, 547.5 * 0.28 / 365.0, 1e-9);
  ck_assert_ptr_null(investment->why);
  ck_assert_str_eq(f.energy.heating_price.date, "2026-11");
  NEAR(f.energy.heating_price.per_kwh, 0.07, 1e-15);
  ck_assert(isnan(f.energy.heating_price.carbon_kg_kwh));
  ck_assert_uint_eq(test_found(&f.test, "price-undated"), 0);
  test_house_end(&f.test);
}
END_TEST

START_TEST(an_investment_that_never_pays) {
  invested f;
  set_up(&f);
  f.test.house.investment.service = test_given(61.0);
  const eb_investment *investment = invest(&f);
  ck_assert(investment->yearly < 0.0);
  ck_assert(isnan(investment->payback_years) && isnan(investment->discounted_payback_years));
  ck_assert(isnan(investment->internal_rate));
  ck_assert(investment->net_present_value < -695.0);
  ck_assert_str_eq(investment->why,
                   "never: the upkeep and electricity cost more than the heat saved brings");
  test_house_end(&f.test);
}
END_TEST

START_TEST(an_investment_without_rates) {
  invested f;
  set_up(&f);
  f.test.house.investment.years = f.test.house.investment.interest = (ebi_given){0};
  f.test.house.investment.growth = f.test.house.investment.filters = (ebi_given){0};
  f.test.house.investment.service = (ebi_given){0};
  const eb_investment *investment = invest(&f);
  ck_assert(investment->payback_years > 0.0);
  ck_assert(isnan(investment->net_present_value) && isnan(investment->annual_cost));
  ck_assert(isnan(investment->discounted_payback_years) && isnan(investment->internal_rate));
  ck_assert_str_eq(investment->why, "`years:` is not given; `interest:` is not given");
  ck_assert_uint_eq(test_found(&f.test, "upkeep-missing"), 1);
  test_house_end(&f.test);
}
END_TEST

START_TEST(an_investment_without_prices) {
  invested f;
  set_up(&f);
  f.test.house.heating = (ebi_tariff){.efficiency = 1.0};
  const eb_investment *investment = invest(&f);
  ck_assert(isnan(investment->yearly) && isnan(investment->payback_years));
  ck_assert(investment->annual_cost > 0.0);
  ck_assert(!f.energy.saving.given && f.energy.cost_per_day > 0.0);
  ck_assert_str_eq(investment->why, "`costs:` gives no price of both electricity and heating");
  test_house_end(&f.test);
}
END_TEST

START_TEST(an_investment_cheaper_than_what_it_replaces) {
  invested f;
  set_up(&f);
  f.test.house.investment.avoided = test_given(913.0);
  const eb_investment *investment = invest(&f);
  ck_assert(investment->payback_years == 0.0 && investment->discounted_payback_years == 0.0);
  ck_assert_str_eq(investment->why, "no internal rate: it costs no more than what it replaces");
  f.test.house.investment.service = test_given(61.0);
  investment = invest(&f);
  ck_assert(isnan(investment->payback_years));
  ck_assert_str_eq(investment->why,
                   "bought for no more than what it replaces, but dearer to run each year");
  test_house_end(&f.test);
}
END_TEST

START_TEST(an_investment_below_its_interest) {
  invested f;
  set_up(&f);
  f.test.house.investment.interest = test_given(0.09);
  const eb_investment *investment = invest(&f);
  ck_assert(investment->payback_years > 0.0 && isnan(investment->discounted_payback_years));
  ck_assert_str_eq(investment->why,
                   "never in today's money: each year brings less than the interest on the price");
  test_house_end(&f.test);
}
END_TEST

START_TEST(prices_are_asked_for_their_date) {
  invested f;
  set_up(&f);
  f.test.house.heating.date = "";
  f.test.house.electricity.source = "";
  f.test.house.investment.date = f.test.house.investment.source = "";
  invest(&f);
  ck_assert_uint_eq(test_found(&f.test, "price-undated"), 3);
  test_house_end(&f.test);
}
END_TEST

Suite *suite_money(void) {
  Suite *suite = suite_create("money");
  TCase *physics = tcase_create("physics"), *house = tcase_create("house");
  tcase_add_test(physics, present_value_is_the_sum_of_years);
  tcase_add_test(physics, paid_back_when_present_value_is_nothing);
  tcase_add_test(physics, present_value_at_the_internal_rate_is_nothing);
  tcase_add_test(physics, annual_cost_buys_the_price_back);
  tcase_add_test(physics, what_is_not_defined_is_no_number);
  tcase_add_test(house, an_investment_that_pays);
  tcase_add_test(house, an_investment_that_never_pays);
  tcase_add_test(house, an_investment_without_rates);
  tcase_add_test(house, an_investment_without_prices);
  tcase_add_test(house, an_investment_cheaper_than_what_it_replaces);
  tcase_add_test(house, an_investment_below_its_interest);
  tcase_add_test(house, prices_are_asked_for_their_date);
  suite_add_tcase(suite, physics);
  suite_add_tcase(suite, house);
  return suite;
}
