/* test_rule_terms.c - each kind of term, condition and section of a rule file
 *
 * The rules are invented; expected numbers are own calculations. */

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "rates_house.h"
#include "suites.h"

#define NEAR(got, want, allowed) ck_assert_double_eq_tol(got, want, allowed)

static test_house t;
static char folder[32];
static char path[64];

static void setup(void) {
  strcpy(folder, "/tmp/eb-terms-XXXXXX");
  ck_assert_ptr_nonnull(mkdtemp(folder));
  snprintf(path, sizeof path, "%s/rules.yaml", folder);
  test_house_start(&t, NULL);
}

static void teardown(void) {
  test_house_end(&t);
  unlink(path);
  rmdir(folder);
}

/* A rule file of these uses and what `more` says; NULL where it is wrong. */
static const ebi_rule_set *rules_with(const char *more) {
  FILE *file = fopen(path, "w");
  ck_assert_ptr_nonnull(file);
  fprintf(file,
          "table: rules\ntitle: t\nsource: s\nknown: invented\n"
          "uses:\n"
          "  living: {habitable: yes, supply: yes}\n"
          "  bedroom: {habitable: yes, supply: yes}\n"
          "  kitchen: {wet: yes, extract: yes}\n"
          "  bath: {wet: yes, extract: {boost: 9 l/s}}\n"
          "  wc: {wet: yes, extract: yes}\n"
          "supply_split: {by: volume}\n%s\n",
          more);
  ck_assert_int_eq(fclose(file), 0);
  return test_rules(t.context, path);
}

static void set_rules(const char *more) {
  t.house.rules = rules_with(more);
  if (!t.house.rules) {
    size_t count;
    const eb_diagnostic *all = eb_diagnostics(t.context, &count);
    ck_abort_msg("%d:%d %s\n%s", all[0].line, all[0].column, all[0].message, more);
  }
}

static void rooms(void) {
  test_room(&t, "living", "living", 23.0, 57.5);
  test_room(&t, "bed-1", "bedroom", 13.0, 31.2)->sleepers = test_given(2.0);
  test_room(&t, "bed-2", "bedroom", 9.0, 21.6)->sleepers = test_given(1.0);
  test_room(&t, "kitchen", "kitchen", 12.0, 28.8);
  test_room(&t, "bath", "bath+wc", 6.0, 14.4);
  test_room(&t, "wc", "wc", 1.7, 4.1);
  t.rooms[1].storey = t.rooms[2].storey = t.rooms[4].storey = 1;
  t.house.floor_area = test_given(71.0);
  t.house.bedrooms = test_given(2.0);
}

/* ---- Terms of the dwelling ---- */

typedef struct term_row {
  const char *term;
  double l_s; /* of the house above with 4 people, 170 m3, n50 3.1/h, 244 m2 of envelope */
} term_row;

