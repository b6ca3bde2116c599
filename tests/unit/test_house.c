/* test_house.c - a whole house from its text */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/house.h"
#include "suites.h"

static eb_context *context;
static eb_house *house;

/* The tables of the source tree, wherever the tests are started. */
static void begin(void) {
  const char *source = getenv("srcdir");
  char folder[4096];
  house = NULL;
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  snprintf(folder, sizeof folder, "%s/tables", source ? source : ".");
  ck_assert_int_eq(eb_tables_search(context, folder), EB_OK);
}

static void end(void) {
  eb_context_free(context);
}

static eb_status read_with(const char *text, const char *override) {
  eb_read_options options = {sizeof options, &override, override ? 1 : 0, 0};
  return eb_house_read(context, "t.yaml", text, strlen(text), &options, &house);
}

static void check_said(size_t number, const char *code, const char *part) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_uint_gt(count, number);
  ck_assert_str_eq(all[number].code, code);
  ck_assert_msg(strstr(all[number].message, part) != NULL, "%s", all[number].message);
}

static void read_well(const char *text) {
  size_t count = 0;
  eb_status status = read_with(text, NULL);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_msg(status == EB_OK, "%s", count ? all[0].message : "nothing said");
}

static void read_example(const char *name) {
  const char *source = getenv("srcdir");
  char path[4096];
  snprintf(path, sizeof path, "%s/tests/houses/%s", source ? source : ".", name);
  ck_assert_int_eq(eb_house_read_file(context, path, NULL, &house), EB_OK);
}

/* ---- The language, key by key ------------------------------------------ */

START_TEST(first_example) {
  read_example("language-1.yaml");
  ck_assert_str_eq(eb_house_dwelling(house), "Alder Row 4");
  ck_assert(eb_house_has_ducts(house));
  ck_assert_str_eq(house->rules->entry.name, "england-2021");
  ck_assert_double_eq(house->bedrooms.value, 3);
  ck_assert_double_eq(house->people.value, 4);
  ck_assert_double_eq(house->floor_area.value, 92);
  ck_assert_double_eq(house->volume.value, 221);
  ck_assert_str_eq(house->currency, "GBP");
  ck_assert_str_eq(house->climate->entry.name, "nottingham");
  ck_assert_double_eq(house->altitude.value, 60);
  ck_assert_double_eq(house->indoor.value, 20);
  ck_assert(!house->outdoor.given && !house->q50.given && !house->envelope_area.given);
  ck_assert_double_eq(house->heat_loss.value, 78);
  ck_assert_double_eq(house->gains.value, 320);
  ck_assert_double_eq(house->n50.value, 1);
  ck_assert_str_eq(house->shielding, "normal");
  ck_assert_str_eq(house->unit->entry.name, "generic-unit-a");
  ck_assert_str_eq(house->set_level, "normal");
  ck_assert_int_eq(house->duct_leakage_class, 'B');
  ck_assert_str_eq(house->baseline->entry.name, "trickle-vents");
}
END_TEST

START_TEST(first_example_rooms) {
  read_example("language-1.yaml");
  ck_assert_uint_eq(house->n_rooms, 5);
  const ebi_room *bed = &house->rooms[2], *bath = &house->rooms[3];
  ck_assert_str_eq(bed->name, "bed-1");
  ck_assert_str_eq(bed->uses[0], "bedroom");
  ck_assert_double_eq_tol(bed->volume.value, 14 * 2.4, 1e-12);
  ck_assert_int_eq(bed->storey, 1);
  ck_assert_double_eq(bed->sleepers.value, 2);
  ck_assert_double_eq(bed->sound_limit.value, 25);
  ck_assert(bed->outside_wall && bed->openable_window && !bed->hood_to_outside);
  ck_assert(!bath->outside_wall && !bath->openable_window);
  ck_assert_uint_eq(house->n_doors, 1);
  ck_assert_ptr_eq(house->doors[0].between[0], bed->name);
  ck_assert_ptr_eq(house->doors[0].between[1], house->rooms[4].name);
  ck_assert_double_eq_tol(house->doors[0].width.value, 0.762, 1e-15);
  ck_assert_double_eq_tol(house->doors[0].undercut.value, 0.010, 1e-15);
  ck_assert(house->doors[0].finish_laid);
  ck_assert_uint_eq(house->n_appliances, 2);
  ck_assert_str_eq(house->appliances[0].burner, "vaporising");
  ck_assert_ptr_eq(house->appliances[1].room, house->rooms[1].name);
  ck_assert_double_eq_tol(house->appliances[1].flow.value, 0.120, 1e-15);
}
END_TEST

