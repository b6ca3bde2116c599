/* test_ducts_parts.c - flexible and crushed ducts, cones, mitres and bull-heads in a house */

#include <check.h>
#include <math.h>
#include <string.h>

#include "ducts_house.h"
#include "physics/flexible.h"
#include "physics/losses.h"
#include "physics/section.h"
#include "suites.h"

static ducts_house test;
static double dense; /* of the air at 20 C, over 1.2 kg/m3 */

static void setup(void) {
  ducts_start(&test);
  dense = eb_air_density(20.0, 101325.0) / 1.2;
}

static void teardown(void) {
  ducts_end(&test);
}

/* One room with a supply and an extract run, both with valves. */
static ebi_run *one_room(double bore, double flow) {
  ducts_room(&test, "study", flow, flow, 1.3);
  ebi_run *run = ducts_with_valve(ducts_run(&test, EB_SUPPLY, "in", "unit", "study", bore, 3.7));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "out", "study", "unit", bore, 3.7));
  return run;
}

static double friction(const eb_ducts *ducts, const char *run) {
  return ducts_state(ducts, run, 0)->friction_pa;
}

/* ---- Flexible ---- */

/* ASHRAE Handbook Fundamentals 2021 ch. 21 eq. 22: 15 % short at 160 mm is 4.934. */
START_TEST(slack_multiplies_the_friction) {
  ebi_run *run = one_room(160.0, 23.0);
  run->duct.roughness = 0.9e-3;
  double stretched = friction(ducts_design(&test), "in");
  run->duct.flexible = true;
  run->duct.stretched = 0.85;
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(friction(ducts, "in"), 4.93426 * stretched, 1e-6);
  CHECK_RELATIVE(ducts_state(ducts, "in", 0)->friction_pa_per_m, friction(ducts, "in") / 3.7, 1e-9);
  ck_assert_uint_eq(ducts_found(&test, "flexible-stretched"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "flexible-stretched"), "85 %"));
  ck_assert_uint_eq(ducts_found(&test, "flexible-range"), 0);
  run->stretched = ducts_given(1.0);
  eb_diagnostics_clear(test.context);
  CHECK_RELATIVE(friction(ducts_design(&test), "in"), stretched, 1e-9);
  ck_assert_uint_eq(ducts_found(&test, "flexible-stretched"), 0);
}
END_TEST

/* Below 150 mm and beyond 30 % nothing was measured. */
START_TEST(the_factor_is_carried_on_with_a_warning) {
  ebi_run *run = one_room(107.0, 13.0);
  run->duct.flexible = true;
  run->stretched = ducts_given(0.91);
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "flexible-range"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "flexible-range"), "107 mm at 91 %"));
  ck_assert(!ebi_flexible_measured(0.91, 0.107));
  ck_assert(!ebi_flexible_measured(0.69, 0.2));
  ck_assert(!ebi_flexible_measured(0.9, 0.45));
  ck_assert(ebi_flexible_measured(0.7, 0.15) && ebi_flexible_measured(1.0, 0.08));
}
END_TEST

/* ---- Crushed ---- */

/* Own calculation: half the height keeps 75 % of the area and so of the hydraulic diameter. */
START_TEST(a_crushed_piece_loses_more) {
  ebi_section flat = ebi_section_crushed(0.0631, 0.5), whole = ebi_section_round(0.0631);
  CHECK_RELATIVE(flat.area, 0.75 * whole.area, 1e-12);
  CHECK_RELATIVE(flat.hydraulic, 0.75 * whole.hydraulic, 1e-12);
  CHECK_RELATIVE(ebi_section_crushed(0.0631, 1.0).area, whole.area, 1e-15);
  ebi_run *run = one_room(125.0, 23.0);
  double before = friction(ducts_design(&test), "in");
  run->crushed_height = ducts_given(0.5);
  run->crushed_length = ducts_given(0.5);
  double piece = friction(ducts_design(&test), "in") / before * 3.7 - 3.2; /* m of whole duct */
  CHECK_NEAR(piece / 0.5, 2.41, 0.03);    /* 2.37 at one friction factor; rougher for its size */
  run->crushed_length = ducts_given(3.7); /* all of it: the fittings stay where they are */
  ducts_coefficient(&test, run, 1.7);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(friction(ducts, "in"), piece / 0.5 * before, 1e-6);
  CHECK_RELATIVE(ducts_state(ducts, "in", 0)->fittings_pa,
                 1.7 * ducts_velocity_pressure(125.0, 23.0) * dense, 1e-3);
}
END_TEST