static const term_row terms[] = {
    {"{per: floor_area, of: [bedroom], rate: 0.5 l/(s.m2)}", 11.0},
    {"{per: volume, of: [living, kitchen], rate: 0.3 1/h}", 86.3 * 0.3 / 3.6},
    {"{per: floor_area, of: [wc], without: [bath], rate: 10 l/(s.m2)}", 17.0},
    {"{per: rooms, of: [wc], rate: 7 l/s}", 14.0},
    {"{per: all_sleepers, rate: 6 l/(s.person)}", 18.0},
    {"{per: all_sleepers, of: [living, bedroom], rate: 6 l/(s.person)}", 18.0},
    {"{per: storeys, rate: 5 l/s}", 10.0},
    {"{per: habitable_rooms, rate: 4 l/s}", 12.0},
    {"{per: envelope_area, rate: 0.05 l/(s.m2)}", 12.2},
    {"{per: leakage_flow, rate: 0.1}", 0.1 * 3.1 * 170.0 / 3.6},
    {"{per: air_changes_50, every: 2 ach, rate: 7 l/s}", 10.85},
    {"{per: permeability, every: 1 m3/(h.m2), rate: 4 l/s}", 4.0 * 3.1 * 170.0 / 244.0},
    {"{per: storeys, rate: 9 l/s, power: 0.5}", 9.0 * 1.41421356237},
    {"{per: floor_area, every: 10 m2, rate: 3 l/s, counted: {beyond: 50 m2, step: 10 m2}}", 9.0},
    {"{per: floor_area, every: 10 m2, rate: 3 l/s, counted: {at_most: 64 m2}}", 19.2},
    {"{per: bedrooms, rate: 5 l/s, counted: {at_least: 3}}", 15.0},
    {"{per: bedrooms, rate: 5 l/s, valid: {at_least: 1, below: 2.1}}", 10.0},
    {"{by: floor_area, polynomial: {in: m2, unit: m3/h, coefficients: [11, 1.15, -0.002]}}",
     (11.0 + 81.65 - 10.082) / 3.6},
    {"{by: bedrooms, polynomial: {unit: l/s, coefficients: [3, 0, 2]}}", 11.0},
    {"{table: {across: {by: bedrooms, up_to: [1, 3, more]}, unit: cfm, rows: [45, 60, 75]}}",
     60 * 0.47194745},
    {"{table: {down: {by: floor_area, up_to: [under 71 m2, 90 m2]}, across: {by: bedrooms, up_to: "
     "[1, more]}, unit: l/s, rows: [[11, 12], [13, 17]]}}",
     17.0},
    {"{table: {down: {by: floor_area, up_to: [71 m2, more]}, unit: l/s, rows: [19, 23]}}", 19.0},
    {"{smallest: [23 l/s, 21 l/s, {flow: 3 l/s, when: {bedrooms: 7}}]}", 21.0},
    {"{first: [{flow: 3 l/s, when: {bedrooms: 7}}, 22 l/s, 29 l/s]}", 22.0},
    {"{sum_of_rooms: {level: boost, side: extract, of: [bath]}}", 9.0},
    {"{largest: [{id: a, flow: 17 l/s}, {same_as: a, times: 1.5}]}", 25.5},
    {"{flow: 10 l/s, times: [2, {per: bedrooms}, {ratio: [3 l/s, 4 l/s]}]}", 30.0},
    {"{flow: 10 l/s, times: {number: 3, when: {bedrooms: 9}}}", 10.0},
    {"{flow: 21.4 l/s, less: {per: bedrooms, rate: 3.2 l/s}}", 15.0},
    {"{flow: 21.4 l/s, less: 30 l/s}", 0.0},
    {"{flow: 21.4 l/s, less: 30 l/s, at_least: 2 l/s}", 2.0},
    {"{flow: 21.5 l/s, round_to: 1 l/s}", 22.0},
    {"{flow: 22.4 l/s, round_to: 5 l/s, less: 0.1 l/s}", 20.0},
    {"{flow: 22.4 l/s, at_most: {per: bedrooms, rate: 8.5 l/s}}", 17.0},
    {"{flow: 12.4 l/s, at_least: {per: bedrooms, rate: 8.5 l/s}}", 17.0},
    {"{per: people, rate: 4 l/(s.person)}", 16.0}};

static void measured_house(void) {
  rooms();
  t.house.people = test_given(4.0);
  t.house.volume = test_given(170.0);
  t.house.n50 = test_given(3.1);
  t.house.envelope_area = test_given(244.0);
}

START_TEST(terms_of_the_dwelling) {
  char more[1024];
  snprintf(more, sizeof more, "whole_dwelling: %s\n", terms[_i].term);
  measured_house();
  set_rules(more);
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, terms[_i].l_s, 1e-6);
}
END_TEST

/* ---- Conditions ---- */

typedef struct condition_row {
  const char *when;
  bool holds; /* in the house above */
} condition_row;

static const condition_row conditions[] = {
    {"{bedrooms: 2}", true},
    {"{bedrooms: {above: 2}}", false},
    {"{bedrooms: {at_least: 2, below: 3}}", true},
    {"{floor_area: {below: 71 m2}}", false},
    {"{rooms: {of: [wc], at_least: 2}}", true},
    {"{rooms: {of: [wc], without: [bath], at_least: 2}}", false},
    {"{known: people}", true},
    {"{known: [people, weather_factor], weather_factor: {at_least: 0}}", false},
    {"{known: all_sleepers}", true},
    {"{known: exposed_facades}", false},
    {"{written_in_feet: no, storeys: {at_least: 2}}", true},
    {"{appliance: {kind: cooker, fuel: [gas, solid]}}", true},
    {"{appliance: {kind: cooker, fuel: electric}}", false},
    {"{no_appliance: {kind: cooker-hood}}", true}};

