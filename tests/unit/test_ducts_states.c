/* test_ducts_states.c - limits of the fans, and the house with something changed */

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

/* ---- Limits ---- */

/* 420 - 0.035 q^2 at full speed: what is to spare follows from flow and rise. */
START_TEST(spare_is_what_full_speed_could_add) {
  ducts_build_house(&test);
  const eb_side_state *supply = &ducts_design(&test)->levels[0].supply;
  double full = (420.0 - 0.035 * 32.9 * 32.9) * dense();
  CHECK_RELATIVE(supply->spare_pa, full - supply->pressure_pa, 1e-6);
  ck_assert(!supply->limited);
}
END_TEST

START_TEST(most_is_what_full_speed_gives) {
  ducts_build_house(&test);
  const eb_ducts *ducts = ducts_design(&test);
  double openings[6];
  for (size_t t = 0; t < 6; t++)
    openings[t] = ducts->terminals[t].opening;
  eb_setting setting = {"normal", openings, 1.0, 1.0};
  const eb_ducts *full = ducts_operate(&test, &setting);
  CHECK_RELATIVE(ducts->levels[0].supply.most_m3_s, full->levels[0].supply.flow_m3_s, 1e-9);
  CHECK_RELATIVE(ducts->levels[0].extract.most_m3_s, full->levels[0].extract.flow_m3_s, 1e-9);
  CHECK_NEAR(full->levels[0].supply.spare_pa, 0.0, 1e-6);
  CHECK_RELATIVE(full->levels[0].supply.most_m3_s, full->levels[0].supply.flow_m3_s, 1e-9);
}
END_TEST

/* A curve that ends at 20 l/s where the ducts would take more: 20 it is, and no power is made
 * up for it. */
START_TEST(curve_that_ends_early_is_the_most) {
  ducts_build_house(&test);
  ducts_fan(&test, 420.0, 0.035, 20.0, 11);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_side_state *supply = &ducts->levels[0].supply;
  CHECK_RELATIVE(supply->flow_m3_s, 20e-3, 1e-3);
  ck_assert(supply->limited && supply->speed == 1.0);
  ck_assert(supply->fan_power_w == 0.0 && ducts->levels[0].power_w == 0.0);
  ck_assert(ducts->levels[0].specific_fan_power == 0.0);
  ck_assert_uint_eq(ducts_found(&test, "fan-beyond"), 4); /* two fans at two levels */
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "fan-beyond"), "ends at 20.0 l/s"));
  ck_assert_uint_eq(ducts_found(&test, "fan-power-unknown"), 0);
  ck_assert_uint_eq(ducts_found(&test, "fan-limit"), 4);
}
END_TEST

START_TEST(curve_that_begins_late_stays_level) {
  ducts_build_house(&test);
  ducts_fan(&test, 420.0, 0.035, 100.0, 26);
  for (size_t i = 0; i < 3; i++)
    test.points[i] = test.points[23 + i]; /* from 92 l/s on */
  test.curve.n_points = 3;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "fan-beyond"), "begins at"));
  CHECK_RELATIVE(ducts->levels[0].supply.flow_m3_s, 32.9e-3, 1e-8);
  double speed = ducts->levels[0].supply.speed;
  CHECK_RELATIVE(ducts->levels[0].supply.pressure_pa,
                 (420.0 - 0.035 * 92.0 * 92.0) * speed * speed * dense(), 1e-3);
}
END_TEST

/* A weak extract fan lets the house stand under pressure, which the supply fan must overcome:
 * neither has what the plan asks, or one has all of it. */
