/* test_energy.c - the year by degree-days, on houses made by hand */

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "energy_house.h"
#include "input/load.h"
#include "physics/degree_days_normal.h"
#include "suites.h"

/* ---- The data set ------------------------------------------------------ */

typedef struct year {
  int number;
  double month[12]; /* degrees Fahrenheit */
} year;

static const year nottem[] = {
#define NOTTEM(number, ...) {number, {__VA_ARGS__}},
#include "nottem.def"
#undef NOTTEM
};

#define N_YEARS (sizeof nottem / sizeof nottem[0])

static double celsius(double fahrenheit) {
  return (fahrenheit - 32.0) * 5.0 / 9.0;
}

static double sum_of_year(const year *y, double base) {
  double sum = 0.0;
  for (int i = 0; i < 12; i++) {
    double days = energy_month_days[i] + (i == 1 && y->number % 4 == 0);
    sum += eb_degree_days_monthly(base, celsius(y->month[i]), days, 0.71);
  }
  return sum;
}

/* Own calculation with R 4.2.2 on the data set nottem. */
START_TEST(degree_days_of_nottingham) {
  static const struct {
    double base, of_means, mean_of_years;
  } rows[] = {{10.0, 979.59, 994.6654},
              {15.5, 2363.19, 2377.766},
              {18.0, 3164.97, 3176.615},
              {55.0 / 3.0, 3277.80, 3288.922},
              {20.0, 3856.21, 3864.852}};
  for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
    double of_means = 0.0, of_years = 0.0;
    for (int i = 0; i < 12; i++)
      of_means +=
          eb_degree_days_monthly(rows[r].base, energy_mean_month(i), energy_month_days[i], 0.71);
    for (size_t i = 0; i < N_YEARS; i++)
      of_years += sum_of_year(&nottem[i], rows[r].base);
    ck_assert_double_eq_tol(of_means, rows[r].of_means, 0.01);
    ck_assert_double_eq_tol(of_years / (double)N_YEARS, rows[r].mean_of_years, 0.001);
  }
  ck_assert_double_eq_tol(sum_of_year(&nottem[1], 15.5), 2085.476, 0.001); /* least, 1921 */
  ck_assert_double_eq_tol(sum_of_year(&nottem[2], 15.5), 2641.909, 0.001); /* most, 1922 */
}
END_TEST

/* Schoenau & Kehrig in ASHRAE HoF 2021 ch. 14: example 10 (Atlanta, October, mean 17.5 C, spread
 * 3.93 K, base 15 C: 19.4 printed, 19.3684 exact); the rest own arithmetic with scipy. */
