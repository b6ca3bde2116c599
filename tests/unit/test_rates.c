/* test_rates.c - the air plan: England 2021's figures, sharing, levels, findings
 *
 * ADF: Approved Document F volume 1, England, 2021 edition. */

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/ledger.h"
#include "rates_house.h"
#include "suites.h"

#define NEAR(got, want, allowed) ck_assert_double_eq_tol(got, want, allowed)

static test_house t;

static void setup(void) {
  test_house_start(&t, "england-2021");
}

static void teardown(void) {
  test_house_end(&t);
}

static void size(double floor_area, double bedrooms) {
  t.house.floor_area = test_given(floor_area);
  if (bedrooms >= 0.0)
    t.house.bedrooms = test_given(bedrooms);
}

/* Rooms of a usual house; areas add up to 95 m2. */
static void usual_rooms(void) {
  test_room(&t, "living", "living", 27.3, 65.5);
  test_room(&t, "bed-1", "bedroom", 17.1, 41.0);
  test_room(&t, "bed-2", "bedroom", 15.2, 36.5);
  test_room(&t, "bed-3", "bedroom", 11.9, 28.6);
  test_room(&t, "kitchen", "kitchen", 15.4, 37.0);
  test_room(&t, "bath", "bathroom", 8.1, 19.4);
}

static void requires(const eb_rates *rates, double l_s, const char *governed_by) {
  NEAR(rates->required_m3_s * 1e3, l_s, 1e-9);
  ck_assert_str_eq(rates->governed_by, governed_by);
}

/* ---- Whole dwelling: ADF 1.24 and Table 1.3 ---- */

START_TEST(floor_area_governs_a_large_house) {
  usual_rooms();
  size(120.0, 3.0); /* 95 m2 are listed: the given area counts */
  requires(test_plan(&t, NULL), 36.0, "floor-area");
  ck_assert_uint_eq(test_found(&t, "floor-area-summed"), 0);
}
END_TEST

START_TEST(bedrooms_govern_a_small_house) {
  usual_rooms();
  size(77.0, 3.0);
  requires(test_plan(&t, NULL), 31.0, "bedrooms");
  ck_assert_uint_eq(test_found(&t, "floor-area-small"), 1); /* 95 m2 are listed */
}
END_TEST

START_TEST(table_and_further_bedrooms) {
  static const double want[] = {19, 19, 25, 31, 37, 43, 49, 55};
  usual_rooms();
  for (int bedrooms = 0; bedrooms < 8; bedrooms++) {
    size(10.0, bedrooms);
    requires(test_plan(&t, NULL), want[bedrooms], "bedrooms");
  }
  size(100.0, 6.0);
  requires(test_plan(&t, NULL), 49.0, "bedrooms");
  size(150.0, 4.0);
  requires(test_plan(&t, NULL), 45.0, "floor-area");
}
END_TEST

/* Table 1.3 note 1: 13 l/s, and the floor area is still tested. */
START_TEST(one_habitable_room) {
  test_room(&t, "room", "living", 20.0, 0.0);
  test_room(&t, "kitchen", "kitchen", 6.0, 0.0);
  test_room(&t, "bath", "bathroom", 4.0, 0.0);
  size(30.0, -1.0); /* no bedrooms needed, nor volumes: one room takes all */
  const eb_rates *rates = test_plan(&t, NULL);
  requires(rates, 13.0, "one-habitable-room");
  NEAR(rates->boost_required_m3_s * 1e3, 21.0, 1e-9);
  NEAR(test_extract(rates, "kitchen", 1), 13.0, 1e-9);
  NEAR(test_extract(rates, "bath", 1), 8.0, 1e-9);
  NEAR(test_supply(rates, "room", 0), 13.0, 1e-9);
  NEAR(test_supply(rates, "room", 1), 21.0, 1e-9);
  size(50.0, -1.0);
  requires(test_plan(&t, NULL), 15.0, "floor-area");
}
END_TEST

