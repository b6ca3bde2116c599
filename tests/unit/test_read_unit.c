/* test_read_unit.c - what a unit says of its exchanger, bypass and frost protection */

#include <stdio.h>
#include <string.h>

#include "suites.h"
#include "tables_help.h"

#define FAN "fan: {curves: [{speed: 100 %, columns: [l/s, Pa], points: [[0, 410], [37, 0]]}]}\n"

static tables_desk desk;

static void setup(void) {
  ck_assert(tables_desk_start(&desk, NULL));
}

static void teardown(void) {
  tables_desk_end(&desk);
}

/* A unit in a house; NULL where it is wrong. */
static const ebi_unit *unit_of(const char *text) {
  char whole[2048];
  eb_diagnostics_clear(desk.context);
  snprintf(whole, sizeof whole, "%s%s\n", FAN, text);
  return ebi_unit_load(&desk.reader, tables_mapping(&desk, whole));
}

#define SAME(given_value, expected)                                                                \
  do {                                                                                             \
    ck_assert((given_value).given);                                                                \
    ck_assert_double_eq_tol((given_value).value, (expected), 1e-12);                               \
  } while (0)

START_TEST(an_exchanger_of_one_ratio) {
  const ebi_unit *unit =
      unit_of("exchanger: {temperature_ratio: 83 %, moisture_ratio: 41 %, at: 137 m3/h, kind: "
              "crossflow, exponent: 0.37, leak_inside: 2.3 %, fan_heat: apart}");
  ck_assert_ptr_nonnull(unit);
  ck_assert(unit->has_exchanger && unit->crossflow && unit->fan_heat_apart);
  ck_assert_double_eq_tol(unit->temperature_ratio, 0.83, 1e-12);
  ck_assert_double_eq_tol(unit->moisture_ratio, 0.41, 1e-12);
  SAME(unit->ratio_at, 137.0 / 3600.0);
  SAME(unit->ratio_exponent, 0.37);
  SAME(unit->leak_inside, 0.023);
  ck_assert_uint_eq(unit->n_ratios, 0);
  unit = unit_of("exchanger: {temperature_ratio: 83 %}");
  ck_assert_ptr_nonnull(unit);
  ck_assert(!unit->crossflow && !unit->fan_heat_apart && !unit->ratio_at.given);
  ck_assert(!unit->leak_inside.given && !unit->ratio_exponent.given);
}
END_TEST

/* The middle point stands for the unit where no ratio is named. */
START_TEST(an_exchanger_of_several) {
  const ebi_unit *unit = unit_of("exchanger: {ratios: {columns: [m3/h, \"%\"], points: [[73, "
                                 "91.3], [111, 88.7], [167, 84.1]]}}");
  ck_assert_ptr_nonnull(unit);
  ck_assert_uint_eq(unit->n_ratios, 3);
  ck_assert_double_eq_tol(unit->ratios[2].x, 167.0 / 3600.0, 1e-12);
  ck_assert_double_eq_tol(unit->ratios[2].y, 0.841, 1e-12);
  ck_assert_double_eq_tol(unit->temperature_ratio, 0.887, 1e-12);
  SAME(unit->ratio_at, 111.0 / 3600.0);
  unit = unit_of("exchanger: {temperature_ratio: 80 %, at: 31 l/s, ratios: {columns: [l/s, \"%\"], "
                 "points: [[20, 91], [45, 80]]}}");
  ck_assert_ptr_nonnull(unit);
  ck_assert_double_eq_tol(unit->temperature_ratio, 0.80, 1e-12);
  SAME(unit->ratio_at, 0.031);
}
END_TEST

