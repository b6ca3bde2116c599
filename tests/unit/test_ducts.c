/* test_ducts.c - ducts of a house in design and in operating mode */

#include <check.h>
#include <math.h>
#include <string.h>

#include "ducts_house.h"
#include "physics/air.h"
#include "suites.h"

static ducts_house test;

static void setup(void) {
  ducts_start(&test);
}

static void teardown(void) {
  ducts_end(&test);
}

/* ---- One box and four terminals, all after the square law ----
 *
 * Own calculation by hand: trunk 0.0100, branches 0.120, 0.300, 0.700 and 0.500
 * Pa per (l/s)^2 with open valves, fan 220 s^2 - 0.030 q^2, design 14, 10, 8 and
 * 6 l/s. All laws go with density alike, so flows and speed do not depend on it. */

START_TEST(open_box_flows_by_hand) {
  ducts_build_box(&test);
  double openings[] = {20, 20, 20, 20};
  eb_setting setting = {"normal", openings, 1.0, 1.0};
  const eb_ducts *ducts = ducts_operate(&test, &setting);
  CHECK_RELATIVE(ducts_delivered(ducts, "living", true, 0), 24.1463, 5e-6);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed1", true, 0), 15.2714, 5e-6);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed2", true, 0), 9.9975, 5e-6);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed3", true, 0), 11.8292, 5e-6);
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  CHECK_RELATIVE(ducts->levels[0].supply.pressure_pa, 107.4737 * dense, 5e-6);
  ck_assert_str_eq(ducts->levels[0].supply.index_run, "s-bed2"); /* ratio 1.2497, the least */
}
END_TEST

/* Resistance of a branch as balanced, from what the result says of its run. */
static void check_target(const eb_ducts *ducts, const char *run, double flow, double target) {
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  CHECK_RELATIVE(ducts_state(ducts, run, 0)->total_pa / (flow * flow) / dense, target, 2e-6);
}

START_TEST(box_is_balanced_by_hand) {
  ducts_build_box(&test);
  const eb_ducts *ducts = ducts_design(&test);
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  ck_assert_str_eq(ducts->levels[0].supply.index_run, "s-bed2");
  ck_assert(ducts_terminal(ducts, "s-bed2")->index);
  CHECK_NEAR(ducts_terminal(ducts, "s-bed2")->opening, 20.0, 1e-9);
  check_target(ducts, "s-living", 14.0, 0.228571);
  check_target(ducts, "s-bed1", 10.0, 0.448000);
  check_target(ducts, "s-bed2", 8.0, 0.700000);
  check_target(ducts, "s-bed3", 6.0, 1.244444);
  CHECK_NEAR(ducts->levels[0].supply.speed, 0.682775, 6e-7);
  CHECK_RELATIVE(ducts->levels[0].supply.pressure_pa, 59.24 * dense, 1e-4);
  CHECK_RELATIVE(ducts_state(ducts, "s-bed1", 0)->total_pa, 44.80 * dense, 1e-6);
}
END_TEST

/* Square law throughout: at boost all flows stay in proportion and the speed follows. */
START_TEST(boost_of_a_square_law_is_in_proportion) {
  ducts_build_box(&test);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(ducts_delivered(ducts, "living", true, 1), 1.3 * 14.0, 1e-8);
  CHECK_RELATIVE(ducts->levels[1].supply.speed, 1.3 * 0.682775, 1e-6);
  ck_assert_uint_eq(ducts_found(&test, "below-required"), 0);
  ck_assert_uint_eq(ducts_found(&test, "level-raised"), 0);
}
END_TEST

/* ---- A whole path ----
 *
 * Own calculation, element by element with the fluids library at rho 1.204: louvre 5.418,
 * 160 mm duct 1.784 + 2.379, three bends of 0.1333 1.489, silencer 3.0, box 3.723 + 1.071,
 * 75 mm duct 9.004, three bends of 0.30 1.928, valve 17.361; 47.156 Pa in all. There silencer
 * and valve are taken at 1.2 kg/m3; here they go with density like the rest. */

static const ebi_fitting silencer = {.entry = {.name = "bench-silencer"},
                                     .kind = EBI_FITTING_DROP,
                                     .drop = 3.0,
                                     .at = 0.050,
                                     .exponent = 2.0,
                                     .length = 0.9,
                                     .reynolds_to = HUGE_VAL};
static const ebi_point bend_points[] = {{0.075, 0.30}, {0.150, 0.14}, {0.180, 0.12}};
static const ebi_fitting bend = {.entry = {.name = "bench-bend-90"},
                                 .kind = EBI_FITTING_BY_BORE,
                                 .points = bend_points,
                                 .n_points = 3,
                                 .reynolds_to = HUGE_VAL};
