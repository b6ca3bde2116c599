/* test_curve.c - Steffen's interpolation, against GSL's own */

#include "numeric/curve.h"

#include <check.h>
#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdlib.h>

#include "base/context.h"
#include "suites.h"

static eb_context *context;
static ebi_arena *arena;

static void setup(void) {
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  arena = ebi_context_arena(context);
  ck_assert_ptr_nonnull(arena);
}

static void teardown(void) {
  eb_context_free(context);
}

/* Rising, falling, level and crooked stretches, at uneven distances. */
static const double xs[] = {-2.31, -1.07, 0.0, 0.013, 1.9, 2.4, 6.77, 7.0, 11.3};
static const double ys[] = {4.1, 4.1, 6.95, 7.2, -3.3, -3.31, 0.4, 18.7, 18.9};
#define COUNT (sizeof xs / sizeof xs[0])

START_TEST(agrees_with_gsl) {
  gsl_interp *theirs = gsl_interp_alloc(gsl_interp_steffen, COUNT);
  ck_assert_ptr_nonnull(theirs);
  ck_assert_int_eq(gsl_interp_init(theirs, xs, ys, COUNT), 0);
  ebi_curve *ours = ebi_curve_new(arena, xs, ys, COUNT);
  ck_assert_ptr_nonnull(ours);
  for (double x = xs[0]; x <= xs[COUNT - 1]; x += 0.00731) {
    double y, slope;
    ck_assert_int_eq(gsl_interp_eval_e(theirs, xs, ys, x, NULL, &y), 0);
    ck_assert_int_eq(gsl_interp_eval_deriv_e(theirs, xs, ys, x, NULL, &slope), 0);
    ebi_curve_value at = ebi_curve_at(ours, x);
    ck_assert_msg(fabs(at.y - y) <= 1e-12 * (1.0 + fabs(y)), "x %.6g: %.17g, GSL %.17g", x, at.y,
                  y);
    ck_assert_msg(fabs(at.slope - slope) <= 1e-10 * (1.0 + fabs(slope)),
                  "x %.6g: slope %.17g, GSL %.17g", x, at.slope, slope);
    ck_assert(!at.outside);
  }
  gsl_interp_free(theirs);
}
END_TEST

START_TEST(passes_through_the_points_and_never_overshoots) {
  ebi_curve *curve = ebi_curve_new(arena, xs, ys, COUNT);
  ck_assert_ptr_nonnull(curve);
  for (size_t i = 0; i < COUNT; i++)
    ck_assert_double_eq(ebi_curve_at(curve, xs[i]).y, ys[i]);
  for (size_t i = 0; i + 1 < COUNT; i++) {
    double low = fmin(ys[i], ys[i + 1]), high = fmax(ys[i], ys[i + 1]);
    for (double t = 0.0; t < 1.0; t += 0.0173) {
      double y = ebi_curve_at(curve, xs[i] + t * (xs[i + 1] - xs[i])).y;
      ck_assert(y >= low - 1e-12 && y <= high + 1e-12);
    }
  }
}
END_TEST

START_TEST(goes_on_straight_outside) {
  ebi_curve *curve = ebi_curve_new(arena, xs, ys, COUNT);
  ck_assert_ptr_nonnull(curve);
  ebi_curve_value left = ebi_curve_at(curve, -5.0), right = ebi_curve_at(curve, 13.0);
  double secant = (18.9 - 18.7) / (11.3 - 7.0);
  ck_assert(left.outside && right.outside);
  ck_assert_double_eq_tol(left.y, 4.1, 1e-14);
  ck_assert_double_eq_tol(right.slope, secant, 1e-14);
  ck_assert_double_eq_tol(right.y, 18.9 + 1.7 * secant, 1e-12);
  ck_assert_double_eq(ebi_curve_first(curve), -2.31);
  ck_assert_double_eq(ebi_curve_last(curve), 11.3);
}
END_TEST

START_TEST(one_and_two_points) {
  ebi_curve *one = ebi_curve_new(arena, &xs[4], &ys[4], 1);
  ebi_curve *two = ebi_curve_new(arena, &xs[4], &ys[4], 2);
  ck_assert_ptr_nonnull(one);
  ck_assert_ptr_nonnull(two);
  ck_assert_double_eq(ebi_curve_at(one, -90.0).y, -3.3);
  ck_assert_double_eq(ebi_curve_at(one, 1.9).slope, 0.0);
  ck_assert(ebi_curve_at(one, 2.0).outside);
  ck_assert_double_eq_tol(ebi_curve_at(two, 2.025).y, -3.3025, 1e-13);
  ck_assert_double_eq_tol(ebi_curve_at(two, 2.4).y, -3.31, 1e-14);
}
END_TEST

static void check_inverse(const double *x, const double *y, size_t count) {
  ebi_curve *curve = ebi_curve_new(arena, x, y, count);
  ck_assert_ptr_nonnull(curve);
  for (double t = 0.0; t <= 1.0; t += 0.00917) {
    bool clipped;
    double at = x[0] + t * (x[count - 1] - x[0]);
    double back = ebi_curve_inverse(curve, ebi_curve_at(curve, at).y, &clipped);
    ck_assert(!clipped);
    ck_assert_double_eq_tol(back, at, 1e-12);
  }
  bool clipped;
  double beyond = y[count - 1] + (y[count - 1] - y[0]);
  ck_assert_double_eq(ebi_curve_inverse(curve, beyond, &clipped), x[count - 1]);
  ck_assert(clipped);
  ck_assert_double_eq(ebi_curve_inverse(curve, y[0] - (beyond - y[0]), &clipped), x[0]);
  ck_assert(clipped);
}

START_TEST(inverse) {
  static const double opening[] = {-7.5, -3.0, 0.5, 4.0, 12.0};
  static const double k[] = {0.31e-3, 0.82e-3, 1.51e-3, 2.93e-3, 4.11e-3};
  static const double falling[] = {9.3, 7.7, 1.2, -0.4, -20.0};
  check_inverse(opening, k, 5);
  check_inverse(opening, falling, 5);
  check_inverse(opening, k, 2);
}
END_TEST

Suite *suite_curve(void) {
  Suite *suite = suite_create("curve");
  TCase *tcase = tcase_create("curve");
  tcase_add_checked_fixture(tcase, setup, teardown);
  tcase_add_test(tcase, agrees_with_gsl);
  tcase_add_test(tcase, passes_through_the_points_and_never_overshoots);
  tcase_add_test(tcase, goes_on_straight_outside);
  tcase_add_test(tcase, one_and_two_points);
  tcase_add_test(tcase, inverse);
  suite_add_tcase(suite, tcase);
  return suite;
}
