/* test_ducts_layout.c - valves, meetings, findings and what cannot be calculated */

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

/* ---- What the runs join ---- */

/* The run of that kind that ends (or begins) at a place; n_runs: none. */
static size_t run_at(const eb_ducts *ducts, eb_air air, const char *place, bool ends) {
  size_t i = 0;
  while (i < ducts->n_runs && (ducts->runs[i].air != air ||
                               strcmp(ends ? ducts->runs[i].to : ducts->runs[i].from, place) != 0))
    i++;
  return i;
}

/* Pressure lost from a room's run to the unit and on to outdoors. */
static double lost_on_the_way(const eb_ducts *ducts, const char *run) {
  const eb_run_state *states = ducts->levels[0].runs;
  size_t i = 0;
  while (strcmp(ducts->runs[i].name, run) != 0)
    i++;
  bool supply = ducts->runs[i].air == EB_SUPPLY;
  double lost = states[run_at(ducts, supply ? EB_OUTDOOR : EB_EXHAUST, "unit", supply)].total_pa;
  while (i < ducts->n_runs) {
    lost += states[i].total_pa;
    i = run_at(ducts, ducts->runs[i].air, supply ? ducts->runs[i].from : ducts->runs[i].to, supply);
  }
  return lost;
}

START_TEST(runs_lead_from_each_valve_to_the_fan) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  for (size_t t = 0; t < ducts->n_terminals; t++) {
    const char *run = ducts->terminals[t].run;
    const eb_level_state *level = &ducts->levels[0];
    double rise = run[0] == 's' ? level->supply.pressure_pa : level->extract.pressure_pa;
    CHECK_RELATIVE(lost_on_the_way(ducts, run), rise, 1e-8);
  }
  ck_assert_uint_eq(ducts->n_terminals, 6);
}
END_TEST

/* ---- Valves ---- */

START_TEST(two_position_valve_opens_at_boost) {
  ducts_build_house(&test);
  double before = ducts_delivered(ducts_design(&test), "bath", false, 1);
  test.runs[6].valve.two_position = true;
  test.runs[6].valve.boost = ducts_given(20.0);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_str_eq(ducts->terminals[4].run, "e-bath");
  ck_assert(ducts->terminals[4].opening < 20.0);
  CHECK_RELATIVE(ducts_delivered(ducts, "bath", false, 0), 10.6, 1e-8);
  ck_assert(ducts_delivered(ducts, "bath", false, 1) > 1.05 * before);
}
END_TEST

START_TEST(fixed_opening_is_left_alone) {
  ducts_build_house(&test);
  test.runs[4].valve.opening = ducts_given(13.0); /* s-bed2 */
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_NEAR(ducts_terminal(ducts, "s-bed2")->opening, 13.0, 0.0);
}
END_TEST

START_TEST(run_without_a_valve_is_named) {
  ducts_build_house(&test);
  test.runs[2].valve.type = NULL; /* s-living, the nearest */
  const eb_ducts *ducts = ducts_design(&test);
  const eb_terminal *terminal = ducts_terminal(ducts, "s-living");
  ck_assert(!terminal->has_opening);
  ck_assert_str_eq(terminal->valve, "");
  ck_assert_uint_eq(ducts_found(&test, "cannot-balance"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "cannot-balance"), "s-living"));
  ck_assert(ducts_delivered(ducts, "living", true, 0) > 13.7);
}
END_TEST

START_TEST(restrictor_helps_the_valve) {
  ducts_build_house(&test);
  double before = ducts_terminal(ducts_design(&test), "e-wc")->opening;
  test.runs[7].valve.restrictor_drop = ducts_given(3.0);
  test.runs[7].valve.restrictor_at = ducts_given(7.2e-3);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts_terminal(ducts, "e-wc")->opening > before);
  CHECK_RELATIVE(ducts_delivered(ducts, "wc", false, 0), 7.2, 1e-8);
}
END_TEST

START_TEST(two_terminals_share_their_room) {
  ducts_build_house(&test);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s-living2", "box", "living", 75.0, 5.0))->share =
      ducts_given(0.3);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(ducts_state(ducts, "s-living2", 0)->flow_m3_s, 0.3 * 13.7e-3, 1e-8);
  CHECK_RELATIVE(ducts_state(ducts, "s-living", 0)->flow_m3_s, 0.7 * 13.7e-3, 1e-8);
}
END_TEST

START_TEST(shares_must_add_up) {
  ducts_build_house(&test);
  test.runs[2].share = ducts_given(0.6);
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "share"), 1);
}
END_TEST

/* ---- Layouts ---- */