/* Half a metre of ten pressed to 70, 50 and 35 % of its height: the whole rises by 2, 7 and 21 %
 * (own calculation at one friction factor; a smaller duct is rougher for its size). */
START_TEST(a_short_squeeze_is_harmless) {
  static const double kept[] = {0.70, 0.50, 0.35}, rise[] = {0.02, 0.07, 0.21};
  ebi_run *run = one_room(63.0, 6.7);
  run->length = 10.0;
  double before = friction(ducts_design(&test), "in");
  for (int i = 0; i < 3; i++) {
    run->crushed_height = ducts_given(kept[i]);
    run->crushed_length = ducts_given(0.5);
    CHECK_NEAR(friction(ducts_design(&test), "in") / before - 1.0, rise[i], 0.07 * rise[i] + 0.005);
  }
}
END_TEST

/* ---- Cones ---- */

static const ebi_fitting reducer = {
    .entry = {.name = "bench-reducer"}, .kind = EBI_FITTING_TO_BORE, .cone_angle = 30.0};
static const ebi_fitting expander = {.entry = {.name = "bench-expander"},
                                     .kind = EBI_FITTING_TO_BORE,
                                     .widens = true,
                                     .cone_angle = 30.0};

static double fittings_with(const ebi_fitting *fitting, double to, double angle) {
  ebi_run *run = &test.runs[0];
  run->n_fittings = 0;
  ducts_fitting(&test, run, fitting);
  test.fittings[0][0].to = ducts_given(1e-3 * to);
  if (angle > 0.0)
    test.fittings[0][0].angle = ducts_given(angle);
  return ducts_state(ducts_design(&test), "in", 0)->fittings_pa;
}

/* SMACNA HVAC Systems Duct Design 1990, table 14-12 A; Idelchik 2006 diag. 5-4: on the smaller
 * section whichever that is. */
START_TEST(a_change_of_size_is_on_the_smaller_section) {
  (void)one_room(125.0, 23.0);
  double plain = ducts_state(ducts_design(&test), "in", 0)->fittings_pa;
  double own = ducts_velocity_pressure(125.0, 23.0) * dense;
  double narrow = ducts_velocity_pressure(100.0, 23.0) * dense;
  CHECK_RELATIVE(fittings_with(&reducer, 100.0, 0.0) - plain, 0.05 * narrow, 1e-6);
  CHECK_RELATIVE(fittings_with(&reducer, 160.0, 0.0) - plain, 0.05 * own, 1e-6);
  CHECK_RELATIVE(fittings_with(&reducer, 88.388347648, 90.0) - plain, 0.12 * 4.0 * own,
                 1e-6); /* half the area */
  CHECK_RELATIVE(fittings_with(&expander, 100.0, 0.0) - plain, 0.1067 * narrow, 2e-3);
  CHECK_RELATIVE(fittings_with(&expander, 160.0, 90.0) - plain, 0.1536 * own, 2e-3);
  CHECK_NEAR(fittings_with(&reducer, 125.0, 0.0), plain, 1e-5);
}
END_TEST

/* ---- Mitres ---- */

static const ebi_point shapes[] = {{0.25, 1.3}, {1.0, 1.2}, {4.0, 0.92}};
static const ebi_point factors[] = {{1e4, 1.4}, {1.3e4, 1.33}, {2e4, 1.26}};
static const ebi_fitting mitre = {.entry = {.name = "bench-mitre"},
                                  .kind = EBI_FITTING_BY_SHAPE,
                                  .points = shapes,
                                  .n_points = 3,
                                  .by_reynolds = factors,
                                  .n_by_reynolds = 3,
                                  .reynolds_to = HUGE_VAL};

