/* test_parts.c - order lists counted by hand */

#include <check.h>
#include <math.h>
#include <string.h>

#include "ducts_house.h"
#include "suites.h"

static ducts_house test;
static const eb_parts *parts;

/* ---- Ducts of the bench ---- */

#define ROUND(item, kind, mm, stock, money)                                                        \
  {                                                                                                \
    .name = item, .family = kind, .shape = EBI_ROUND, .bore = 1e-3 * (mm), .roughness = 9e-5,      \
    .stock_length = stock, .price = money                                                          \
  }

static const ebi_duct_size tin_80 = ROUND("tin-80", "tin", 80, 3.0, 5.1);
static const ebi_duct_size tin_100 = ROUND("tin-100", "tin", 100, 3.0, 6.1);
static const ebi_duct_size tin_125 = ROUND("tin-125", "tin", 125, 3.0, 7.3);
static const ebi_duct_size tin_160 = ROUND("tin-160", "tin", 160, 3.0, 9.1);
static const ebi_duct_size pipe_125 = ROUND("pipe-125", "pipe", 125, 2.0, 5.5);
static const ebi_duct_size tube_75 = ROUND("tube-75", "tube", 63, 50.0, 2.3);
static const ebi_duct_size tube_63 = ROUND("tube-63", "tube", 52, 50.0, 1.9);
static const ebi_duct_size own_104 = ROUND("104 mm", "", 104, 0.0, 4.4);
static const ebi_duct_size limp_125 = {.name = "limp-125",
                                       .family = "limp",
                                       .shape = EBI_ROUND,
                                       .bore = 0.125,
                                       .flexible = true,
                                       .stretched = 0.85,
                                       .stock_length = 10.0,
                                       .price = 6.2};
static const ebi_duct_size flat_204 = {.name = "flat-204x60",
                                       .family = "flat",
                                       .shape = EBI_RECTANGLE,
                                       .width = 0.204,
                                       .height = 0.060,
                                       .price = (double)NAN};

static void setup(void) {
  ducts_start(&test);
  parts = NULL;
  ducts_room(&test, "room", 10.0, 0.0, 1.3);
  ducts_room(&test, "bath", 0.0, 10.0, 1.3);
  test.unit.entry.source.known = "invented";
  test.unit.price = 1230.0;
  for (int i = 0; i < 4; i++)
    test.unit.spigot[i] = 0.160;
}

static void teardown(void) {
  eb_parts_free(parts);
  ducts_end(&test);
}

static ebi_run *lay(eb_air air, const char *name, const char *from, const char *to,
                    const ebi_duct_size *duct, double length) {
  ebi_run *run = ducts_run(&test, air, name, from, to, 100.0, length);
  run->duct = *duct;
  run->duct_family = "";
  return run;
}

static ebi_run *fit(ebi_run *run, const ebi_fitting *fitting, int count) {
  ducts_fitting(&test, run, fitting);
  test.fittings[run - test.runs][run->n_fittings - 1].count = count;
  return run;
}

/* ---- Asking ---- */

static void list(void) {
  eb_parts_free(parts);
  parts = NULL;
  eb_status status = eb_parts_list(test.context, &test.house, NULL, NULL, &parts);
  ck_assert_int_eq(status, EB_OK);
}

static eb_status failure(void) {
  eb_status status = eb_parts_list(test.context, &test.house, NULL, NULL, &parts);
  ck_assert_ptr_null(parts);
  return status;
}

static const eb_part *find(const char *item) {
  for (size_t i = 0; i < parts->n_items; i++)
    if (strcmp(parts->items[i].item, item) == 0)
      return &parts->items[i];
  return NULL;
}

static const eb_part *part(const char *kind, const char *item, double quantity) {
  const eb_part *found = find(item);
  ck_assert_msg(found != NULL, "no %s", item);
  ck_assert_str_eq(found->kind, kind);
  ck_assert_msg(found->quantity == quantity, "%s: %g, not %g", item, found->quantity, quantity);
  return found;
}

static void none(const char *item) {
  ck_assert_msg(find(item) == NULL, "there is a %s", item);
}

static size_t of_kind(const char *kind) {
  size_t count = 0;
  for (size_t i = 0; i < parts->n_items; i++)
    count += strcmp(parts->items[i].kind, kind) == 0;
  return count;
}

static void goes_to(const eb_part *found, size_t at, const char *where, double amount) {
  ck_assert_uint_lt(at, found->n_where);
  ck_assert_str_eq(found->where[at], where);
  CHECK_NEAR(found->where_amount[at], amount, 1e-12);
}