START_TEST(degree_days_of_a_normal_spread) {
  static const double rows[][5] = {
      {15.0, 17.5, 31, 3.93, 19.3684}, {-5.0, 0.0, 30, 3.0, 1.78439},
      {3.0, 3.0, 30, 3.0, 35.9048},    {7.0, 5.0, 30, 3.0, 73.60077},
      {5.0, 0.0, 30, 3.0, 151.7844},   {10.0, 0.0, 30, 3.0, 300.0101},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
    ck_assert_double_eq_tol(ebi_degree_days_normal(rows[i][0], rows[i][1], rows[i][2], rows[i][3]),
                            rows[i][4], 1e-4);
  ck_assert_double_eq_tol(ebi_degree_days_normal(-80.0, 20.0, 31, 3.0), 0.0, 1e-100);
  ck_assert_double_eq_tol(ebi_degree_days_spread(0.71), 3.5305, 1e-4);
}
END_TEST

/* ---- Published and calculated years ------------------------------------ */

/* Own calculation with R 4.2.2: heat loss 160 to 115 W/K, gains 500 W, 20 C, Nottingham's mean
 * months: needs 10727.0 and 6649.8, saving 4077.2 kWh; base 15.652 C, 2409.36 K day. */
START_TEST(saving_of_the_worked_house) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.house.altitude = energy_given(0.0);
  f.house.indoor = energy_given(20.0);
  f.house.gains = energy_given(500.0);
  f.house.n50 = energy_given(0.0);
  double c = eb_air_heat_capacity(20.0, eb_air_pressure(0.0));
  double ventilation = 45.0 / 0.85; /* W/K, of which 0.85 comes back */
  f.unit.temperature_ratio = 0.85;
  f.unit.ratio_at = energy_given(0.05);
  f.house.heat_loss = energy_given(160.0 - ventilation);
  f.supply[0] = f.extract[0] = 0.05;
  f.rates.volume_m3 = 250.0;
  f.rates.n_levels = 1;
  /* the flow that gives that heat loss, with the ratio still 0.85 */
  f.supply[0] = f.extract[0] = ventilation / c / 3600.0;
  f.unit.ratio_at = energy_given(f.supply[0]);
  f.house.baseline_air_change = energy_given(ventilation / c / 250.0);
  const eb_energy *energy = energy_must(&f, false);
  ck_assert_double_eq_tol(energy->heat_loss_w_k, 115.0, 1e-9);
  ck_assert_double_eq_tol(energy->heat_loss_no_recovery_w_k, 160.0, 1e-9);
  ck_assert_double_eq_tol(energy->base_temperature_c, 15.65217, 1e-5);
  ck_assert_double_eq_tol(energy->heating_degree_days, 2409.36, 0.01);
  ck_assert_double_eq_tol(energy->net_heat_kwh, 6649.8, 0.1);
  ck_assert_double_eq_tol(energy->net_heat_kwh + energy->recovered_heat_kwh, 10727.0, 0.1);
  ck_assert_double_eq_tol(energy->recovered_heat_kwh, 4077.19, 0.02);
  ck_assert_double_eq_tol(energy->saving_heat_kwh, 4077.19, 0.02);
  /* what all the exchanger's heat would be: 45 W/K x 24 h x degree-days at 20 C */
  ck_assert_double_eq_tol(energy->gross_recovered_kwh, 4164.71, 0.02);
  eb_context_free(f.context);
}
END_TEST

/* Own calculation: the same formulas written anew in Python 3.11. Of what the preheater puts in,
 * 1 - ratio reaches the rooms and the ratio of it crosses the exchanger no more. */
START_TEST(a_whole_year) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.unit.frost = EBI_FROST_PREHEATER;
  f.unit.frost_below = energy_given(1.5);
  const eb_energy *energy = energy_must(&f, true);
  NEAR(energy->air_constant_wh_m3_k, 0.3297028979372, 1e-11);
  NEAR(energy->ventilation_flow_m3_s, 0.0335783333333, 1e-9);
  NEAR(energy->temperature_ratio, 0.860509163423, 1e-9);
  NEAR(energy->infiltration_per_h, 0.156191346321, 1e-9);
  NEAR(energy->heat_loss_w_k, 98.79122216233, 1e-11);
  NEAR(energy->heat_loss_no_recovery_w_k, 133.08694025400, 1e-11);
  NEAR(energy->heating_degree_days, 2993.85383028, 1e-11);
  NEAR(energy->ventilation_heat_kwh, 3989.67146694, 1e-11);
  const double frost = 52.9138855740, kept = 0.860509163423 * frost;
  NEAR(energy->recovered_heat_kwh, 3435.71204710 - kept, 1e-10);
  NEAR(energy->net_heat_kwh, 7098.39549286 - (frost - kept), 1e-10);
  NEAR(energy->baseline_air_change_per_h, 0.536107824132, 1e-9);
  NEAR(energy->baseline_heat_kwh, 9468.84767581, 1e-11);
  NEAR(energy->gross_recovered_kwh, 3466.45421444 - kept, 1e-10);
  NEAR(energy->saving_heat_kwh, 2370.45218295 + (frost - kept), 1e-10);
  ck_assert(energy->range_confidence == 0.95);
  NEAR(energy->fan_kwh, 281.6194, 1e-9);
  NEAR(energy->standby_kwh, 32.412, 1e-9);
  NEAR(energy->frost_kwh, frost, 1e-10);
  NEAR(energy->baseline_fan_kwh, 58.4, 1e-9);
  NEAR(energy->saving_electricity_kwh, 58.4 - 281.6194 - 32.412 - frost, 1e-10);
  ck_assert_str_eq(energy->climate, "nottingham");
  ck_assert_str_eq(energy->baseline_name, "trickle-vents");
  ck_assert_ptr_nonnull(energy_find(&f, "frost-estimate", "3.53 K"));
  eb_energy_free(energy);
  eb_context_free(f.context);
}
END_TEST

