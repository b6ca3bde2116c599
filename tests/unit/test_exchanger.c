/* test_exchanger.c - exchangers by kind, measured ratios and envelope leakage */

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "physics/exchanger.h"
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

/* ---- Other kinds --------------------------------------------------------- */

/* Both unmixed, as the two-fluid equations have it: cells of a grid, each with the mean of what
 * enters and leaves it (own numerical solution). */
static double crossflow_by_cells(double ntu, double c) {
  enum { CELLS = 160 };
  double hot[CELLS], mean = 0.0;
  for (int i = 0; i < CELLS; i++)
    hot[i] = 1.0;
  double a = ntu / CELLS, b = c * ntu / CELLS;
  for (int j = 0; j < CELLS; j++) {
    double cold = 0.0;
    for (int i = 0; i < CELLS; i++) { /* cold warms by a d, hot cools by b d; d the mean apart */
      double d = (hot[i] - cold) / (1.0 + 0.5 * (a + b));
      cold += a * d;
      hot[i] -= b * d;
    }
    mean += cold / CELLS;
  }
  return mean;
}

START_TEST(crossflow_solves_its_equations) {
  for (double c = 0.093; c <= 1.0; c += 0.181)
    for (double ntu = 0.17; ntu < 9.0; ntu *= 2.3)
      ck_assert_double_eq_tol(eb_crossflow_effectiveness(ntu, c), crossflow_by_cells(ntu, c), 1e-4);
}
END_TEST

/* Any arrangement lies between parallel flow and counterflow, and takes 1 - exp(-NTU) where one
 * stream does not change. */
START_TEST(crossflow_lies_between) {
  for (double c = 0.0; c <= 1.0; c += 0.0617) {
    double last = 0.0;
    for (double ntu = 1e-7; ntu < 500.0; ntu *= 1.71) {
      double e = eb_crossflow_effectiveness(ntu, c);
      ck_assert_double_le(e, eb_counterflow_effectiveness(ntu, c) * (1.0 + 1e-13));
      ck_assert_double_ge(e, eb_parallel_flow_effectiveness(ntu, c) * (1.0 - 1e-13));
      ck_assert_double_ge(e, last * (1.0 - 1e-13));
      last = e;
      if (ntu < 0.9 * 500.0 && e < 0.96)
        ck_assert_double_eq_tol(ebi_crossflow_ntu(e, c), ntu, 1e-7 * ntu + 1e-11);
    }
  }
  ck_assert_double_eq_tol(eb_crossflow_effectiveness(2.3, 1e-13), -expm1(-2.3), 1e-12);
  ck_assert_double_eq_tol(eb_crossflow_effectiveness(2.3, 1e-11), -expm1(-2.3), 1e-10);
  ck_assert_double_eq(eb_crossflow_effectiveness(0.0, 0.7), 0.0);
  ck_assert(isnan(eb_crossflow_effectiveness(NAN, 0.7)));
  ck_assert(isnan(eb_parallel_flow_effectiveness(INFINITY, 0.7)));
  ck_assert(isnan(eb_parallel_flow_effectiveness(1.0, 1.1)));
  ck_assert(isnan(ebi_crossflow_ntu(ebi_crossflow_most() + 1e-6, 1.0)));
  ck_assert(isnan(ebi_crossflow_ntu(-0.01, 1.0)));
}
END_TEST

/* Heat given is heat taken; starving the supply flatters its ratio while the house loses. */
START_TEST(unbalanced_flows) {
  for (double supply = 61.0; supply < 300.0; supply *= 1.137) {
    eb_exchanger_ratios r = eb_unbalanced_ratios(0.847, 151.0, supply, 139.0);
    ck_assert_double_eq_tol(r.supply_ratio * supply, r.extract_ratio * 139.0, 1e-11);
    ck_assert_double_eq_tol(r.recovery, fmin(r.supply_ratio, r.extract_ratio), 1e-15);
    eb_exchanger_ratios other = eb_unbalanced_ratios(0.847, 151.0, 139.0, supply);
    ck_assert_double_eq_tol(r.supply_ratio, other.extract_ratio, 1e-15);
  }
  eb_exchanger_ratios starved = eb_unbalanced_ratios(0.85, 150.0, 120.0, 150.0);
  ck_assert(starved.supply_ratio > 0.93 && starved.recovery < 0.76);
  ck_assert(isnan(eb_unbalanced_ratios(0.85, 150.0, NAN, 150.0).recovery));
  ck_assert(isnan(eb_unbalanced_ratios(0.85, INFINITY, 120.0, 150.0).recovery));
  ck_assert(isnan(eb_unbalanced_ratios(-0.1, 150.0, 120.0, 150.0).supply_ratio));
}
END_TEST

START_TEST(corrections_undo_what_they_correct) {
  for (double leak = 0.0; leak < 0.3; leak += 0.037)
    ck_assert_double_eq_tol(eb_ratio_without_leak((1.0 - leak) * 0.783 + leak, leak), 0.783, 1e-14);
  double there = eb_ratio_at_flow(0.871, 0.0417, 0.0593, 0.37);
  ck_assert_double_eq_tol(eb_ratio_at_flow(there, 0.0593, 0.0417, 0.37), 0.871, 1e-14);
  ck_assert_double_eq_tol(eb_ratio_at_flow(0.871, 0.0417, 0.0593, 0.0),
                          eb_unbalanced_ratios(0.871, 0.0417, 0.0593, 0.0593).recovery, 1e-14);
  double warming = eb_fan_warming(17.3, 0.0417, 0.331);
  ck_assert_double_eq_tol(eb_ratio_without_fan(-4.0, 17.0 + warming, 21.0, warming), 0.84, 1e-14);
  ck_assert(isnan(eb_ratio_without_fan(-4.0, NAN, 21.0, 0.3)));
  ck_assert(isnan(eb_fan_warming(17.3, 0.0417, 0.0)));
  ck_assert(isnan(eb_fan_warming(17.3, 1e-320, 1e-320)));
  ck_assert(isnan(eb_ratio_at_flow(0.87, 0.04, 0.05, 1.01)));
  ck_assert(isnan(eb_ratio_without_leak(1.01, 0.05)));
}
END_TEST

Suite *suite_exchanger(void) {
  Suite *suite = suite_create("exchanger");
  TCase *tcase = tcase_create("exchanger");
  tcase_add_test(tcase, there_and_back);
  tcase_add_test(tcase, nearly_balanced);
  tcase_add_test(tcase, grows_with_size_and_unbalance);
  tcase_add_test(tcase, exchanger_range);
  tcase_add_test(tcase, crossflow_solves_its_equations);
  tcase_add_test(tcase, crossflow_lies_between);
  tcase_add_test(tcase, unbalanced_flows);
  tcase_add_test(tcase, corrections_undo_what_they_correct);
  tcase_add_test(tcase, leakage);
  suite_add_tcase(suite, tcase);
  return suite;
}