/* ---- Duct ---- */

/* 4.5 + 3.4 + 2.9 m of 3 m pieces: with 10 % 11.88 m, four pieces; a joint in each of the two
 * longer runs, one where the first two meet in a line. */
START_TEST(lengths_become_pieces_and_couplings) {
  lay(EB_EXTRACT, "one", "bath", "knee", &tin_125, 4.5);
  lay(EB_EXTRACT, "two", "knee", "unit", &tin_125, 3.4);
  lay(EB_EXHAUST, "three", "unit", "outdoors", &tin_125, 2.9);
  list();
  const eb_part *duct = part("duct", "tin-125", 4.0);
  ck_assert_str_eq(duct->unit, "pieces");
  CHECK_NEAR(duct->length_m, 10.8, 1e-12);
  CHECK_NEAR(duct->piece_m, 3.0, 0.0);
  CHECK_NEAR(duct->price, 21.9, 1e-12);
  ck_assert_str_eq(duct->known, "invented");
  ck_assert_uint_eq(duct->n_where, 3);
  goes_to(duct, 0, "one", 4.5);
  goes_to(duct, 1, "two", 3.4);
  goes_to(duct, 2, "three", 2.9);
  const eb_part *coupling = part("coupling", "coupling-tin-125", 3.0);
  goes_to(coupling, 0, "one", 1.0);
  goes_to(coupling, 1, "two", 1.0);
  goes_to(coupling, 2, "knee", 1.0);
  CHECK_NEAR(parts->duct_m, 10.8, 1e-12);
}
END_TEST

START_TEST(waste_is_the_house_s) {
  lay(EB_EXTRACT, "one", "bath", "unit", &tin_125, 4.5);
  lay(EB_EXHAUST, "three", "unit", "outdoors", &tin_125, 4.5);
  list();
  part("duct", "tin-125", 4.0); /* 9.9 m */
  CHECK_NEAR(parts->waste, 0.10, 0.0);
  ck_assert_uint_eq(ducts_found(&test, "parts-waste"), 1);
  eb_diagnostics_clear(test.context);
  test.house.parts.waste = ducts_given(0.0);
  list();
  part("duct", "tin-125", 3.0); /* 9 m to the last bit or not */
  ck_assert_uint_eq(ducts_found(&test, "parts-waste"), 0);
  test.house.parts.waste = ducts_given(0.37);
  list();
  part("duct", "tin-125", 5.0); /* 12.33 m */
  part("coupling", "coupling-tin-125", 2.0);
}
END_TEST

/* 6 m in pieces of 3 m has one joint, not two. */
START_TEST(whole_pieces_need_no_more) {
  lay(EB_EXTRACT, "one", "bath", "unit", &tin_160, 3.0 * 2.0);
  list();
  part("coupling", "coupling-tin-160", 1.0);
}
END_TEST

/* (7 x 2.9) / 2.9 is 7.000000000000001 in a computer, and still seven pieces. */
START_TEST(rounding_buys_no_piece) {
  ebi_run *run = lay(EB_EXTRACT, "one", "bath", "unit", &tin_160, 7.0 * 2.9);
  run->duct.stock_length = 2.9;
  test.house.parts.waste = ducts_given(0.0);
  list();
  part("duct", "tin-160", 7.0);
  part("coupling", "coupling-tin-160", 6.0);
}
END_TEST

START_TEST(duct_without_a_piece_is_sold_by_the_metre) {
  lay(EB_EXTRACT, "one", "bath", "unit", &own_104, 6.3);
  list();
  const eb_part *duct = part("duct", "duct-104", 7.0); /* 6.93 m */
  ck_assert_str_eq(duct->unit, "m");
  ck_assert_str_eq(duct->known, "user"); /* the house's own measures and price */
  CHECK_NEAR(duct->price, 4.4, 0.0);
  CHECK_NEAR(duct->piece_m, 0.0, 0.0);
  ck_assert_uint_eq(of_kind("coupling"), 0);
  part("reducer", "reducer-160-104", 1.0);
  part("fixing", "bracket-104", 6.0);
}
END_TEST

