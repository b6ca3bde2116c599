/* test_root.c - bracketed roots */

#include "numeric/root.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "suites.h"

typedef struct probe {
  double shift;
  int calls;
  double bad_from, bad_to; /* not finite between */
} probe;

static double cubic(double x, void *data) {
  probe *p = data;
  p->calls++;
  if (x > p->bad_from && x < p->bad_to)
    return NAN;
  return x * x * x - p->shift;
}

START_TEST(finds_the_root) {
  probe p = {.shift = 17.3};
  double root = -1.0;
  ck_assert_int_eq(ebi_root((ebi_function){cubic, &p}, -3.1, 40.7, 1e-13, &root), EB_OK);
  ck_assert_double_eq_tol(root, cbrt(17.3), 1e-12);
  ck_assert_int_lt(p.calls, 60);
}
END_TEST

static double stairs(double x, void *data) {
  (void)data;
  return x < 0.37129 ? -1.0 : 1.0;
}

/* A step has no root, but the place of its change of sign is found. */
START_TEST(finds_a_step) {
  double root = -1.0;
  ck_assert_int_eq(ebi_root((ebi_function){stairs, NULL}, -2.0, 5.3, 1e-12, &root), EB_OK);
  ck_assert_double_eq_tol(root, 0.37129, 2e-12);
}
END_TEST

START_TEST(zero_at_an_end) {
  probe p = {.shift = 8.0};
  double root = -1.0;
  ck_assert_int_eq(ebi_root((ebi_function){cubic, &p}, 2.0, 9.0, 1e-9, &root), EB_OK);
  ck_assert_double_eq(root, 2.0);
  ck_assert_int_eq(ebi_root((ebi_function){cubic, &p}, -4.0, 2.0, 1e-9, &root), EB_OK);
  ck_assert_double_eq(root, 2.0);
}
END_TEST

/* Of a rising function: its zero, or the end nearer to it. */
START_TEST(rising_function) {
  probe p = {.shift = 17.3};
  ck_assert_double_eq_tol(ebi_root_rising((ebi_function){cubic, &p}, -3.1, 40.7, 1e-13), cbrt(17.3),
                          1e-12);
  ck_assert_double_eq(ebi_root_rising((ebi_function){cubic, &p}, 2.9, 40.7, 1e-13), 2.9);
  ck_assert_double_eq(ebi_root_rising((ebi_function){cubic, &p}, -3.1, 2.1, 1e-13), 2.1);
  probe bad = {.shift = 17.3, .bad_from = -1.0, .bad_to = 3.9};
  ck_assert(isnan(ebi_root_rising((ebi_function){cubic, &bad}, -3.0, 4.0, 1e-9)));
}
END_TEST

START_TEST(no_change_of_sign) {
  probe p = {.shift = -1e3};
  double root = -1.0;
  ck_assert_int_eq(ebi_root((ebi_function){cubic, &p}, 1.0, 7.0, 1e-9, &root), EB_E_NO_SOLUTION);
  ck_assert_double_eq(root, -1.0);
}
END_TEST

START_TEST(values_that_are_not_finite) {
  double root = -1.0;
  probe inside = {.shift = 17.3, .bad_from = -1.0, .bad_to = 3.9};
  probe at_end = {.shift = 17.3, .bad_from = 6.0, .bad_to = 9.0};
  ck_assert_int_eq(ebi_root((ebi_function){cubic, &inside}, -3.0, 4.0, 1e-9, &root), EB_E_DIVERGED);
  ck_assert_int_eq(ebi_root((ebi_function){cubic, &at_end}, -3.0, 7.0, 1e-9, &root), EB_E_DIVERGED);
  ck_assert_double_eq(root, -1.0);
}
END_TEST

START_TEST(wrong_arguments) {
  probe p = {.shift = 8.0};
  ebi_function f = {cubic, &p};
  double root = -1.0;
  ck_assert_int_eq(ebi_root(f, 3.0, 3.0, 1e-9, &root), EB_E_ARGUMENT);
  ck_assert_int_eq(ebi_root(f, 5.0, 1.0, 1e-9, &root), EB_E_ARGUMENT);
  ck_assert_int_eq(ebi_root(f, NAN, 1.0, 1e-9, &root), EB_E_ARGUMENT);
  ck_assert_int_eq(ebi_root(f, 1.0, INFINITY, 1e-9, &root), EB_E_ARGUMENT);
  ck_assert_int_eq(ebi_root(f, 1.0, 5.0, 0.0, &root), EB_E_ARGUMENT);
  ck_assert_int_eq(p.calls, 0);
}
END_TEST

Suite *suite_root(void) {
  Suite *suite = suite_create("root");
  TCase *tcase = tcase_create("root");
  tcase_add_test(tcase, finds_the_root);
  tcase_add_test(tcase, finds_a_step);
  tcase_add_test(tcase, zero_at_an_end);
  tcase_add_test(tcase, rising_function);
  tcase_add_test(tcase, no_change_of_sign);
  tcase_add_test(tcase, values_that_are_not_finite);
  tcase_add_test(tcase, wrong_arguments);
  suite_add_tcase(suite, tcase);
  return suite;
}