START_TEST(open_plan_room_has_both_duties) {
  test_room(&t, "studio", "living+kitchen", 31.0, 74.0);
  test_room(&t, "shower", "shower", 3.7, 8.9)->storey = -1;
  size(38.0, -1.0);
  const eb_rates *rates = test_plan(&t, NULL);
  requires(rates, 13.0, "one-habitable-room"); /* the open-plan room is habitable */
  ck_assert_str_eq(rates->rooms[0].use, "living, kitchen");
  ck_assert_int_eq(rates->rooms[1].storey, -1);
  NEAR(test_supply(rates, "studio", 0), 13.0, 1e-9);
  NEAR(test_extract(rates, "studio", 1), 13.0, 1e-9);
  NEAR(test_extract(rates, "shower", 1), 8.0, 1e-9);
}
END_TEST

/* ---- Sharing: ADF 1.67; extract by the high rates (own choice) ---- */

START_TEST(supply_by_volume) {
  test_room(&t, "a", "living", 0.0, 50.0);
  test_room(&t, "b", "bedroom", 0.0, 35.0);
  test_room(&t, "c", "bedroom", 0.0, 30.0);
  test_room(&t, "d", "bedroom", 0.0, 20.0);
  test_room(&t, "kitchen", "kitchen", 0.0, 0.0);
  size(77.0, 3.0);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(test_supply(rates, "a", 0), 11.48, 0.005);
  NEAR(test_supply(rates, "b", 0), 8.04, 0.005);
  NEAR(test_supply(rates, "c", 0), 6.89, 0.005);
  NEAR(test_supply(rates, "d", 0), 4.59, 0.005);
}
END_TEST

START_TEST(extract_in_proportion_to_high_rates) {
  test_room(&t, "living", "living", 0.0, 60.0);
  test_room(&t, "kitchen", "kitchen", 0.0, 0.0);
  test_room(&t, "utility", "utility", 0.0, 0.0);
  test_room(&t, "bath", "bathroom", 0.0, 0.0);
  test_room(&t, "wc", "wc", 0.0, 0.0);
  test_room(&t, "bed", "bedroom", 0.0, 30.0);
  size(84.0, 3.0);
  const eb_rates *rates = test_plan(&t, NULL);
  requires(rates, 31.0, "bedrooms");
  NEAR(rates->boost_required_m3_s * 1e3, 35.0, 1e-9);
  static const char *const names[] = {"kitchen", "utility", "bath", "wc"};
  static const double normal[] = {11.51, 7.09, 7.09, 5.31}, high[] = {13, 8, 8, 6};
  for (int i = 0; i < 4; i++) {
    NEAR(test_extract(rates, names[i], 0), normal[i], 0.005);
    NEAR(test_extract(rates, names[i], 1), high[i], 1e-9);
  }
}
END_TEST

/* Few wet rooms in a large house: their normal flow is beyond the high rate. */
START_TEST(boost_equals_normal_where_high_rates_are_small) {
  test_room(&t, "living", "living", 0.0, 160.0);
  test_room(&t, "bed", "bedroom", 0.0, 60.0);
  test_room(&t, "kitchen", "kitchen", 0.0, 0.0);
  size(151.0, 2.0);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->boost_required_m3_s * 1e3, 45.3, 1e-9);
  NEAR(test_extract(rates, "kitchen", 1), 45.3, 1e-9);
}
END_TEST

/* ---- Properties ---- */

static double uniform(unsigned *state) {
  *state = *state * 1664525u + 1013904223u;
  return (double)(*state >> 8) / 16777216.0;
}