/* Two tubes of 9.5 m: bent by hand, a strap each 1.2 m of each, one box behind the valve. */
START_TEST(tubes_side_by_side_count_each) {
  static const ebi_fitting bend = {.entry = {.name = "bend-90"}, .price_metres = 0.9};
  lay(EB_SUPPLY, "main", "unit", "box", &tin_160, 1.3);
  ebi_run *run = ducts_with_valve(lay(EB_SUPPLY, "pair", "box", "room", &tube_75, 9.5));
  run->parallel = 2;
  fit(run, &bend, 4);
  list();
  const eb_part *duct = part("duct", "tube-75", 1.0); /* 20.9 m of a coil of 50 m */
  CHECK_NEAR(duct->length_m, 19.0, 1e-12);
  CHECK_NEAR(duct->price, 115.0, 1e-9);
  part("fixing", "strap-75", 16.0);
  part("box", "valve box, valve 125 mm, 2 ports tube-75", 1.0);
  ck_assert_uint_eq(of_kind("bend"), 0);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "parts-rules"), "bent"));
}
END_TEST

START_TEST(tubes_longer_than_a_coil_are_joined) {
  lay(EB_SUPPLY, "long", "unit", "room", &tube_75, 61.0)->parallel = 3;
  list();
  part("duct", "tube-75", 5.0); /* 201.3 m */
  part("coupling", "coupling-tube-75", 3.0);
}
END_TEST

/* 3.4 m laid at 85 % is 4 m of duct. */
START_TEST(flexible_duct_is_longer_than_its_way) {
  ebi_run *run = lay(EB_SUPPLY, "last", "unit", "room", &limp_125, 3.4);
  list();
  CHECK_NEAR(part("duct", "limp-125", 1.0)->length_m, 4.0, 1e-12);
  run->stretched = ducts_given(0.5);
  list();
  CHECK_NEAR(part("duct", "limp-125", 1.0)->length_m, 6.8, 1e-12);
  part("fixing", "strap-125", 3.0);
}
END_TEST

/* ---- Fittings ---- */

START_TEST(fittings_are_named_by_what_they_fit) {
  static const ebi_fitting bend = {.entry = {.name = "bend-90"}, .price_metres = 0.9};
  static const ebi_fitting smooth = {.entry = {.name = "bend-radius"}, .price_metres = (double)NAN};
  static const ebi_fitting silencer = {
      .entry = {.name = "silencer-125-900"}, .bore = 0.125, .length = 0.9, .price_metres = 11.0};
  static const ebi_fitting cowl = {
      .entry = {.name = "roof-cowl-125"}, .bore = 0.125, .end = true, .price_metres = 9.0};
  ebi_run *run = lay(EB_EXHAUST, "outlet", "unit", "outdoors", &tin_125, 5.6);
  fit(fit(run, &bend, 3), &silencer, 1);
  fit(fit(run, &cowl, 1), &smooth, 2);
  test.fittings[0][3].angle = ducts_given(60.0);
  test.fittings[0][3].radius = ducts_given(1.5);
  list();
  const eb_part *bends = part("bend", "bend-90-tin-125", 3.0);
  CHECK_NEAR(bends->price, 0.9 * 7.3, 1e-12);
  goes_to(bends, 0, "outlet", 3.0);
  ck_assert(isnan(part("bend", "bend-radius-60-r1.5-tin-125", 2.0)->price));
  CHECK_NEAR(part("silencer", "silencer-125-900", 1.0)->price, 80.3, 1e-9);
  part("outside end", "roof-cowl-125", 1.0);
  CHECK_NEAR(part("duct", "tin-125", 2.0)->length_m, 4.7, 1e-12); /* the silencer's 0.9 m off */
  part("coupling", "coupling-tin-125", 1.0);
}
END_TEST

START_TEST(fittings_written_twice_are_one_line) {
  static const ebi_fitting bend = {.entry = {.name = "bend-45"}, .price_metres = 0.8};
  ebi_run *run = lay(EB_EXHAUST, "outlet", "unit", "outdoors", &tin_160, 2.6);
  fit(fit(run, &bend, 1), &bend, 2);
  fit(lay(EB_OUTDOOR, "intake", "outdoors", "unit", &tin_160, 2.0), &bend, 1);
  list();
  const eb_part *bends = part("bend", "bend-45-tin-160", 4.0);
  ck_assert_uint_eq(bends->n_where, 2);
  goes_to(bends, 0, "intake", 1.0); /* the supply side comes first */
  goes_to(bends, 1, "outlet", 3.0);
}
END_TEST