START_TEST(conditions_of_the_dwelling) {
  static const ebi_appliance cooker = {
      .kind = "cooker", .fuel = "gas", .burner = "", .room = "kitchen"};
  char more[1024];
  snprintf(more, sizeof more,
           "whole_dwelling: {first: [{flow: 23 l/s, when: %s}, {flow: 11 l/s}]}\n",
           conditions[_i].when);
  measured_house();
  t.house.appliances = &cooker;
  t.house.n_appliances = 1;
  set_rules(more);
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, conditions[_i].holds ? 23.0 : 11.0, 1e-9);
}
END_TEST

/* What each room's intermittent fan stands at, by conditions of the room. */
START_TEST(conditions_of_a_room) {
  rooms();
  set_rules(
      "whole_dwelling: 20 l/s\n"
      "intermittent:\n"
      "  bedroom: {first: [{flow: 8 l/s, when: {main_of_its_use: yes}}, {flow: 4 l/s}]}\n"
      "  kitchen: {first: [{flow: 1 l/s, when: {appliance: {kind: cooker}}}, {flow: 2 l/s}]}\n"
      "  bath: {first: [{flow: 3 l/s, when: {outside_wall: no, openable_window: no}}, {flow: "
      "5 l/s}]}\n"
      "  wc: {first: [{flow: 6 l/s, when: {without_use: [bath], storey: 0}}]}\n");
  t.rooms[4].openable_window = t.rooms[4].outside_wall = false;
  const eb_rates *rates = test_plan(&t, NULL);
  static const double want[] = {0, 8, 4, 2, 3, 6};
  for (size_t i = 0; i < 6; i++)
    NEAR(rates->rooms[i].intermittent_m3_s * 1e3, want[i], 1e-12);
  t.rooms[2].sleepers = test_given(3.0);
  rates = test_plan(&t, NULL);
  NEAR(rates->rooms[1].intermittent_m3_s * 1e3, 4.0, 1e-12);
  NEAR(rates->rooms[2].intermittent_m3_s * 1e3, 8.0, 1e-12);
}
END_TEST

/* ---- People ---- */

START_TEST(people_by_the_first_way_that_is_known) {
  rooms();
  set_rules("people: [{per: all_sleepers, when: {bedrooms: 3}}, {sum: [{per: bedrooms}, 2]}]\n"
            "whole_dwelling: {per: people, rate: 5 l/(s.person)}\n");
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, 20.0, 1e-9);
  ck_assert_uint_eq(test_found(&t, "people-by-rule"), 1);
  t.house.bedrooms = test_given(3.0);
  NEAR(test_plan(&t, NULL)->people, 3.0, 1e-12);
  t.house.people = test_given(2.0);
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, 10.0, 1e-9);
  t.house.people.given = t.house.bedrooms.given = false;
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_rates_plan(t.context, &t.house, NULL, NULL, &rates), EB_E_INPUT);
  ck_assert_uint_eq(test_found(&t, "input-missing"), 1);
}
END_TEST

START_TEST(people_by_floor_area) {
  rooms();
  set_rules("people: {per: floor_area, every: 35 m2, counted: {step: 35 m2}}\n"
            "whole_dwelling: {per: people, rate: 5 l/(s.person)}\n");
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, 15.0, 1e-9);
}
END_TEST

/* What is not given is an error that names the key. */
START_TEST(missing_inputs_name_their_key) {
  static const char *const rows[][2] = {{"weather_factor, rate: 1 l/s", "\"weather_factor: \""},
                                        {"exposed_facades, rate: 1 l/s", "\"exposed_facades: \""},
                                        {"envelope_area, rate: 1 l/(s.m2)", "\"envelope_area: \""},
                                        {"leakage_flow, rate: 1", "\"leakage: \""},
                                        {"people, rate: 1 l/(s.person)", "\"people: \""},
                                        {"bedrooms, rate: 1 l/s", "\"bedrooms: \""},
                                        {"all_sleepers, rate: 1 l/(s.person)", "\"sleepers:\""}};
  char more[256];
  snprintf(more, sizeof more, "whole_dwelling: {per: %s}\n", rows[_i][0]);
  test_room(&t, "living", "living", 23.0, 57.5);
  test_room(&t, "kitchen", "kitchen", 12.0, 28.8);
  set_rules(more);
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_rates_plan(t.context, &t.house, NULL, NULL, &rates), EB_E_INPUT);
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(t.context, &count);
  ck_assert_uint_eq(count, 1);
  ck_assert_msg(strstr(all[0].message, rows[_i][1]) != NULL, "%s", all[0].message);
}
END_TEST