static double trickle_vents(const ebi_energy_inputs *in, int month) {
  const ebi_energy_shift none = EBI_NO_SHIFT;
  return ebi_energy_baseline_change(in, &none, &(ebi_energy_air){0}, month);
}

/* SAP 10.2 worksheet line (24d), from memory: a 250 m3 house, q50 5, three fans, two sheltered
 * sides, wind 4.5 m/s: 0.56259 1/h; and the form at other leakages. */
START_TEST(air_of_trickle_vents) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  ebi_energy_inputs in = {.house = &f.house,
                          .volume_m3 = 250.0,
                          .baseline_n50 = 5.0,
                          .baseline_fans = 3.0,
                          .baseline_given = (double)NAN};
  f.climate.wind_m_s[4] = energy_given(4.5);
  ck_assert_double_eq_tol(trickle_vents(&in, 4), 0.56259, 5e-6);
  ck_assert_double_eq_tol(trickle_vents(&in, 10), 0.56259, 5e-6); /* UK November */
  static const double rows[][2] = {{0.0, 0.5},  {0.2, 0.52},  {0.3, 0.545},
                                   {0.4, 0.58}, {0.5, 0.625}, {0.6, 0.68},
                                   {0.8, 0.82}, {1.0, 1.0},   {1.2, 1.2}};
  f.baseline.sheltered_sides = 0.0;
  f.climate.wind_m_s[4] = energy_given(4.0);
  in.baseline_fans = 0.0;
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    in.baseline_n50 = rows[i][0] * 20.0;
    ck_assert_double_eq_tol(trickle_vents(&in, 4), rows[i][1], 1e-12);
  }
  in.baseline_given = 0.37;
  ck_assert(trickle_vents(&in, 4) == 0.37);
  eb_context_free(f.context);
}
END_TEST

/* ---- What must hold ---------------------------------------------------- */

static void check_sums(const eb_energy *energy) {
  double ventilation = 0, recovered = 0, net = 0, fan = 0, baseline = 0, days = 0;
  for (int i = 0; i < 12; i++) {
    const eb_energy_month *m = &energy->months[i];
    ventilation += m->ventilation_heat_kwh;
    recovered += m->recovered_heat_kwh;
    net += m->net_heat_kwh;
    fan += m->fan_kwh;
    baseline += m->baseline_heat_kwh;
    days += m->heating_degree_days;
  }
  NEAR(energy->ventilation_heat_kwh, ventilation, 1e-12);
  ck_assert_double_eq_tol(energy->recovered_heat_kwh, recovered, 1e-9);
  NEAR(energy->net_heat_kwh, net, 1e-12);
  NEAR(energy->fan_kwh, fan, 1e-12);
  NEAR(energy->baseline_heat_kwh, baseline, 1e-12);
  NEAR(energy->heating_degree_days, days, 1e-12);
}

START_TEST(months_make_the_year) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  check_sums(energy_must(&f, true));
  check_sums(energy_must(&f, false));
  eb_context_free(f.context);
}
END_TEST

START_TEST(no_exchange_no_recovery) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.unit.temperature_ratio = 0.0;
  const eb_energy *energy = energy_must(&f, true);
  ck_assert(energy->recovered_heat_kwh == 0.0);
  ck_assert(energy->gross_recovered_kwh == 0.0);
  ck_assert(energy->heat_loss_w_k == energy->heat_loss_no_recovery_w_k);
  eb_context_free(f.context);
}
END_TEST

/* Useful recovery never exceeds the gross one, nor what ventilation asks for
 * where the season has less than the year. */
START_TEST(recovery_has_its_bounds) {
  for (int i = 0; i < 40; i++) {
    energy_fixture f;
    energy_set_up(&f, NULL);
    f.unit.temperature_ratio = 0.023 * (i + 1);
    f.house.gains = energy_given(37.0 * i);
    f.house.heat_loss = energy_given(23.0 + 7.3 * (i * 11 % 17));
    const eb_energy *energy = energy_must(&f, true);
    ck_assert(energy->recovered_heat_kwh > 0.0);
    ck_assert(energy->recovered_heat_kwh <= energy->gross_recovered_kwh * (1 + 1e-12));
    ck_assert(energy->recovered_heat_kwh < energy->ventilation_heat_kwh);
    ck_assert(energy->range_low_kwh < energy->saving_heat_kwh);
    eb_context_free(f.context);
  }
}
END_TEST

