/* test_ducts_rooms.c - rooms that float between doors, envelope and ducts */

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

static double dense(void) {
  return eb_air_density(20.0, 101325.0) / 1.2;
}

/* ---- One side alone against the envelope ----
 *
 * Own calculation: 40 l/s into an envelope of 111 l/s at 50 Pa, exponent 0.65: 10.4 Pa; 4 l/s:
 * 0.30 Pa; 4 Pa at 21.5 l/s. */

static void build_extract(double flow) {
  ducts_room(&test, "kitchen", 0.0, flow, 1.1);
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "e", "kitchen", "unit", 160.0, 2.0));
}

static void check_one_side(double flow, double want, double slack) {
  ducts_end(&test);
  ducts_start(&test);
  build_extract(flow);
  ducts_leakage(&test, 111.0);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts->house_known);
  CHECK_NEAR(-ducts_pressure(ducts, "kitchen", 0), want, slack);
  CHECK_RELATIVE(-ducts_pressure(ducts, "kitchen", 0), ducts_envelope_pa(flow, 111.0), 1e-7);
  CHECK_RELATIVE(ducts_delivered(ducts, "kitchen", false, 0), flow, 1e-8);
  CHECK_NEAR(ducts->levels[0].house_pressure_pa, ducts_pressure(ducts, "kitchen", 0), 1e-12);
}

START_TEST(extract_alone_draws_the_house_down) {
  check_one_side(40.0, 10.4, 0.05);
  check_one_side(4.0, 0.30, 0.005);
  check_one_side(21.5, 4.0, 0.02);
}
END_TEST

START_TEST(supply_alone_blows_it_up) {
  ducts_room(&test, "bed", 40.0, 0.0, 1.1);
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s", "unit", "bed", 160.0, 2.0));
  ducts_leakage(&test, 111.0);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(ducts_pressure(ducts, "bed", 0), ducts_envelope_pa(40.0, 111.0), 1e-7);
  double path = ducts_state(ducts, "s", 0)->total_pa;
  CHECK_NEAR(path + ducts_pressure(ducts, "bed", 0), ducts->levels[0].supply.pressure_pa, 1e-7);
}
END_TEST

/* A permeability with an area is the same as air changes with a volume. */
START_TEST(leakage_by_area_is_the_same) {
  build_extract(23.0);
  test.house.q50 = ducts_given(111e-3 / 401.0);
  test.house.envelope_area = ducts_given(401.0);
  CHECK_RELATIVE(-ducts_pressure(ducts_design(&test), "kitchen", 0), ducts_envelope_pa(23.0, 111.0),
                 1e-7);
}
END_TEST

/* ---- Doors ---- */

/* Supply to a bedroom, extract from a bath that is open to the house, a hall between. */
static void build_door(double flow) {
  ducts_room(&test, "bed", flow, 0.0, 1.3);
  ducts_room(&test, "bath", 0.0, flow, 1.3);
  ducts_room(&test, "hall", 0.0, 0.0, 1.3);
  static const char *const uses[] = {"hall"};
  test.rooms[2].uses = uses;
  test.rooms[2].n_uses = 1;
  ducts_with_valve(ducts_run(&test, EB_SUPPLY, "s", "unit", "bed", 125.0, 3.0));
  ducts_with_valve(ducts_run(&test, EB_EXTRACT, "e", "bath", "unit", 125.0, 2.0));
  ducts_leakage(&test, 37.0);
}

/* Own calculation: 7600 mm2, coefficient 0.6, 12 l/s: 4.2 Pa. All else is open, and balanced. */
START_TEST(door_takes_what_its_gap_says) {
  build_door(12.0);
  ducts_door(&test, "bed", "hall", 760.0, 10.0);
  const eb_ducts *ducts = ducts_design(&test);
  double want = 0.5 * 1.2 * pow(0.012 / (0.6 * 0.0076), 2.0);
  CHECK_NEAR(want, 4.2, 0.06);
  CHECK_RELATIVE(ducts_pressure(ducts, "bed", 0), want * dense(), 1e-7);
  CHECK_NEAR(ducts_pressure(ducts, "hall", 0), 0.0, 1e-6);
  CHECK_NEAR(ducts_pressure(ducts, "bath", 0), 0.0, 1e-6);
  CHECK_RELATIVE(ducts_delivered(ducts, "bed", true, 0), 12.0, 1e-8);
  double path = ducts_state(ducts, "s", 0)->total_pa;
  CHECK_NEAR(path + ducts_pressure(ducts, "bed", 0), ducts->levels[0].supply.pressure_pa, 1e-7);
}
END_TEST