static double mitre_loss(const ebi_fitting *fitting, double *reynolds) {
  ebi_run *run = &test.runs[0];
  run->n_fittings = 0;
  double plain = ducts_state(ducts_design(&test), "in", 0)->fittings_pa;
  ducts_fitting(&test, run, fitting);
  const eb_run_state *state = ducts_state(ducts_design(&test), "in", 0);
  *reynolds = state->reynolds;
  double velocity = state->velocity_m_s;
  return (state->fittings_pa - plain) / (0.6 * dense * velocity * velocity);
}

/* 204x60: height over width 0.294 lying flat, 3.4 on edge; the factor by the duct's Reynolds
 * number on its hydraulic diameter, level outside its points. */
START_TEST(a_mitre_goes_with_shape_and_reynolds_number) {
  ebi_run *run = one_room(100.0, 23.0);
  run->duct.shape = EBI_RECTANGLE;
  run->duct.width = 0.204;
  run->duct.height = 0.060;
  ebi_fitting edgewise = mitre;
  edgewise.edgewise = true;
  double reynolds;
  double flat = mitre_loss(&mitre, &reynolds), edge = mitre_loss(&edgewise, &reynolds);
  ck_assert(reynolds > 1.0e4 && reynolds < 1.3e4);
  double by_flat = 1.3 - 0.1 * (60.0 / 204.0 - 0.25) / 0.75;
  double by_edge = 1.2 - 0.28 * (3.4 - 1.0) / 3.0;
  CHECK_RELATIVE(flat / edge, by_flat / by_edge, 1e-9);
  ck_assert(flat / by_flat > 1.33 && flat / by_flat < 1.4);
  test.supply[0][0] = test.extract[0][0] = (eb_duty){9e-3, 10e-3};
  double slow = mitre_loss(&mitre, &reynolds);
  CHECK_NEAR(reynolds, 5000.0, 300.0);
  CHECK_RELATIVE(slow, 1.4 * by_flat, 1e-9);
}
END_TEST

/* ---- Tees ---- */

static void tee_of_extracts(double straight, double branch, double main) {
  ducts_room(&test, "study", 19.0, 0.0, 1.3);
  ducts_room(&test, "bath", 0.0, 11.0, 1.3);
  ducts_room(&test, "wc", 0.0, 8.0, 1.3);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "in", "unit", "study", 160.0, 2.1));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "e-bath", "bath", "tee", straight, 2.1));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "e-wc", "wc", "tee", branch, 2.1));
  ducts_run(&test, EB_EXTRACT, "e-main", "tee", "unit", main, 2.1);
  test.junctions[0] =
      (ebi_junction){.name = "tee", .kind = EBI_JUNCTION_TEE, .straight = "e-bath", .angle = 90.0};
  test.house.n_junctions = 1;
}

/* Idelchik's tee has one size straight through: a smaller straight run widens by a cone. */
START_TEST(a_straight_run_of_another_size_has_a_cone) {
  tee_of_extracts(100.0, 80.0, 125.0);
  double own = ducts_state(ducts_design(&test), "e-bath", 0)->fittings_pa;
  double narrow = ducts_velocity_pressure(100.0, 11.0) * dense;
  double through = ducts_velocity_pressure(125.0, 19.0) * dense, q = 8.0 / 19.0;
  double tee = 1.0 - (1.0 - q) * (1.0 - q) - (1.4 - q) * q * q; /* Kst has no part at 90 degrees */
  double cone = ebi_expansion_conical(1e4, 15625.0, 30.0);
  CHECK_RELATIVE(own, cone * narrow + tee * through, 1e-5);
}
END_TEST