/* A leaky house pays for its leaks beside the fans' air: recovery cannot win
 * against the same leaks alone, and that is said. */
START_TEST(a_leaky_house_loses) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.house.n50 = energy_given(27.0);
  f.house.shielding = "none";
  f.house.electricity = (ebi_tariff){.given = true, .price = 0.27 / 3.6e6, .efficiency = 1.0};
  f.house.heating = (ebi_tariff){.given = true, .price = 0.065 / 3.6e6, .efficiency = 0.9};
  const eb_energy *energy = energy_must(&f, true);
  ck_assert(energy->saving_heat_kwh < 0.0);
  ck_assert(energy->saving_electricity_kwh < 0.0);
  ck_assert(energy->saving.given && energy->saving.money < 0.0);
  ck_assert(!energy->saving.carbon_given);
  ck_assert_ptr_nonnull(energy_find(&f, "more-heat", "than trickle-vents"));
  ck_assert_ptr_nonnull(energy_find(&f, "more-electricity", ""));
  ck_assert_ptr_nonnull(energy_find(&f, "more-money", "GBP"));
  ck_assert_ptr_nonnull(energy_find(&f, "comparison", "the baseline gets less outdoor air"));
  eb_context_free(f.context);
}
END_TEST

/* Own arithmetic: heat through the efficiency, electricity as it is. */
START_TEST(money_and_carbon) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.house.electricity = (ebi_tariff){.given = true,
                                     .price = 0.28 / 3.6e6,
                                     .carbon = energy_given(0.20 / 3.6e6),
                                     .efficiency = 1.0};
  f.house.heating = (ebi_tariff){.given = true,
                                 .price = 0.07 / 3.6e6,
                                 .carbon = energy_given(0.21 / 3.6e6),
                                 .efficiency = 0.9};
  const eb_energy *energy = energy_must(&f, true);
  double heat = energy->saving_heat_kwh / 0.9, electricity = energy->saving_electricity_kwh;
  NEAR(energy->saving.money, heat * 0.07 + electricity * 0.28, 1e-12);
  ck_assert(energy->saving.carbon_given);
  NEAR(energy->saving.carbon_kg, heat * 0.21 + electricity * 0.20, 1e-12);
  f.house.heating.given = false;
  energy = energy_must(&f, true);
  ck_assert(!energy->saving.given);
  ck_assert_ptr_nonnull(energy_find(&f, "price-missing", "electricity alone"));
  eb_context_free(f.context);
}
END_TEST

/* ---- Levels and fans --------------------------------------------------- */

START_TEST(hours_of_the_levels) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  const eb_energy *energy = energy_must(&f, false);
  NEAR(energy->ventilation_flow_m3_s, (22.3 * 0.0318 + 1.7 * 0.0443) / 24.0, 1e-12);
  f.level.hours_per_day = (ebi_given){0};
  energy = energy_must(&f, false);
  NEAR(energy->ventilation_flow_m3_s, 0.0318, 1e-12);
  ck_assert_ptr_nonnull(energy_find(&f, "level-hours", "\"boost\" has no `hours:`"));
  eb_diagnostics_clear(f.context);
  f.level.hours_per_day = energy_given(24.7);
  ck_assert_int_eq(energy_run(&f, false, NULL, &energy), EB_E_INPUT);
  ck_assert_ptr_nonnull(energy_find(&f, "level-hours", "24.7 a day"));
  eb_diagnostics_clear(f.context);
  ebi_level both[] = {{.name = "boost", .hours_per_day = energy_given(2.0)},
                      {.name = "normal", .hours_per_day = energy_given(20.5)}};
  f.house.levels = both;
  f.house.n_levels = 2;
  ck_assert_int_eq(energy_run(&f, false, NULL, &energy), EB_E_INPUT);
  ck_assert_ptr_nonnull(energy_find(&f, "level-hours", "22.5 a day"));
  both[1].hours_per_day = energy_given(22.0);
  ck_assert_int_eq(energy_run(&f, false, NULL, &energy), EB_OK);
  eb_context_free(f.context);
}
END_TEST