static void random_house(unsigned *state) {
  static const char *const uses[] = {"living",  "bedroom",  "study", "living+kitchen",
                                     "kitchen", "bathroom", "wc",    "utility",
                                     "hall",    "dining",   "store"};
  static const char *const names[] = {"a", "b", "c", "d", "e", "f", "g", "h"};
  t.house.n_rooms = 0;
  memset(t.rooms, 0, sizeof t.rooms);
  test_room(&t, "living", "living", 21.7, 19.0 + 60.0 * uniform(state));
  test_room(&t, "kitchen", "kitchen", 11.3, 30.0);
  int more = (int)(8.0 * uniform(state));
  for (int i = 0; i < more; i++)
    test_room(&t, names[i], uses[(int)(11.0 * uniform(state))], 7.9, 9.0 + 50.0 * uniform(state));
  size(25.0 + 180.0 * uniform(state), floor(7.0 * uniform(state)));
}

static void check_balance(const eb_rates *rates) {
  for (size_t l = 0; l < rates->n_levels; l++) {
    double supply = 0.0, extract = 0.0;
    for (size_t i = 0; i < rates->n_rooms; i++) {
      const eb_room_rates *room = &rates->rooms[i];
      for (int side = 0; side < 2; side++) {
        const eb_duty *duty = side ? room->extract : room->supply;
        if (!duty)
          continue;
        *(side ? &extract : &supply) += duty[l].design_m3_s;
        ck_assert_double_ge(duty[l].design_m3_s * (1.0 + 1e-12), duty[l].required_m3_s);
      }
    }
    NEAR(supply, extract, 1e-15);
    NEAR(supply, rates->supply_total_m3_s[l], 1e-15);
    NEAR(extract, rates->extract_total_m3_s[l], 1e-15);
    ck_assert_double_ge(supply * (1.0 + 1e-12), rates->required_m3_s);
  }
  ck_assert_double_ge(rates->extract_total_m3_s[1] * (1.0 + 1e-12), rates->boost_required_m3_s);
}

START_TEST(plans_balance_and_comply) {
  unsigned state = 4711;
  for (int i = 0; i < 300; i++) {
    random_house(&state);
    const eb_rates *rates = test_plan(&t, NULL);
    check_balance(rates);
    eb_rates_free(rates);
  }
}
END_TEST

START_TEST(order_of_rooms_changes_nothing) {
  unsigned state = 1879;
  for (int i = 0; i < 50; i++) {
    random_house(&state);
    const eb_rates *before = test_plan(&t, NULL);
    size_t n = t.house.n_rooms;
    for (size_t a = 0; a < n / 2; a++) {
      ebi_room kept = t.rooms[a];
      t.rooms[a] = t.rooms[n - 1 - a];
      t.rooms[n - 1 - a] = kept;
    }
    const eb_rates *after = test_plan(&t, NULL);
    NEAR(after->required_m3_s, before->required_m3_s, 1e-15);
    for (size_t a = 0; a < n; a++) {
      const eb_room_rates *x = &before->rooms[a], *y = &after->rooms[n - 1 - a];
      ck_assert_str_eq(x->name, y->name);
      for (size_t l = 0; l < 2; l++) {
        if (x->supply)
          NEAR(x->supply[l].design_m3_s, y->supply[l].design_m3_s, 1e-15);
        if (x->extract)
          NEAR(x->extract[l].design_m3_s, y->extract[l].design_m3_s, 1e-15);
      }
    }
    eb_rates_free(before);
    eb_rates_free(after);
  }
}
END_TEST

START_TEST(more_house_never_asks_for_less) {
  usual_rooms();
  double last = 0.0;
  for (double area = 11.3; area < 260.0; area += 7.7) {
    size(area, 3.0);
    const eb_rates *rates = test_plan(&t, NULL);
    ck_assert_double_ge(rates->required_m3_s, last);
    last = rates->required_m3_s;
    eb_rates_free(rates);
  }
}
END_TEST

/* ---- Levels ---- */

static ebi_level levels[] = {
    {.name = "low", .share = {0.7, true, {"house.yaml", 5, 3}}},
    {.name = "boost", .share = {1.6, true, {"house.yaml", 6, 3}}, .at_least = true},
    {.name = "cooling", .share = {1.9, true, {"house.yaml", 7, 3}}}};

