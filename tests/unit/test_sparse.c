/* test_sparse.c - sparse linear systems */

#include "numeric/sparse.h"

#include <check.h>
#include <math.h>

#include "base/context.h"
#include "suites.h"

static eb_context *context;
static ebi_arena *arena;
static ebi_sparse *sparse_system;

static void setup(void) {
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  arena = ebi_context_arena(context);
  ck_assert_ptr_nonnull(arena);
  sparse_system = NULL;
}

static void teardown(void) {
  ebi_sparse_free(sparse_system);
  eb_context_free(context);
}

/* 4.7 -1.3  0     x = 0.31        Lower triangle; 4.7 in two pieces, in no order, and an entry
 * -1.3 3.9 -0.7       -1.7        above the diagonal that must be ignored. */
static const size_t row3[] = {2, 0, 1, 1, 0, 2, 0}, column3[] = {1, 0, 0, 1, 0, 2, 2};

START_TEST(a_symmetric_system_adds_up_entries) {
  ck_assert_int_eq(ebi_sparse_new(arena, EBI_SPARSE_SYMMETRIC, 3, row3, column3, 7, &sparse_system),
                   EB_OK);
  double values[] = {-0.7, 1.6, -1.3, 3.9, 3.1, 5.3, 77.0};
  double x[] = {0.31, -1.7, 2.9};
  double b[] = {4.7 * x[0] - 1.3 * x[1], -1.3 * x[0] + 3.9 * x[1] - 0.7 * x[2],
                -0.7 * x[1] + 5.3 * x[2]};
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, values, b), EB_OK);
  for (int i = 0; i < 3; i++)
    ck_assert_double_eq_tol(b[i], x[i], 1e-14);
}
END_TEST

START_TEST(values_change_and_a_solution_does_not_depend_on_earlier_ones) {
  ck_assert_int_eq(ebi_sparse_new(arena, EBI_SPARSE_SYMMETRIC, 3, row3, column3, 7, &sparse_system),
                   EB_OK);
  double values[] = {-0.7, 1.6, -1.3, 3.9, 3.1, 5.3, 0.0},
         other[] = {-9.7, 8.6, 2.3, 31.9, 13.1, 52.3, 0.0};
  double first[] = {0.1, 0.7, -0.3}, between[] = {3.1, 0.2, 9.1}, again[] = {0.1, 0.7, -0.3};
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, values, first), EB_OK);
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, other, between), EB_OK);
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, values, again), EB_OK);
  for (int i = 0; i < 3; i++)
    ck_assert_double_eq(first[i], again[i]);
}
END_TEST

START_TEST(an_indefinite_symmetric_system_is_refused) {
  ck_assert_int_eq(ebi_sparse_new(arena, EBI_SPARSE_SYMMETRIC, 3, row3, column3, 7, &sparse_system),
                   EB_OK);
  double values[] = {-0.7, 1.6, -1.3, -3.9, 3.1, 5.3, 0.0}, b[] = {1.0, 1.0, 1.0};
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, values, b), EB_E_NO_SOLUTION);
  double singular[] = {0.0, 1.0, 0.0, 0.0, 3.1, 5.3, 0.0}, c[] = {1.0, 1.0, 1.0};
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, singular, c), EB_E_NO_SOLUTION);
}
END_TEST

/* A scattered unsymmetric matrix with zeros on the diagonal, times a known vector. */
#define N 57
START_TEST(a_general_system_needs_no_diagonal) {
  size_t row[3 * N], column[3 * N];
  double values[3 * N], x[N], b[N] = {0.0};
  for (size_t i = 0; i < N; i++) {
    x[i] = sin(1.0 + 3.7 * (double)i);
    size_t at[3] = {(i + 1) % N, (i * 5 + 3) % N, (i * 11 + 7) % N};
    for (size_t k = 0; k < 3; k++) {
      row[3 * i + k] = i;
      column[3 * i + k] = at[k];
      values[3 * i + k] = k == 0 ? 7.3 + 0.1 * (double)i : cos(2.3 * (double)(i + k));
    }
  }
  for (size_t e = 0; e < 3 * N; e++)
    b[row[e]] += values[e] * x[column[e]];
  ck_assert_int_eq(ebi_sparse_new(arena, EBI_SPARSE_GENERAL, N, row, column, 3 * N, &sparse_system),
                   EB_OK);
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, values, b), EB_OK);
  for (size_t i = 0; i < N; i++)
    ck_assert_double_eq_tol(b[i], x[i], 1e-12);
}
END_TEST

START_TEST(a_singular_general_system_is_refused) {
  static const size_t row[] = {0, 0, 1, 1}, column[] = {0, 1, 0, 1};
  double values[] = {1.5, 3.0, 2.5, 5.0}, b[] = {1.0, 2.0};
  ck_assert_int_eq(ebi_sparse_new(arena, EBI_SPARSE_GENERAL, 2, row, column, 4, &sparse_system),
                   EB_OK);
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, values, b), EB_E_NO_SOLUTION);
}
END_TEST

START_TEST(what_is_not_finite_is_refused) {
  static const size_t row[] = {0, 1}, column[] = {0, 1};
  double values[] = {1.5, NAN}, good[] = {1.5, 2.5}, b[] = {1.0, 2.0}, c[] = {1.0, HUGE_VAL};
  ck_assert_int_eq(ebi_sparse_new(arena, EBI_SPARSE_GENERAL, 2, row, column, 2, &sparse_system),
                   EB_OK);
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, values, b), EB_E_NO_SOLUTION);
  ck_assert_int_eq(ebi_sparse_solve(sparse_system, good, c), EB_E_NO_SOLUTION);
}
END_TEST

START_TEST(an_empty_system_is_a_wrong_argument) {
  ck_assert_int_eq(ebi_sparse_new(arena, EBI_SPARSE_GENERAL, 0, NULL, NULL, 0, &sparse_system),
                   EB_E_ARGUMENT);
  ck_assert_ptr_null(sparse_system);
}
END_TEST

Suite *suite_sparse(void) {
  Suite *suite = suite_create("sparse");
  TCase *tests = tcase_create("systems");
  tcase_add_checked_fixture(tests, setup, teardown);
  tcase_add_test(tests, a_symmetric_system_adds_up_entries);
  tcase_add_test(tests, values_change_and_a_solution_does_not_depend_on_earlier_ones);
  tcase_add_test(tests, an_indefinite_symmetric_system_is_refused);
  tcase_add_test(tests, a_general_system_needs_no_diagonal);
  tcase_add_test(tests, a_singular_general_system_is_refused);
  tcase_add_test(tests, what_is_not_finite_is_refused);
  tcase_add_test(tests, an_empty_system_is_a_wrong_argument);
  suite_add_tcase(suite, tests);
  return suite;
}
