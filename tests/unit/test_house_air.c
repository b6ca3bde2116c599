/* test_house_air.c - appliances, openings and humidity in a house's text; its units */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/house.h"
#include "suites.h"

static eb_context *context;

static void begin(void) {
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
}

static void end(void) {
  eb_context_free(context);
}

static eb_house *read_text(const char *text) {
  eb_house *house = NULL;
  size_t count = 0;
  eb_status status = eb_house_read(context, "t.yaml", text, strlen(text), NULL, &house);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_msg(status == EB_OK, "%s", count > 0 ? all[0].message : "nothing said");
  return house;
}

#define ROOMS                                                                                      \
  "rooms:\n"                                                                                       \
  "  kitchen: {use: kitchen, area: 9.3 m2, height: 2.37 m}\n"                                      \
  "  living: {use: living, area: 21.7 m2, height: 2.37 m}\n"

START_TEST(hood_with_its_curve) {
  const eb_house *house = read_text(
      ROOMS "appliances:\n"
            "  - {kind: cooker-hood, room: kitchen, curve: {columns: [m3/h, Pa], points: [[0, "
            "310], [360, 170], [612, 0]]}, duct: {drop: 0.2 in.wg, at: 90 l/s}}\n"
            "  - {kind: extract-fan, room: kitchen, flow: 17 l/s}\n");
  ck_assert_uint_eq(house->n_appliances, 2);
  const ebi_appliance *hood = &house->appliances[0];
  ck_assert_uint_eq(hood->n_curve, 3);
  ck_assert_double_eq_tol(hood->curve[1].flow, 0.1, 1e-15);
  ck_assert_double_eq(hood->curve[1].pressure, 170.0);
  ck_assert(isnan(hood->curve[1].power));
  ck_assert_double_eq_tol(hood->duct_drop.value, 0.2 * 249.08891, 1e-9);
  ck_assert_double_eq_tol(hood->duct_at.value, 0.09, 1e-15);
  ck_assert_ptr_null(house->appliances[1].curve);
  ck_assert(!house->appliances[1].duct_drop.given);
}
END_TEST

START_TEST(openings_by_room) {
  const eb_house *house = read_text(ROOMS "openings:\n"
                                          "  - {room: living, area: 180 cm2}\n"
                                          "  - {room: kitchen, area: 27 in2}\n");
  ck_assert_uint_eq(house->n_openings, 2);
  ck_assert_ptr_eq(house->openings[0].room, house->rooms[1].name);
  ck_assert_double_eq_tol(house->openings[0].area, 0.018, 1e-15);
  ck_assert_double_eq_tol(house->openings[1].area, 27.0 * 0.0254 * 0.0254, 1e-15);
  ck_assert_int_eq(house->openings[1].where.line, 6);
}
END_TEST

START_TEST(humidity_inside_and_outside) {
  const eb_house *house = read_text(ROOMS "site: {humidity: 47 %, outdoor_humidity: 0.83}\n");
  ck_assert_double_eq_tol(house->indoor_humidity.value, 0.47, 1e-15);
  ck_assert_double_eq_tol(house->outdoor_humidity.value, 0.83, 1e-15);
  ck_assert(!read_text(ROOMS)->indoor_humidity.given);
}
END_TEST

/* ---- One house in three systems of units ---- */

static const char *const bores[] = {"127 mm", "5 in", "0.127 m"};
static const char *const lengths[] = {"6096 mm", "20 ft", "6.096 m"};
static const char *const thicknesses[] = {"25.4 mm", "1 in", "0.0254 m"};
static const char *const roughnesses[] = {"0.09 mm", "0.0035433070866141732 in", "0.00009 m"};
static const char *const flows[] = {"15 l/s", "54 m3/h", "0.015 m3/s"};
static const char *const colds[] = {"-5 C", "23 F", "268.15 K"};
static const char *const warms[] = {"20 C", "68 F", "293.15 K"};

static eb_house *house_in(int units) {
  char text[4096];
  const char *b = bores[units], *r = roughnesses[units], *l = lengths[units], *q = flows[units];
  snprintf(
      text, sizeof text,
      "rules: none\n"
      "site: {indoor: %s, outdoor: %s, altitude: 0 m}\n"
      "rooms:\n"
      "  bed: {use: bedroom, area: 9 m2, height: 2.4 m, supply: %s}\n"
      "  bath: {use: bathroom, area: 5 m2, height: 2.4 m, extract: {normal: %s, boost: 25 l/s}}\n"
      "ducts:\n"
      "  supply:\n"
      "    - {run: a, from: unit, to: bed, duct: {bore: %s, roughness: %s}, length: %s, space: "
      "{temperature: %s}, insulation: {thickness: %s, conductivity: 0.04 W/(m.K)}, valve: mine}\n"
      "  extract:\n"
      "    - {run: c, from: bath, to: unit, duct: {bore: %s, roughness: %s}, length: %s, valve: "
      "mine}\n"
      "unit:\n"
      "  name: my unit\n"
      "  exchanger: {temperature_ratio: 85 %%, at: 15 l/s}\n"
      "  fan: {curves: [{speed: 100 %%, columns: [l/s, Pa, W], points: [[0, 420, 30], [40, 360, "
      "45], [80, 180, 70]]}]}\n"
      "valves: {mine: {loss: {columns: [mm, l/s/Pa^0.5], points: [[2, 0.8], [6, 2.1], [12, "
      "3.6]]}}}\n",
      warms[units], colds[units], q, q, b, r, l, colds[units], thicknesses[units], b, r, l);
  return read_text(text);
}

static const eb_ducts *ducts_in(int units) {
  const eb_house *house = house_in(units);
  const eb_rates *rates = NULL;
  const eb_ducts *ducts = NULL;
  ck_assert_int_eq(eb_rates_plan(context, house, NULL, NULL, &rates), EB_OK);
  ck_assert_int_eq(eb_ducts_design(context, house, rates, NULL, NULL, &ducts), EB_OK);
  return ducts;
}

static void near(double found, double wanted) {
  ck_assert_msg(fabs(found - wanted) <= 1e-9 * fabs(wanted), "%.15g is not %.15g", found, wanted);
}

START_TEST(units_do_not_matter) {
  const eb_ducts *one = ducts_in(0);
  for (int units = 1; units < 3; units++) {
    const eb_ducts *other = ducts_in(units);
    for (size_t l = 0; l < one->n_levels; l++) {
      near(other->levels[l].supply.pressure_pa, one->levels[l].supply.pressure_pa);
      near(other->levels[l].extract.speed, one->levels[l].extract.speed);
      near(other->levels[l].rooms[0].supply_c, one->levels[l].rooms[0].supply_c);
      for (size_t i = 0; i < one->n_runs; i++) {
        near(other->levels[l].runs[i].total_pa, one->levels[l].runs[i].total_pa);
        near(other->levels[l].runs[i].flow_m3_s, one->levels[l].runs[i].flow_m3_s);
      }
      near(other->levels[l].runs[0].heat_w, one->levels[l].runs[0].heat_w);
    }
  }
  ck_assert_double_lt(one->levels[0].rooms[0].supply_c, 15.0);
}
END_TEST

Suite *suite_house_air(void) {
  Suite *suite = suite_create("house_air");
  TCase *tcase = tcase_create("house_air");
  tcase_add_checked_fixture(tcase, begin, end);
  tcase_add_test(tcase, hood_with_its_curve);
  tcase_add_test(tcase, openings_by_room);
  tcase_add_test(tcase, humidity_inside_and_outside);
  tcase_add_test(tcase, units_do_not_matter);
  suite_add_tcase(suite, tcase);
  return suite;
}