START_TEST(levels_in_order_and_by_one_factor) {
  usual_rooms();
  size(92.0, 3.0);
  t.house.levels = levels;
  t.house.n_levels = 3;
  const eb_rates *rates = test_plan(&t, NULL);
  static const char *const names[] = {"normal", "boost", "low", "cooling"};
  static const double factors[] = {1.0, 1.6, 0.7, 1.9};
  ck_assert_uint_eq(rates->n_levels, 4);
  for (size_t l = 0; l < 4; l++) {
    ck_assert_str_eq(rates->levels[l], names[l]);
    NEAR(rates->supply_total_m3_s[l], 0.031 * factors[l], 1e-12);
    NEAR(test_extract(rates, "bath", l), 31.0 * 8 / 21 * factors[l], 1e-9);
  }
  ck_assert_double_eq(rates->rooms[5].extract[2].required_m3_s, 0.0);
  ck_assert_uint_eq(test_found(&t, "level-low"), 1);
}
END_TEST

/* An exact boost stands as the user wrote it, and is told to be too small. */
START_TEST(boost_too_small_is_told) {
  usual_rooms();
  test_room(&t, "wc", "wc", 0.0, 0.0);
  test_room(&t, "utility", "utility", 0.0, 0.0);
  size(60.0, 3.0); /* high rates 35, normal 31 */
  ebi_level boost = {.name = "boost", .share = test_given(1.05)};
  t.house.levels = &boost;
  t.house.n_levels = 1;
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->extract_total_m3_s[1] * 1e3, 31.0 * 1.05, 1e-9);
  ck_assert_uint_eq(test_found(&t, "boost-low"), 1);
  boost.at_least = true;
  NEAR(test_plan(&t, NULL)->extract_total_m3_s[1] * 1e3, 35.0, 1e-9);
}
END_TEST

/* ---- The user's own flows ---- */

START_TEST(own_flow_overrides_and_is_judged) {
  usual_rooms();
  size(92.0, 3.0);
  t.rooms[5].extract.normal = test_given(0.0061); /* bath: 8 at boost */
  t.rooms[1].supply.normal = test_given(0.0093);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(test_extract(rates, "bath", 0), 6.1, 1e-9);
  NEAR(test_extract(rates, "kitchen", 0), 24.9, 1e-9);
  NEAR(test_supply(rates, "bed-1", 0), 9.3, 1e-9);
  NEAR(test_extract(rates, "bath", 1), 8.0, 1e-9); /* boost reaches it: 8 / 6.1 */
  NEAR(test_supply(rates, "bed-1", 1), 9.3 * 8.0 / 6.1, 1e-9);
  check_balance(rates);
  ck_assert_uint_eq(test_found(&t, "own-flow-complies"), 1);
}
END_TEST

START_TEST(own_flow_that_cannot_comply) {
  usual_rooms();
  size(92.0, 3.0);
  t.rooms[5].extract.normal = test_given(0.0); /* no factor lifts nothing */
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(test_extract(rates, "bath", 1), 0.0, 1e-12);
  ck_assert_uint_eq(test_found(&t, "own-flow-low"), 1);
}
END_TEST

START_TEST(the_smaller_side_is_raised) {
  usual_rooms();
  size(92.0, 3.0);
  t.rooms[4].extract.normal = test_given(0.0291); /* kitchen, bath: 41.5 */
  t.rooms[5].extract.normal = test_given(0.0124);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->supply_total_m3_s[0] * 1e3, 41.5, 1e-9);
  check_balance(rates);
  ck_assert_uint_eq(test_found(&t, "unbalanced"), 0);
}
END_TEST

START_TEST(flows_given_everywhere_may_not_balance) {
  test_room(&t, "living", "living", 0.0, 60.0)->supply.normal = test_given(0.0337);
  test_room(&t, "kitchen", "kitchen", 0.0, 30.0)->extract.normal = test_given(0.0271);
  size(60.0, 1.0);
  test_plan(&t, NULL);
  ck_assert_uint_eq(test_found(&t, "unbalanced"), 1);
}
END_TEST