static const ebi_point two[] = {{0, 1e-3}, {10, 2e-3}};
static const ebi_valve path_valve = {
    .entry = {.name = "path-valve"}, .opening_unit = "turns", .loss = two, .n_loss = 2};

static void build_path(void) {
  static const char *const rooms[] = {"a", "b", "c", "d", "e", "f"};
  static const char *const runs[] = {"s-a", "s-b", "s-c", "s-d", "s-e", "s-f"};
  ebi_run *intake = ducts_run(&test, EB_OUTDOOR, "intake", "outdoors", "unit", 160.0, 3.0);
  ducts_fitting(&test, intake, &ducts_louvre);
  ducts_fitting(&test, intake, &bend);
  ducts_fitting(&test, intake, &bend);
  ebi_run *trunk = ducts_run(&test, EB_SUPPLY, "trunk", "unit", "box", 160.0, 4.9);
  ducts_fitting(&test, trunk, &silencer); /* takes the place of 0.9 m */
  ducts_fitting(&test, trunk, &bend);
  for (int i = 0; i < 6; i++) {
    ducts_room(&test, rooms[i], 50.0 / 6.0, 0.0, 1.1);
    ebi_run *run = ducts_run(&test, EB_SUPPLY, runs[i], "box", rooms[i], 75.0, 10.0);
    run->duct.roughness = 7e-6;
    for (int j = 0; j < 3; j++)
      ducts_fitting(&test, run, &bend);
    run->valve.type = &path_valve;
  }
}

START_TEST(path_sum_is_the_known_one) {
  build_path();
  const eb_ducts *ducts = ducts_design(&test);
  double dense = eb_air_density(20.0, 101325.0) / 1.2;
  double want = 47.156 + (17.361 + 3.0) * (dense - 1.0);
  CHECK_RELATIVE(ducts->levels[0].supply.pressure_pa, want, 1e-3);
  const eb_run_state *intake = ducts_state(ducts, "intake", 0);
  const eb_run_state *branch = ducts_state(ducts, "s-d", 0);
  CHECK_RELATIVE(intake->friction_pa, 1.7839, 1e-3);
  CHECK_RELATIVE(intake->fittings_pa, 5.418 + 0.99276, 1e-3);
  CHECK_RELATIVE(branch->friction_pa, 9.0035, 1e-3);
  CHECK_RELATIVE(branch->friction_pa_per_m, 0.90035, 1e-3);
  CHECK_RELATIVE(branch->valve_pa, 17.361 * dense, 1e-3);
  CHECK_RELATIVE(ducts_state(ducts, "trunk", 0)->friction_pa, 2.3785, 1e-3);
  double sum = intake->total_pa + branch->total_pa + ducts_state(ducts, "trunk", 0)->total_pa;
  CHECK_NEAR(sum, ducts->levels[0].supply.pressure_pa, 1e-7);
}
END_TEST

/* Box of the own model: 50 l/s in at 160 mm, six outlets of 75 mm, rho 1.2: 4.778 Pa. */
START_TEST(box_loses_what_its_model_says) {
  build_path();
  const eb_ducts *ducts = ducts_design(&test);
  double dense = eb_air_density(20.0, 101325.0) / 1.2, bends = 3.0 * 0.30;
  const eb_run_state *trunk = ducts_state(ducts, "trunk", 0);
  double dump =
      trunk->fittings_pa - 3.0 * dense - 0.4 / 3.0 * ducts_velocity_pressure(160.0, 50.0) * dense;
  double take_off = ducts_state(ducts, "s-a", 0)->fittings_pa -
                    bends * ducts_velocity_pressure(75.0, 50.0 / 6.0) * dense;
  CHECK_RELATIVE((dump + take_off) / dense, 4.778, 2e-4);
}
END_TEST

/* ---- A house with all there is ---- */

START_TEST(design_flows_are_delivered) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(ducts_delivered(ducts, "living", true, 0), 13.7, 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed1", true, 0), 10.9, 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed2", true, 0), 8.3, 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "kitchen", false, 0), 15.1, 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "bath", false, 0), 10.6, 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "wc", false, 0), 7.2, 1e-8);
  ck_assert(ducts->residual_flow_m3_s < 1e-9);
  ck_assert(ducts->residual_pressure_pa < 1e-4);
  ck_assert_int_gt(ducts->iterations, 0);
}
END_TEST