/* ---- Splits and levels ---- */

START_TEST(extract_splits) {
  static const char *const words[] = {"volume", "area", "equal", "high_rates"};
  static const double kitchen[] = {28.8 / 47.3, 12.0 / 19.7, 1.0 / 3.0, 0.0};
  char more[256];
  snprintf(more, sizeof more, "whole_dwelling: 21 l/s\nextract_split: {by: %s}\n", words[_i]);
  rooms();
  set_rules(more);
  NEAR(test_extract(test_plan(&t, NULL), "kitchen", 0), 21.0 * kitchen[_i], 1e-9);
}
END_TEST

START_TEST(boost_reaches_factor_and_flow_of_the_rules) {
  rooms();
  set_rules("whole_dwelling: 20 l/s\nextract_split: {by: equal}\n"
            "levels: {boost: {factor: 140 %, factor_at_most: 160 %}}\n");
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->supply_total_m3_s[1] * 1e3, 28.0, 1e-9); /* the bath needs 9 of 6.67: 135 % */
  NEAR(rates->boost_required_m3_s * 1e3, 28.0, 1e-9);
}
END_TEST

START_TEST(boost_flow_of_the_rules) {
  rooms();
  set_rules(
      "whole_dwelling: 20 l/s\nextract_split: {by: equal}\n"
      "levels: {boost: {whole_dwelling: {per: bedrooms, rate: 17 l/s}, factor_at_most: 160 %}}\n");
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->extract_total_m3_s[1] * 1e3, 34.0, 1e-9);
  ck_assert_uint_eq(test_found(&t, "boost-high"), 1);
  const ebi_level low = {.name = "boost", .share = test_given(1.5)};
  t.house.levels = &low;
  t.house.n_levels = 1;
  NEAR(test_plan(&t, NULL)->extract_total_m3_s[1] * 1e3, 30.0, 1e-9);
  ck_assert_uint_eq(test_found(&t, "boost-low"), 1);
  ck_assert_uint_eq(test_found(&t, "boost-high"), 1);
}
END_TEST

static const char levels_of_rules[] =
    "whole_dwelling: 20 l/s\nextract_split: {by: equal}\n"
    "unoccupied: {per: floor_area, rate: 0.1 l/(s.m2)}\n"
    "levels:\n"
    "  reduced: {factor: 70 %}\n"
    "  absent: {whole_dwelling: {id: away, flow: 6 l/s}}\n"
    "information: [{id: rather, same_as: whole-dwelling, times: 2}]\n";

START_TEST(levels_of_the_rules) {
  static const ebi_level levels[] = {{.name = "absent"}, {.name = "reduced"}};
  rooms();
  set_rules(levels_of_rules);
  t.house.levels = levels;
  t.house.n_levels = 2;
  const eb_rates *rates = test_plan(&t, NULL);
  ck_assert_uint_eq(rates->n_levels, 4);
  NEAR(rates->supply_total_m3_s[2] * 1e3, 6.0, 1e-9);
  NEAR(rates->supply_total_m3_s[3] * 1e3, 14.0, 1e-9);
  ck_assert_uint_eq(test_found(&t, "level-low"), 0);
  ck_assert_uint_eq(rates->n_flows, 4);
  ck_assert_str_eq(rates->flows[0].name, "reduced");
  NEAR(rates->flows[2].flow_m3_s * 1e3, 7.1, 1e-9);
  ck_assert_str_eq(rates->flows[3].name, "rather");
  NEAR(rates->flows[3].flow_m3_s * 1e3, 40.0, 1e-9);
}
END_TEST

START_TEST(own_levels_are_judged_by_the_rules) {
  ebi_level levels[] = {{.name = "reduced", .share = test_given(0.6)},
                        {.name = "night", .share = test_given(0.3)}};
  rooms();
  set_rules(levels_of_rules);
  t.house.levels = levels;
  t.house.n_levels = 2;
  test_plan(&t, NULL);
  ck_assert_uint_eq(test_found(&t, "level-low"), 2);       /* 12 under 14; 6 under 20 */
  ck_assert_uint_eq(test_found(&t, "level-low-empty"), 1); /* 6 under 7.1 */
}
END_TEST

/* ---- Openings, CO2, advice ---- */