START_TEST(what_has_no_name_is_listed_without_a_price) {
  static const ebi_fitting cut_off = {.entry = {.name = "exit"}, .end = true};
  static const ebi_fitting damper = {.entry = {.name = "damper"}, .price_metres = 3.0};
  ebi_run *run = lay(EB_EXHAUST, "outlet", "unit", "outdoors", &tin_160, 2.0);
  ducts_coefficient(&test, run, 1.7);
  ducts_drop(&test, run, 31.0, 43.0);
  fit(fit(run, &cut_off, 1), &damper, 1); /* price_metres 0: nothing is bought */
  list();
  ck_assert(isnan(part("other", "no name, coefficient 1.7, tin-160", 1.0)->price));
  const eb_part *drop = part("other", "no name, 31 Pa at 43 l/s, tin-160", 1.0);
  ck_assert_str_eq(drop->known, "");
  none("exit-tin-160");
  part("fitting", "damper-tin-160", 1.0);
  ck_assert_uint_eq(parts->n_unpriced, 2);
}
END_TEST

START_TEST(cones_are_named_by_both_bores) {
  static const ebi_fitting cone = {
      .entry = {.name = "reducer"}, .kind = EBI_FITTING_TO_BORE, .price_metres = 0.9};
  ebi_run *run = lay(EB_EXHAUST, "outlet", "unit", "outdoors", &tin_160, 2.0);
  fit(run, &cone, 1);
  test.fittings[0][0].to = ducts_given(0.125);
  list();
  part("reducer", "reducer-tin-160-125", 1.0);
}
END_TEST

/* ---- Insulation and fixings ---- */

/* 7.3 m, of which 4.1 m rises: 3.2 m / 1.2 m is 3 brackets, the riser 2 more. */
START_TEST(risers_need_fewer_brackets) {
  ebi_run *run = lay(EB_EXTRACT, "riser", "bath", "unit", &tin_125, 7.3);
  list();
  part("fixing", "bracket-125", 7.0);
  run->rise = ducts_given(-4.1);
  list();
  part("fixing", "bracket-125", 5.0);
  run->rise = ducts_given(9.9); /* more than its length: all of it rises */
  list();
  part("fixing", "bracket-125", 3.0);
}
END_TEST

START_TEST(insulation_goes_by_size_and_thickness) {
  ebi_run *run = lay(EB_OUTDOOR, "intake", "outdoors", "unit", &tin_160, 2.6);
  run->insulation_thickness = ducts_given(0.050);
  run->insulation_conductivity = ducts_given(0.037);
  list();
  const eb_part *wool = part("insulation", "insulation-50-160, 0.037 W/(m.K)", 3.0); /* 2.86 m */
  ck_assert_str_eq(wool->unit, "m");
  CHECK_NEAR(wool->length_m, 0.0, 0.0);
  /* own calculation: 300 a m3, pi (0.16 + 0.05) 0.05 m3 a metre */
  CHECK_NEAR(wool->price, 300.0 * 3.14159265358979 * 0.21 * 0.05, 1e-9);
  run->insulation_conductivity.given = false;
  list();
  part("insulation", "insulation-50-160", 3.0);
}
END_TEST

/* ---- Valves ---- */

START_TEST(valve_has_its_frame_and_what_joins_it) {
  ebi_run *run = ducts_with_valve(lay(EB_EXTRACT, "e-bath", "bath", "unit", &tin_100, 2.2));
  run->valve.restrictor_drop = ducts_given(20.0);
  run->valve.restrictor_at = ducts_given(8e-3);
  list();
  goes_to(part("valve", "bench-valve", 1.0), 0, "e-bath", 1.0);
  part("valve frame", "valve-frame-125", 1.0);
  part("restrictor", "restrictor-125, 20 Pa at 8 l/s", 1.0);
  part("reducer", "reducer-tin-125-100", 1.0);
  run->duct = tin_125;
  run->valve.two_position = true;
  run->valve.restrictor_drop.given = false;
  list();
  part("valve", "bench-valve, two-position", 1.0);
  ck_assert_uint_eq(of_kind("restrictor"), 0);
  ck_assert_uint_eq(of_kind("reducer"), 1); /* at the spigot of 160 mm */
  none("reducer-tin-125-100");
}
END_TEST

START_TEST(tube_ends_in_a_box_behind_its_valve) {
  ducts_with_valve(lay(EB_SUPPLY, "s", "unit", "room", &tube_75, 2.2));
  list();
  const eb_part *box = part("box", "valve box, valve 125 mm, 1 port tube-75", 1.0);
  goes_to(box, 0, "s", 1.0);
}
END_TEST

/* ---- Where runs meet ---- */

