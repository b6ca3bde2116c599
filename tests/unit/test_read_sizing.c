/* test_read_sizing.c - ducts to choose from and how, in a house's text */

#include <check.h>
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

static eb_status read_status(const char *text, eb_house **house) {
  return eb_house_read(context, "t.yaml", text, strlen(text), NULL, house);
}

static eb_house *read_text(const char *text) {
  eb_house *house = NULL;
  size_t count = 0;
  eb_status status = read_status(text, &house);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_msg(status == EB_OK, "%s", count > 0 ? all[count - 1].message : "nothing said");
  return house;
}

#define HOUSE "rooms: {den: {use: living, area: 21 m2, height: 2.4 m}}\n"
#define RUN(rest)                                                                                  \
  HOUSE "ducts: {supply: [{run: a, from: unit, to: den, length: 3.1 m, " rest "}]}\n"

START_TEST(family_is_all_its_sizes_by_area) {
  const ebi_run *run = &read_text(RUN("duct: steel"))->runs[0];
  ck_assert(!run->sized);
  ck_assert_str_eq(run->duct_family, "steel");
  ck_assert_uint_ge(run->n_choices, 8);
  ck_assert_str_eq(run->choices[0].name, "steel-80");
  for (size_t i = 1; i < run->n_choices; i++)
    ck_assert(run->choices[i].bore > run->choices[i - 1].bore);
}
END_TEST

START_TEST(list_of_several_families) {
  const ebi_run *run =
      &read_text(RUN("duct: [steel-160, steel-80, semirigid-75, steel-80]"))->runs[0];
  ck_assert_uint_eq(run->n_choices, 3);
  ck_assert_str_eq(run->choices[0].name, "semirigid-75");
  ck_assert_str_eq(run->choices[1].name, "steel-80");
  ck_assert_str_eq(run->choices[2].name, "steel-160");
}
END_TEST

START_TEST(families_in_a_list) {
  const eb_house *house = read_text(RUN("duct: [steel, semirigid]"));
  size_t tubes = 0;
  for (size_t i = 0; i < house->runs[0].n_choices; i++)
    tubes += strcmp(house->runs[0].choices[i].family, "semirigid") == 0;
  ck_assert(tubes > 1 && tubes < house->runs[0].n_choices);
}
END_TEST

/* A wall of 0.5 mm: 125 mm are 126 outside. */
START_TEST(height_leaves_out_what_is_higher) {
  const ebi_run *run = &read_text(RUN("duct: steel, height_at_most: 126 mm"))->runs[0];
  ck_assert_str_eq(run->choices[run->n_choices - 1].name, "steel-125");
  run = &read_text(RUN("duct: steel, height_at_most: 125.9 mm"))->runs[0];
  ck_assert_str_eq(run->choices[run->n_choices - 1].name, "steel-100");
}
END_TEST

START_TEST(number_of_tubes_to_choose) {
  const ebi_run *run = &read_text(RUN("duct: semirigid-75, parallel: {at_most: 3}"))->runs[0];
  ck_assert(!run->sized);
  ck_assert_int_eq(run->parallel_at_most, 3);
  ck_assert_uint_eq(run->n_choices, 1);
  ck_assert_str_eq(run->choices[0].name, "semirigid-75");
  run = &read_text(RUN("duct: semirigid-75, parallel: 3"))->runs[0];
  ck_assert(run->sized && run->parallel == 3 && run->parallel_at_most == 0);
}
END_TEST

START_TEST(how_sizes_are_chosen) {
  const ebi_sizing *sizing =
      &read_text(HOUSE
                 "sizing: {method: equal-friction, velocity: {main: 3.1 m/s, branch: 2.3 m/s, "
                 "terminal: 590 fpm}, friction: 0.1 in.wg/100ft, pressure_at_most: 83 Pa, "
                 "hours: 19 h/day, never_larger: yes}\n")
           ->sizing;
  ck_assert(sizing->given && sizing->never_larger);
  ck_assert_str_eq(sizing->method, "equal-friction");
  ck_assert_double_eq(sizing->main_velocity.value, 3.1);
  ck_assert_double_eq_tol(sizing->terminal_velocity.value, 590 * 0.3048 / 60, 1e-12);
  ck_assert_double_eq_tol(sizing->friction.value, 0.81722, 1e-5); /* 24.9089 Pa on 30.48 m */
  ck_assert_double_eq(sizing->pressure.value, 83);
  ck_assert_double_eq(sizing->hours.value, 19);
}
END_TEST

typedef struct wrong {
  const char *text, *code, *message;
} wrong;

static const wrong wrongs[] = {
    {RUN("duct: []"), "value-missing", "empty list"},
    {RUN("duct: [[steel]]"), "kind-wrong", "further lists"},
    {RUN("duct: [steel-125, steal-160]"), "table-unknown", "steel-160"},
    {RUN("duct: steel, height_at_most: 60 mm"), "duct-height", "steel-80, is 81 mm"},
    {RUN("duct: steel, parallel: {at_most: 11}"), "out-of-range", "11"},
    {RUN("duct: steel, parallel: {}"), "key-missing", "at_most"},
    {RUN("duct: steel, parallel: [2]"), NULL, "list"},
    {HOUSE "sizing: {method: guess}\n", "word-unknown", "life-cycle"},
    {HOUSE "sizing: {velocity: 3 m/s}\n", "kind-wrong", "velocity"},
    {HOUSE "sizing: {friction: 3 Pa}\n", "unit-wrong", "Pa/m"},
    {HOUSE "sizing: {hours: 25 h/day}\n", "out-of-range", "25"},
};
enum { WRONGS = sizeof wrongs / sizeof wrongs[0] };

START_TEST(bad_values_are_told) {
  const wrong *w = &wrongs[_i];
  eb_house *house = NULL;
  size_t count = 0;
  ck_assert_int_ne(read_status(w->text, &house), EB_OK);
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_uint_ge(count, 1);
  ck_assert_msg(w->code == NULL || strcmp(all[0].code, w->code) == 0, "%s: %s", all[0].code,
                all[0].message);
  ck_assert_msg(strstr(all[0].message, w->message) != NULL, "%s: %s", all[0].code, all[0].message);
}
END_TEST

START_TEST(written_duct_that_is_too_high_is_told) {
  size_t count = 0;
  read_text(RUN("duct: steel-125, height_at_most: 90 mm"));
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_uint_eq(count, 1);
  ck_assert_str_eq(all[0].code, "duct-height");
  ck_assert_int_eq(all[0].severity, EB_WARNING);
}
END_TEST

Suite *suite_read_sizing(void) {
  Suite *suite = suite_create("read_sizing");
  TCase *good = tcase_create("choices"), *bad = tcase_create("bad values");
  tcase_add_checked_fixture(good, begin, end);
  tcase_add_checked_fixture(bad, begin, end);
  tcase_add_test(good, family_is_all_its_sizes_by_area);
  tcase_add_test(good, list_of_several_families);
  tcase_add_test(good, families_in_a_list);
  tcase_add_test(good, height_leaves_out_what_is_higher);
  tcase_add_test(good, number_of_tubes_to_choose);
  tcase_add_test(good, how_sizes_are_chosen);
  tcase_add_test(good, written_duct_that_is_too_high_is_told);
  tcase_add_loop_test(bad, bad_values_are_told, 0, WRONGS);
  suite_add_tcase(suite, good);
  suite_add_tcase(suite, bad);
  return suite;
}