START_TEST(purge_openings) {
  rooms();
  set_rules(
      "whole_dwelling: 20 l/s\n"
      "purge: {air_changes: 3 ach, uses: [living, bedroom], openings: [{angle: 15 deg, share: "
      "10 %}, {angle: 30 deg, share: 5 %}]}\n");
  t.rooms[0].window_angle = test_given(21.0);
  t.rooms[2].window_angle = test_given(9.5);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->rooms[0].purge_area_m2, 2.3, 1e-12);
  NEAR(rates->rooms[1].purge_area_m2, 0.65, 1e-12);
  NEAR(rates->rooms[2].purge_area_m2, 0.0, 1e-12);
  ck_assert(rates->rooms[2].purge_refused && !rates->rooms[1].purge_refused);
  NEAR(rates->rooms[0].purge_fan_m3_s * 3600, 172.5, 1e-9);
  NEAR(rates->rooms[3].purge_fan_m3_s, 0.0, 1e-12);
  ck_assert_uint_eq(test_found(&t, "purge-window"), 1);
}
END_TEST

START_TEST(ventilators_of_the_baseline) {
  rooms();
  set_rules("whole_dwelling: 20 l/s\n"
            "background:\n"
            "  when: {storeys: {at_most: 2}}\n"
            "  rooms: {living: 7000 mm2, bedroom: 5000 mm2, bath: 3000 mm2}\n"
            "  number: {living: 2, bedroom: 1}\n"
            "  least_number: {sum: [{per: bedrooms}, 3]}\n"
            "  total: {per: floor_area, every: 10 m2, rate: 2600 mm2, counted: {step: 10 m2}}\n"
            "  inner_to_others: yes\n"
            "  extract_only: {rooms: {living: 4000 mm2}, least_number: 4}\n");
  t.rooms[4].outside_wall = false;
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->background_area_m2 * 1e6, 20800.0, 1e-6); /* 8 x 2,600 against 20,000 */
  NEAR(rates->background_least_number, 5.0, 1e-12);
  NEAR(rates->rooms[0].background_number, 2.0, 1e-12);
  NEAR(rates->rooms[4].background_area_m2, 0.0, 1e-12);
  NEAR(rates->extract_only_area_m2 * 1e6, 4000.0, 1e-9);
  NEAR(rates->rooms[0].extract_only_number, 1.0, 1e-12);
  NEAR(rates->extract_only_least_number, 4.0, 1e-12);
  t.house.storeys = test_given(3.0);
  NEAR(test_plan(&t, NULL)->background_area_m2, 0.0, 1e-12);
}
END_TEST

START_TEST(unknown_ventilators_do_not_stop_the_plan) {
  rooms();
  t.house.bedrooms.given = false;
  set_rules("whole_dwelling: 20 l/s\n"
            "background: {rooms: {living: 7000 mm2}, least_number: {per: bedrooms}}\n");
  NEAR(test_plan(&t, NULL)->background_least_number, 0.0, 1e-12);
  ck_assert_uint_eq(test_found(&t, "opening-unknown"), 1);
  ck_assert_uint_eq(test_found(&t, "input-missing"), 0);
}
END_TEST

/* C = Co + S/Q: bed-1 has 2 sleepers in 31.2 of 110.3 m3 of 20 l/s. */
START_TEST(co2_of_bedrooms) {
  rooms();
  t.house.people = test_given(3.0);
  set_rules(
      "whole_dwelling: 20 l/s\nco2: {above_outdoors: 550 ppm, asleep: 13 l/h, awake: 18 l/h}\n");
  t.house.co2 = test_given(431e-6);
  const eb_rates *rates = test_plan(&t, NULL);
  double flow = 20e-3 * 31.2 / 110.3;
  NEAR(rates->rooms[1].co2_ppm[0], 431.0 + 1e6 * 2 * 13.0 / 3.6e6 / flow, 1e-6);
  ck_assert_ptr_null(rates->rooms[0].co2_ppm);
  NEAR(rates->co2_limit_ppm, 981.0, 1e-9);
  NEAR(rates->co2_mean_ppm[0], 431.0 + 1e6 * 3 * 18.0 / 3.6e6 / 20e-3, 1e-6);
  ck_assert_uint_eq(test_found(&t, "co2-high"), 2); /* 1708 and 1353 ppm */
}
END_TEST