START_TEST(first_example_levels_and_costs) {
  read_example("language-1.yaml");
  ck_assert_uint_eq(house->n_levels, 3);
  ck_assert_str_eq(house->levels[0].name, "low");
  ck_assert_double_eq(house->levels[0].share.value, 0.70);
  ck_assert(!house->levels[0].at_least && house->levels[1].at_least);
  ck_assert_double_eq(house->levels[1].share.value, 1.30);
  ck_assert_double_eq(house->levels[1].hours_per_day.value, 1.5);
  ck_assert_double_eq(house->levels[2].share.value, 1.40);
  ck_assert(house->electricity.given && house->heating.given);
  ck_assert_double_eq_tol(house->electricity.price, 0.27 / 3.6e6, 1e-20);
  ck_assert_double_eq_tol(house->heating.carbon.value, 0.21 / 3.6e6, 1e-20);
  ck_assert_double_eq(house->electricity.efficiency, 1);
  ck_assert_double_eq(house->heating.efficiency, 0.90);
  ck_assert_str_eq(house->heating.date, "2026-11");
  ck_assert_str_eq(house->heating.source, "our bill");
}
END_TEST

START_TEST(first_example_runs) {
  read_example("language-1.yaml");
  ck_assert_uint_eq(house->n_runs, 8);
  const ebi_run *main_run = &house->runs[1], *bed = &house->runs[2], *bath = &house->runs[6];
  ck_assert_int_eq(house->runs[0].air, EB_OUTDOOR);
  ck_assert_int_eq(house->runs[7].air, EB_EXHAUST);
  ck_assert_str_eq(main_run->name, "s-main");
  ck_assert_str_eq(main_run->from, "unit");
  ck_assert_str_eq(main_run->to, "s-box");
  ck_assert_double_eq(main_run->length, 1.8);
  ck_assert_int_eq(main_run->parallel, 1);
  ck_assert_uint_eq(main_run->n_fittings, 2);
  ck_assert_int_eq(main_run->fittings[0].count, 2);
  ck_assert_str_eq(main_run->fittings[0].fitting->entry.name, "bend-90");
  ck_assert_str_eq(main_run->fittings[1].fitting->entry.name, "silencer-160-900");
  ck_assert(main_run->sized && main_run->valve.type == NULL);
  ck_assert_double_eq_tol(main_run->duct.bore, 0.160, 1e-15);
  ck_assert_int_eq(bed->parallel, 2);
  ck_assert_str_eq(bed->valve.type->entry.name, "supply-valve-125");
  ck_assert(!house->runs[4].sized);
  ck_assert_str_eq(house->runs[4].duct_family, "steel");
  ck_assert_double_eq(bath->valve.restrictor_drop.value, 20);
  ck_assert_double_eq_tol(bath->valve.restrictor_at.value, 0.008, 1e-15);
  ck_assert_uint_eq(house->n_junctions, 2);
  ck_assert_int_eq(house->junctions[0].kind, EBI_JUNCTION_BOX);
  ck_assert_int_eq(house->junctions[1].kind, EBI_JUNCTION_TEE);
  ck_assert_str_eq(house->junctions[1].straight, "e-kit");
  ck_assert_double_eq(house->junctions[1].angle, 90);
}
END_TEST