START_TEST(one_weak_fan_leaves_the_other_its_flow) {
  ducts_build_house(&test);
  ducts_leakage(&test, 26.0);
  static const ebi_fan_point weak[] = {{0.0, 17.0, 9.0}, {0.02, 11.0, 12.0}, {0.05, 0.0, 13.0}};
  ebi_fan_curve_data curve = {.speed = 1.0, .points = weak, .n_points = 3};
  test.unit.extract_fan = (ebi_fan_data){.curves = &curve, .n_curves = 1};
  const eb_ducts *ducts = ducts_design(&test);
  const eb_level_state *level = &ducts->levels[1];
  ck_assert(level->extract.limited && !level->supply.limited);
  CHECK_RELATIVE(level->supply.flow_m3_s, 1.41 * 32.9e-3, 1e-8);
  double over = 1e3 * (level->supply.flow_m3_s - level->extract.flow_m3_s);
  ck_assert(over > 5.0);
  CHECK_RELATIVE(ducts_pressure(ducts, "wc", 1), ducts_envelope_pa(over, 26.0), 1e-6);
}
END_TEST

START_TEST(two_weak_fans_are_both_told) {
  ducts_build_house(&test);
  ducts_leakage(&test, 26.0);
  ducts_fan(&test, 13.0, 0.002, 80.0, 26);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts->levels[1].extract.limited && ducts->levels[1].supply.limited);
  double over = 1e3 * (ducts->levels[1].supply.flow_m3_s - ducts->levels[1].extract.flow_m3_s);
  double want = copysign(ducts_envelope_pa(fabs(over), 26.0), over);
  CHECK_RELATIVE(ducts_pressure(ducts, "wc", 1), want, 1e-6);
}
END_TEST

START_TEST(fans_at_rest) {
  ducts_build_house(&test);
  ducts_furnish(&test);
  double openings[] = {9, 9, 9, 9, 9, 9};
  eb_setting setting = {"normal", openings, 0.0, 0.0};
  const eb_ducts *ducts = ducts_operate(&test, &setting);
  ck_assert(ducts->levels[0].supply.flow_m3_s < 1e-4);
  const eb_house_state *fan = ducts_house_state(ducts, 0, "bath extract-fan");
  ck_assert(fan->pressure_pa < -1.0);
  /* what the fan draws comes through the envelope and, the wrong way or not, the ducts */
  ck_assert(fan->supply_m3_s > 0.0 && fan->extract_m3_s < 0.0);
}
END_TEST

/* ---- Loaded filters ---- */

static const eb_ducts *with_mode(ebi_fan_mode mode) {
  ducts_end(&test);
  ducts_start(&test);
  ducts_build_house(&test);
  test.unit.filter_outdoor = (ebi_filter){.clean = ducts_given(9.0),
                                          .loaded = ducts_given(77.0),
                                          .at = ducts_given(0.030),
                                          .exponent = 1.3,
                                          .in_curve = true};
  test.unit.supply_fan.mode = test.unit.extract_fan.mode = mode;
  return ducts_design(&test);
}

START_TEST(loaded_filter_at_a_kept_speed) {
  const eb_ducts *ducts = with_mode(EBI_FAN_SPEED);
  const eb_level_state *level = &ducts->levels[0];
  ck_assert_uint_eq(level->n_states, 1);
  const eb_house_state *state = ducts_house_state(ducts, 0, "filters loaded");
  CHECK_RELATIVE(state->supply_speed, level->supply.speed, 1e-12);
  ck_assert(state->supply_m3_s < 0.95 * level->supply.flow_m3_s);
  CHECK_RELATIVE(state->extract_m3_s, level->extract.flow_m3_s, 1e-9);
  ck_assert_uint_eq(ducts_found(&test, "filters-unbalance"), 1);
  ck_assert_str_eq(state->room, "");
}
END_TEST

/* The fan must raise what the filter has gathered: 68 Pa at 30 l/s by the power 1.3. */
START_TEST(loaded_filter_at_a_kept_flow) {
  const eb_ducts *ducts = with_mode(EBI_FAN_FLOW);
  const eb_house_state *state = ducts_house_state(ducts, 0, "filters loaded");
  const eb_side_state *supply = &ducts->levels[0].supply;
  CHECK_RELATIVE(state->supply_m3_s, supply->flow_m3_s, 1e-9);
  double gathered = 68.0 * pow(32.9 / 30.0, 1.3) * pow(dense(), 0.3);
  double rise = (420.0 * pow(state->supply_speed, 2.0) - 0.035 * 32.9 * 32.9) * dense();
  CHECK_RELATIVE(rise, supply->pressure_pa + gathered, 1e-6);
  ck_assert_uint_eq(ducts_found(&test, "filters-unbalance"), 0);
}
END_TEST