START_TEST(one_weak_room_overshoots_the_rest) {
  usual_rooms();
  size(92.0, 3.0);
  t.rooms[5].extract.normal = test_given(0.0031); /* 8 / 3.1 lifts 31 to 80 l/s */
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->extract_total_m3_s[1] * 1e3, 80.0, 1e-9);
  ck_assert_uint_eq(test_found(&t, "boost-overshoot"), 1);
}
END_TEST

/* Valves set at boost: 9.2 l/s there is 9.2 / f at normal, and the kitchen
 * takes the rest of 31: f = 1 + ... so that the kitchen has its 13 too. */
START_TEST(own_flow_set_at_boost) {
  usual_rooms();
  size(92.0, 3.0);
  t.house.set_level = "boost";
  t.rooms[5].extract.normal = test_given(0.0271);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(test_extract(rates, "bath", 1), 27.1, 1e-6);
  ck_assert_double_ge(test_extract(rates, "kitchen", 1), 13.0 - 1e-6);
  check_balance(rates);
}
END_TEST

START_TEST(no_rules) {
  test_house_end(&t);
  test_house_start(&t, NULL);
  test_room(&t, "study", "study", 9.0, 21.6)->supply.normal = test_given(0.008);
  ebi_room *bath = test_room(&t, "bath", "sauna", 5.0, 12.0);
  bath->extract.normal = test_given(0.008);
  bath->extract.boost = test_given(0.015);
  const eb_rates *rates = test_plan(&t, NULL);
  ck_assert_str_eq(rates->rules, "none");
  ck_assert_str_eq(rates->governed_by, "none");
  ck_assert_double_eq(rates->required_m3_s, 0.0);
  NEAR(test_supply(rates, "study", 1), 15.0, 1e-9);
  NEAR(test_extract(rates, "bath", 1), 15.0, 1e-9);
  ck_assert_double_eq(rates->transfers[0].rule_area_m2, 0.0);
}
END_TEST

/* ---- What is missing ---- */

START_TEST(all_that_is_missing_is_told_at_once) {
  test_room(&t, "living", "living", 20.0, 0.0);
  test_room(&t, "bed", "bedroom", 0.0, 0.0);
  test_room(&t, "kitchen", "kichen", 0.0, 0.0);
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_rates_plan(t.context, &t.house, NULL, NULL, &rates), EB_E_INPUT);
  ck_assert_ptr_null(rates);
  /* bedrooms, area of two rooms, volume of two */
  ck_assert_uint_eq(test_found(&t, "input-missing"), 5);
  ck_assert_uint_eq(test_found(&t, "use-unknown"), 1);
  size_t count;
  const eb_diagnostic *first = eb_diagnostics(t.context, &count);
  ck_assert_ptr_nonnull(strstr(first->message, "did you mean \"kitchen\""));
  ck_assert_int_eq(first->line, 22);
}
END_TEST

START_TEST(no_rooms) {
  const eb_rates *rates = NULL;
  size(50.0, 1.0);
  ck_assert_int_eq(eb_rates_plan(t.context, &t.house, NULL, NULL, &rates), EB_E_INPUT);
  ck_assert_int_eq(eb_rates_plan(NULL, &t.house, NULL, NULL, &rates), EB_E_ARGUMENT);
}
END_TEST

START_TEST(rooms_are_summed_with_a_finding) {
  usual_rooms();
  t.house.bedrooms = test_given(2.0);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->floor_area_m2, 95.0, 1e-9);
  requires(rates, 28.5, "floor-area");
  ck_assert_uint_eq(test_found(&t, "floor-area-summed"), 1);
  ck_assert_uint_eq(test_found(&t, "bedrooms-few"), 1);
}
END_TEST

/* ---- Doors: ADF 1.25, 7600 mm2 ---- */

static const eb_transfer *transfer_of(const eb_rates *rates, const char *room) {
  for (size_t i = 0; i < rates->n_transfers; i++)
    if (strcmp(rates->transfers[i].room, room) == 0)
      return &rates->transfers[i];
  ck_abort_msg("no transfer of %s", room);
}

