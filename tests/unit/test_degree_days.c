/* test_degree_days.c - monthly and daily degree-days */

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "evenbreath.h"
#include "suites.h"

/* Heating less cooling is the plain sum: D(x) - D(-x) = N x (Hitchin 1983). */
START_TEST(heating_less_cooling) {
  for (double x = -61.3; x < 61.3; x += 0.0719) {
    double heating = eb_degree_days_monthly(15.5, 15.5 - x, 30.0, 0.71);
    double cooling = eb_degree_days_monthly(15.5, 15.5 + x, 30.0, 0.71);
    ck_assert_double_eq_tol(heating - cooling, 30.0 * x, 1e-11 * (1.0 + fabs(30.0 * x)));
    ck_assert_double_ge(heating, fmax(0.0, 30.0 * x));
  }
}
END_TEST

/* Where the mean is the base: N/k = 42.2535 K day, and the series meets the formula. */
START_TEST(mean_at_the_base) {
  ck_assert_double_eq_tol(eb_degree_days_monthly(15.5, 15.5, 30.0, 0.71), 30.0 / 0.71, 1e-12);
  double last = 0.0;
  for (double x = -3e-4; x < 3e-4; x += 1e-6) {
    double d = eb_degree_days_monthly(15.5, 15.5 - x, 30.0, 0.71);
    double want = 30.0 / 0.71 + 15.0 * x + 30.0 * 0.71 * x * x / 12.0;
    ck_assert_double_eq_tol(d, want, 1e-10);
    ck_assert_double_gt(d, last);
    last = d;
  }
}
END_TEST

START_TEST(far_from_the_base) {
  ck_assert_double_eq(eb_degree_days_monthly(15.5, 3e4, 31.0, 0.71), 0.0);
  ck_assert_double_eq_tol(eb_degree_days_monthly(15.5, -3e4, 31.0, 0.71), 31.0 * 30015.5, 1e-6);
}
END_TEST

/* Met Eireann's note: the two middle cases agree where the mean is the base; the others meet too.
 */
START_TEST(seams_of_the_four_cases) {
  static const double seams[][2] = {
      {20.0, 11.0}, {15.5, 5.3}, {24.7, 15.5}, {15.5, 15.5}, {31.0, 0.0}};
  for (size_t i = 0; i < sizeof seams / sizeof seams[0]; i++) {
    double max = seams[i][0], min = seams[i][1];
    double at = eb_degree_days_min_max(15.5, max, min);
    for (int side = 0; side < 4; side++) {
      double shift = side % 2 == 0 ? 1e-9 : -1e-9;
      double near = side < 2 ? eb_degree_days_min_max(15.5, max + 2e-9 + shift, min)
                             : eb_degree_days_min_max(15.5, max + 2e-9, min + shift);
      ck_assert_double_eq_tol(near, at, 4e-9);
    }
  }
  ck_assert_double_eq_tol(eb_degree_days_min_max(15.5, 20.0, 11.0), 1.125, 1e-12);
}
END_TEST

/* In each case heating less cooling is base less mean. */
START_TEST(daily_identity) {
  for (double max = -7.3; max < 33.0; max += 1.37) {
    for (double min = -11.9; min <= max; min += 0.83) {
      double heating = eb_degree_days_min_max(15.5, max, min);
      double cooling = eb_degree_days_min_max(-15.5, -min, -max);
      ck_assert_double_eq_tol(heating - cooling, 15.5 - 0.5 * (max + min), 1e-12);
      ck_assert_double_ge(heating, 0.0);
    }
  }
}
END_TEST

START_TEST(out_of_range_is_nan) {
  ck_assert(isnan(eb_degree_days_monthly(NAN, 3.0, 30.0, 0.71)));
  ck_assert(isnan(eb_degree_days_monthly(15.5, INFINITY, 30.0, 0.71)));
  ck_assert(isnan(eb_degree_days_monthly(15.5, 3.0, 0.0, 0.71)));
  ck_assert(isnan(eb_degree_days_monthly(15.5, 3.0, 30.0, -0.71)));
  ck_assert(isnan(eb_degree_days_min_max(15.5, 3.0, 3.1)));
  ck_assert(isnan(eb_degree_days_min_max(15.5, NAN, 3.1)));
  ck_assert(isnan(eb_base_temperature(20.0, 500.0, 0.0)));
  ck_assert(isnan(eb_base_temperature(20.0, NAN, 120.0)));
  ck_assert(isnan(eb_base_temperature(20.0, 500.0, INFINITY)));
}
END_TEST

Suite *suite_degree_days(void) {
  Suite *suite = suite_create("degree_days");
  TCase *tcase = tcase_create("degree_days");
  tcase_add_test(tcase, heating_less_cooling);
  tcase_add_test(tcase, mean_at_the_base);
  tcase_add_test(tcase, far_from_the_base);
  tcase_add_test(tcase, seams_of_the_four_cases);
  tcase_add_test(tcase, daily_identity);
  tcase_add_test(tcase, out_of_range_is_nan);
  suite_add_tcase(suite, tcase);
  return suite;
}