START_TEST(loop_of_ducts_delivers_the_design) {
  ducts_build_house(&test);
  test.runs[2].from = "box2"; /* s-living and s-bed1 from a second box, fed twice */
  test.runs[3].from = "box2";
  ducts_run(&test, EB_SUPPLY, "link1", "box", "box2", 100.0, 2.0);
  ducts_run(&test, EB_SUPPLY, "link2", "box", "box2", 75.0, 3.1);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "loops"), 1);
  CHECK_RELATIVE(ducts_delivered(ducts, "living", true, 0), 13.7, 1e-7);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed2", true, 0), 8.3, 1e-7);
  CHECK_NEAR(ducts_state(ducts, "link1", 0)->total_pa, ducts_state(ducts, "link2", 0)->total_pa,
             1e-6);
}
END_TEST

START_TEST(straight_of_a_tee_is_as_given) {
  ducts_build_house(&test);
  double kitchen = ducts_state(ducts_design(&test), "e-kitchen", 0)->fittings_pa;
  test.junctions[0] =
      (ebi_junction){.name = "tee1", .kind = EBI_JUNCTION_TEE, .straight = "e-mid", .angle = 45.0};
  test.house.n_junctions = 1;
  double turned = ducts_state(ducts_design(&test), "e-kitchen", 0)->fittings_pa;
  ck_assert(fabs(turned - kitchen) > 0.01);
  test.junctions[0].straight = "e-main";
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "tee-straight"), 1);
}
END_TEST

/* 125 mm into 160 mm: a cone of 30 degrees one way, 0.05 the other, on the small section. */
START_TEST(change_of_size_loses_both_ways) {
  ducts_room(&test, "hall", 9.7, 9.7, 1.2);
  ducts_run(&test, EB_SUPPLY, "wide", "unit", "change", 160.0, 0.0);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "narrow", "change", "hall", 125.0, 0.0));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "narrow2", "hall", "change2", 125.0, 0.0));
  ducts_run(&test, EB_EXTRACT, "wide2", "change2", "unit", 160.0, 0.0);
  const eb_ducts *ducts = ducts_design(&test);
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  double dynamic = ducts_velocity_pressure(125.0, 9.7) * dense;
  CHECK_RELATIVE(ducts_state(ducts, "narrow", 0)->fittings_pa, 0.05 * dynamic, 1e-6);
  CHECK_RELATIVE(ducts_state(ducts, "narrow2", 0)->fittings_pa, 0.124 * dynamic, 5e-3);
}
END_TEST

START_TEST(open_ends_are_noted) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "open-end"), 1); /* outlet; the intake has a louvre */
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  CHECK_RELATIVE(ducts_state(ducts, "outlet", 0)->fittings_pa,
                 ducts_velocity_pressure(160.0, 32.9) * dense, 1e-6);
}
END_TEST

/* ---- Findings ---- */

static const ebi_sound_limit quiet[] = {
    {"bedroom", "normal", 27.0, {"bench rules 4.2", "invented"}},
    {"study", "normal", 27.0, {"bench rules 4.2", "invented"}}};

START_TEST(limits_of_the_rules_are_findings) {
  ebi_rule_set rules = {.entry = {.name = "bench", .source = {"bench rules", "invented"}},
                        .fan_power = ducts_given(101.0),
                        .fan_power_source = {"bench rules 7", "invented"},
                        .sound = quiet,
                        .n_sound = 2};
  ducts_build_house(&test);
  test.house.rules = &rules;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts->levels[0].specific_fan_power > 101.0);
  ck_assert_uint_eq(ducts_found(&test, "fan-power"), 1); /* at normal only */
  ck_assert_uint_eq(ducts_found(&test, "sound-data"), 1);
  ck_assert_ptr_nonnull(
      strstr(ducts_message(&test, "sound-data"), "27 dB at normal (bedroom, study)"));
}
END_TEST

START_TEST(fast_air_and_loud_valves_are_noted) {
  ducts_build_house(&test);
  test.runs[4].duct.bore = 0.055; /* s-bed2: 8.3 l/s at 3.5 m/s takes the fan's pressure */
  test.runs[4].length = 12.0;
  (void)ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "velocity"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "velocity"), "s-bed2"));
  ck_assert_uint_ge(ducts_found(&test, "valve-loud"), 1);
}
END_TEST

/* A plan that is uneven on purpose keeps its ratio at every level, and is noted. */
START_TEST(uneven_plan_keeps_its_ratio) {
  ducts_build_house(&test);
  test.extract[4][0].design_m3_s += 1.7e-3;
  test.extract[4][1].design_m3_s += 1.7e-3 * 1.41;
  const eb_ducts *ducts = ducts_design(&test);
  for (size_t l = 0; l < 2; l++)
    CHECK_RELATIVE(ducts->levels[l].supply.flow_ref_m3_s / ducts->levels[l].extract.flow_ref_m3_s,
                   32.9 / 34.6, 1e-8);
  ck_assert_uint_eq(ducts_found(&test, "imbalance"), 2);
}
END_TEST

START_TEST(unit_without_power_is_a_warning) {
  ducts_build_house(&test);
  test.points[3].power = (double)NAN;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "fan-power-unknown"), 1);
  ck_assert(ducts->levels[0].power_w == 0.0 && ducts->levels[0].specific_fan_power == 0.0);
}
END_TEST

