/* test_certainty.c - shares and bands of known sums, and of a house against plain chance */

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "design/energy.h"
#include "numeric/sobol.h"
#include "rates_house.h"
#include "suites.h"

#define NEAR(value, expected, slack) ck_assert_double_eq_tol((value), (expected), (slack))
#define SAMPLES 2048
#define MOST_INPUTS 7

/* ---- Models whose answer is known -------------------------------------- */

static const double slopes[] = {4.1, -3.3, 2.7, 1.3, -0.6};
#define CUT_VARIANCE 0.973337 /* of a normal input cut at 3 deviations: scipy 1.10 truncnorm */

static double straight(const double *z, void *data) {
  double sum = 17.0;
  size_t *calls = data;
  ++*calls;
  for (size_t i = 0; i < 5; i++)
    sum += slopes[i] * z[i];
  return sum;
}

/* x y has no share of either alone; the shares of a x^2 + b y: 2 a^2 and b^2. */
static double crossed(const double *z, void *data) {
  (void)data;
  return 1.7 * z[0] * z[1] + 2.3 * z[2];
}

static double endless(const double *z, void *data) {
  (void)data;
  return z[0] > 1.0 ? (double)INFINITY : z[0];
}

static double flat(const double *z, void *data) {
  (void)data, (void)z;
  return 3.7;
}

static double grown(const double *z, void *data) {
  (void)data;
  return exp(0.4 * z[0]) * (1.0 + 0.1 * z[1]) + 0.2 * z[2] * z[3] + 0.1 * z[4];
}

static ebi_spread spread_of(double (*call)(const double *, void *), size_t n_inputs, size_t n) {
  static double work[2 * SAMPLES * (MOST_INPUTS + 2)];
  ebi_spread spread;
  size_t calls = 0;
  ebi_model model = {call, &calls, n_inputs};
  ck_assert_int_eq(ebi_sobol_spread(model, n, 0.025, work, &spread), EB_OK);
  return spread;
}

/* A sum of normals: shares are shares of variance, the band is 1.96 standard deviations (GUM). */
START_TEST(sum_of_normals) {
  double variance = 0.0;
  for (size_t i = 0; i < 5; i++)
    variance += slopes[i] * slopes[i] * CUT_VARIANCE;
  ebi_spread spread = spread_of(straight, 5, 64);
  for (size_t i = 0; i < 5; i++) {
    NEAR(spread.share[i], slopes[i] * slopes[i] * CUT_VARIANCE / variance, 1e-5);
    NEAR(spread.effect[i], slopes[i], 1e-12);
  }
  NEAR(spread.variance, variance, 1e-3);
  NEAR(spread.low, 17.0 - 1.959964 * sqrt(variance), 1e-3);
  NEAR(spread.high, 17.0 + 1.959964 * sqrt(variance), 1e-3);
}
END_TEST

/* E x^2 = 0.973337 each: variance of the product its square (own calculation). */
START_TEST(product_has_no_share_alone) {
  ebi_spread spread = spread_of(crossed, 3, SAMPLES);
  double product = 1.7 * 1.7 * CUT_VARIANCE * CUT_VARIANCE;
  double alone = 2.3 * 2.3 * CUT_VARIANCE;
  NEAR(spread.share[0], 0.0, 0.02);
  NEAR(spread.share[1], 0.0, 0.02);
  NEAR(spread.share[2], alone / (alone + product), 0.02);
}
END_TEST

/* Own calculation with numpy 1.24, two million samples: variance 0.2539, quantiles 0.2886 and
 * 2.2740, shares 0.760, 0.045, 0, 0, 0.038. Each doubling comes nearer or stays near. */
START_TEST(doubling_converges) {
  static const double shares[] = {0.760, 0.045, 0.0, 0.0, 0.038};
  for (size_t n = 128; n <= SAMPLES; n *= 2) {
    ebi_spread spread = spread_of(grown, 5, n);
    double slack = 1.2 / sqrt((double)n);
    for (size_t i = 0; i < 5; i++)
      NEAR(spread.share[i], shares[i], slack);
    NEAR(spread.low, 0.2886, slack);
    NEAR(spread.high, 2.2740, 1.5 * slack);
    NEAR(spread.variance, 0.2539, slack);
  }
}
END_TEST

START_TEST(same_bytes_each_time) {
  ebi_spread one = spread_of(grown, 5, 128), two = spread_of(grown, 5, 128);
  ck_assert_int_eq(memcmp(&one, &two, sizeof one), 0);
}
END_TEST