START_TEST(undercut_that_is_not_given_is_said) {
  build_door(12.0);
  ducts_door(&test, "bed", "hall", 760.0, 0.0);
  double plain = ducts_pressure(ducts_design(&test), "bed", 0);
  ck_assert_uint_eq(ducts_found(&test, "undercut-default"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "undercut-default"), "10 mm"));
  CHECK_RELATIVE(plain, 0.6 * pow(0.012 / (0.6 * 0.0076), 2.0) * dense(), 1e-7);
  ebi_rule_set rules = {.entry = {.name = "bench"},
                        .transfer = {.given = true,
                                     .undercut_laid = ducts_given(0.020),
                                     .source = {"bench rules 5", "invented"}}};
  test.house.rules = &rules;
  CHECK_RELATIVE(ducts_pressure(ducts_design(&test), "bed", 0), 0.25 * plain, 1e-6);
}
END_TEST

/* A way without a width is open: its rooms are one. */
START_TEST(open_way_is_no_door) {
  build_door(12.0);
  ducts_door(&test, "bed", "hall", 0.0, 0.0);
  CHECK_NEAR(ducts_pressure(ducts_design(&test), "bed", 0), 0.0, 1e-6);
}
END_TEST

/* Without a hall the room with the most doors is the one open to the rest, else the first. */
START_TEST(most_doors_stand_for_a_hall) {
  build_door(9.0);
  test.rooms[2].n_uses = 0;
  ducts_door(&test, "bath", "bed", 710.0, 12.0);
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_NEAR(ducts_pressure(ducts, "bed", 0), 0.0, 1e-6); /* the first */
  CHECK_RELATIVE(ducts_pressure(ducts, "bath", 0),
                 -0.6 * pow(0.009 / (0.6 * 0.710 * 0.012), 2.0) * dense(), 1e-6);
  ducts_door(&test, "bath", "hall", 710.0, 12.0);
  ducts = ducts_design(&test);
  CHECK_NEAR(ducts_pressure(ducts, "bath", 0), 0.0, 1e-6); /* has two */
  ck_assert(ducts_pressure(ducts, "bed", 0) > 1.0);
}
END_TEST

/* Each room leaks its part: with a door shut tight a room's own envelope carries its flow. */
START_TEST(leakage_is_shared_out_by_volume) {
  build_door(6.0);
  test.rooms[0].volume = ducts_given(54.25); /* a quarter of the 217 m3 */
  ducts_door(&test, "bed", "hall", 700.0, 0.0)->undercut = ducts_given(0.0);
  ducts_fan(&test, 900.0, 0.030, 80.0, 41);
  const eb_ducts *ducts = ducts_design(&test);
  double bed = ducts_pressure(ducts, "bed", 0);
  double gap = 0.6 * 5e-4 * sqrt((bed - ducts_pressure(ducts, "hall", 0)) / (0.6 * dense()));
  CHECK_RELATIVE(bed, ducts_envelope_pa(6.0 - 1e3 * gap, 0.25 * 37.0), 1e-6);
  CHECK_RELATIVE(-ducts_pressure(ducts, "hall", 0), ducts_envelope_pa(6.0 - 1e3 * gap, 0.75 * 37.0),
                 1e-6);
}
END_TEST

/* ---- What holds whatever the house ---- */

static void close_all_doors(void) {
  static const char *const rooms[] = {"living", "bed1", "bed2", "bath", "wc"};
  for (int i = 0; i < 5; i++)
    ducts_door(&test, rooms[i], "kitchen", 762.0, 7.0 + i);
}

static void check_returns(const eb_ducts *ducts) {
  double openings[6];
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
      CHECK_NEAR(one->pressure_pa, other->pressure_pa, 1e-5);
    }
    eb_ducts_free(again);
  }
}

START_TEST(operation_returns_the_design_of_closed_rooms) {
  ducts_build_house(&test);
  close_all_doors();
  ducts_leakage(&test, 43.0);
  test.house.duct_leakage_class = 'A';
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(ducts_delivered(ducts, "living", true, 0), 13.7, 1e-8);
  CHECK_RELATIVE(ducts_delivered(ducts, "wc", false, 0), 7.2, 1e-8);
  ck_assert(ducts_pressure(ducts, "living", 0) > 1.0 && ducts_pressure(ducts, "bath", 0) < -1.0);
  ck_assert(ducts->residual_flow_m3_s < 1e-9 && ducts->residual_pressure_pa < 1e-4);
  check_returns(ducts);
}
END_TEST

