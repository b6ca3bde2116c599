/* test_degree_days.c - monthly and daily degree-days */

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "evenbreath.h"
#include "physics/degree_days.h"
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
      double cooling = eb_cooling_days_min_max(15.5, max, min);
      ck_assert_double_eq_tol(heating - cooling, 15.5 - 0.5 * (max + min), 1e-12);
      ck_assert_double_ge(heating, 0.0);
    }
  }
}
END_TEST

/* The middle never gives more than the four cases or the sine, and all agree away from the base. */
START_TEST(rules_of_a_day_agree_away_from_the_base) {
  for (double max = -7.3; max < 33.0; max += 1.37) {
    for (double min = -11.9; min <= max; min += 0.83) {
      double middle = eb_degree_days_middle(15.5, max, min);
      double cases = eb_degree_days_min_max(15.5, max, min);
      double sine = eb_degree_days_sine(15.5, max, min);
      ck_assert_double_ge(cases, middle - 1e-12);
      ck_assert_double_ge(sine, middle - 1e-12);
      ck_assert_double_eq_tol(sine - eb_degree_days_sine(-15.5, -min, -max),
                              15.5 - 0.5 * (max + min), 1e-12);
      if (max < 15.5 || min >= 15.5) {
        ck_assert_double_eq_tol(sine, middle, 1e-12);
        ck_assert_double_eq_tol(cases, middle, 1e-12);
      }
      ck_assert_double_eq_tol(cases, sine, 0.1 * (max - min));
    }
  }
}
END_TEST

/* The integral of the sine, hour by hour in small steps. */
START_TEST(sine_is_the_integral) {
  for (double base = 7.1; base < 21.0; base += 0.37) {
    double sum = 0.0;
    for (int i = 0; i < 20000; i++)
      sum += fmax(base - 13.3 - 5.9 * sin(6.28318530717958648 * (i + 0.5) / 20000.0), 0.0);
    ck_assert_double_eq_tol(eb_degree_days_sine(base, 19.2, 7.4), sum / 20000.0, 1e-7);
  }
}
END_TEST

/* ISO 15927-6 is Hitchin with k = sqrt(2 pi)/s: 0.71 goes with 3.53 K; at the mean s N/sqrt(2 pi),
 * as by the normal spread. */
START_TEST(deviation_and_sharpness) {
  ck_assert_double_eq_tol(eb_degree_days_iso(15.5, 11.37, 31.0, 3.5304609),
                          eb_degree_days_monthly(15.5, 11.37, 31.0, 0.71), 1e-5);
  ck_assert_double_eq_tol(eb_degree_days_iso(15.5, 15.5, 30.0, 3.0), 35.90481, 1e-5);
  ck_assert_double_eq_tol(eb_degree_days_normal(15.5, 15.5, 30.0, 3.0), 35.90481, 1e-5);
  for (double x = -40.3; x < 40.0; x += 0.531) {
    double heating = eb_degree_days_normal(15.5, 15.5 - x, 30.0, 2.9);
    ck_assert_double_eq_tol(heating - eb_degree_days_normal(15.5, 15.5 + x, 30.0, 2.9), 30.0 * x,
                            1e-10);
    ck_assert_double_le(heating, eb_degree_days_iso(15.5, 15.5 - x, 30.0, 2.9) + 1e-9);
  }
}
END_TEST

/* Erbs at the mean is about N s/sqrt(2 pi) (and not 8.2, as where the root of N is lost twice); it
 * never falls below 0 or below the plain difference, and does not overflow. */
START_TEST(erbs_near_and_far) {
  double spread = ebi_erbs_deviation(15.5, 30.0, 5.0);
  double at_mean = eb_degree_days_erbs(15.5, 15.5, 30.0, 5.0);
  ck_assert_double_eq_tol(at_mean, 30.0 * spread / 2.50663, 0.06 * at_mean);
  ck_assert_double_eq(eb_degree_days_erbs(-3e4, 15.5, 30.0, 5.0), 0.0);
  ck_assert_double_eq_tol(eb_degree_days_erbs(3e4, 15.5, 30.0, 5.0), 30.0 * (3e4 - 15.5), 0.01);
  for (double base = -30.0; base < 60.0; base += 0.37)
    ck_assert_double_ge(eb_degree_days_erbs(base, 15.5, 30.0, 5.0),
                        fmax(30.0 * (base - 15.5) - 0.002, 0.0));
}
END_TEST

