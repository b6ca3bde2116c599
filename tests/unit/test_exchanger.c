/* test_exchanger.c - counterflow exchangers and envelope leakage */

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "evenbreath.h"
#include "suites.h"

START_TEST(there_and_back) {
  for (double c = 0.0; c <= 1.0; c += 0.0617) {
    for (double ntu = 0.013; ntu < 12.0; ntu *= 1.31) {
      double e = eb_counterflow_effectiveness(ntu, c);
      ck_assert(e > 0.0 && e < 1.0);
      ck_assert_double_eq_tol(eb_counterflow_ntu(e, c), ntu, 1e-9 * ntu / (1.0 - e));
    }
  }
}
END_TEST

/* The balanced limit (Kays & London) is reached without a step. */
START_TEST(nearly_balanced) {
  for (double d = 1e-3; d > 1e-18; d *= 0.1) {
    double e = eb_counterflow_effectiveness(5.6667, 1.0 - d);
    ck_assert_double_eq_tol(e, 5.6667 / 6.6667, 0.5 * d + 1e-15);
    ck_assert_double_eq_tol(eb_counterflow_ntu(0.85, 1.0 - d), 0.85 / 0.15, 20.0 * d + 1e-13);
  }
}
END_TEST

START_TEST(grows_with_size_and_unbalance) {
  double last = -1.0;
  for (double ntu = 0.0; ntu < 30.0; ntu += 0.37) {
    double e = eb_counterflow_effectiveness(ntu, 0.93);
    ck_assert_double_gt(e, last);
    ck_assert_double_le(e, eb_counterflow_effectiveness(ntu, 0.71));
    last = e;
  }
  ck_assert_double_eq_tol(eb_counterflow_effectiveness(1e4, 0.5), 1.0, 1e-15);
}
END_TEST

START_TEST(exchanger_range) {
  ck_assert(isnan(eb_counterflow_effectiveness(-0.1, 1.0)));
  ck_assert(isnan(eb_counterflow_effectiveness(INFINITY, 1.0)));
  ck_assert(isnan(eb_counterflow_effectiveness(3.0, 1.0000001)));
  ck_assert(isnan(eb_counterflow_effectiveness(3.0, NAN)));
  ck_assert(isnan(eb_counterflow_ntu(1.0, 0.5)));
  ck_assert(isnan(eb_counterflow_ntu(-0.1, 0.5)));
  ck_assert(isnan(eb_counterflow_ntu(0.5, -0.1)));
}
END_TEST

/* EN ISO 13789:2007: balanced gives n50 e, unbalance takes from it whichever its sign, and a
 * tight house gives nothing. */
START_TEST(leakage) {
  ck_assert_double_eq_tol(eb_infiltration(3.7, 0.0, 0.07, 15.0), 0.259, 1e-15);
  ck_assert_double_eq(eb_infiltration(0.0, 0.3, 0.07, 15.0), 0.0);
  ck_assert_double_eq(eb_infiltration(1.9, 0.13, 0.07, 15.0),
                      eb_infiltration(1.9, -0.13, 0.07, 15.0));
  double last = 1.0;
  for (double unbalance = 0.0; unbalance < 2.0; unbalance += 0.031) {
    double n = eb_infiltration(1.9, unbalance, 0.07, 15.0);
    ck_assert(n > 0.0 && n < last);
    last = n;
  }
  ck_assert(isnan(eb_infiltration(-1.0, 0.0, 0.07, 15.0)));
  ck_assert(isnan(eb_infiltration(1.0, NAN, 0.07, 15.0)));
  ck_assert(isnan(eb_infiltration(1.0, 0.0, 0.0, 15.0)));
  ck_assert(isnan(eb_infiltration(1.0, 0.0, 0.07, -1.0)));
}
END_TEST

Suite *suite_exchanger(void) {
  Suite *suite = suite_create("exchanger");
  TCase *tcase = tcase_create("exchanger");
  tcase_add_test(tcase, there_and_back);
  tcase_add_test(tcase, nearly_balanced);
  tcase_add_test(tcase, grows_with_size_and_unbalance);
  tcase_add_test(tcase, exchanger_range);
  tcase_add_test(tcase, leakage);
  suite_add_tcase(suite, tcase);
  return suite;
}