START_TEST(what_it_costs_and_refuses) {
  static double work[2 * 32 * 7];
  ebi_spread spread = {.low = 5.7};
  size_t calls = 0;
  ebi_model model = {straight, &calls, 5};
  ck_assert_int_eq(ebi_sobol_spread(model, 32, 0.025, work, &spread), EB_OK);
  ck_assert_uint_eq(calls, 32 * 7 + 1 + 2 * 5);
  ck_assert_int_eq(ebi_sobol_spread(model, 0, 0.025, work, &spread), EB_E_ARGUMENT);
  ck_assert_int_eq(ebi_sobol_spread(model, 32, 0.5, work, &spread), EB_E_ARGUMENT);
  model.n_inputs = EBI_SOBOL_INPUTS + 1;
  ck_assert_int_eq(ebi_sobol_spread(model, 32, 0.025, work, &spread), EB_E_ARGUMENT);
  model.n_inputs = 5;
  model.call = endless;
  ck_assert_int_eq(ebi_sobol_spread(model, 32, 0.025, work, &spread), EB_E_DIVERGED);
  spread = spread_of(flat, 3, 64);
  ck_assert(spread.share[0] == 0.0 && spread.low == 3.7 && spread.high == 3.7);
}
END_TEST

/* ---- A house ----------------------------------------------------------- */

typedef struct year {
  eb_context *context;
  eb_house *house;
  const eb_energy *energy;
} year;

static year year_of(const char *const *overrides, size_t n) {
  year y = {.context = eb_context_new(NULL)};
  eb_read_options options = {.size = sizeof options, .overrides = overrides, .n_overrides = n};
  const char *path = test_source_path(y.context, "examples/alder-row.yaml");
  ck_assert_int_eq(eb_house_read_file(y.context, path, &options, &y.house), EB_OK);
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_rates_plan(y.context, y.house, NULL, NULL, &rates), EB_OK);
  ck_assert_int_eq(eb_energy_year(y.context, y.house, rates, NULL, NULL, NULL, &y.energy), EB_OK);
  return y;
}

static const eb_energy_weight *weight_of(const eb_energy *energy, const char *input) {
  for (size_t i = 0; i < energy->n_weights; i++)
    if (strcmp(energy->weights[i].input, input) == 0)
      return &energy->weights[i];
  ck_abort_msg("no weight %s", input);
  return NULL;
}

static const char *taken(const year *y) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(y->context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, "certainty") == 0)
      return all[i].message;
  return NULL;
}

START_TEST(the_usual_deviations_are_told) {
  year y = year_of(NULL, 0);
  ck_assert_uint_eq(y.energy->n_weights, 7);
  ck_assert_ptr_nonnull(taken(&y));
  ck_assert_ptr_nonnull(strstr(taken(&y), "leakage 40 %"));
  for (size_t i = 0; i < 7; i++) {
    ck_assert(!y.energy->weights[i].given);
    ck_assert(i == 0 || y.energy->weights[i].share <= y.energy->weights[i - 1].share);
    ck_assert(y.energy->weights[i].share >= 0.0 && y.energy->weights[i].share <= 1.0);
  }
  ck_assert(y.energy->range_low_kwh < y.energy->saving_heat_kwh);
  ck_assert(y.energy->range_high_kwh > y.energy->saving_heat_kwh);
  ck_assert(y.energy->range_confidence == 0.95);
  eb_context_free(y.context);
}
END_TEST

START_TEST(what_is_given_is_taken) {
  static const char *const all[] = {
      "uncertainty={flow: 1 %, ratio: 0.3 %, degree_days: 1 %, leakage: 33 %, gains: 2 %, "
      "baseline: 0 %, heat_loss: 0 %}"};
  year y = year_of(all, 1);
  ck_assert_ptr_null(taken(&y));
  const eb_energy_weight *leakage = weight_of(y.energy, "leakage");
  ck_assert(leakage->given && leakage->relative && leakage->deviation == 0.33);
  ck_assert_ptr_eq(leakage, y.energy->weights); /* the one that matters */
  ck_assert(leakage->share > 0.5);
  ck_assert(weight_of(y.energy, "heat loss")->share == 0.0);
  ck_assert(!weight_of(y.energy, "temperature ratio")->relative);
  eb_context_free(y.context);
}
END_TEST