/* The deviation that goes with the rule is that of the days its slope counts. */
START_TEST(erbs_deviation) {
  double squares = 0.0, all = 0.0;
  for (double base = -60.0; base < 80.0; base += 0.01) {
    double days = ebi_days_below_erbs(base + 0.005, 9.3, 31.0, 4.7) -
                  ebi_days_below_erbs(base - 0.005, 9.3, 31.0, 4.7);
    squares += days * (base - 9.3) * (base - 9.3);
    all += days;
  }
  ck_assert_double_eq_tol(all, 31.0, 0.002);
  ck_assert_double_eq_tol(sqrt(squares / all), ebi_erbs_deviation(9.3, 31.0, 4.7), 0.01);
}
END_TEST

/* From one side and the other; and half the month lies below its mean. */
START_TEST(slopes_of_months) {
  ck_assert_double_eq_tol(ebi_days_below_monthly(9.7, 9.7, 31.0, 0.71), 15.5, 1e-12);
  ck_assert_double_eq_tol(ebi_days_below_normal(9.7, 9.7, 31.0, 3.1), 15.5, 1e-12);
  ck_assert_double_eq_tol(ebi_days_below_erbs(9.7, 9.7, 31.0, 4.9), 15.5, 1e-12);
  ck_assert_double_eq_tol(ebi_days_below_monthly(3e4, 9.7, 31.0, 0.71), 31.0, 1e-12);
  ck_assert_double_eq_tol(ebi_days_below_monthly(-3e4, 9.7, 31.0, 0.71), 0.0, 1e-12);
  double last = 0.0;
  for (double x = -0.01; x < 0.01; x += 1e-5) {
    double days = ebi_days_below_monthly(9.7 + x, 9.7, 31.0, 0.71);
    ck_assert_double_eq_tol(days, 31.0 * (0.5 + 0.71 * x / 6.0), 1e-6);
    ck_assert_double_gt(days, last);
    last = days;
  }
}
END_TEST

START_TEST(hours_of_any_number) {
  static const double hours[] = {3.7, -2.1, 15.5, 21.9, 15.4};
  ck_assert_double_eq_tol(eb_degree_days_hours(15.5, hours, 5), (11.8 + 17.6 + 0.1) / 24.0, 1e-12);
  ck_assert_double_eq(eb_degree_days_hours(15.5, hours, 0), 0.0);
  ck_assert_double_eq(eb_degree_days_hours(15.5, NULL, 0), 0.0);
}
END_TEST

START_TEST(out_of_range_is_nan) {
  static const double hours[] = {3.7, NAN};
  ck_assert(isnan(eb_degree_days_hours(15.5, hours, 2)));
  ck_assert(isnan(eb_degree_days_hours(NAN, hours, 1)) && isnan(eb_degree_days_hours(1, NULL, 3)));
  ck_assert(isnan(eb_degree_days_iso(15.5, 3.0, 30.0, 0.0)));
  ck_assert(isnan(eb_degree_days_normal(15.5, 3.0, 30.0, INFINITY)));
  ck_assert(isnan(eb_degree_days_erbs(15.5, 3.0, 30.0, NAN)));
  ck_assert(isnan(eb_degree_days_erbs(15.5, 70.0, 30.0, 5.0)));
  ck_assert(isnan(eb_cooling_days_min_max(15.5, 3.0, 3.1)));
  ck_assert(isnan(eb_degree_days_middle(15.5, INFINITY, 3.1)));
  ck_assert(isnan(eb_degree_days_sine(NAN, 5.0, 3.1)));
  ck_assert(isnan(eb_degree_days_jump(12.0, 15.0, 3.0)));
  ck_assert(isnan(eb_degree_days_jump(20.0, 15.0, NAN)));
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
  tcase_add_test(tcase, rules_of_a_day_agree_away_from_the_base);
  tcase_add_test(tcase, sine_is_the_integral);
  tcase_add_test(tcase, deviation_and_sharpness);
  tcase_add_test(tcase, erbs_near_and_far);
  tcase_add_test(tcase, erbs_deviation);
  tcase_add_test(tcase, slopes_of_months);
  tcase_add_test(tcase, hours_of_any_number);
  tcase_add_test(tcase, out_of_range_is_nan);
  suite_add_tcase(suite, tcase);
  return suite;
}