START_TEST(box_counts_its_ports) {
  lay(EB_SUPPLY, "main", "unit", "hub", &tin_160, 1.3);
  lay(EB_SUPPLY, "a", "hub", "room", &tube_75, 5.0)->parallel = 2;
  lay(EB_SUPPLY, "b", "hub", "room", &tube_63, 6.0);
  lay(EB_SUPPLY, "c", "hub", "room", &tube_75, 7.0);
  list();
  const eb_part *box = part("box", "box, inlet tin-160, 3 ports tube-75, 1 port tube-63", 1.0);
  goes_to(box, 0, "hub", 1.0);
  CHECK_NEAR(box->price, 60.0 + 4 * 9.0, 1e-12);
  ck_assert_str_eq(box->known, "invented");
  test.house.parts.box = ducts_given(41.0);
  list();
  ck_assert_str_eq(find("box, inlet tin-160, 3 ports tube-75, 1 port tube-63")->known,
                   "invented"); /* the ports still are */
  test.house.parts.port = ducts_given(5.5);
  list();
  box = part("box", "box, inlet tin-160, 3 ports tube-75, 1 port tube-63", 1.0);
  CHECK_NEAR(box->price, 41.0 + 4 * 5.5, 1e-12);
  ck_assert_str_eq(box->known, "user");
  ck_assert_uint_eq(of_kind("coupling"), 0);
}
END_TEST

/* The largest need not be the inlet: it is the one towards the unit. */
START_TEST(inlet_is_towards_the_unit) {
  lay(EB_EXTRACT, "big", "bath", "hub", &tin_160, 1.3);
  lay(EB_EXTRACT, "small", "hub", "unit", &tin_125, 1.3);
  test.junctions[0] = (ebi_junction){.name = "hub", .kind = EBI_JUNCTION_BOX};
  test.house.n_junctions = 1;
  list();
  part("box", "box, inlet tin-125, 1 port tin-160", 1.0);
}
END_TEST

static void tee(const ebi_duct_size *combined, const ebi_duct_size *straight,
                const ebi_duct_size *branch, ebi_junction junction) {
  lay(EB_EXTRACT, "e-main", "fork", "unit", combined, 1.0);
  lay(EB_EXTRACT, "e-one", "bath", "fork", straight, 1.0);
  lay(EB_EXTRACT, "e-two", "bath", "fork", branch, 1.0);
  junction.name = "fork";
  junction.where = (ebi_where){"house.yaml", 90, 3};
  test.junctions[0] = junction;
  test.house.n_junctions = 1;
}

START_TEST(tee_goes_through_in_the_size_towards_the_unit) {
  tee(&tin_125, &tin_100, &tin_80, (ebi_junction){.kind = EBI_JUNCTION_TEE, .angle = 90.0});
  list();
  const eb_part *found = part("tee", "tee-90-tin-125-125-80", 1.0);
  goes_to(found, 0, "fork", 1.0);
  CHECK_NEAR(found->price, 2.2 * 7.3, 1e-9);
  goes_to(part("reducer", "reducer-tin-125-100", 1.0), 0, "fork", 1.0);
  part("reducer", "reducer-tin-160-125", 1.0); /* at the spigot */
  ck_assert_uint_eq(of_kind("coupling"), 0);
}
END_TEST

START_TEST(wye_says_its_angle_and_its_straight_run) {
  tee(&tin_125, &tin_125, &tin_100,
      (ebi_junction){.kind = EBI_JUNCTION_WYE, .angle = 45.0, .straight = "e-two"});
  list();
  part("tee", "wye-45-tin-125-125-125", 1.0);
  part("reducer", "reducer-tin-125-100", 1.0);
}
END_TEST

START_TEST(bull_head_goes_through_in_its_larger_side) {
  tee(&tin_160, &tin_100, &tin_125, (ebi_junction){.kind = EBI_JUNCTION_TEE, .bull_head = true});
  list();
  part("tee", "tee-90-tin-125-125-160", 1.0);
  part("reducer", "reducer-tin-125-100", 1.0);
}
END_TEST

START_TEST(tee_of_two_families_names_both) {
  tee(&tin_125, &tin_125, &tube_75, (ebi_junction){.kind = EBI_JUNCTION_TEE, .angle = 90.0});
  list();
  part("tee", "tee-90-tin-125-tin-125-tube-75", 1.0);
}
END_TEST

static void pair(const ebi_duct_size *near, const ebi_duct_size *far) {
  lay(EB_EXTRACT, "near", "knee", "unit", near, 1.0);
  lay(EB_EXTRACT, "far", "bath", "knee", far, 1.0);
}