/* Both rooms turn into the stem: Idelchik 2006 diag. 7-29 where flows are even, and each room's
 * loss is another than in a tee. */
START_TEST(a_bull_head_has_no_straight_run) {
  tee_of_extracts(125.0, 125.0, 125.0);
  test.extract[1][0].design_m3_s = test.extract[2][0].design_m3_s = 9.5e-3;
  double straight = ducts_state(ducts_design(&test), "e-bath", 0)->fittings_pa;
  test.junctions[0].straight = NULL;
  test.junctions[0].bull_head = true;
  const eb_ducts *ducts = ducts_design(&test);
  double bath = ducts_state(ducts, "e-bath", 0)->fittings_pa;
  double wc = ducts_state(ducts, "e-wc", 0)->fittings_pa;
  CHECK_RELATIVE(bath, wc, 1e-6);
  ck_assert(bath > straight);
  double zeta = bath / (ducts_velocity_pressure(125.0, 19.0) * dense);
  CHECK_NEAR(zeta, 0.6875, 0.01); /* shifted a little onto the patterns beside it */
}
END_TEST

/* ---- Ranges ---- */

static const ebi_point bores[] = {{0.075, 0.3}, {0.25, 0.11}};
static const ebi_point radii[] = {{0.75, 0.5}, {2.0, 0.3}};
static const ebi_point turns[] = {{20.0, 0.3}, {90.0, 1.0}};

START_TEST(each_kind_of_breach_is_told_once) {
  static const ebi_fitting by_bore = {.entry = {.name = "bench-bore"},
                                      .kind = EBI_FITTING_BY_BORE,
                                      .points = bores,
                                      .n_points = 2,
                                      .reynolds_to = HUGE_VAL,
                                      .velocity_to = 2.0};
  static const ebi_fitting by_radius = {.entry = {.name = "bench-radius"},
                                        .kind = EBI_FITTING_BY_RADIUS,
                                        .points = radii,
                                        .n_points = 2,
                                        .radius = 2.0,
                                        .angles = turns,
                                        .n_angles = 2,
                                        .angle = 90.0,
                                        .reynolds_to = HUGE_VAL};
  ebi_run *run = one_room(63.0, 9.0);
  ducts_fitting(&test, run, &by_bore);
  ducts_fitting(&test, run, &by_radius);
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "fitting-range"), 2); /* bore and velocity */
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "fitting-range"),
                               "1 fitting is used outside the bores of the source, the first "
                               "bench-bore in run in with a bore of 63 mm (75 to 250 is given)"));
  test.fittings[0][1].radius = ducts_given(2.3);
  test.fittings[0][1].angle = ducts_given(97.0);
  ducts_fitting(&test, &test.runs[1], &by_bore);
  eb_diagnostics_clear(test.context);
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "fitting-range"), 4); /* and radius and angle */
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "fitting-range"), "2 fittings are used"));
}
END_TEST

START_TEST(a_tee_beyond_its_angles_is_told) {
  tee_of_extracts(125.0, 100.0, 125.0);
  test.junctions[0].angle = 123.0;
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "tee-range"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "tee-range"), "123"));
  test.junctions[0].angle = 60.0;
  eb_diagnostics_clear(test.context);
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "tee-range"), 0);
}
END_TEST

Suite *suite_ducts_parts(void) {
  Suite *suite = suite_create("ducts_parts");
  DUCTS_ADD(suite, "laid", slack_multiplies_the_friction, the_factor_is_carried_on_with_a_warning,
            a_crushed_piece_loses_more, a_short_squeeze_is_harmless);
  DUCTS_ADD(suite, "fittings", a_change_of_size_is_on_the_smaller_section,
            a_mitre_goes_with_shape_and_reynolds_number);
  DUCTS_ADD(suite, "tees", a_straight_run_of_another_size_has_a_cone,
            a_bull_head_has_no_straight_run);
  DUCTS_ADD(suite, "ranges", each_kind_of_breach_is_told_once, a_tee_beyond_its_angles_is_told);
  return suite;
}
