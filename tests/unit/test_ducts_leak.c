/* test_ducts_leak.c - ducts that leak by their class */

#include <check.h>
#include <math.h>
#include <string.h>

#include "ducts_house.h"
#include "suites.h"

static ducts_house test;

static void setup(void) {
  ducts_start(&test);
}

static void teardown(void) {
  ducts_end(&test);
}

/* Own calculation: 15 m2 of class A at 80 Pa leak 0.027 x 80^0.65 x 15 = 7.0 l/s (EN 12237). A
 * duct wide enough to have one pressure throughout, with 80 Pa at its terminal. */
static void build_wide(void) {
  ducts_room(&test, "room", 10.0, 0.0, 1.3);
  ebi_run *run = ducts_run(&test, EB_SUPPLY, "s", "unit", "room", 500.0,
                           15.0 / (3.14159265358979323846 * 0.5));
  run->valve.restrictor_drop = ducts_given(80.0);
  run->valve.restrictor_at = ducts_given(10e-3);
  test.house.duct_leakage_class = 'A';
  ducts_fan(&test, 420.0, 0.035, 100.0, 26);
}

static double leaked(void) {
  return ducts_design(&test)->levels[0].supply.leakage_m3_s;
}

START_TEST(class_a_at_80_pa) {
  build_wide();
  const eb_ducts *ducts = ducts_design(&test);
  const eb_side_state *supply = &ducts->levels[0].supply;
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  /* the restrictor's 80 Pa go with density, and the leak's law does by (m - 1)/m */
  double want = 0.027 * pow(80.0 * dense, 0.65) * 15.0 * pow(dense, -0.35);
  CHECK_NEAR(1e3 * supply->leakage_m3_s, 7.0, 0.05);
  CHECK_RELATIVE(1e3 * supply->leakage_m3_s, want, 2e-4);
  CHECK_RELATIVE(supply->flow_m3_s, 10e-3, 1e-9);
  CHECK_RELATIVE(supply->fan_flow_m3_s, 10e-3 + supply->leakage_m3_s, 1e-9);
  CHECK_RELATIVE(ducts_state(ducts, "s", 0)->leakage_m3_s, supply->leakage_m3_s, 1e-9);
  /* half of it leaves before the middle of the run */
  CHECK_RELATIVE(ducts_state(ducts, "s", 0)->flow_m3_s, 10e-3 + 0.5 * supply->leakage_m3_s, 1e-3);
  ck_assert_uint_eq(ducts_found(&test, "duct-leakage"), 1);
}
END_TEST

/* The fan moves what leaks too, and is paid for it: 10 + 0.5 q W at full speed. */
START_TEST(power_is_at_the_flow_of_the_fan) {
  build_wide();
  const eb_side_state *supply = &ducts_design(&test)->levels[0].supply;
  double speed = supply->speed, flow = 1e3 * supply->fan_flow_m3_s;
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  CHECK_RELATIVE(supply->fan_power_w, (10.0 + 0.5 * flow / speed) * pow(speed, 3.0) * dense, 1e-6);
  CHECK_RELATIVE((420.0 * speed * speed - 0.035 * flow * flow) * dense, supply->pressure_pa, 1e-4);
}
END_TEST

START_TEST(classes_are_in_proportion) {
  build_wide();
  double a = leaked();
  test.house.duct_leakage_class = 'B';
  CHECK_RELATIVE(leaked() / a, 1.0 / 3.0, 1e-4);
  test.house.duct_leakage_class = 'C';
  CHECK_RELATIVE(leaked() / a, 1.0 / 9.0, 1e-4);
  test.house.duct_leakage_class = 'D';
  CHECK_RELATIVE(leaked() / a, 1.0 / 27.0, 1e-4);
  test.house.duct_leakage_class = 0;
  const eb_side_state *tight = &ducts_design(&test)->levels[0].supply;
  CHECK_NEAR(tight->leakage_m3_s, 0.0, 0.0);
  CHECK_RELATIVE(tight->fan_flow_m3_s, tight->flow_m3_s, 1e-9);
}
END_TEST

