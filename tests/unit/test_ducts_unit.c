/* test_ducts_unit.c - the fans of a house's ducts and the air in them */

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

/* ---- Fans ---- */

START_TEST(static_pressure_gets_the_outlet_velocity_pressure) {
  ducts_build_house(&test);
  double total = ducts_design(&test)->levels[0].supply.speed;
  for (size_t i = 0; i < test.curve.n_points; i++)
    test.points[i].pressure -= ducts_velocity_pressure(160.0, 1e3 * test.points[i].flow);
  test.unit.supply_fan.static_basis = true;
  CHECK_RELATIVE(ducts_design(&test)->levels[0].supply.speed, total, 1e-12);
}
END_TEST

START_TEST(signal_follows_the_map) {
  static const ebi_point map[] = {{0.08, 0.0}, {1.0, 1.0}};
  ducts_build_house(&test);
  test.unit.signal_map = map;
  test.unit.n_signal_map = 2;
  const eb_side_state *supply = &ducts_design(&test)->levels[0].supply;
  CHECK_RELATIVE(supply->signal, 0.08 + 0.92 * supply->speed, 1e-9);
  ck_assert_uint_eq(ducts_found(&test, "signal-map"), 0);
}
END_TEST

START_TEST(weak_fan_is_named_and_its_flow_honest) {
  ducts_build_house(&test);
  ducts_fan(&test, 30.0, 0.002, 100.0, 26);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_side_state *supply = &ducts->levels[1].supply;
  ck_assert_uint_ge(ducts_found(&test, "fan-limit"), 1);
  CHECK_RELATIVE(supply->speed, 1.0, 1e-12);
  double flow = 1e3 * supply->flow_m3_s, dense = eb_air_density(20.0, 101325.0) / 1.2;
  CHECK_RELATIVE(supply->pressure_pa, (30.0 - 0.002 * flow * flow) * dense, 1e-6);
  ck_assert(flow < 1.41 * 32.9);
  ck_assert_uint_ge(ducts_found(&test, "below-required"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "fan-limit"), "index run"));
}
END_TEST

/* 32.9 l/s are planned a side, and neither gives the 31 l/s that a rule asks of the whole: two
 * findings beside those of the rooms. */
START_TEST(weak_fan_leaves_the_whole_dwelling_short) {
  ducts_build_house(&test);
  ducts_fan(&test, 13.0, 0.002, 80.0, 26);
  ducts_design(&test);
  size_t of_rooms = ducts_found(&test, "below-required");
  test.rates.required_m3_s = 31e-3;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts->levels[0].supply.flow_m3_s < 31e-3);
  ck_assert(ducts->levels[0].extract.flow_m3_s < 31e-3);
  ck_assert_uint_eq(ducts_found(&test, "below-required"), 2 * of_rooms + 2);
}
END_TEST

/* A curve with a dip: 300 Pa at rest, 20 at 10 l/s, 290 at 22 and 0 at 60, against a system of
 * about 0.27 Pa per (l/s)^2: one crossing before the dip, one behind it, one right of the peak. */
START_TEST(each_crossing_of_a_dipped_curve_is_reported) {
  static const double dip[][2] = {{0, 300}, {10, 20}, {22, 290}, {60, 0}};
  ducts_build_box(&test);
  for (size_t i = 0; i < 4; i++)
    test.points[i] = (ebi_fan_point){1e-3 * dip[i][0], dip[i][1], 20.0};
  test.curve.n_points = 4;
  double openings[] = {2, 2, 2, 2};
  eb_setting setting = {"normal", openings, 1.0, 1.0};
  const eb_ducts *ducts = ducts_operate(&test, &setting);
  ck_assert_uint_eq(ducts_found(&test, "fan-crossing"), 3);
  ck_assert(ducts->levels[0].supply.flow_m3_s > 22e-3);
}
END_TEST

START_TEST(falling_curve_has_no_crossings_to_report) {
  ducts_build_house(&test);
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "fan-crossing"), 0);
}
END_TEST