START_TEST(second_example) {
  read_example("language-2.yaml");
  ck_assert_ptr_null(house->rules);
  ck_assert_ptr_nonnull(house->rules_where.file);
  ck_assert_double_eq_tol(house->rooms[0].supply.normal.value, 0.008, 1e-15);
  ck_assert(!house->rooms[0].supply.boost.given && !house->rooms[0].extract.normal.given);
  ck_assert_double_eq_tol(house->rooms[1].extract.boost.value, 0.015, 1e-15);
  const ebi_run *a = &house->runs[0], *b = &house->runs[1], *c = &house->runs[2];
  ck_assert_double_eq_tol(a->duct.bore, 0.104, 1e-15);
  ck_assert_double_eq(a->share.value, 0.60);
  ck_assert_int_eq(b->duct.shape, EBI_RECTANGLE);
  ck_assert_double_eq_tol(b->duct.height, 0.060, 1e-15);
  ck_assert_double_eq(b->space_temperature.value, 2);
  ck_assert_double_eq_tol(b->insulation_thickness.value, 0.025, 1e-15);
  ck_assert_double_eq(b->insulation_conductivity.value, 0.04);
  ck_assert(!b->share.given && c->valve.two_position);
  ck_assert_double_eq(c->valve.normal.value, 6);
  ck_assert_double_eq(c->valve.boost.value, 14);
  ck_assert_uint_eq(c->valve.type->n_loss, 3);
  check_said(0, "valve-curve", "2 to 12 mm"); /* a warning: 14 is beyond */
  ck_assert_double_eq(house->unit->temperature_ratio, 0.85);
  ck_assert_str_eq(eb_house_dwelling(house), "");
}
END_TEST

START_TEST(forms_of_a_fitting) {
  read_well("rooms: {a: {use: [living, kitchen], volume: 50 m3}}\n"
            "ducts: {supply: [{run: r, from: a, to: unit, duct: steel-125, length: 3 m, fittings: "
            "[3 x bend-90, 2x bend-45, {fitting: bend-90, count: 4, radius: 1.5, angle: 45}, "
            "{coefficient: 1.2}, {drop: 30 Pa, at: 40 l/s}]}]}\n");
  const ebi_run_fitting *list = house->runs[0].fittings;
  ck_assert_uint_eq(house->runs[0].n_fittings, 5);
  ck_assert_int_eq(list[0].count, 3);
  ck_assert_int_eq(list[1].count, 2);
  ck_assert_str_eq(list[1].fitting->entry.name, "bend-45");
  ck_assert_int_eq(list[2].count, 4);
  ck_assert_double_eq(list[2].radius.value, 1.5);
  ck_assert_double_eq(list[2].angle.value, 45);
  ck_assert(list[3].fitting == NULL && list[3].coefficient.value == 1.2 && list[3].count == 1);
  ck_assert_double_eq(list[4].drop.value, 30);
  ck_assert_double_eq_tol(list[4].at.value, 0.040, 1e-15);
  ck_assert_uint_eq(house->rooms[0].n_uses, 2);
  ck_assert_str_eq(house->rooms[0].uses[1], "kitchen");
  ck_assert_str_eq(house->runs[0].from, "a"); /* as written, though it is backwards */
}
END_TEST

START_TEST(leakage_of_the_envelope) {
  read_well("rooms: {a: {use: living, area: 9 m2}}\n"
            "envelope: {leakage: 1.5 m3/(h.m2), envelope_area: 240 m2}\n"
            "baseline: {kind: trickle-vents, leakage: 5 ach, fans: 3, air_change: 0.4 1/h}\n");
  ck_assert(!house->n50.given);
  ck_assert_double_eq_tol(house->q50.value, 1.5 / 3600, 1e-18);
  ck_assert_double_eq(house->envelope_area.value, 240);
  ck_assert_double_eq(house->baseline_n50.value, 5);
  ck_assert_double_eq(house->baseline_fans.value, 3);
  ck_assert_double_eq(house->baseline_air_change.value, 0.4);
}
END_TEST