START_TEST(co2_as_usual_without_a_figure_of_the_rules) {
  rooms();
  set_rules("whole_dwelling: 50 l/s\nco2: {at_most: 1000 ppm}\n");
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->rooms[1].co2_ppm[0], 420.0 + 1e6 * 2 * 13.6 / 3.6e6 / (50e-3 * 31.2 / 110.3), 1e-6);
  ck_assert_uint_eq(test_found(&t, "co2-high"), 0);
  ck_assert_ptr_null(rates->co2_mean_ppm);
}
END_TEST

START_TEST(doors_by_the_air_that_passes) {
  rooms();
  set_rules("whole_dwelling: 20 l/s\n"
            "transfer: {area: {per: transfer_flow, every: 1 l/s, rate: 8 cm2, at_least: 70 cm2}, "
            "of_use: {wc: 33 cm2}, undercut: 12 mm}\n");
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->transfers[0].rule_area_m2 * 1e4, 8.0 * 20.0 * 57.5 / 110.3, 1e-9);
  NEAR(rates->transfers[2].rule_area_m2 * 1e4, 70.0, 1e-9);
  NEAR(rates->transfers[5].rule_area_m2 * 1e4, 33.0, 1e-9);
  NEAR(rates->transfers[0].rule_undercut_m, 0.012, 1e-12); /* no door is known */
  ebi_door door = {.between = {"wc", "bed-1"}, .width = test_given(0.66), .finish_laid = true};
  door.undercut = test_given(0.004);
  t.house.doors = &door;
  t.house.n_doors = 1;
  rates = test_plan(&t, NULL);
  NEAR(rates->transfers[5].rule_undercut_m, 33e-4 / 0.66, 1e-12);
  ck_assert_uint_eq(test_found(&t, "undercut-small"), 1); /* bed-1's 10.6 mm */
}
END_TEST

START_TEST(advice_where_its_conditions_hold) {
  rooms();
  set_rules("whole_dwelling: 20 l/s\nadvice:\n"
            "  - {say: two of them, when: {rooms: {of: [wc], at_least: 2}}, as: warning}\n"
            "  - {say: never, when: {weather_factor: {at_least: 0}}}\n"
            "  - {say: no window, uses: [bath, kitchen], when: {openable_window: no}}\n");
  t.rooms[3].openable_window = false;
  test_plan(&t, NULL);
  ck_assert_uint_eq(test_found(&t, "rule-advice"), 2);
  ck_assert_uint_eq(test_found(&t, "input-missing"), 0);
}
END_TEST

START_TEST(limits_are_kept) {
  set_rules(
      "whole_dwelling: 20 l/s\n"
      "limits:\n"
      "  fan_power: {at_most: 1.2 W/(l/s), level: boost, extract_only: 0.6 W/(l/s), "
      "heating_coil_adds: 0.3 W/(l/s)}\n"
      "  permeability: {airtight_below: 5 m3/(h.m2), built_airtight_below: 3 m3/(h.m2)}\n"
      "  air_changes_50: {at_most: 0.6 ach}\n"
      "imbalance: {at_most: 10 %, of: larger, or_within: 5 cfm}\n"
      "commissioning: {kind: two_sided, room: 20 %, system: 10 %, or_within: 1 l/s, instrument: "
      "4 %, fan_power: 10 %, includes_error: yes}\n"
      "totals: {by: raise_smaller}\n");
  const ebi_rule_set *set = t.house.rules;
  NEAR(set->fan_power.value, 1200.0, 1e-9);
  ck_assert_str_eq(set->fan_power_level, "boost");
  NEAR(set->fan_power_coil.value, 300.0, 1e-9);
  ck_assert(!set->fan_power_supply.given && !set->permeability.given);
  NEAR(set->built_airtight_below.value * 3600.0, 3.0, 1e-12);
  NEAR(set->air_changes_50.value, 0.6, 1e-12);
  ck_assert_int_eq(set->imbalance.divisor, EBI_OF_LARGER);
  NEAR(set->imbalance.or_within.value * 1e3, 2.35973726, 1e-6);
  ck_assert(set->commissioning.two_sided && set->commissioning.includes_error);
  NEAR(set->commissioning.or_within.value * 1e3, 1.0, 1e-12);
  rooms();
  t.house.n50 = test_given(0.71);
  test_plan(&t, NULL);
  ck_assert_uint_eq(test_found(&t, "leakage-high"), 1);
}
END_TEST

/* ---- Another rule set ---- */