START_TEST(fans_without_ducts) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  const eb_energy *energy = energy_must(&f, false);
  ck_assert_ptr_nonnull(energy_find(&f, "fan-power-assumed", "50 Pa a side"));
  double own = energy->fan_kwh + energy->standby_kwh;
  ck_assert(own > 50.0 && own < 70.0 * 2 * 8.76);
  /* a power of both fans is not counted twice */
  f.unit.supply_fan.power_both = f.unit.extract_fan.power_both = true;
  energy = energy_must(&f, false);
  ck_assert(energy->fan_kwh + energy->standby_kwh < 0.75 * own);
  /* no power in the curves: the rule's limit, or an error */
  for (int i = 0; i < 3; i++)
    f.points[i].power = (double)NAN;
  ck_assert_int_eq(energy_run(&f, false, NULL, &energy), EB_E_INPUT);
  ck_assert_ptr_nonnull(energy_find(&f, "energy-missing", "a third column, W"));
  f.house.rules = &f.rules;
  f.rules.fan_power = energy_given(1500.0);
  f.rules.fan_power_source = (ebi_source){"a guide, table 9", "memory"};
  energy = energy_must(&f, false);
  double mean = (22.3 * 0.0318 + 1.7 * 0.0443) / 24.0;
  NEAR(energy->fan_kwh + energy->standby_kwh, mean * 1500.0 * 8.76, 1e-9);
  ck_assert_str_eq(energy_find(&f, "fan-power-assumed", "1.5 W/(l/s)")->source, "a guide, table 9");
  eb_context_free(f.context);
}
END_TEST

/* ---- What is wrong or worth saying ------------------------------------- */

static void expect_missing(energy_fixture *f, const char *key) {
  const eb_energy *energy = NULL;
  eb_diagnostics_clear(f->context);
  ck_assert_int_eq(energy_run(f, true, NULL, &energy), EB_E_INPUT);
  ck_assert_ptr_null(energy);
  const eb_diagnostic *told = energy_find(f, "energy-missing", key);
  ck_assert_msg(told != NULL, "%s is not told", key);
  ck_assert_int_eq(told->severity, EB_ERROR);
  ck_assert_str_eq(told->file, "house.yaml");
}

START_TEST(what_is_missing_is_named) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.house.climate = NULL;
  f.house.heat_loss.given = f.house.gains.given = f.house.n50.given = false;
  f.house.unit = NULL;
  f.house.baseline = NULL;
  f.rates.volume_m3 = 0.0;
  static const char *const keys[] = {
      "`site.climate`", "`envelope.heat_loss`", "`envelope.gains`", "`envelope.leakage`",
      "`unit`",         "`baseline`",           "`volume`"};
  for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
    expect_missing(&f, keys[i]); /* each, all in one go */
  f.house.unit = &f.unit;
  f.unit.has_exchanger = false;
  expect_missing(&f, "`unit.exchanger`");
  f.house.q50 = energy_given(1.5 / 3600.0);
  expect_missing(&f, "`envelope.envelope_area`");
  ck_assert_uint_eq(ebi_diag_errors(f.context), 7);
  eb_context_free(f.context);
}
END_TEST