START_TEST(filter_outside_the_curve_adds_to_the_fan) {
  ducts_build_house(&test);
  double without = ducts_design(&test)->levels[0].supply.speed;
  test.unit.filter_outdoor = (ebi_filter){
      .clean = ducts_given(40.0), .at = ducts_given(0.0329), .exponent = 1.0, .in_curve = true};
  CHECK_RELATIVE(ducts_design(&test)->levels[0].supply.speed, without, 1e-12);
  test.unit.filter_outdoor.in_curve = false;
  const eb_side_state *supply = &ducts_design(&test)->levels[0].supply;
  double dense = eb_air_density(20.0, 101325.0) / 1.2, flow = 32.9, s = supply->speed;
  double rise = (420.0 * s * s - 0.035 * flow * flow) * dense;
  CHECK_RELATIVE(rise - supply->pressure_pa, 40.0, 1e-6);
}
END_TEST

/* ---- Air ---- */

START_TEST(thin_air_needs_the_same_volume) {
  ducts_build_house(&test);
  test.house.altitude = ducts_given(1600.0);
  const eb_ducts *ducts = ducts_design(&test);
  double dense = eb_air_density(20.0, eb_air_pressure(1600.0)) / 1.2;
  CHECK_RELATIVE(ducts_delivered(ducts, "living", true, 0), 13.7, 1e-8);
  CHECK_RELATIVE(ducts->levels[0].supply.flow_ref_m3_s, 32.9e-3 * dense, 1e-8);
}
END_TEST

/* With an outdoor temperature the sides are equal in mass, and volumes follow density. */
START_TEST(cold_air_is_balanced_in_mass) {
  ducts_build_house(&test);
  test.unit.has_exchanger = true;
  test.unit.temperature_ratio = 0.85;
  test.house.outdoor = ducts_given(-7.0);
  const double space[] = {[EB_OUTDOOR] = -7.0, /* each run's own: no heat passes */
                          [EB_SUPPLY] = -7.0 + 0.85 * 27.0,
                          [EB_EXTRACT] = 20.0,
                          [EB_EXHAUST] = 20.0 - 0.85 * 27.0};
  for (size_t i = 0; i < test.house.n_runs; i++)
    test.runs[i].space_temperature = ducts_given(space[test.runs[i].air]);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(ducts->levels[0].supply.flow_ref_m3_s, ducts->levels[0].extract.flow_ref_m3_s,
                 1e-8);
  const eb_run_state *intake = ducts_state(ducts, "intake", 0);
  const eb_run_state *outlet = ducts_state(ducts, "outlet", 0);
  const eb_run_state *trunk = ducts_state(ducts, "trunk", 0);
  double main = ducts_state(ducts, "e-main", 0)->flow_m3_s;
  CHECK_RELATIVE(intake->flow_m3_s / main, 266.15 / 293.15, 1e-8);
  CHECK_RELATIVE(outlet->flow_m3_s / main, (293.15 - 0.85 * 27.0) / 293.15, 1e-8);
  CHECK_RELATIVE(trunk->flow_m3_s / main, (266.15 + 0.85 * 27.0) / 293.15, 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed1", true, 0), 10.9, 1e-8);
}
END_TEST

/* ---- Suite ---- */

Suite *suite_ducts_unit(void) {
  Suite *suite = suite_create("ducts: unit");
  DUCTS_ADD(suite, "fans", static_pressure_gets_the_outlet_velocity_pressure,
            signal_follows_the_map, weak_fan_is_named_and_its_flow_honest,
            weak_fan_leaves_the_whole_dwelling_short, each_crossing_of_a_dipped_curve_is_reported,
            falling_curve_has_no_crossings_to_report, filter_outside_the_curve_adds_to_the_fan);
  DUCTS_ADD(suite, "air", thin_air_needs_the_same_volume, cold_air_is_balanced_in_mass);
  return suite;
}