START_TEST(gaps_under_doors) {
  usual_rooms();
  test_room(&t, "hall", "hall", 0.0, 0.0);
  size(92.0, 3.0);
  ebi_door doors[] = {
      {.between = {"bed-1", "hall"},
       .width = test_given(0.926),
       .undercut = test_given(0.0083),
       .finish_laid = true},
      {.between = {"bed-2", "hall"},
       .width = test_given(0.686),
       .undercut = test_given(0.010),
       .finish_laid = true},
      {.between = {"hall", "bath"}, .width = test_given(0.760), .finish_laid = false}};
  t.house.doors = doors;
  t.house.n_doors = 3;
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(transfer_of(rates, "bed-1")->rule_undercut_m * 1e3, 8.2, 0.05);
  NEAR(transfer_of(rates, "bed-2")->rule_undercut_m * 1e3, 11.1, 0.05);
  NEAR(transfer_of(rates, "bath")->rule_undercut_m * 1e3, 20.0, 1e-9);
  NEAR(transfer_of(rates, "living")->rule_undercut_m * 1e3, 10.0, 1e-9); /* 760 mm by rule */
  NEAR(transfer_of(rates, "kitchen")->rule_area_m2 * 1e6, 7600.0, 1e-9);
  NEAR(transfer_of(rates, "kitchen")->flow_m3_s * 1e3, -31.0 * 13 / 21, 1e-9);
  ck_assert_uint_eq(test_found(&t, "undercut-small"), 1);
}
END_TEST

/* 30 m3/h through 10 mm under a 0.76 m door takes 2.0 Pa (orifice, 0.6; own
 * calculation), so at 1 Pa the gap is 10 sqrt(2.0) mm. */
START_TEST(gap_for_one_pascal) {
  test_room(&t, "room", "living", 0.0, 0.0);
  test_room(&t, "kitchen", "kitchen", 0.0, 0.0)->extract.normal = test_given(30.0 / 3600.0);
  t.house.rules = NULL;
  ebi_door door = {.between = {"kitchen", "room"}, .width = test_given(0.76), .finish_laid = true};
  t.house.doors = &door;
  t.house.n_doors = 1;
  const eb_rates *rates = test_plan(&t, NULL);
  double gap = transfer_of(rates, "kitchen")->undercut_for_1_pa_m;
  NEAR(gap * 1e3, 10.0 * sqrt(2.0039), 0.01);
}
END_TEST

/* ---- Combustion: Approved Document J 1.20-1.23; airtightness: ADL Table 4.1 ---- */

static ebi_appliance appliance(const char *fuel, const char *burner, const char *room) {
  return (ebi_appliance){.kind = "open-flued",
                         .fuel = fuel,
                         .burner = burner,
                         .room = room,
                         .where = {"house.yaml", 40, 5}};
}

static size_t combustion_warnings(ebi_appliance one, double kitchen) {
  eb_diagnostics_clear(t.context);
  t.house.n_rooms = 0;
  memset(t.rooms, 0, sizeof t.rooms);
  test_room(&t, "living", "living", 0.0, 60.0);
  test_room(&t, "kitchen", "kitchen", 0.0, 30.0)->extract.normal = test_given(kitchen);
  test_room(&t, "bath", "bathroom", 0.0, 30.0)->extract.normal = test_given(0.0083);
  size(90.0, -1.0);
  t.house.appliances = &one;
  t.house.n_appliances = 1;
  test_plan(&t, NULL);
  ck_assert_uint_eq(test_found(&t, "combustion-caution"), 1);
  return test_found(&t, "combustion-extract");
}