START_TEST(absurd_values) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  const eb_energy *energy = NULL;
  f.house.heat_loss = energy_given(0.0);
  ck_assert_int_eq(energy_run(&f, true, NULL, &energy), EB_E_INPUT);
  ck_assert_ptr_nonnull(energy_find(&f, "energy-range", "0 W/K"));
  f.house.heat_loss = energy_given(81.3);
  f.unit.temperature_ratio = 1.2;
  ck_assert_int_eq(energy_run(&f, true, NULL, &energy), EB_E_INPUT);
  ck_assert_ptr_nonnull(energy_find(&f, "energy-range", "120 %"));
  f.unit.temperature_ratio = 0.8;
  f.house.heat_loss = energy_given(1e306);
  ck_assert_int_eq(energy_run(&f, true, NULL, &energy), EB_E_RANGE);
  f.house.heat_loss = energy_given(81.3);
  f.states[1].supply.flow_m3_s = -0.01;
  ck_assert_int_eq(energy_run(&f, true, NULL, &energy), EB_E_INPUT);
  ck_assert_ptr_nonnull(energy_find(&f, "energy-range", "backwards"));
  eb_energy_options options = {.size = 3};
  ck_assert_int_eq(eb_energy_year(f.context, &f.house, &f.rates, NULL, &options, NULL, &energy),
                   EB_E_ARGUMENT);
  ck_assert_int_eq(eb_energy_year(f.context, &f.house, NULL, NULL, NULL, NULL, &energy),
                   EB_E_ARGUMENT);
  ck_assert_ptr_null(energy);
  eb_energy_free(NULL);
  eb_context_free(f.context);
}
END_TEST

START_TEST(findings) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.house.rules = &f.rules;
  f.rules.heat_recovery = energy_given(0.87);
  f.rules.heat_recovery_source = (ebi_source){"a guide, clause 4", "memory"};
  f.house.altitude.given = f.house.indoor.given = false;
  f.unit.ratio_at.given = false;
  f.unit.frost = EBI_FROST_RECIRCULATE;
  energy_must(&f, true);
  const eb_diagnostic *told = energy_find(&f, "heat-recovery", "86 %");
  ck_assert_ptr_nonnull(told);
  ck_assert_int_eq(told->severity, EB_WARNING);
  ck_assert_str_eq(told->source, "a guide, clause 4");
  ck_assert_ptr_nonnull(energy_find(&f, "energy-default", "0 m is taken"));
  ck_assert_ptr_nonnull(energy_find(&f, "energy-default", "20 C is taken"));
  ck_assert_ptr_nonnull(energy_find(&f, "ratio-without-flow", "`at:`"));
  ck_assert_ptr_nonnull(energy_find(&f, "frost-default", "-3 C"));
  ck_assert_ptr_nonnull(energy_find(&f, "frost-default", "30 %"));
  ck_assert_ptr_nonnull(energy_find(&f, "frost-air", "do not come"));
  ck_assert_uint_eq(ebi_diag_errors(f.context), 0);
  eb_diagnostics_clear(f.context);
  f.rules.heat_recovery = energy_given(0.86); /* just met */
  f.unit.frost = EBI_FROST_PREHEATER;
  energy_must(&f, true);
  ck_assert_ptr_null(energy_find(&f, "heat-recovery", ""));
  ck_assert_ptr_nonnull(energy_find(&f, "frost-default", "`frost.below`"));
  eb_context_free(f.context);
}
END_TEST

/* Permeability with its area is the same as the air change it makes. */
START_TEST(leakage_as_permeability) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  double of_n50 = energy_must(&f, true)->net_heat_kwh;
  f.house.n50.given = false;
  f.house.envelope_area = energy_given(271.0);
  f.house.q50 = energy_given(2.3 * 231.7 / 271.0 / 3600.0);
  NEAR(energy_must(&f, true)->net_heat_kwh, of_n50, 1e-12);
  eb_context_free(f.context);
}
END_TEST

/* ---- Ledger and memory ------------------------------------------------- */

static bool has_step(const eb_ledger *ledger, double value) {
  for (size_t i = 0; i < eb_ledger_count(ledger); i++)
    if (fabs(eb_ledger_step(ledger, i).value - value) <= 1e-12 * fabs(value))
      return true;
  return false;
}