START_TEST(nothing_unsure_is_no_range) {
  static const char *const none[] = {
      "uncertainty={flow: 0 %, ratio: 0 %, degree_days: 0 %, leakage: 0 %, gains: 0 %, "
      "baseline: 0 %, heat_loss: 0 %}"};
  year y = year_of(none, 1);
  NEAR(y.energy->range_low_kwh, y.energy->saving_heat_kwh, 1e-9);
  NEAR(y.energy->range_high_kwh, y.energy->saving_heat_kwh, 1e-9);
  eb_context_free(y.context);
}
END_TEST

START_TEST(the_less_sure_the_wider) {
  double width = 0.0;
  for (int leakage = 5; leakage < 70; leakage += 16) {
    char text[60];
    snprintf(text, sizeof text, "uncertainty={leakage: %d %%, baseline: 3 %%}", leakage);
    const char *override = text;
    year y = year_of(&override, 1);
    ck_assert(y.energy->range_high_kwh - y.energy->range_low_kwh > width);
    width = y.energy->range_high_kwh - y.energy->range_low_kwh;
    eb_context_free(y.context);
  }
}
END_TEST

/* ---- The same by plain chance ------------------------------------------ */

#define DRAWS 20000

static double uniform(unsigned long long *state) {
  *state = *state * 6364136223846793005ULL + 1442695040888963407ULL; /* Knuth, MMIX */
  return ((double)(*state >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(unsigned long long *state) {
  double radius = sqrt(-2.0 * log(uniform(state)));
  return radius * cos(6.283185307179586 * uniform(state));
}

static int by_size(const void *left, const void *right) {
  const double *a = left, *b = right;
  return (*a > *b) - (*a < *b);
}

static double times(unsigned long long *state, double deviation) {
  return exp(sqrt(log1p(deviation * deviation)) * normal(state));
}

/* Of the year's own inputs with the usual deviations. */
static double drawn(const ebi_energy_inputs *in, unsigned long long *state) {
  ebi_energy_shift shift = EBI_NO_SHIFT;
  shift.flow = times(state, 0.10);
  shift.ratio = 0.02 * normal(state);
  shift.degree_days = times(state, 0.06);
  shift.infiltration = times(state, 0.40);
  shift.gains = times(state, 0.20);
  shift.baseline = times(state, 0.20);
  shift.heat_loss = times(state, 0.10);
  ebi_energy_needs needs;
  ebi_energy_needs_of(in, EBI_WEATHER_MONTHS, &shift, &needs);
  return ebi_energy_sum(needs.baseline.heat_kwh) - ebi_energy_sum(needs.recovery.heat_kwh);
}

START_TEST(band_is_that_of_plain_chance) {
  static double savings[DRAWS];
  year y = year_of(NULL, 0);
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_rates_plan(y.context, y.house, NULL, NULL, &rates), EB_OK);
  ebi_energy_inputs in = {.context = y.context,
                          .house = y.house,
                          .rates = rates,
                          .arena = ebi_context_arena(y.context)};
  ck_assert_int_eq(ebi_energy_gather(&in), EB_OK);
  unsigned long long state = 20261107;
  for (size_t i = 0; i < DRAWS; i++)
    savings[i] = drawn(&in, &state);
  qsort(savings, DRAWS, sizeof *savings, by_size);
  double low = savings[DRAWS / 40], high = savings[DRAWS - DRAWS / 40];
  NEAR(y.energy->range_low_kwh, low, 0.04 * (high - low));
  NEAR(y.energy->range_high_kwh, high, 0.04 * (high - low));
  eb_context_free(y.context);
}
END_TEST

Suite *suite_certainty(void) {
  Suite *suite = suite_create("certainty");
  TCase *numbers = tcase_create("numbers"), *house = tcase_create("house");
  tcase_add_test(numbers, sum_of_normals);
  tcase_add_test(numbers, product_has_no_share_alone);
  tcase_add_test(numbers, doubling_converges);
  tcase_add_test(numbers, same_bytes_each_time);
  tcase_add_test(numbers, what_it_costs_and_refuses);
  tcase_add_test(house, the_usual_deviations_are_told);
  tcase_add_test(house, what_is_given_is_taken);
  tcase_add_test(house, nothing_unsure_is_no_range);
  tcase_add_test(house, the_less_sure_the_wider);
  tcase_add_test(house, band_is_that_of_plain_chance);
  suite_add_tcase(suite, numbers);
  suite_add_tcase(suite, house);
  return suite;
}
