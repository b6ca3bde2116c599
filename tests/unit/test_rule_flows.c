/* test_rule_flows.c - what rules name beside the rates that bind: levels of theirs, the least for
 * an empty dwelling, figures for information; and how many people they count
 *
 * The houses are those of tests/houses. */

#include <check.h>
#include <string.h>

#include "rates_house.h"
#include "suites.h"

static const double cubic_metre_an_hour = 1.0 / 3600.0;
static const double cfm = 0.028316846592 / 60.0;

static eb_context *context;

static void setup(void) {
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  ck_assert_int_eq(eb_tables_search(context, test_source_path(context, "tables")), EB_OK);
}

static void teardown(void) {
  eb_context_free(context);
}

static const eb_rates *plan_of(const char *path) {
  eb_house *house = NULL;
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_house_read_file(context, test_source_path(context, path), NULL, &house),
                   EB_OK);
  ck_assert_int_eq(eb_rates_plan(context, house, NULL, NULL, &rates), EB_OK);
  return rates;
}

static void names(const char *path, const char *flow, double value, double unit) {
  const eb_rates *rates = plan_of(path);
  size_t found = 0;
  for (size_t i = 0; i < rates->n_flows; i++) {
    if (strcmp(rates->flows[i].name, flow) != 0)
      continue;
    ck_assert_double_eq_tol(rates->flows[i].flow_m3_s / unit, value, 1e-9);
    found++;
  }
  ck_assert_msg(found == 1, "%s is named %zu times", flow, found);
}

#define HOUSE(name) "tests/houses/" name ".yaml"

/* OENORM H 6038: 4 x 20 + 60 m3/h where no control by air quality is there. */
START_TEST(austria) {
  names(HOUSE("austria-four-people"), "without-air-quality-control", 140.0, cubic_metre_an_hour);
}
END_TEST

/* CSN EN 15665/Z1:2011: 0.1 an hour of 190 m3 while empty; recommended are the
 * larger of 0.5 an hour of 150 m3 and 25 m3/h a person. */
START_TEST(czech) {
  names(HOUSE("czech-people"), "unoccupied", 19.0, cubic_metre_an_hour);
  names(HOUSE("czech-people"), "recommended", 100.0, cubic_metre_an_hour);
  names(HOUSE("czech-air-change"), "recommended", 75.0, cubic_metre_an_hour);
}
END_TEST

/* DIN 1946-6:2019, from memory but for the 70 %: shares of 90 m3/h. */
START_TEST(germany) {
  names(HOUSE("din-2019-people"), "reduced", 63.0, cubic_metre_an_hour);
  names(HOUSE("din-2019-people"), "moisture-protection", 36.0, cubic_metre_an_hour);
}
END_TEST

/* EN 16798-1:2019 Annex B, category II, from memory: 40 m2 and two people. */
START_TEST(european_categories) {
  names(HOUSE("en-ii-extract"), "unoccupied", 4.0, 1e-3);
  names(HOUSE("en-ii-extract"), "supply-per-person", 14.0, 1e-3);
  names(HOUSE("en-ii-extract"), "perceived-quality", 2 * 2.5 + 40 * 0.15, 1e-3);
}
END_TEST

/* International Residential Code: equation 15-1, 18 + 30 cfm; 70 % of 60 cfm. */
START_TEST(united_states) {
  names(HOUSE("irc-three-bedrooms"), "equation", 48.0, cfm);
  names(HOUSE("irc-three-bedrooms"), "balanced-and-ducted", 42.0, cfm);
}
END_TEST

/* Building Standards Act (Japan): 0.7 an hour of 240 m3. */
START_TEST(japan) {
  names(HOUSE("japan-house"), "more-emitting-materials", 168.0, cubic_metre_an_hour);
}
END_TEST

/* Minnesota Rules 1322.1104: the formula, where the table gives 90, 85, 135, 60. */
START_TEST(minnesota) {
  names(HOUSE("minnesota-three-bedrooms"), "formula", 88.0, cfm);
  names(HOUSE("minnesota-two-bedrooms"), "formula", 81.0, cfm);
  names(HOUSE("minnesota-large"), "formula", 129.0, cfm);
  names(HOUSE("minnesota-one-bedroom"), "formula", 54.0, cfm);
}
END_TEST

/* Documento Basico HS3 since 2017: 1.5 l/s for each of four habitable rooms. */
START_TEST(spain) {
  names(HOUSE("spain-three-bedrooms"), "unoccupied", 6.0, 1e-3);
}
END_TEST

/* Practice of low-energy houses: 210 m2 at 35 m2 each; those who sleep in the
 * rooms where the rules of Austria are not told. */
START_TEST(people_by_rule) {
  ck_assert_double_eq_tol(plan_of(HOUSE("low-energy-air-change"))->people, 6.0, 1e-12);
  ck_assert_double_eq_tol(plan_of(HOUSE("austria-two-people"))->people, 2.0, 1e-12);
}
END_TEST

Suite *suite_rule_flows(void) {
  Suite *suite = suite_create("rule_flows");
  TCase *tests = tcase_create("rule_flows");
  tcase_add_checked_fixture(tests, setup, teardown);
  tcase_add_test(tests, austria);
  tcase_add_test(tests, czech);
  tcase_add_test(tests, germany);
  tcase_add_test(tests, european_categories);
  tcase_add_test(tests, united_states);
  tcase_add_test(tests, japan);
  tcase_add_test(tests, minnesota);
  tcase_add_test(tests, spain);
  tcase_add_test(tests, people_by_rule);
  suite_add_tcase(suite, tests);
  return suite;
}