START_TEST(paths_add_up_to_the_rise) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  for (size_t l = 0; l < 2; l++) {
    double rise = ducts->levels[l].extract.pressure_pa;
    double common =
        ducts_state(ducts, "e-main", l)->total_pa + ducts_state(ducts, "outlet", l)->total_pa;
    double upper = ducts_state(ducts, "e-mid", l)->total_pa + common;
    CHECK_NEAR(ducts_state(ducts, "e-kitchen", l)->total_pa + common, rise, 1e-6);
    CHECK_NEAR(ducts_state(ducts, "e-bath", l)->total_pa + upper, rise, 1e-6);
    CHECK_NEAR(ducts_state(ducts, "e-wc", l)->total_pa + upper, rise, 1e-6);
  }
}
END_TEST

START_TEST(mass_balances_in_every_run) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  for (size_t l = 0; l < 2; l++) {
    double mid = ducts_state(ducts, "e-mid", l)->flow_ref_m3_s;
    double main = ducts_state(ducts, "e-main", l)->flow_ref_m3_s;
    CHECK_NEAR(mid,
               ducts_state(ducts, "e-bath", l)->flow_ref_m3_s +
                   ducts_state(ducts, "e-wc", l)->flow_ref_m3_s,
               1e-10);
    CHECK_NEAR(main, mid + ducts_state(ducts, "e-kitchen", l)->flow_ref_m3_s, 1e-10);
    CHECK_NEAR(main, ducts->levels[l].extract.flow_ref_m3_s, 1e-10);
    CHECK_RELATIVE(main, ducts->levels[l].supply.flow_ref_m3_s, 1e-8);
  }
}
END_TEST

START_TEST(operation_returns_the_design) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  double openings[6];
  ck_assert_uint_eq(ducts->n_terminals, 6);
  for (size_t t = 0; t < 6; t++)
    openings[t] = ducts->terminals[t].opening;
  for (size_t l = 0; l < 2; l++) {
    const eb_level_state *level = &ducts->levels[l];
    eb_setting setting = {level->name, openings, level->supply.signal, level->extract.signal};
    const eb_ducts *again = ducts_operate(&test, &setting);
    for (size_t r = 0; r < ducts->n_rooms; r++) {
      const eb_room_state *one = &level->rooms[r], *other = &again->levels[0].rooms[r];
      CHECK_NEAR(one->supply.delivered_m3_s, other->supply.delivered_m3_s, 1e-8);
      CHECK_NEAR(one->extract.delivered_m3_s, other->extract.delivered_m3_s, 1e-8);
    }
    CHECK_RELATIVE(again->levels[0].power_w, level->power_w, 1e-6);
    eb_ducts_free(again);
  }
}
END_TEST

/* Ducts do not go quite by the square, so at boost some room would fall short; then both
 * totals are raised until none does, and stay equal. */
START_TEST(no_room_falls_short_at_boost) {
  ducts_build_house(&test);
  for (size_t r = 0; r < test.house.n_rooms; r++) {
    test.supply[r][1].required_m3_s = test.supply[r][1].design_m3_s;
    test.extract[r][1].required_m3_s = test.extract[r][1].design_m3_s;
  }
  const eb_ducts *ducts = ducts_design(&test);
  bool met = false;
  for (size_t r = 0; r < ducts->n_rooms; r++) {
    const eb_delivered *supply = &ducts->levels[1].rooms[r].supply;
    const eb_delivered *extract = &ducts->levels[1].rooms[r].extract;
    ck_assert(supply->delivered_m3_s >= supply->required_m3_s * (1.0 - 1e-6));
    ck_assert(extract->delivered_m3_s >= extract->required_m3_s * (1.0 - 1e-6));
    met = met ||
          (supply->served && supply->delivered_m3_s < supply->required_m3_s * (1.0 + 1e-6)) ||
          (extract->served && extract->delivered_m3_s < extract->required_m3_s * (1.0 + 1e-6));
  }
  ck_assert_msg(met, "the totals are raised further than need be");
  ck_assert_uint_eq(ducts_found(&test, "below-required"), 0);
  ck_assert_uint_eq(ducts_found(&test, "level-raised"), 1);
  CHECK_RELATIVE(ducts->levels[1].supply.flow_ref_m3_s, ducts->levels[1].extract.flow_ref_m3_s,
                 1e-8);
}
END_TEST

START_TEST(parallel_tubes_share_the_flow) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_run_state *run = ducts_state(ducts, "s-living", 0);
  double area = 0.25 * 3.14159265358979323846 * 0.075 * 0.075;
  CHECK_RELATIVE(run->flow_m3_s, 13.7e-3, 1e-8);
  CHECK_RELATIVE(run->velocity_m_s, 13.7e-3 / (2.0 * area), 1e-8);
  ebi_air_state air = {eb_air_density(20.0, 101325.0), eb_air_viscosity(20.0)};
  CHECK_RELATIVE(run->reynolds, run->velocity_m_s * 0.075 * air.density / air.viscosity, 1e-9);
  double f = eb_friction_factor(run->reynolds, 9e-5 / 0.075, 64.0);
  double friction = f * 7.0 / 0.075 * 0.5 * air.density * run->velocity_m_s * run->velocity_m_s;
  CHECK_RELATIVE(run->friction_pa, friction, 1e-9);
  ck_assert_int_eq(ducts->runs[2].parallel, 2);
}
END_TEST