/* ---- What cannot be calculated ---- */

START_TEST(run_without_any_duct_is_an_error) {
  ducts_build_house(&test);
  test.runs[5].sized = false;
  test.runs[5].duct_family = "steel";
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "duct-unsized"), "steel-125"));
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "duct-unsized"), "e-kitchen"));
}
END_TEST

START_TEST(house_without_a_unit_is_an_error) {
  ducts_build_house(&test);
  test.house.unit = NULL;
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "unit-missing"), 1);
}
END_TEST

START_TEST(house_without_runs_is_an_error) {
  ducts_build_house(&test);
  test.house.n_runs = 0;
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "ducts-missing"), 1);
}
END_TEST

START_TEST(room_without_a_run_is_an_error) {
  ducts_build_house(&test);
  ducts_room(&test, "study", 6.1, 0.0, 1.3);
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "room-without-run"), "study"));
}
END_TEST

START_TEST(run_without_a_duty_is_shut) {
  ducts_build_house(&test);
  ducts_room(&test, "store", 0.0, 0.0, 1.0);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s-store", "box", "store", 75.0, 2.0));
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "run-without-duty"), 1);
  CHECK_NEAR(ducts_state(ducts, "s-store", 0)->flow_m3_s, 0.0, 1e-12);
  ck_assert(!ducts_terminal(ducts, "s-store")->has_opening);
}
END_TEST

START_TEST(unreachable_runs_are_errors) {
  ducts_build_house(&test);
  test.runs[4].from = "nowhere";
  ducts_run(&test, EB_SUPPLY, "round1", "p", "q", 100.0, 1.0);
  ducts_run(&test, EB_SUPPLY, "round2", "q", "p", 100.0, 1.0);
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "unreachable"), 3);
}
END_TEST

START_TEST(run_to_itself_is_an_error) {
  ducts_build_house(&test);
  ducts_run(&test, EB_SUPPLY, "ring", "box", "box", 100.0, 1.0);
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "run-end"), "ring"));
}
END_TEST

START_TEST(wrong_way_round_is_an_error) {
  ducts_build_house(&test);
  test.runs[2].from = "living";
  test.runs[2].to = "box";
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "run-end"), 1);
}
END_TEST

START_TEST(mixed_junction_is_an_error) {
  ducts_build_house(&test);
  test.runs[5].to = "box";
  test.runs[5].air = EB_EXTRACT;
  test.runs[0].to = "box"; /* outdoor run past the unit */
  ck_assert_int_eq(ducts_failure(&test), EB_E_INPUT);
  ck_assert_uint_ge(ducts_found(&test, "junction-mixed"), 1);
}
END_TEST

START_TEST(wrong_arguments_are_refused) {
  ducts_build_house(&test);
  const eb_ducts *ducts = NULL;
  double openings[6] = {9, 9, (double)NAN, 9, 9, 9};
  eb_setting setting = {"normal", openings, 0.6, 0.6};
  ck_assert_int_eq(
      eb_ducts_operate(test.context, &test.house, &test.rates, &setting, 1, NULL, NULL, &ducts),
      EB_E_ARGUMENT);
  openings[2] = 9;
  setting.supply_signal = 1.2;
  ck_assert_int_eq(
      eb_ducts_operate(test.context, &test.house, &test.rates, &setting, 1, NULL, NULL, &ducts),
      EB_E_ARGUMENT);
  ck_assert_int_eq(eb_ducts_design(NULL, &test.house, &test.rates, NULL, NULL, &ducts),
                   EB_E_ARGUMENT);
  ck_assert_ptr_null(ducts);
}
END_TEST

/* ---- Suite ---- */

Suite *suite_ducts_layout(void) {
  Suite *suite = suite_create("ducts: layout");
  DUCTS_ADD(suite, "valves", two_position_valve_opens_at_boost, fixed_opening_is_left_alone,
            run_without_a_valve_is_named, restrictor_helps_the_valve,
            two_terminals_share_their_room, shares_must_add_up);
  DUCTS_ADD(suite, "layouts", runs_lead_from_each_valve_to_the_fan,
            loop_of_ducts_delivers_the_design, straight_of_a_tee_is_as_given,
            change_of_size_loses_both_ways, open_ends_are_noted);
  DUCTS_ADD(suite, "findings", limits_of_the_rules_are_findings, fast_air_and_loud_valves_are_noted,
            uneven_plan_keeps_its_ratio, unit_without_power_is_a_warning);
  DUCTS_ADD(suite, "what cannot be calculated", run_without_any_duct_is_an_error,
            house_without_a_unit_is_an_error, house_without_runs_is_an_error,
            room_without_a_run_is_an_error, run_without_a_duty_is_shut, unreachable_runs_are_errors,
            run_to_itself_is_an_error, wrong_way_round_is_an_error, mixed_junction_is_an_error,
            wrong_arguments_are_refused);
  return suite;
}
