/* test_tee_law.c - drops through a tee over all patterns of flow */

#include "network/tee_law.h"

#include <check.h>
#include <math.h>

#include "suites.h"

static const ebi_air_state air = {1.193, 1.81e-5};

/* A run of one size, as the published coefficients have it, with branches of several. */
static const ebi_tee_shape shapes[] = {{0.0201, 0.0201, 0.0201, 90.0},
                                       {0.0201, 0.0201, 0.0123, 90.0},
                                       {0.0201, 0.0201, 0.0050, 45.0},
                                       {0.0201, 0.0123, 0.0079, 90.0}};
#define N_SHAPES (sizeof shapes / sizeof shapes[0])

static double pressure(const ebi_tee_shape *shape, double flow) {
  double velocity = flow / shape->combined;
  return 0.5 * air.density * velocity * velocity;
}

START_TEST(dividing_flow_has_the_published_coefficients) {
  for (size_t i = 0; i < N_SHAPES; i++) {
    for (double q = 0.03; q < 1.0; q += 0.0917) {
      ebi_tee_drop d = ebi_tee_drops(&shapes[i], air, 0.047 * (1.0 - q), 0.047 * q);
      ebi_tee_loss loss = ebi_tee_diverging(&shapes[i], q);
      ck_assert_double_eq_tol(d.straight, loss.straight * pressure(&shapes[i], 0.047), 1e-12);
      ck_assert_double_eq_tol(d.branch, loss.branch * pressure(&shapes[i], 0.047), 1e-12);
    }
  }
}
END_TEST

START_TEST(joining_flow_has_the_published_coefficients) {
  for (size_t i = 0; i < N_SHAPES; i++) {
    for (double q = 0.03; q < 1.0; q += 0.0917) {
      ebi_tee_drop d = ebi_tee_drops(&shapes[i], air, -0.047 * (1.0 - q), -0.047 * q);
      ebi_tee_loss loss = ebi_tee_converging(&shapes[i], q);
      ck_assert_double_eq_tol(d.straight, -loss.straight * pressure(&shapes[i], 0.047), 1e-12);
      ck_assert_double_eq_tol(d.branch, -loss.branch * pressure(&shapes[i], 0.047), 1e-12);
    }
  }
}
END_TEST

/* At 90 degrees and equal areas the run is the same used the other way round, up to the shift
 * that makes neighbours meet: nothing at all in the middle of it. */
START_TEST(a_reversed_run_is_a_run) {
  ebi_tee_drop there = ebi_tee_drops(&shapes[0], air, -0.047, 0.0141);
  ebi_tee_loss loss = ebi_tee_diverging(&shapes[0], 0.3);
  double straight = -there.straight / pressure(&shapes[0], 0.047);
  double branch = (there.branch - there.straight) / pressure(&shapes[0], 0.047);
  ck_assert_double_eq_tol(straight, loss.straight, 0.12);
  ck_assert_double_eq_tol(branch, loss.branch, 0.12);
}
END_TEST

static void flows_at(double angle, double *straight, double *branch) {
  *straight = 0.031 * cos(angle);
  *branch = 0.031 * sin(angle);
}

/* Round the plane of both flows, in steps that fall on the rays where one flow is zero. */
START_TEST(drops_are_continuous_all_round) {
  const double eighth = atan(1.0), eps = 1e-9;
  for (size_t i = 0; i < N_SHAPES; i++) {
    for (int k = 0; k < 8 * 37; k++) {
      double angle = eighth * k / 37.0, s0, b0, s1, b1;
      flows_at(angle - eps, &s0, &b0);
      flows_at(angle + eps, &s1, &b1);
      ebi_tee_drop a = ebi_tee_drops(&shapes[i], air, s0, b0);
      ebi_tee_drop b = ebi_tee_drops(&shapes[i], air, s1, b1);
      ck_assert_msg(fabs(a.straight - b.straight) < 1e-6, "shape %zu straight at %g", i, angle);
      ck_assert_msg(fabs(a.branch - b.branch) < 1e-6, "shape %zu branch at %g", i, angle);
    }
  }
}
END_TEST