START_TEST(every_figure_is_explained) {
  energy_fixture f;
  energy_set_up(&f, NULL);
  f.house.electricity = (ebi_tariff){.given = true,
                                     .price = 0.28 / 3.6e6,
                                     .carbon = energy_given(0.20 / 3.6e6),
                                     .efficiency = 1.0};
  f.house.heating = f.house.electricity;
  f.unit.frost = EBI_FROST_PREHEATER;
  f.unit.frost_below = energy_given(1.5);
  f.unit.fan_heat_apart = true;
  f.states[1].supply.fan_power_w = 16.3;
  eb_ledger *ledger = eb_ledger_new(f.context);
  const eb_energy *e = NULL;
  ck_assert_int_eq(energy_run(&f, true, ledger, &e), EB_OK);
  const double shown[] = {e->air_constant_wh_m3_k,
                          e->ventilation_flow_m3_s * 1e3,
                          e->temperature_ratio * 100,
                          e->infiltration_per_h,
                          e->heat_loss_w_k,
                          e->heat_loss_no_recovery_w_k,
                          e->base_temperature_c,
                          e->heating_degree_days,
                          e->ventilation_heat_kwh,
                          e->recovered_heat_kwh,
                          e->gross_recovered_kwh,
                          e->recovered_heating_kwh,
                          e->fresh_air_ratio * 100,
                          e->fan_heat_w,
                          e->frost.hours,
                          e->frost.useful_kwh,
                          e->frost.below_c,
                          e->fan_kwh,
                          e->frost_kwh,
                          e->standby_kwh,
                          e->net_heat_kwh,
                          e->baseline_air_change_per_h,
                          e->baseline_base_temperature_c,
                          e->baseline_heat_kwh,
                          e->baseline_fan_kwh,
                          e->saving_heat_kwh,
                          e->saving_electricity_kwh,
                          e->saving.money,
                          e->saving.carbon_kg,
                          e->range_low_kwh,
                          e->range_high_kwh};
  for (size_t i = 0; i < sizeof shown / sizeof shown[0]; i++)
    ck_assert_msg(has_step(ledger, shown[i]), "figure %zu, %.12g", i, shown[i]);
  for (int i = 0; i < 12; i++) {
    const eb_energy_month *m = &e->months[i];
    ck_assert(has_step(ledger, m->outdoor_c) && has_step(ledger, m->heating_degree_days));
    ck_assert(has_step(ledger, m->ventilation_heat_kwh) && has_step(ledger, m->net_heat_kwh));
    ck_assert(has_step(ledger, m->recovered_heat_kwh) && has_step(ledger, m->fan_kwh));
    ck_assert(has_step(ledger, m->baseline_heat_kwh) && has_step(ledger, m->frost_kwh));
    ck_assert(has_step(ledger, m->gross_recovered_kwh));
    ck_assert(has_step(ledger, m->recovered_heating_kwh));
  }
  for (size_t i = 0; i < eb_ledger_count(ledger); i++) {
    eb_step step = eb_ledger_step(ledger, i);
    ck_assert(isfinite(step.value) && step.what[0] != '\0');
    for (size_t j = 0; j < step.n_inputs; j++)
      ck_assert(step.inputs[j] < i);
  }
  eb_context_free(f.context);
}
END_TEST

typedef struct meter {
  long calls, fail_at;
  size_t held;
} meter;

static void *metered(void *user, void *pointer, size_t old_size, size_t new_size) {
  meter *m = user;
  if (new_size == 0) {
    m->held -= old_size;
    free(pointer);
    return NULL;
  }
  if (++m->calls >= m->fail_at)
    return NULL;
  void *fresh = realloc(pointer, new_size);
  if (fresh != NULL)
    m->held += new_size - old_size;
  return fresh;
}

/* With every allocation a block of its own, and the n-th and all after failing. */
START_TEST(memory_may_run_out_anywhere) {
  bool done = false;
  for (long n = 1; !done; n += 1 + n / 40) {
    ck_assert_int_lt(n, 100000);
    meter m = {0, n, 0};
    eb_allocator allocator = {metered, &m, 1};
    energy_fixture f;
    energy_set_up(&f, &allocator);
    if (f.context == NULL)
      continue;
    const eb_energy *energy = NULL;
    eb_ledger *ledger = eb_ledger_new(f.context);
    eb_status status = energy_run(&f, false, ledger, &energy);
    ck_assert(status == EB_OK || status == EB_E_MEMORY);
    ck_assert((status == EB_OK) == (energy != NULL));
    done = status == EB_OK && ledger != NULL;
    eb_context_free(f.context);
    ck_assert_uint_eq(m.held, 0);
  }
}
END_TEST

/* ---- Tables ------------------------------------------------------------ */