START_TEST(a_house_under_other_rules) {
  eb_house *house = NULL;
  const char text[] = "rules: none\nbedrooms: 1\nfloor_area: 36 m2\npeople: 2\n"
                      "rooms: {room: {use: living, area: 20 m2, height: 2.3 m}, bath: {use: "
                      "bathroom, area: 4 m2, height: 2.3 m}}\n";
  ck_assert_int_eq(eb_house_read(t.context, "h.yaml", text, strlen(text), NULL, &house), EB_OK);
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_house_set_rules(t.context, house, "england-2010"), EB_OK);
  ck_assert_int_eq(eb_rates_plan(t.context, house, NULL, NULL, &rates), EB_OK);
  NEAR(rates->required_m3_s * 1e3, 13.0, 1e-9);
  ck_assert_str_eq(rates->rules, "england-2010");
  ck_assert_str_eq(rates->rules_known, "quoted");
  ck_assert_int_eq(eb_house_set_rules(t.context, house, "england-2o21"), EB_E_TABLE);
  ck_assert_int_eq(eb_house_set_rules(t.context, house, "england-2021"), EB_OK);
  ck_assert_int_eq(eb_rates_plan(t.context, house, NULL, NULL, &rates), EB_OK);
  ck_assert_str_eq(rates->rules, "england-2021");
  ck_assert_int_eq(eb_house_set_rules(t.context, house, "none"), EB_OK);
  ck_assert_int_eq(eb_rates_plan(t.context, house, NULL, NULL, &rates), EB_OK);
  ck_assert_str_eq(rates->rules, "none");
  ck_assert_int_eq(eb_house_set_rules(t.context, house, NULL), EB_E_ARGUMENT);
}
END_TEST

/* ---- Wrong files ---- */

typedef struct wrong_row {
  const char *more, *code;
  int line, column; /* the first line of `more` is 12 */
} wrong_row;

#define WHOLE "whole_dwelling: 20 l/s\n"

static const wrong_row wrong[] = {
    {"whole_dwelling: {per: rooms, rate: 3 l/s}", "key-missing", 12, 17},
    {"whole_dwelling: {per: rooms, of: [wcs], rate: 3 l/s}", "use-unknown", 12, 35},
    {"whole_dwelling: {per: people, of: [wc], rate: 3 l/(s.person)}", "count-uses", 12, 35},
    {"whole_dwelling: {per: storey, rate: 3 l/s}", "driver-place", 12, 23},
    {"whole_dwelling: {per: permeability, rate: 3 l/s}", "key-missing", 12, 17},
    {"whole_dwelling: {area: 3 m2}", "term-value", 12, 24},
    {"whole_dwelling: {ratio: [1 l/s, 2 l/s]}", "term-value", 12, 25},
    {"whole_dwelling: {flow: 3 l/s, times: {ratio: [1 l/s]}}", "term-kind", 12, 46},
    {"whole_dwelling: {same_as: it}", "term-unknown", 12, 27},
    {"whole_dwelling: {id: it, same_as: it}", "term-unknown", 12, 35},
    {"whole_dwelling: {sum: [{id: a, flow: 1 l/s}, {id: a, flow: 1 l/s}]}", "term-double", 12, 51},
    {"whole_dwelling: {flow: 1 l/s, round_to: 0 l/s}", "out-of-range", 12, 41},
    {"whole_dwelling: {by: bedrooms}", "key-missing", 12, 17},
    {"whole_dwelling: {by: bedrooms, polynomial: {unit: m2, coefficients: [1]}}", "unit-wrong", 12,
     51},
    {"whole_dwelling: {by: bedrooms, polynomial: {unit: l/s, coefficients: 1}}", "not-a-list", 12,
     70},
    {"whole_dwelling: {table: {unit: l/s, rows: [1]}}", "key-missing", 12, 25},
    {"whole_dwelling: {table: {down: {by: bedrooms, up_to: [2, 1]}, unit: l/s, rows: [1, 2]}}",
     "not-rising", 12, 58},
    {"whole_dwelling: {table: {down: {by: bedrooms, up_to: [1, 2]}, unit: l/s, rows: [1]}}",
     "columns", 12, 80},
    {"whole_dwelling: {table: {down: {by: bedrooms, up_to: [1, 2]}, across: {by: people, up_to: "
     "[more]}, unit: l/s, rows: [[1], [2, 3]]}}",
     "columns", 12, 123},
    {"whole_dwelling: {flow: 1 l/s, when: {rooms: 2}}", "key-missing", 12, 45},
    {"whole_dwelling: {flow: 1 l/s, when: {bedrooms: {}}}", "condition-empty", 12, 48},
    {"whole_dwelling: {flow: 1 l/s, when: {bedrooms: {above: 2, at_most: 2}}}", "condition-empty",
     12, 48},
    {"whole_dwelling: {flow: 1 l/s, when: {outside_wall: no}}", "driver-place", 12, 38},
    {"whole_dwelling: {flow: 1 l/s, when: {known: rooms}}", "condition-empty", 12, 45},
    {"people: {per: people}\n" WHOLE, "driver-place", 12, 15},
    {WHOLE "levels: {normal: {factor: 1}}", "level-normal", 13, 10},
    {WHOLE "levels: {low: {factor_at_most: 1}}", "key-missing", 13, 15},
    {WHOLE "levels: [low]", "not-a-mapping", 13, 9},
    {WHOLE "extract_split: {by: fan}", "word-unknown", 13, 21},
    {WHOLE "totals: {by: leave}", "word-unknown", 13, 14},
    {WHOLE "purge: {openings: [{angle: 30 deg, share: 5 %}, {angle: 15 deg, share: 10 %}]}",
     "not-rising", 13, 49},
    {WHOLE "intermittent: {hall: 3 l/s}", "use-unknown", 13, 16},
    {WHOLE "background: {rooms: {living: 3 l/s}}", "unit-wrong", 13, 30},
    {WHOLE "background: {extract_only: {when: {bedrooms: 1}}}", "key-unknown", 13, 29},
    {WHOLE "co2: {asleep: 13 l/h}", "key-missing", 13, 6},
    {WHOLE "co2: {at_most: 1000}", "unit-missing", 13, 16},
    {WHOLE "imbalance: {at_most: 10 %}", "key-missing", 13, 12},
    {WHOLE "commissioning: {kind: two_sided}", "key-missing", 13, 16},
    {WHOLE "transfer: {of_use: {wc: 3 cm2}}", "key-missing", 13, 11},
    {WHOLE "advice: [{when: {bedrooms: 1}}]", "key-missing", 13, 10},
    {WHOLE "advice: {say: x}", "not-a-list", 13, 9}};