static void check_slope(double found, double up, double down, double h) {
  double want = (up - down) / (2.0 * h);
  ck_assert_double_eq_tol(found, want, 1e-5 * (fabs(want) + 100.0));
}

START_TEST(slopes_are_those_of_the_drops) {
  const double eighth = atan(1.0), h = 1e-8;
  for (size_t i = 0; i < N_SHAPES; i++) {
    for (int k = 0; k < 8 * 23; k++) {
      double s, b;
      flows_at(eighth * (k + 0.37) / 23.0, &s, &b);
      ebi_tee_drop d = ebi_tee_drops(&shapes[i], air, s, b);
      ebi_tee_drop s1 = ebi_tee_drops(&shapes[i], air, s + h, b);
      ebi_tee_drop s0 = ebi_tee_drops(&shapes[i], air, s - h, b);
      ebi_tee_drop b1 = ebi_tee_drops(&shapes[i], air, s, b + h);
      ebi_tee_drop b0 = ebi_tee_drops(&shapes[i], air, s, b - h);
      check_slope(d.straight_by_s, s1.straight, s0.straight, h);
      check_slope(d.straight_by_b, b1.straight, b0.straight, h);
      check_slope(d.branch_by_s, s1.branch, s0.branch, h);
      check_slope(d.branch_by_b, b1.branch, b0.branch, h);
    }
  }
}
END_TEST

START_TEST(drops_go_with_the_square_and_vanish_at_rest) {
  for (size_t i = 0; i < N_SHAPES; i++) {
    for (int k = 0; k < 8 * 11; k++) {
      double s, b;
      flows_at(atan(1.0) * k / 11.0, &s, &b);
      ebi_tee_drop one = ebi_tee_drops(&shapes[i], air, s, b);
      ebi_tee_drop three = ebi_tee_drops(&shapes[i], air, 3.0 * s, 3.0 * b);
      ck_assert_double_eq_tol(three.straight, 9.0 * one.straight, 1e-11);
      ck_assert_double_eq_tol(three.branch, 9.0 * one.branch, 1e-11);
    }
    ebi_tee_drop rest = ebi_tee_drops(&shapes[i], air, 0.0, 0.0);
    ck_assert_double_eq(rest.straight, 0.0);
    ck_assert_double_eq(rest.branch_by_b, 0.0);
    ck_assert_double_lt(fabs(ebi_tee_drops(&shapes[i], air, 1e-9, -2e-9).branch), 1e-10);
  }
}
END_TEST

/* What goes in as pressure times flow is more than what comes out, in the published and in the
 * fallback patterns, though single coefficients are negative. */
START_TEST(no_pattern_gives_energy) {
  for (size_t i = 0; i < N_SHAPES; i++) {
    for (int k = 0; k < 8 * 31; k++) {
      double s, b;
      flows_at(atan(1.0) * (k + 0.5) / 31.0, &s, &b);
      ebi_tee_drop d = ebi_tee_drops(&shapes[i], air, s, b);
      ck_assert_msg(s * d.straight + b * d.branch > 0.0, "shape %zu at %d", i, k);
    }
  }
}
END_TEST

Suite *suite_tee_law(void) {
  Suite *suite = suite_create("tee_law");
  TCase *tests = tcase_create("patterns");
  tcase_add_test(tests, dividing_flow_has_the_published_coefficients);
  tcase_add_test(tests, joining_flow_has_the_published_coefficients);
  tcase_add_test(tests, a_reversed_run_is_a_run);
  tcase_add_test(tests, drops_are_continuous_all_round);
  tcase_add_test(tests, slopes_are_those_of_the_drops);
  tcase_add_test(tests, drops_go_with_the_square_and_vanish_at_rest);
  tcase_add_test(tests, no_pattern_gives_energy);
  suite_add_tcase(suite, tests);
  return suite;
}