/* Power 10 + 0.5 q W of either fan at full speed, by the cube of speed and by density. */
START_TEST(power_is_of_both_fans_and_standby) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_level_state *level = &ducts->levels[0];
  double dense = eb_air_density(20.0, 101325.0) / 1.2, speed = level->supply.speed;
  double want = (10.0 + 0.5 * 32.9 / speed) * speed * speed * speed * dense;
  CHECK_RELATIVE(level->supply.fan_power_w, want, 1e-6);
  CHECK_RELATIVE(level->power_w, level->supply.fan_power_w + level->extract.fan_power_w + 4.0,
                 1e-12);
  CHECK_RELATIVE(level->specific_fan_power, level->power_w / (32.9e-3 * dense), 1e-6);
}
END_TEST

START_TEST(power_of_both_fans_is_counted_once) {
  ducts_build_house(&test);
  double apart = ducts_design(&test)->levels[0].power_w;
  test.unit.supply_fan.power_both = test.unit.extract_fan.power_both = true;
  double together = ducts_design(&test)->levels[0].power_w;
  CHECK_RELATIVE(together - 4.0, 0.5 * (apart - 4.0), 1e-12);
}
END_TEST

/* ---- Explanation and memory ---- */

START_TEST(every_number_has_its_step) {
  ducts_build_house(&test);
  eb_ledger *ledger = eb_ledger_new(test.context);
  const eb_ducts *ducts = NULL;
  ck_assert_int_eq(eb_ducts_design(test.context, &test.house, &test.rates, NULL, ledger, &ducts),
                   EB_OK);
  bool path = false, power = false;
  for (size_t i = 0; i < eb_ledger_count(ledger); i++) {
    eb_step step = eb_ledger_step(ledger, i);
    if (strcmp(step.what, "supply index path at normal") == 0) {
      CHECK_RELATIVE(step.value, ducts->levels[0].supply.pressure_pa, 1e-8);
      ck_assert_uint_eq(step.n_inputs, 3); /* branch, trunk, intake */
      path = true;
    }
    if (strcmp(step.what, "specific fan power at boost") == 0) {
      CHECK_RELATIVE(step.value, 1e-3 * ducts->levels[1].specific_fan_power, 1e-12);
      power = true;
    }
    for (size_t n = 0; n < step.n_inputs; n++)
      ck_assert_uint_lt(step.inputs[n], i);
  }
  ck_assert(path && power);
}
END_TEST

/* Each allocation fails once: the call says so and leaves its output alone, until it is good. */
START_TEST(memory_may_run_out_anywhere) {
  ducts_build_house(&test);
  ck_assert_int_gt(ducts_run_out_of_memory(&test, 1), 100);
}
END_TEST

/* The same with all a house can have around its ducts, some of the allocations. */
START_TEST(memory_may_run_out_in_a_furnished_house) {
  ducts_room(&test, "living", 9.1, 0.0, 1.2);
  ducts_room(&test, "kitchen", 0.0, 5.7, 1.2);
  ducts_room(&test, "bath", 0.0, 3.4, 1.2);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s", "unit", "living", 125.0, 3.0));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "e", "kitchen", "box", 100.0, 2.0));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "f", "bath", "box", 100.0, 3.0));
  ducts_run(&test, EB_EXTRACT, "main", "box", "unit", 125.0, 1.0);
  ducts_furnish(&test);
  ck_assert_int_gt(ducts_run_out_of_memory(&test, 7), 100);
}
END_TEST

/* ---- Suite ---- */

Suite *suite_ducts(void) {
  Suite *suite = suite_create("ducts");
  DUCTS_ADD(suite, "one box and four terminals, all after the square law", open_box_flows_by_hand,
            box_is_balanced_by_hand, boost_of_a_square_law_is_in_proportion);
  DUCTS_ADD(suite, "a whole path", path_sum_is_the_known_one, box_loses_what_its_model_says);
  DUCTS_ADD(suite, "a house with all there is", design_flows_are_delivered,
            paths_add_up_to_the_rise, mass_balances_in_every_run, operation_returns_the_design,
            no_room_falls_short_at_boost, parallel_tubes_share_the_flow,
            power_is_of_both_fans_and_standby, power_of_both_fans_is_counted_once);
  DUCTS_ADD(suite, "explanation and memory", every_number_has_its_step, memory_may_run_out_anywhere,
            memory_may_run_out_in_a_furnished_house);
  return suite;
}