static ebi_yaml scalar(const char *text) {
  return (ebi_yaml){.kind = EBI_YAML_SCALAR,
                    .text = text,
                    .length = strlen(text),
                    .where = {"house.yaml", 9, 12}};
}

/* The shipped tables, found by EVENBREATH_TABLES: Hitchin at 15.5 C as own calculations with R on
 * the same data give it (Nottingham 2363.19, Seattle 1914.55, Boulder 2638.41). */
START_TEST(shipped_climates) {
  static const struct {
    const char *name;
    double degree_days;
  } rows[] = {{"nottingham", 2363.19}, {"seattle", 1914.55}, {"boulder", 2638.405}};
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = ebi_context_arena(context);
  ebi_reader reader = {context, arena, "house.yaml", NULL};
  for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
    ebi_yaml name = scalar(rows[r].name);
    const ebi_climate *climate = ebi_climate_load(&reader, &name);
    ck_assert_msg(climate != NULL, "%s", rows[r].name);
    double sum = 0.0;
    for (int i = 0; i < 12; i++)
      sum += eb_degree_days_monthly(15.5, climate->mean_c[i], climate->days[i], climate->hitchin_k);
    ck_assert_double_eq_tol(sum, rows[r].degree_days, 0.01);
    ck_assert_str_eq(climate->entry.name, rows[r].name);
    ck_assert(climate->entry.source.text[0] != '\0');
    ck_assert(climate->wind_m_s[0].given == (strcmp(rows[r].name, "seattle") == 0));
  }
  eb_context_free(context);
}
END_TEST

START_TEST(shipped_baseline) {
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = ebi_context_arena(context);
  ebi_reader reader = {context, arena, "house.yaml", NULL};
  ebi_yaml name = scalar("trickle-vents");
  const ebi_baseline *baseline = ebi_baseline_load(&reader, &name);
  ck_assert_ptr_nonnull(baseline);
  ebi_baseline expected;
  energy_set_baseline(&expected);
  ck_assert(baseline->floor_air_change == expected.floor_air_change);
  ck_assert(baseline->quadratic == expected.quadratic);
  ck_assert(baseline->natural_from == expected.natural_from);
  ck_assert(baseline->leakage_divisor == expected.leakage_divisor);
  ck_assert(baseline->opening_flow == expected.opening_flow);
  ck_assert(baseline->shelter_per_side == expected.shelter_per_side);
  ck_assert(baseline->sheltered_sides == expected.sheltered_sides);
  ck_assert(baseline->wind_reference == expected.wind_reference);
  ck_assert(baseline->fan_power == expected.fan_power);
  ck_assert(baseline->fan_hours == expected.fan_hours);
  for (int i = 0; i < 12; i++)
    ck_assert(baseline->wind[i] == expected.wind[i]);
  ck_assert_str_eq(baseline->entry.source.known, "memory");
  eb_context_free(context);
}
END_TEST

Suite *suite_energy(void) {
  Suite *suite = suite_create("energy");
  TCase *cases = tcase_create("energy");
  tcase_set_timeout(cases, 60);
  tcase_add_test(cases, degree_days_of_nottingham);
  tcase_add_test(cases, degree_days_of_a_normal_spread);
  tcase_add_test(cases, saving_of_the_worked_house);
  tcase_add_test(cases, a_whole_year);
  tcase_add_test(cases, air_of_trickle_vents);
  tcase_add_test(cases, months_make_the_year);
  tcase_add_test(cases, no_exchange_no_recovery);
  tcase_add_test(cases, recovery_has_its_bounds);
  tcase_add_test(cases, a_leaky_house_loses);
  tcase_add_test(cases, money_and_carbon);
  tcase_add_test(cases, hours_of_the_levels);
  tcase_add_test(cases, fans_without_ducts);
  tcase_add_test(cases, what_is_missing_is_named);
  tcase_add_test(cases, absurd_values);
  tcase_add_test(cases, findings);
  tcase_add_test(cases, leakage_as_permeability);
  tcase_add_test(cases, every_figure_is_explained);
  tcase_add_test(cases, memory_may_run_out_anywhere);
  tcase_add_test(cases, shipped_climates);
  tcase_add_test(cases, shipped_baseline);
  suite_add_tcase(suite, cases);
  return suite;
}