START_TEST(two_runs_of_two_sizes_need_a_reducer) {
  pair(&tin_160, &tin_125);
  list();
  const eb_part *found = part("reducer", "reducer-tin-160-125", 1.0);
  goes_to(found, 0, "knee", 1.0);
  CHECK_NEAR(found->price, 0.9 * 9.1, 1e-12);
}
END_TEST

START_TEST(two_kinds_of_one_bore_need_a_coupling_of_both) {
  pair(&pipe_125, &tin_125);
  list();
  part("coupling", "coupling-pipe-125-tin-125", 1.0);
}
END_TEST

START_TEST(round_and_flat_need_a_reducer) {
  pair(&tin_125, &flat_204);
  list();
  const eb_part *found = part("reducer", "reducer-tin-125-flat-204x60", 1.0);
  CHECK_NEAR(found->price, 0.9 * 7.3, 1e-12); /* by the duct that has a price */
}
END_TEST

START_TEST(one_duct_and_two_tubes_need_a_box) {
  pair(&tin_125, &tube_75);
  test.runs[1].parallel = 2;
  list();
  part("box", "box, inlet tin-125, 2 ports tube-75", 1.0);
  test.runs[0].duct = tube_75;
  test.runs[0].parallel = 2;
  list();
  part("coupling", "coupling-tube-75", 2.0);
  part("box", "box, inlet 160 mm, 2 ports tube-75", 1.0); /* a spigot takes one duct */
}
END_TEST

START_TEST(spigots_differ) {
  test.unit.spigot[EB_SUPPLY] = 0.125;
  test.unit.spigot[EB_EXHAUST] = 0.0;
  lay(EB_SUPPLY, "s", "unit", "room", &tin_125, 1.0);
  lay(EB_EXTRACT, "e", "bath", "unit", &tin_125, 1.0);
  lay(EB_EXHAUST, "x", "unit", "outdoors", &tin_100, 1.0);
  list();
  const eb_part *found = part("reducer", "reducer-tin-160-125", 1.0);
  ck_assert_uint_eq(found->n_where, 1);
  goes_to(found, 0, "e", 1.0);
  ck_assert_uint_eq(of_kind("reducer"), 1);
  ck_assert_uint_eq(ducts_found(&test, "spigot-unknown"), 1);
  const eb_part *unit = part("unit", "bench-unit", 1.0);
  CHECK_NEAR(unit->price, 1230.0, 0.0);
  test.house.unit = NULL;
  list();
  ck_assert_uint_eq(of_kind("unit"), 0);
  ck_assert_uint_eq(of_kind("reducer"), 0);
  ck_assert_uint_eq(ducts_found(&test, "unit-missing"), 1);
}
END_TEST

/* ---- Prices ---- */

static const ebi_own_price *own(const char *item, double price, bool per_m) {
  static ebi_own_price prices[8];
  size_t count = test.house.parts.n_prices++;
  prices[count] = (ebi_own_price){item, price, {"house.yaml", 120 + (int)count, 9}, per_m};
  test.house.parts.prices = prices;
  return &prices[count];
}

/* One run of 2.9 m (4 pieces would be too many: 3.19 m, 2 pieces) with two bends. */
static void priced_house(void) {
  static const ebi_fitting bend = {.entry = {.name = "bend-90"}, .price_metres = 0.9};
  ebi_run *run = ducts_with_valve(lay(EB_EXTRACT, "e", "bath", "unit", &tin_125, 2.9));
  fit(run, &bend, 2);
  test.unit.spigot[EB_EXTRACT] = 0.125;
}

START_TEST(own_prices_go_first) {
  priced_house();
  own("tin-125", 8.2, true);
  own("bend-90-125", 6.1, false); /* without the family */
  own("bracket-125", 1.3, false);
  own("valve-frame-125", 0.0, false); /* thrown in */
  own("bench-valve", 17.9, false);
  test.house.currency = "GBP";
  list();
  CHECK_NEAR(part("duct", "tin-125", 2.0)->price, 24.6, 1e-12);
  ck_assert_str_eq(find("tin-125")->known, "user");
  CHECK_NEAR(part("bend", "bend-90-tin-125", 2.0)->price, 6.1, 0.0);
  ck_assert_str_eq(find("bench-unit")->known, "invented");
  /* 2 x 24.6 + 2 x 6.1 + 3 x 1.3 + 17.9 + the unit */
  CHECK_NEAR(parts->price, 49.2 + 12.2 + 3.9 + 17.9 + 1230.0, 1e-9);
  ck_assert_uint_eq(parts->n_unpriced, 0);
  ck_assert_str_eq(parts->currency, "GBP");
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "prices-invented"), "1 of 6"));
  own("bend-90-tin-125", 5.9, false); /* the full name goes before the short one */
  list();
  CHECK_NEAR(find("bend-90-tin-125")->price, 5.9, 0.0);
}
END_TEST