START_TEST(extract_beside_open_flues) {
  ck_assert_uint_eq(combustion_warnings(appliance("gas", "", "kitchen"), 0.0197), 0);
  ck_assert_uint_eq(combustion_warnings(appliance("gas", "", "kitchen"), 0.0203), 1);
  ck_assert_uint_eq(combustion_warnings(appliance("oil", "pressure-jet", "kitchen"), 0.0203), 0);
  ck_assert_uint_eq(combustion_warnings(appliance("oil", "pressure-jet", "kitchen"), 0.0403), 1);
  ck_assert_uint_eq(combustion_warnings(appliance("oil", "vaporising", "kitchen"), 0.0203), 1);
  ck_assert_uint_eq(combustion_warnings(appliance("oil", "vaporising", "living"), 0.0403), 0);
  ck_assert_uint_eq(combustion_warnings(appliance("solid", "", "living"), 0.0203), 0);
  ck_assert_uint_eq(combustion_warnings(appliance("solid", "", "kitchen"), 0.0103), 1);
}
END_TEST

static const char *message_of(const char *code) {
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(t.context, &count);
  for (size_t i = 0; i < count; i++)
    if (strcmp(all[i].code, code) == 0)
      return all[i].message;
  ck_abort_msg("no %s", code);
}

/* 8 kW: 550 mm2/kW of all, or of what is above 5 kW in a leaky house. */
START_TEST(vent_for_solid_fuel) {
  ebi_appliance stove = appliance("solid", "", "living");
  stove.rated_power = test_given(8000.0);
  t.house.q50 = test_given(4.9 / 3600.0);
  combustion_warnings(stove, 0.0103);
  ck_assert_ptr_nonnull(strstr(message_of("combustion-vent"), "4400 mm2"));
  t.house.q50 = test_given(5.1 / 3600.0);
  combustion_warnings(stove, 0.0103);
  ck_assert_ptr_nonnull(strstr(message_of("combustion-vent"), "1650 mm2"));
  ck_assert_uint_eq(test_found(&t, "leakage-high"), 0);
  t.house.q50 = test_given(8.1 / 3600.0);
  combustion_warnings(stove, 0.0103);
  ck_assert_uint_eq(test_found(&t, "leakage-high"), 1);
}
END_TEST

START_TEST(unusual_air_change_and_sides) {
  usual_rooms();
  size(92.0, 3.0);
  t.rooms[1].extract.normal = test_given(0.004);
  t.rooms[5].supply.normal = test_given(0.004);
  t.house.volume = test_given(31.0 * 3.6 / 1.29);
  test_plan(&t, NULL);
  ck_assert_uint_eq(test_found(&t, "extract-in-dry-room"), 1);
  ck_assert_uint_eq(test_found(&t, "supply-in-wet-room"), 1);
  ck_assert_uint_eq(test_found(&t, "air-change-unusual"), 0);
  t.house.volume = test_given(31.0 * 3.6 / 1.31);
  test_plan(&t, NULL);
  ck_assert_uint_eq(test_found(&t, "air-change-unusual"), 1);
}
END_TEST

/* ---- The ledger ---- */

START_TEST(each_flow_has_a_step) {
  usual_rooms();
  size(92.0, 3.0);
  eb_ledger *ledger = eb_ledger_new(t.context);
  const eb_rates *rates = test_plan(&t, ledger);
  int found = 0, by_rule = 0;
  for (size_t i = 0; i < eb_ledger_count(ledger); i++) {
    eb_step step = eb_ledger_step(ledger, i);
    ck_assert_ptr_nonnull(step.source);
    for (size_t j = 0; j < step.n_inputs; j++)
      ck_assert_uint_lt(step.inputs[j], i);
    if (strcmp(step.what, "bath extract at boost") == 0) {
      NEAR(step.value, test_extract(rates, "bath", 1), 1e-9);
      ck_assert_str_eq(step.unit, "l/s");
      found++;
    }
    by_rule += strcmp(step.id, "bedrooms") == 0 && strcmp(step.known, "read") == 0;
  }
  ck_assert_int_eq(found, 1);
  ck_assert_int_eq(by_rule, 1);
}
END_TEST

/* ---- Memory ---- */