START_TEST(bypass_and_frost) {
  const ebi_unit *unit =
      unit_of("bypass: {opens_above: 22.7 C, closes_below: 11.3 C, residual: 7 %}\n"
              "frost: {method: reduce-supply, below: -2.9 C, cut: 43 %, time: 27 %}");
  ck_assert_ptr_nonnull(unit);
  SAME(unit->bypass_opens_above, 22.7);
  SAME(unit->bypass_closes_below, 11.3);
  SAME(unit->bypass_residual, 0.07);
  ck_assert_int_eq(unit->frost, EBI_FROST_REDUCE_SUPPLY);
  SAME(unit->frost_below, -2.9);
  SAME(unit->frost_cut, 0.43);
  SAME(unit->frost_time, 0.27);
  unit = unit_of("frost: {method: recirculate, time: 19 %}");
  ck_assert_ptr_nonnull(unit);
  ck_assert_int_eq(unit->frost, EBI_FROST_RECIRCULATE);
  SAME(unit->frost_time, 0.19);
  unit = unit_of("frost: {method: ground, below: 3.1 C, ground: {temperature: 9.7 C, ratio: 63 %, "
                 "pump: 23 W}}");
  ck_assert_ptr_nonnull(unit);
  ck_assert_int_eq(unit->frost, EBI_FROST_GROUND);
  SAME(unit->ground_temperature, 9.7);
  SAME(unit->ground_ratio, 0.63);
  SAME(unit->ground_pump, 23.0);
  unit = unit_of("frost: {method: preheater, power: 730 W}");
  ck_assert_ptr_nonnull(unit);
  SAME(unit->frost_power, 730.0);
  ck_assert(!unit->frost_below.given);
}
END_TEST

static const struct {
  const char *text, *code, *says;
} wrong[] = {
    {"exchanger: {at: 40 l/s}", "key-missing", "`temperature_ratio:`"},
    {"exchanger: {temperature_ratio: 104 %}", "out-of-range", "104"},
    {"exchanger: {temperature_ratio: 85 %, kind: rotary}", "word-unknown", "counterflow"},
    {"exchanger: {temperature_ratio: 85 %, leak_inside: 61 %}", "out-of-range", "61"},
    {"exchanger: {temperature_ratio: 85 %, fan_heat: yes}", "word-unknown", "apart"},
    {"exchanger: {ratios: [[20, 91], [40, 88]]}", "columns", "{columns:"},
    {"exchanger: {ratios: {columns: [l/s, \"%\"], points: [[0, 91], [40, 88]]}}", "out-of-range",
     "point 1"},
    {"exchanger: {ratios: {columns: [l/s, \"%\"], points: [[20, 91], [40, 100]]}}", "out-of-range",
     "point 2"},
    {"bypass: {closes_below: 12 C}", "key-missing", "opens_above"},
    {"frost: {method: preheater, time: 30 %}", "key-unused", "`time:`"},
    {"frost: {method: recirculate, cut: 30 %}", "key-unused", "`cut:`"},
    {"frost: {method: none, ground: {ratio: 60 %}}", "key-unused", "`ground:`"},
    {"frost: {method: ground, power: 700 W}", "key-unused", "`power:`"},
    {"frost: {method: ground, ground: {depth: 2 m}}", "key-unknown", "depth"},
};

START_TEST(wrong_ones_are_told) {
  ck_assert_ptr_null(unit_of(wrong[_i].text));
  const eb_diagnostic *said = tables_said(&desk, wrong[_i].code);
  ck_assert_msg(said != NULL, "%s: %s", wrong[_i].text, wrong[_i].code);
  ck_assert_msg(strstr(said->message, wrong[_i].says) != NULL, "%s", said->message);
}
END_TEST

Suite *suite_read_unit(void) {
  Suite *suite = suite_create("read_unit");
  TCase *cases = tcase_create("read_unit");
  tcase_add_checked_fixture(cases, setup, teardown);
  tcase_add_test(cases, an_exchanger_of_one_ratio);
  tcase_add_test(cases, an_exchanger_of_several);
  tcase_add_test(cases, bypass_and_frost);
  tcase_add_loop_test(cases, wrong_ones_are_told, 0, (int)(sizeof wrong / sizeof wrong[0]));
  suite_add_tcase(suite, cases);
  return suite;
}