START_TEST(loaded_filter_at_a_kept_pressure) {
  const eb_ducts *ducts = with_mode(EBI_FAN_PRESSURE);
  const eb_house_state *state = ducts_house_state(ducts, 1, "filters loaded");
  CHECK_RELATIVE(state->supply_m3_s, ducts->levels[1].supply.flow_m3_s, 1e-6);
  ck_assert(state->supply_speed > ducts->levels[1].supply.speed * 1.02);
}
END_TEST

START_TEST(kept_flow_ends_at_the_fastest) {
  ducts_build_house(&test);
  ducts_fan(&test, 90.0, 0.008, 80.0, 26);
  test.unit.filter_extract = (ebi_filter){.clean = ducts_given(9.0),
                                          .loaded = ducts_given(190.0),
                                          .at = ducts_given(0.03),
                                          .exponent = 1.0,
                                          .in_curve = true};
  test.unit.extract_fan.mode = EBI_FAN_FLOW;
  const eb_ducts *ducts = ducts_design(&test);
  const eb_house_state *state = ducts_house_state(ducts, 0, "filters loaded");
  CHECK_RELATIVE(state->extract_speed, 1.0, 1e-12);
  ck_assert(state->extract_m3_s < 0.9 * ducts->levels[0].extract.flow_m3_s);
  ck_assert(!ducts->levels[0].extract.limited);
}
END_TEST

/* ---- Hoods and fires ---- */

#define CFM 0.47194745 /* l/s */

/* Own calculation for a window alone, coefficient 0.6: 80 cfm through 28 in2 7.3 Pa, through 14
 * in2 29 Pa, 160 cfm through 28 in2 29 Pa; 487 cm2 for 160 cfm at 4 Pa. The unit keeps its
 * balanced flows, and nothing leaks beside the window. */
static const eb_ducts *stove_house(double inches, double cfm) {
  ducts_end(&test);
  ducts_start(&test);
  ducts_build_house(&test);
  ducts_leakage(&test, 0.0);
  test.unit.supply_fan.mode = test.unit.extract_fan.mode = EBI_FAN_FLOW;
  if (inches > 0.0)
    ducts_opening(&test, "living", 6.4516 * inches);
  ducts_appliance(&test, "open-flued", "living", 0.0)->fuel = "solid";
  ducts_appliance(&test, "extract-fan", "bath", CFM * cfm);
  return ducts_design(&test);
}

static double stove_pa(double inches, double cfm) {
  const eb_ducts *ducts = stove_house(inches, cfm);
  return -ducts_house_state(ducts, 0, "bath extract-fan")->pressure_pa / dense();
}

START_TEST(window_ajar_and_a_bath_fan) {
  CHECK_NEAR(stove_pa(28.0, 80.0), 7.3, 0.03);
  CHECK_NEAR(stove_pa(14.0, 80.0), 29.0, 0.2);
  CHECK_NEAR(stove_pa(28.0, 160.0), 29.0, 0.2);
  ck_assert_uint_eq(ducts_found(&test, "appliance-flow"), 1);
}
END_TEST

/* The number before "cm2" in a message. */
static double area_of(const char *message) {
  const char *end = strstr(message, " cm2");
  ck_assert_ptr_nonnull(end);
  while (end > message && end[-1] >= '0' && end[-1] <= '9')
    end--;
  double area = 0.0;
  for (; *end >= '0' && *end <= '9'; end++)
    area = 10.0 * area + (*end - '0');
  return area;
}