/* Fails each allocation after the first `left`. */
static void *scarce(void *user, void *pointer, size_t old_size, size_t new_size) {
  size_t *left = user;
  (void)old_size;
  if (new_size == 0) {
    free(pointer);
    return NULL;
  }
  if (*left == 0)
    return NULL;
  --*left;
  return realloc(pointer, new_size);
}

/* A plan with a ledger, where so many allocations are left for it. */
static bool plan_in(size_t memory) {
  size_t left = 1000000;
  eb_allocator allocator = {scarce, &left, 1}; /* every piece is a block */
  ck_assert(test_house_try(&t, &allocator, "england-2021"));
  usual_rooms();
  size(92.0, 3.0);
  left = memory;
  const eb_rates *rates = NULL;
  eb_status status = EB_E_MEMORY;
  eb_ledger *ledger = eb_ledger_new(t.context);
  if (ledger)
    status = eb_rates_plan(t.context, &t.house, NULL, ledger, &rates);
  ck_assert(status == EB_E_MEMORY || status == EB_OK);
  ck_assert((status == EB_OK) == (rates != NULL));
  eb_context_free(t.context);
  return status == EB_OK;
}

static bool rules_in(size_t memory) {
  size_t left = memory;
  eb_allocator allocator = {scarce, &left, 1};
  bool read = test_house_try(&t, &allocator, "england-2021");
  eb_context_free(t.context);
  return read;
}

START_TEST(memory_may_run_out_anywhere) {
  test_house_end(&t);
  size_t memory = 0;
  while (memory < 20000 && !rules_in(memory))
    memory++;
  ck_assert_uint_gt(memory, 100);
  ck_assert_uint_lt(memory, 20000);
  for (memory = 0; memory < 20000 && !plan_in(memory);)
    memory++;
  ck_assert_uint_gt(memory, 100);
  ck_assert_uint_lt(memory, 20000);
  setup();
}
END_TEST

Suite *suite_rates(void) {
  Suite *suite = suite_create("rates");
  TCase *c = tcase_create("rates");
  tcase_add_checked_fixture(c, setup, teardown);
  tcase_add_test(c, floor_area_governs_a_large_house);
  tcase_add_test(c, bedrooms_govern_a_small_house);
  tcase_add_test(c, table_and_further_bedrooms);
  tcase_add_test(c, one_habitable_room);
  tcase_add_test(c, open_plan_room_has_both_duties);
  tcase_add_test(c, supply_by_volume);
  tcase_add_test(c, extract_in_proportion_to_high_rates);
  tcase_add_test(c, boost_equals_normal_where_high_rates_are_small);
  tcase_add_test(c, plans_balance_and_comply);
  tcase_add_test(c, order_of_rooms_changes_nothing);
  tcase_add_test(c, more_house_never_asks_for_less);
  tcase_add_test(c, levels_in_order_and_by_one_factor);
  tcase_add_test(c, boost_too_small_is_told);
  tcase_add_test(c, own_flow_overrides_and_is_judged);
  tcase_add_test(c, own_flow_that_cannot_comply);
  tcase_add_test(c, the_smaller_side_is_raised);
  tcase_add_test(c, flows_given_everywhere_may_not_balance);
  tcase_add_test(c, one_weak_room_overshoots_the_rest);
  tcase_add_test(c, own_flow_set_at_boost);
  tcase_add_test(c, no_rules);
  tcase_add_test(c, all_that_is_missing_is_told_at_once);
  tcase_add_test(c, no_rooms);
  tcase_add_test(c, rooms_are_summed_with_a_finding);
  tcase_add_test(c, gaps_under_doors);
  tcase_add_test(c, gap_for_one_pascal);
  tcase_add_test(c, extract_beside_open_flues);
  tcase_add_test(c, vent_for_solid_fuel);
  tcase_add_test(c, unusual_air_change_and_sides);
  tcase_add_test(c, each_flow_has_a_step);
  tcase_add_test(c, memory_may_run_out_anywhere);
  tcase_set_timeout(c, 60);
  suite_add_tcase(suite, c);
  return suite;
}