START_TEST(half_finished) {
  read_well("rooms: {a: {use: living, area: 9 m2}}\n");
  ck_assert(!eb_house_has_ducts(house) && house->unit == NULL && house->climate == NULL);
  ck_assert(house->rules == NULL && house->rules_where.file == NULL && house->baseline == NULL);
  ck_assert(!house->rooms[0].volume.given);
}
END_TEST

START_TEST(default_baseline) {
  read_well("site: {climate: nottingham}\nrooms: {a: {use: living, area: 9 m2}}\n");
  ck_assert_str_eq(house->baseline->entry.name, "trickle-vents");
}
END_TEST

/* ---- Ownership and options --------------------------------------------- */

static void check_where(const char *text, const eb_read_options *options, int line, int column) {
  size_t count;
  eb_diagnostics_clear(context);
  ck_assert_int_ne(eb_house_read(context, "t.yaml", text, strlen(text), options, &house), EB_OK);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_uint_gt(count, 0);
  ck_assert_int_eq(all[0].line, line);
  ck_assert_int_eq(all[0].column, column);
}

/* A house that is a part of a longer stream. */
START_TEST(first_line) {
  eb_read_options options = {.size = sizeof options, .first_line = 317};
  check_where("rooms:\n  a: {use: living, area: 9}\n", &options, 318, 26);
  check_where("rooms: {}\nrooms: {}\n", &options, 318, 1);
  check_said(0, "key-duplicate", "line 317");
  check_where("rooms:\n\n\ta: {}\n", &options, 319, 1);
  check_where("bedrooms: 3\na: \xC3(\n", &options, 318, 4);
  check_where("# nobody\n", &options, 317, 1);
  check_where("rooms: [a, b\n\n", &options, 319, 1);
  options.first_line = 0;
  check_where("rooms:\n  a: {use: living, area: 9}\n", &options, 2, 26);
  options.first_line = -5;
  check_where("rooms:\n  a: {use: living, area: 9}\n", &options, 2, 26);
}
END_TEST

/* As programs pass them that were built before there was a first line. */
START_TEST(shorter_options) {
  eb_read_options options = {.size = offsetof(eb_read_options, first_line), .first_line = 317};
  check_where("rooms:\n  a: {use: living, area: 9}\n", &options, 2, 26);
  options.size--;
  ck_assert_int_eq(eb_house_read(context, "t", "", 0, &options, &house), EB_E_ARGUMENT);
}
END_TEST

START_TEST(wrong_arguments) {
  eb_read_options small = {1, NULL, 0, 0};
  eb_read_options none = {sizeof none, NULL, 1, 0};
  ck_assert_int_eq(eb_house_read(NULL, "t", "", 0, NULL, &house), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_read(context, NULL, "", 0, NULL, &house), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_read(context, "t", NULL, 1, NULL, &house), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_read(context, "t", "", 0, NULL, NULL), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_read(context, "t", "", 0, &small, &house), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_read(context, "t", "", 0, &none, &house), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_read_file(context, NULL, NULL, &house), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_read(context, "t", NULL, 0, NULL, &house), EB_E_SYNTAX);
  ck_assert_str_eq(eb_house_dwelling(NULL), "");
  ck_assert(!eb_house_has_ducts(NULL));
  eb_house_free(NULL);
}
END_TEST

START_TEST(overrides) {
  const char *text = "rooms: {a: {use: living, area: 9 m2}}\n";
  ck_assert_int_eq(read_with(text, "rooms.a.area=11.5 m2"), EB_OK);
  ck_assert_double_eq(house->rooms[0].area.value, 11.5);
  house = NULL;
  ck_assert_int_eq(read_with(text, "rooms.a.aera=11.5 m2"), EB_E_INPUT);
  check_said(0, "key-unknown", "did you mean \"area\"");
  ck_assert_ptr_null(house);
  eb_diagnostics_clear(context);
  ck_assert_int_eq(read_with(text, "rooms.a.area=11.5"), EB_E_INPUT);
  check_said(0, "unit-missing", "11.5 m2");
  eb_diagnostics_clear(context);
  ck_assert_int_eq(read_with(text, "rooms.a.area"), EB_E_INPUT);
  check_said(0, "override", "PATH=VALUE");
}
END_TEST