START_TEST(opening_that_a_fire_needs) {
  stove_house(0.0, 160.0);
  ck_assert_uint_eq(ducts_found(&test, "combustion-draught"), 1);
  CHECK_NEAR(area_of(ducts_message(&test, "combustion-draught")), 487.0, 2.0);
  stove_house(28.0, 160.0); /* beside the 180.6 cm2 that are open */
  CHECK_NEAR(area_of(ducts_message(&test, "combustion-draught")), 487.0 - 180.6, 2.0);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "combustion-draught"), "spillage test"));
  stove_house(77.0, 160.0);
  ck_assert_uint_eq(ducts_found(&test, "combustion-draught"), 0);
}
END_TEST

/* An uneven plan alone can draw a fire's room down. */
START_TEST(level_itself_can_be_too_much) {
  ducts_build_house(&test);
  ducts_leakage(&test, 29.0);
  test.extract[4][1].design_m3_s += 9.0e-3;
  ducts_appliance(&test, "open-flued", "bed1", 0.0)->fuel = "gas";
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert(ducts_pressure(ducts, "bed1", 1) < -4.0);
  ck_assert_uint_eq(ducts_found(&test, "combustion-draught"), 1);
  const char *message = ducts_message(&test, "combustion-draught");
  ck_assert_ptr_nonnull(strstr(message, "bed1 stands"));
  ck_assert_ptr_nonnull(strstr(message, "at boost, more"));
}
END_TEST

/* Straight: 150 Pa at rest, nothing left at 140 l/s. */
static const ebi_fan_point curve[] = {{0.0, 150.0, (double)NAN}, {0.140, 0.0, (double)NAN}};

static ebi_appliance *hood_house(double leakage) {
  ducts_build_house(&test);
  ducts_leakage(&test, leakage);
  test.unit.supply_fan.mode = test.unit.extract_fan.mode = EBI_FAN_FLOW;
  ebi_appliance *hood = ducts_appliance(&test, "cooker-hood", "kitchen", 0.0);
  hood->curve = curve;
  hood->n_curve = 2;
  hood->duct_drop = ducts_given(60.0);
  hood->duct_at = ducts_given(0.1);
  return hood;
}

/* Flow at which the hood's curve has left what its duct, 60 Pa at 100 l/s, and an envelope take:
 * by halving, away from the network. */
static double hood_flow(double leakage) {
  double low = 0.0, high = 140.0;
  for (int i = 0; i < 60; i++) {
    double flow = 0.5 * (low + high);
    double taken = 60.0 * pow(flow / 100.0, 2.0) * dense() + ducts_envelope_pa(flow, leakage);
    if (150.0 * (1.0 - flow / 140.0) * dense() > taken)
      low = flow;
    else
      high = flow;
  }
  return low;
}

START_TEST(hood_meets_a_tight_envelope) {
  hood_house(37.0);
  const eb_ducts *ducts = ducts_design(&test);
  const eb_house_state *state = ducts_house_state(ducts, 0, "kitchen cooker-hood");
  double flow = hood_flow(37.0);
  CHECK_RELATIVE(1e3 * state->appliances_m3_s, flow, 1e-7);
  CHECK_RELATIVE(-state->pressure_pa, ducts_envelope_pa(flow, 37.0), 1e-6);
  ck_assert(flow < 0.75 * hood_flow(1e6));
  ck_assert(!state->stalled);
  ck_assert_uint_eq(ducts_found(&test, "appliance-flow"), 0);
}
END_TEST

/* In a leaky house it moves more; beyond the end of its curve nothing. */
START_TEST(hood_in_a_leaky_house) {
  ebi_appliance *hood = hood_house(3000.0);
  hood->duct_drop.given = false;
  const eb_ducts *ducts = ducts_design(&test);
  double flow = 1e3 * ducts_house_state(ducts, 0, "kitchen cooker-hood")->appliances_m3_s;
  ck_assert(flow > 139.0 && flow < 140.0);
}
END_TEST