START_TEST(piece_of_duct_may_have_its_price) {
  priced_house();
  own("tin-125", 23.5, false);
  list();
  CHECK_NEAR(find("tin-125")->price, 23.5, 0.0);
}
END_TEST

START_TEST(wrong_unit_of_a_price_is_an_error) {
  priced_house();
  own("bend-90-125", 6.1, true);
  ck_assert_int_eq(failure(), EB_E_INPUT);
  ck_assert_str_eq(ducts_message(&test, "price-unit"),
                   "bend-90-tin-125 is sold by the piece: write its price as \"6.1 each\"");
  test.runs[0].duct = own_104;
  test.house.parts.n_prices = 0;
  own("duct-104", 7.1, false);
  eb_diagnostics_clear(test.context);
  ck_assert_int_eq(failure(), EB_E_INPUT);
  ck_assert_str_eq(ducts_message(&test, "price-unit"),
                   "duct-104 is sold by the metre: write its price as \"7.1 per m\"");
}
END_TEST

START_TEST(price_of_nothing_is_said) {
  priced_house();
  own("bend-45-125", 6.1, false);
  own("tin-125", 8.2, true);
  own("silk-125", 80.0, true);
  list();
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "price-unused"), "2 of the prices"));
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "price-unused"), "bend-45-125"));
}
END_TEST

/* A valve or unit that the house describes brings its own price. */
START_TEST(own_valve_has_its_own_price) {
  ebi_valve mine = ducts_valve;
  mine.price = 21.5;
  mine.entry.source.known = "read";
  priced_house();
  test.runs[0].valve.type = &mine;
  list();
  ck_assert_str_eq(find("bench-valve")->known, "user");
  mine.price = (double)NAN;
  list();
  ck_assert_str_eq(find("bench-valve")->known, "");
}
END_TEST

/* ---- The list as a whole ---- */

START_TEST(lines_stand_by_kind_and_size) {
  lay(EB_SUPPLY, "s", "unit", "room", &tin_100, 1.0);
  lay(EB_EXTRACT, "e", "bath", "unit", &tin_80, 1.0);
  lay(EB_EXHAUST, "x", "unit", "outdoors", &tin_160, 1.0);
  lay(EB_OUTDOOR, "o", "outdoors", "unit", &pipe_125, 1.0);
  list();
  static const char *const wanted[] = {"bench-unit",
                                       "pipe-125",
                                       "tin-80",
                                       "tin-100",
                                       "tin-160",
                                       "reducer-pipe-160-125",
                                       "reducer-tin-160-80",
                                       "reducer-tin-160-100",
                                       "bracket-80",
                                       "bracket-100",
                                       "bracket-125",
                                       "bracket-160"};
  ck_assert_uint_eq(parts->n_items, sizeof wanted / sizeof wanted[0]);
  for (size_t i = 0; i < parts->n_items; i++)
    ck_assert_str_eq(parts->items[i].item, wanted[i]);
  ck_assert_uint_eq(ducts_found(&test, "open-end"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "open-end"), "4 runs"));
}
END_TEST

START_TEST(order_of_the_runs_changes_nothing_but_places) {
  priced_house();
  lay(EB_SUPPLY, "s", "unit", "room", &tin_125, 4.0);
  list();
  double price = parts->price;
  size_t lines = parts->n_items;
  ebi_run first = test.runs[0];
  test.runs[0] = test.runs[1];
  test.runs[1] = first;
  list();
  CHECK_NEAR(parts->price, price, 1e-9);
  ck_assert_uint_eq(parts->n_items, lines);
}
END_TEST

START_TEST(every_line_can_be_explained) {
  priced_house();
  test.runs[0].insulation_thickness = ducts_given(0.025);
  eb_ledger *ledger = eb_ledger_new(test.context);
  ck_assert_int_eq(eb_parts_list(test.context, &test.house, NULL, ledger, &parts), EB_OK);
  size_t count = eb_ledger_count(ledger);
  eb_step total = eb_ledger_step(ledger, count - 1);
  ck_assert_str_eq(total.id, "parts.total");
  CHECK_NEAR(total.value, parts->price, 1e-9);
  ck_assert_uint_eq(total.n_inputs, parts->n_items - parts->n_unpriced);
  double sum = 0.0;
  for (size_t i = 0; i < total.n_inputs; i++)
    sum += eb_ledger_step(ledger, total.inputs[i]).value;
  CHECK_NEAR(sum, parts->price, 1e-9);
  size_t lengths = 0;
  for (size_t i = 0; i < count; i++)
    lengths += strcmp(eb_ledger_step(ledger, i).id, "parts.length") == 0;
  ck_assert_uint_eq(lengths, 2); /* duct and insulation */
  eb_ledger_free(ledger);
}
END_TEST