/* Outside surfaces: walls count twice, tubes side by side all, and shapes have their own. */
START_TEST(surface_is_the_outside_of_all_tubes) {
  build_wide();
  double round = leaked();
  test.runs[0].duct.wall = 0.025;
  CHECK_RELATIVE(leaked() / round, 1.1, 1e-4);
  test.runs[0].duct.wall = 0.0;
  test.runs[0].parallel = 2;
  CHECK_RELATIVE(leaked() / round, 2.0, 1e-3);
  test.runs[0].parallel = 1;
  test.runs[0].duct.shape = EBI_RECTANGLE;
  test.runs[0].duct.width = 0.7;
  test.runs[0].duct.height = 0.4;
  double perimeter = 3.14159265358979323846 * 0.5;
  CHECK_RELATIVE(leaked() / round, 2.2 / perimeter, 1e-3);
  test.runs[0].duct.shape = EBI_OVAL;
  CHECK_RELATIVE(leaked() / round, (3.14159265358979323846 * 0.4 + 0.6) / perimeter, 1e-3);
}
END_TEST

START_TEST(operation_returns_a_leaky_design) {
  ducts_build_house(&test);
  test.house.duct_leakage_class = 'A';
  const eb_ducts *ducts = ducts_design(&test);
  double openings[6];
  for (size_t t = 0; t < 6; t++)
    openings[t] = ducts->terminals[t].opening;
  for (size_t r = 0; r < 3; r++)
    CHECK_RELATIVE(ducts->levels[0].rooms[r].supply.delivered_m3_s, test.supply[r][0].design_m3_s,
                   1e-8);
  for (size_t l = 0; l < 2; l++) {
    const eb_level_state *level = &ducts->levels[l];
    eb_setting setting = {level->name, openings, level->supply.signal, level->extract.signal};
    const eb_ducts *again = ducts_operate(&test, &setting);
    CHECK_RELATIVE(again->levels[0].supply.flow_m3_s, level->supply.flow_m3_s, 1e-8);
    CHECK_RELATIVE(again->levels[0].extract.leakage_m3_s, level->extract.leakage_m3_s, 1e-7);
    eb_ducts_free(again);
  }
}
END_TEST

/* Leaks inside the house stay in it: what the supply loses there blows it up, what the extract
 * draws there pulls it down. Through a loft supply air is lost to the house. */
START_TEST(leaks_go_to_the_air_around) {
  build_wide();
  ducts_leakage(&test, 55.0);
  const eb_ducts *inside = ducts_design(&test);
  double flow = 1e3 * inside->levels[0].supply.fan_flow_m3_s;
  CHECK_RELATIVE(ducts_pressure(inside, "room", 0), ducts_envelope_pa(flow, 55.0), 1e-6);
  test.runs[0].space_temperature = ducts_given(20.0);
  const eb_ducts *outside = ducts_design(&test);
  CHECK_RELATIVE(ducts_pressure(outside, "room", 0), ducts_envelope_pa(10.0, 55.0), 1e-6);
  ck_assert(outside->levels[0].supply.fan_flow_m3_s > 16.5e-3);
}
END_TEST

/* Extract and outdoor ducts draw air in. */
START_TEST(ducts_under_suction_leak_inward) {
  ducts_build_house(&test);
  test.house.duct_leakage_class = 'A';
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts_state(ducts, "e-main", 0)->leakage_m3_s < -1e-6);
  ck_assert(ducts_state(ducts, "intake", 0)->leakage_m3_s < -1e-6);
  ck_assert(ducts_state(ducts, "trunk", 0)->leakage_m3_s > 1e-6);
  ck_assert(ducts_state(ducts, "outlet", 0)->leakage_m3_s > 0.0);
  const eb_side_state *extract = &ducts->levels[0].extract;
  double inward = 0.0;
  static const char *const runs[] = {"e-kitchen", "e-bath", "e-wc", "e-mid", "e-main"};
  for (int i = 0; i < 5; i++)
    inward -= ducts_state(ducts, runs[i], 0)->leakage_m3_s;
  CHECK_RELATIVE(extract->fan_flow_m3_s, extract->flow_m3_s + inward, 1e-9);
  CHECK_RELATIVE(extract->leakage_m3_s, inward + ducts_state(ducts, "outlet", 0)->leakage_m3_s,
                 1e-9);
}
END_TEST

Suite *suite_ducts_leak(void) {
  Suite *suite = suite_create("ducts: leaks");
  DUCTS_ADD(suite, "leaks", class_a_at_80_pa, power_is_at_the_flow_of_the_fan,
            classes_are_in_proportion, surface_is_the_outside_of_all_tubes,
            operation_returns_a_leaky_design, leaks_go_to_the_air_around,
            ducts_under_suction_leak_inward);
  return suite;
}