/* 600 cfm against a hood of 150 Pa at most: its flap stays shut. */
START_TEST(hood_is_stalled_by_a_stronger_one) {
  hood_house(120.0);
  ducts_appliance(&test, "other", "wc", 600.0 * CFM);
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts->levels[0].n_states, 3);
  const eb_house_state *alone = ducts_house_state(ducts, 0, "kitchen cooker-hood");
  const eb_house_state *strong = ducts_house_state(ducts, 0, "wc other");
  const eb_house_state *all = ducts_house_state(ducts, 0, "all appliances");
  ck_assert(!alone->stalled && !strong->stalled && all->stalled);
  ck_assert(strong->pressure_pa < -150.0);
  CHECK_RELATIVE(all->pressure_pa, strong->pressure_pa, 1e-9);
  CHECK_RELATIVE(all->appliances_m3_s, 600e-3 * CFM, 1e-9);
  ck_assert_uint_eq(ducts_found(&test, "appliance-stalled"), 2); /* at both levels */
}
END_TEST

/* Fans that keep their speed feel the house: more comes in, less goes out. */
START_TEST(fans_feel_the_hood) {
  hood_house(20.0);
  test.unit.supply_fan.mode = test.unit.extract_fan.mode = EBI_FAN_SPEED;
  const eb_ducts *ducts = ducts_design(&test);
  const eb_house_state *state = ducts_house_state(ducts, 0, "kitchen cooker-hood");
  ck_assert(state->supply_m3_s > ducts->levels[0].supply.flow_m3_s * 1.02);
  ck_assert(state->extract_m3_s < ducts->levels[0].extract.flow_m3_s * 0.98);
  double net = state->extract_m3_s + state->appliances_m3_s - state->supply_m3_s;
  CHECK_RELATIVE(-state->pressure_pa, ducts_envelope_pa(1e3 * net, 20.0), 1e-6);
}
END_TEST

/* A hood in a room with a closed door draws that room down first. */
START_TEST(lowest_room_is_named) {
  ebi_appliance *hood = hood_house(37.0);
  ducts_door(&test, "kitchen", "living", 760.0, 10.0);
  ducts_door(&test, "wc", "living", 760.0, 10.0);
  (void)hood;
  const eb_ducts *ducts = ducts_design(&test);
  const eb_house_state *state = ducts_house_state(ducts, 0, "kitchen cooker-hood");
  ck_assert_str_eq(state->room, "kitchen");
  CHECK_NEAR(state->pressure_pa, ducts_state_pressure(ducts, state, "kitchen"), 0.0);
  ck_assert(ducts_state_pressure(ducts, state, "living") > state->pressure_pa + 10.0);
}
END_TEST

/* Where nothing is known of the envelope nothing is said of hoods. */
START_TEST(no_envelope_no_hoods) {
  hood_house(37.0);
  test.house.n50.given = false;
  const eb_ducts *ducts = ducts_design(&test);
  ck_assert_uint_eq(ducts->levels[0].n_states, 0);
  ck_assert_uint_eq(ducts_found(&test, "house-pressure"), 1);
}
END_TEST

/* ---- Suite ---- */

Suite *suite_ducts_states(void) {
  Suite *suite = suite_create("ducts: states");
  DUCTS_ADD(suite, "limits", spare_is_what_full_speed_could_add, most_is_what_full_speed_gives,
            curve_that_ends_early_is_the_most, curve_that_begins_late_stays_level,
            one_weak_fan_leaves_the_other_its_flow, two_weak_fans_are_both_told, fans_at_rest);
  DUCTS_ADD(suite, "loaded filters", loaded_filter_at_a_kept_speed, loaded_filter_at_a_kept_flow,
            loaded_filter_at_a_kept_pressure, kept_flow_ends_at_the_fastest);
  DUCTS_ADD(suite, "hoods and fires", window_ajar_and_a_bath_fan, opening_that_a_fire_needs,
            level_itself_can_be_too_much, hood_meets_a_tight_envelope, hood_in_a_leaky_house,
            hood_is_stalled_by_a_stronger_one, fans_feel_the_hood, lowest_room_is_named,
            no_envelope_no_hoods);
  return suite;
}