/* ---- What cannot be listed ---- */

START_TEST(run_without_a_size_is_named) {
  priced_house();
  lay(EB_SUPPLY, "s-main", "unit", "room", &tin_125, 4.0)->sized = false;
  test.runs[1].duct_family = "tin";
  ck_assert_int_eq(failure(), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "duct-unsized"), 1);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "duct-unsized"), "run s-main"));
}
END_TEST

START_TEST(house_without_ducts_is_told) {
  ck_assert_int_eq(failure(), EB_E_INPUT);
  ck_assert_ptr_nonnull(strstr(ducts_message(&test, "ducts-missing"), "no ducts"));
}
END_TEST

START_TEST(runs_that_do_not_join_are_told) {
  priced_house();
  lay(EB_SUPPLY, "lost", "nowhere", "room", &tin_125, 4.0);
  ck_assert_int_eq(failure(), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "unreachable"), 1);
}
END_TEST

START_TEST(wrong_straight_run_is_told) {
  tee(&tin_125, &tin_125, &tin_100, (ebi_junction){.kind = EBI_JUNCTION_TEE, .straight = "e-main"});
  ck_assert_int_eq(failure(), EB_E_INPUT);
  ck_assert_uint_eq(ducts_found(&test, "tee-straight"), 1);
}
END_TEST

START_TEST(wrong_arguments_are_refused) {
  priced_house();
  const eb_parts_options small = {.size = 1}, good = {.size = sizeof good};
  ck_assert_int_eq(eb_parts_list(NULL, &test.house, NULL, NULL, &parts), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_parts_list(test.context, NULL, NULL, NULL, &parts), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_parts_list(test.context, &test.house, NULL, NULL, NULL), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_parts_list(test.context, &test.house, &small, NULL, &parts), EB_E_ARGUMENT);
  ck_assert_ptr_null(parts);
  ck_assert_int_eq(eb_parts_list(test.context, &test.house, &good, NULL, &parts), EB_OK);
  eb_parts_free(NULL);
}
END_TEST

Suite *suite_parts(void) {
  Suite *suite = suite_create("parts");
  DUCTS_ADD(suite, "duct", lengths_become_pieces_and_couplings, waste_is_the_house_s,
            whole_pieces_need_no_more, rounding_buys_no_piece,
            duct_without_a_piece_is_sold_by_the_metre, tubes_side_by_side_count_each,
            tubes_longer_than_a_coil_are_joined, flexible_duct_is_longer_than_its_way);
  DUCTS_ADD(suite, "fittings", fittings_are_named_by_what_they_fit,
            fittings_written_twice_are_one_line, what_has_no_name_is_listed_without_a_price,
            cones_are_named_by_both_bores, risers_need_fewer_brackets,
            insulation_goes_by_size_and_thickness, valve_has_its_frame_and_what_joins_it,
            tube_ends_in_a_box_behind_its_valve);
  DUCTS_ADD(suite, "meetings", box_counts_its_ports, inlet_is_towards_the_unit,
            tee_goes_through_in_the_size_towards_the_unit, wye_says_its_angle_and_its_straight_run,
            bull_head_goes_through_in_its_larger_side, tee_of_two_families_names_both,
            two_runs_of_two_sizes_need_a_reducer, two_kinds_of_one_bore_need_a_coupling_of_both,
            round_and_flat_need_a_reducer, one_duct_and_two_tubes_need_a_box, spigots_differ);
  DUCTS_ADD(suite, "prices", own_prices_go_first, piece_of_duct_may_have_its_price,
            wrong_unit_of_a_price_is_an_error, price_of_nothing_is_said,
            own_valve_has_its_own_price);
  DUCTS_ADD(
      suite, "whole", lines_stand_by_kind_and_size, order_of_the_runs_changes_nothing_but_places,
      every_line_can_be_explained, run_without_a_size_is_named, house_without_ducts_is_told,
      runs_that_do_not_join_are_told, wrong_straight_run_is_told, wrong_arguments_are_refused);
  return suite;
}
