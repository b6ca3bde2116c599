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

/* No speed between the steps; what a step has to spare is taken up by the valves, the index run's
 * too, so that the totals stay those of the design. */
START_TEST(switch_turns_in_steps) {
  static const ebi_point map[] = {{1.0 / 3.0, 0.35}, {2.0 / 3.0, 0.7}, {1.0, 1.0}};
  ducts_build_house(&test);
  const eb_side_state free = ducts_design(&test)->levels[0].supply;
  test.unit.controller = (eb_controller){"step", 3.0, false};
  test.unit.signal_map = map;
  test.unit.n_signal_map = 3;
  const eb_side_state *supply = &ducts_design(&test)->levels[0].supply;
  size_t step = 0;
  while (step < 3 && map[step].y < free.speed * (1.0 - 1e-9))
    step++;
  CHECK_RELATIVE(supply->speed, map[step].y, 1e-12);
  CHECK_RELATIVE(supply->signal, map[step].x, 1e-9);
  ck_assert_double_gt(supply->pressure_pa, free.pressure_pa);
  CHECK_RELATIVE(supply->flow_m3_s, free.flow_m3_s, 1e-6);
}
END_TEST

START_TEST(kept_flow_is_what_the_fan_moves) {
  ducts_build_house(&test);
  test.unit.controller = (eb_controller){"m3/h", 3600.0, true};
  const eb_side_state *supply = &ducts_design(&test)->levels[0].supply;
  CHECK_RELATIVE(supply->signal, supply->flow_m3_s + supply->leakage_m3_s, 1e-6);
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

/* ---- Curves ---- */

static double on_curve(const eb_curve *curve, double flow) {
  for (size_t i = 1; i < curve->n_points; i++) {
    const eb_curve_point *a = &curve->points[i - 1], *b = &curve->points[i];
    if (flow >= a->flow_m3_s && flow <= b->flow_m3_s)
      return a->pressure_pa + (b->pressure_pa - a->pressure_pa) * (flow - a->flow_m3_s) /
                                  (b->flow_m3_s - a->flow_m3_s);
  }
  ck_abort_msg("the curve does not reach %.3g m3/s", flow);
  return NAN;
}

static const eb_ducts *design_with_curves(void) {
  const eb_ducts_options options = {.size = sizeof options, .curves = true};
  const eb_ducts *ducts = NULL;
  ck_assert_int_eq(eb_ducts_design(test.context, &test.house, &test.rates, &options, NULL, &ducts),
                   EB_OK);
  return ducts;
}

START_TEST(fan_and_ducts_meet_in_the_duty) {
  ducts_build_house(&test);
  ducts_furnish(&test);
  const eb_ducts *ducts = design_with_curves();
  for (size_t l = 0; l < ducts->n_levels; l++)
    for (int s = 0; s < 2; s++) {
      const eb_side_state *side = s == 0 ? &ducts->levels[l].supply : &ducts->levels[l].extract;
      CHECK_NEAR(side->fan_curve.speed, side->speed, 0);
      CHECK_RELATIVE(on_curve(&side->fan_curve, side->fan_flow_m3_s), side->pressure_pa, 0.005);
      CHECK_RELATIVE(on_curve(&side->duct_curve, side->fan_flow_m3_s), side->pressure_pa, 0.01);
    }
}
END_TEST

/* 420 Pa - 0.035 q^2 at 1.2 kg/m3, in the air that the fan moves. */
START_TEST(curves_of_the_sheet_are_the_sheet) {
  ducts_build_house(&test);
  const eb_ducts *ducts = design_with_curves();
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  ck_assert_uint_eq(ducts->n_supply_sheet_curves, 1);
  ck_assert_uint_eq(ducts->n_extract_sheet_curves, 1);
  const eb_curve *curve = &ducts->supply_sheet_curves[0];
  CHECK_NEAR(curve->speed, 1.0, 0);
  for (size_t i = 0; i < curve->n_points; i++) {
    double flow = 1e3 * curve->points[i].flow_m3_s;
    CHECK_NEAR(curve->points[i].pressure_pa, (420.0 - 0.035 * flow * flow) * dense, 0.5);
  }
}
END_TEST

START_TEST(curves_change_nothing_else_and_are_asked_for) {
  ducts_build_house(&test);
  const eb_ducts *plain = ducts_design(&test), *with = design_with_curves();
  ck_assert_uint_eq(plain->n_supply_sheet_curves, 0);
  for (size_t l = 0; l < plain->n_levels; l++) {
    ck_assert_uint_eq(plain->levels[l].supply.fan_curve.n_points, 0);
    ck_assert_uint_eq(plain->levels[l].supply.duct_curve.n_points, 0);
    CHECK_NEAR(with->levels[l].supply.pressure_pa, plain->levels[l].supply.pressure_pa, 0);
    CHECK_NEAR(with->levels[l].extract.most_m3_s, plain->levels[l].extract.most_m3_s, 0);
    CHECK_NEAR(with->levels[l].rooms[0].pressure_pa, plain->levels[l].rooms[0].pressure_pa, 0);
  }
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
            signal_follows_the_map, switch_turns_in_steps, kept_flow_is_what_the_fan_moves,
            weak_fan_is_named_and_its_flow_honest, weak_fan_leaves_the_whole_dwelling_short,
            each_crossing_of_a_dipped_curve_is_reported, falling_curve_has_no_crossings_to_report,
            filter_outside_the_curve_adds_to_the_fan);
  DUCTS_ADD(suite, "curves", fan_and_ducts_meet_in_the_duty, curves_of_the_sheet_are_the_sheet,
            curves_change_nothing_else_and_are_asked_for);
  DUCTS_ADD(suite, "air", thin_air_needs_the_same_volume, cold_air_is_balanced_in_mass);
  return suite;
}