START_TEST(wrong_files_are_told_with_their_place) {
  ck_assert_ptr_null(rules_with(wrong[_i].more));
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(t.context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, wrong[_i].code) == 0 && all[i].line == wrong[_i].line &&
        all[i].column == wrong[_i].column)
      return;
  ck_assert_uint_gt(count, 0);
  ck_abort_msg("%s: %d:%d %s: %s", wrong[_i].more, all[0].line, all[0].column, all[0].code,
               all[0].message);
}
END_TEST

#define ROWS(array) ((int)(sizeof(array) / sizeof(array)[0]))

Suite *suite_rule_terms(void) {
  Suite *suite = suite_create("rule_terms");
  TCase *c = tcase_create("rule_terms");
  tcase_add_checked_fixture(c, setup, teardown);
  tcase_add_loop_test(c, terms_of_the_dwelling, 0, ROWS(terms));
  tcase_add_loop_test(c, conditions_of_the_dwelling, 0, ROWS(conditions));
  tcase_add_test(c, conditions_of_a_room);
  tcase_add_test(c, people_by_the_first_way_that_is_known);
  tcase_add_test(c, people_by_floor_area);
  tcase_add_loop_test(c, missing_inputs_name_their_key, 0, 7);
  tcase_add_loop_test(c, extract_splits, 0, 4);
  tcase_add_test(c, boost_reaches_factor_and_flow_of_the_rules);
  tcase_add_test(c, boost_flow_of_the_rules);
  tcase_add_test(c, levels_of_the_rules);
  tcase_add_test(c, own_levels_are_judged_by_the_rules);
  tcase_add_test(c, purge_openings);
  tcase_add_test(c, ventilators_of_the_baseline);
  tcase_add_test(c, unknown_ventilators_do_not_stop_the_plan);
  tcase_add_test(c, co2_of_bedrooms);
  tcase_add_test(c, co2_as_usual_without_a_figure_of_the_rules);
  tcase_add_test(c, doors_by_the_air_that_passes);
  tcase_add_test(c, advice_where_its_conditions_hold);
  tcase_add_test(c, limits_are_kept);
  tcase_add_test(c, a_house_under_other_rules);
  tcase_add_loop_test(c, wrong_files_are_told_with_their_place, 0, ROWS(wrong));
  suite_add_tcase(suite, c);
  return suite;
}