START_TEST(statuses) {
  ck_assert_int_eq(read_with("rooms: {a: {use: living, area: 9}}\n", NULL), EB_E_INPUT);
  ck_assert_int_eq(read_with("unit: none-such\nrooms: {a: {use: living, area: 9 m2}}\n", NULL),
                   EB_E_TABLE);
  ck_assert_int_eq(read_with("rooms: {a: {use: living, area: 9}}\nrooms: {}\n", NULL), EB_E_SYNTAX);
  ck_assert_ptr_null(house);
}
END_TEST

/* All in one go: what is wrong with the text and with what it says. */
START_TEST(all_problems_at_once) {
  size_t count = 0;
  ck_assert_int_eq(read_with("rooms: {a: {use: living, area:9 m2}, b: {use: livin, area: 9}}\n"
                             "flor_area: 9 m2\n",
                             NULL),
                   EB_E_SYNTAX);
  eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, 4);
  check_said(0, "colon-blank", "area: 9 m2");
  check_said(1, "key-unknown", "floor_area");
  check_said(2, "word-unknown", "living");
  check_said(3, "unit-missing", "9 m2");
}
END_TEST

/* 10,000 rooms on one box: no step may grow faster than the house. */
START_TEST(large_house) {
  enum { ROOMS = 10000 };
  size_t size = (size_t)ROOMS * 160 + 200, n = 0;
  char *text = malloc(size);
  ck_assert_ptr_nonnull(text);
  n += (size_t)snprintf(text + n, size - n, "rooms:\n");
  for (int i = 0; i < ROOMS; i++)
    n += (size_t)snprintf(text + n, size - n, "  r%d: {use: study, area: 9 m2}\n", i);
  n += (size_t)snprintf(text + n, size - n,
                        "ducts:\n  supply:\n  - {run: m, from: unit, to: box, duct: steel-160, "
                        "length: 1 m}\n");
  for (int i = 0; i < ROOMS; i++)
    n += (size_t)snprintf(text + n, size - n,
                          "  - {run: s%d, from: box, to: r%d, duct: steel-100, length: 3 m}\n", i,
                          i);
  read_well(text);
  ck_assert_uint_eq(house->n_runs, ROOMS + 1);
  free(text);
}
END_TEST

START_TEST(houses_in_a_row) {
  for (int i = 0; i < 50; i++) {
    read_example("language-1.yaml");
    eb_house_free(house);
  }
}
END_TEST

Suite *suite_house(void) {
  Suite *suite = suite_create("house");
  TCase *cases = tcase_create("house");
  tcase_add_checked_fixture(cases, begin, end);
  tcase_set_timeout(cases, 120);
  tcase_add_test(cases, first_example);
  tcase_add_test(cases, first_example_rooms);
  tcase_add_test(cases, first_example_levels_and_costs);
  tcase_add_test(cases, first_example_runs);
  tcase_add_test(cases, second_example);
  tcase_add_test(cases, forms_of_a_fitting);
  tcase_add_test(cases, leakage_of_the_envelope);
  tcase_add_test(cases, half_finished);
  tcase_add_test(cases, default_baseline);
  tcase_add_test(cases, wrong_arguments);
  tcase_add_test(cases, first_line);
  tcase_add_test(cases, shorter_options);
  tcase_add_test(cases, overrides);
  tcase_add_test(cases, statuses);
  tcase_add_test(cases, all_problems_at_once);
  tcase_add_test(cases, large_house);
  tcase_add_test(cases, houses_in_a_row);
  suite_add_tcase(suite, cases);
  return suite;
}