START_TEST(paths_add_up_with_the_rooms) {
  ducts_build_house(&test);
  close_all_doors();
  ducts_leakage(&test, 43.0);
  const eb_ducts *ducts = ducts_design(&test);
  for (size_t l = 0; l < 2; l++) {
    double supply = ducts_state(ducts, "intake", l)->total_pa +
                    ducts_state(ducts, "trunk", l)->total_pa +
                    ducts_state(ducts, "s-bed2", l)->total_pa;
    double extract =
        ducts_state(ducts, "e-bath", l)->total_pa + ducts_state(ducts, "e-mid", l)->total_pa +
        ducts_state(ducts, "e-main", l)->total_pa + ducts_state(ducts, "outlet", l)->total_pa;
    CHECK_NEAR(supply + ducts_pressure(ducts, "bed2", l), ducts->levels[l].supply.pressure_pa,
               1e-6);
    CHECK_NEAR(extract - ducts_pressure(ducts, "bath", l), ducts->levels[l].extract.pressure_pa,
               1e-6);
  }
}
END_TEST

/* A house that leaks without end is one whose rooms stand at 0 Pa. */
START_TEST(huge_leakage_is_none_known) {
  ducts_build_house(&test);
  const eb_ducts *closed = ducts_design(&test);
  ck_assert(!closed->house_known);
  ck_assert_uint_eq(ducts_found(&test, "house-pressure"), 1);
  CHECK_NEAR(ducts_pressure(closed, "living", 0), 0.0, 0.0);
  ducts_leakage(&test, 1e7);
  const eb_ducts *open = ducts_design(&test);
  ck_assert(open->house_known);
  ck_assert_uint_eq(ducts_found(&test, "house-pressure"), 1);
  for (size_t t = 0; t < 6; t++)
    CHECK_NEAR(open->terminals[t].opening, closed->terminals[t].opening, 1e-5);
  CHECK_RELATIVE(open->levels[1].power_w, closed->levels[1].power_w, 1e-6);
}
END_TEST

/* Balanced, a house without a leak stands at its design; unbalanced, its fans come to flows that
 * are equal, since none can go elsewhere. */
START_TEST(house_without_a_leak) {
  ducts_build_house(&test);
  ducts_leakage(&test, 0.0);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts_found(&test, "envelope-tight"), 1);
  CHECK_RELATIVE(ducts_delivered(ducts, "living", true, 0), 13.7, 1e-8);
  test.extract[3][0].design_m3_s *= 2.0;
  test.extract[3][1].design_m3_s *= 2.0;
  ducts = ducts_design(&test);
  const eb_level_state *level = &ducts->levels[1];
  ck_assert(level->extract.limited);
  CHECK_RELATIVE(level->supply.flow_ref_m3_s, level->extract.flow_ref_m3_s, 0.01);
  ck_assert_uint_ge(ducts_found(&test, "fan-limit"), 1);
  ck_assert(isfinite(ducts_pressure(ducts, "living", 1)));
}
END_TEST

START_TEST(uneven_plan_shows_as_pressure) {
  ducts_build_house(&test);
  ducts_leakage(&test, 29.0);
  test.extract[4][0].design_m3_s += 2.3e-3;
  const eb_ducts *ducts = ducts_design(&test);
  CHECK_RELATIVE(-ducts_pressure(ducts, "wc", 0), ducts_envelope_pa(2.3, 29.0), 1e-6);
  CHECK_RELATIVE(ducts_delivered(ducts, "bath", false, 0), 12.9, 1e-8);
}
END_TEST

/* ---- Index ---- */

START_TEST(explanation_names_the_next_run) {
  ducts_build_house(&test);
  eb_ledger *ledger = eb_ledger_new(test.context);
  const eb_ducts *ducts = NULL;
  ck_assert_int_eq(eb_ducts_design(test.context, &test.house, &test.rates, NULL, ledger, &ducts),
                   EB_OK);
  bool found = false;
  for (size_t i = 0; i < eb_ledger_count(ledger); i++) {
    eb_step step = eb_ledger_step(ledger, i);
    if (strstr(step.what, "what supply index run") == NULL)
      continue;
    ck_assert_ptr_nonnull(strstr(step.what, ducts->levels[0].supply.index_run));
    ck_assert_ptr_nonnull(strstr(step.what, "above the next s-"));
    ck_assert(step.value > 0.0);
    found = true;
  }
  ck_assert(found);
}
END_TEST

/* ---- Suite ---- */

Suite *suite_ducts_rooms(void) {
  Suite *suite = suite_create("ducts: rooms");
  DUCTS_ADD(suite, "one side", extract_alone_draws_the_house_down, supply_alone_blows_it_up,
            leakage_by_area_is_the_same);
  DUCTS_ADD(suite, "doors", door_takes_what_its_gap_says, undercut_that_is_not_given_is_said,
            open_way_is_no_door, most_doors_stand_for_a_hall, leakage_is_shared_out_by_volume);
  DUCTS_ADD(suite, "whatever the house", operation_returns_the_design_of_closed_rooms,
            paths_add_up_with_the_rooms, huge_leakage_is_none_known, house_without_a_leak,
            uneven_plan_shows_as_pressure);
  DUCTS_ADD(suite, "index", explanation_names_the_next_run);
  return suite;
}
