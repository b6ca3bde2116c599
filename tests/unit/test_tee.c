/* test_tee.c - coefficients of tees and wyes, and of changes of size */

#include "physics/losses.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "suites.h"

typedef ebi_tee_loss (*tee_law)(const ebi_tee_shape *shape, double q);

static const ebi_tee_shape shapes[] = {{0.01131, 0.01131, 0.01131, 90.0},
                                       {0.0201, 0.0201, 0.0123, 90.0},
                                       {0.0201, 0.0201, 0.0068, 45.0},
                                       {0.0201, 0.0201, 0.0044, 60.0},
                                       {0.0201, 0.0123, 0.0079, 90.0}};
#define N_SHAPES ((int)(sizeof shapes / sizeof shapes[0]))

static const tee_law laws[] = {ebi_tee_diverging, ebi_tee_converging};
static const tee_law published[] = {ebi_tee_diverging_published, ebi_tee_converging_published};

static double larger(double a, double b) {
  return fmax(1.0, fmax(fabs(a), fabs(b)));
}

START_TEST(slopes_are_derivatives) {
  for (int law = 0; law < 2; law++) {
    for (double q = -0.813; q < 1.9; q += 0.00317) {
      double h = 1e-6;
      ebi_tee_loss at = laws[law](&shapes[_i], q);
      ebi_tee_loss before = laws[law](&shapes[_i], q - h), after = laws[law](&shapes[_i], q + h);
      double straight = (after.straight - before.straight) / (2.0 * h);
      double branch = (after.branch - before.branch) / (2.0 * h);
      ck_assert_msg(fabs(at.straight_slope - straight) < 3e-4 * larger(straight, 0.0),
                    "law %d straight at q %.6f: %.9g, secant %.9g", law, q, at.straight_slope,
                    straight);
      ck_assert_msg(fabs(at.branch_slope - branch) < 3e-4 * larger(branch, 0.0),
                    "law %d branch at q %.6f: %.9g, secant %.9g", law, q, at.branch_slope, branch);
    }
  }
}
END_TEST

static int near_a_joint(double q) {
  return fabs(q - 0.4) <= 0.0501 || fabs(q - 0.5) <= 0.0501 || fabs(q - 0.6) <= 0.0501;
}

/* Idelchik 2006: what the solver uses is what is printed, but where two pieces meet; there it
 * stays within the greatest step of the pieces (A' from 0.64 to 0.60, K from 0.50 to 0.48). */
START_TEST(smooth_is_published_outside_the_blends) {
  for (int law = 0; law < 2; law++) {
    for (double q = -0.2; q < 1.2; q += 0.0013) {
      ebi_tee_loss smooth = laws[law](&shapes[_i], q), plain = published[law](&shapes[_i], q);
      double limit = near_a_joint(q) ? 0.07 : 0.0;
      ck_assert_double_le(fabs(smooth.straight - plain.straight),
                          limit * larger(plain.straight, 0.0));
      ck_assert_double_le(fabs(smooth.branch - plain.branch), limit * larger(plain.branch, 0.0));
    }
  }
}
END_TEST

START_TEST(no_jumps) {
  for (int law = 0; law < 2; law++) {
    ebi_tee_loss last = laws[law](&shapes[_i], -0.7);
    for (double q = -0.7; q < 1.7; q += 1e-4) {
      ebi_tee_loss at = laws[law](&shapes[_i], q);
      ck_assert_double_le(fabs(at.straight - last.straight), 0.02);
      ck_assert_double_le(fabs(at.branch - last.branch), 0.02);
      ck_assert_double_le(fabs(at.branch_slope - last.branch_slope), 0.6);
      last = at;
    }
  }
}
END_TEST

/* At q = 0.6 the published A' steps from 0.64 to 0.60: that is what the blend is for. */
START_TEST(published_steps) {
  double before = ebi_tee_diverging_published(&shapes[0], 0.6).branch;
  double after = ebi_tee_diverging_published(&shapes[0], 0.6000001).branch;
  ck_assert_double_eq_tol(before, 0.64 * 1.36, 1e-12);
  ck_assert_double_eq_tol(after, 0.60 * 1.36, 1e-5);
}
END_TEST

/* Negative coefficients (regain) are kept: Idelchik 2006 eq. 7-1 gives -0.494 at q = 0.1. */
START_TEST(regain_is_kept) {
  ck_assert_double_eq_tol(ebi_tee_converging(&shapes[0], 0.1).branch, -0.4941, 5e-5);
}
END_TEST

/* The straight duct's size enters the joining branch (Fc/Fst), nothing else. */
START_TEST(smaller_straight_duct) {
  ebi_tee_shape full = shapes[1], small = shapes[1];
  small.straight *= 0.61;
  ebi_tee_loss a = ebi_tee_converging(&full, 0.25), b = ebi_tee_converging(&small, 0.25);
  ck_assert_double_eq(a.straight, b.straight);
  double step = 0.9 * 0.75 * 2.0 * (1.0 / 0.61 - 1.0) * 0.75 * 0.75;
  ck_assert_double_eq_tol(a.branch - b.branch, step, 1e-12);
}
END_TEST

/* Borda-Carnot; Idelchik 2006 diag. 4-9, 5-4: nothing is lost where nothing changes. */
START_TEST(area_changes) {
  ck_assert_double_eq(ebi_expansion_sudden(0.0123, 0.0123), 0.0);
  ck_assert_double_eq(ebi_contraction_sudden(0.0123, 0.0123), 0.0);
  ck_assert_double_eq(ebi_expansion_conical(0.0123, 0.0123, 30.0), 0.0);
  ck_assert_double_eq(ebi_expansion_conical(0.0123, 0.0201, 0.0), 0.0);
  ck_assert_double_eq_tol(ebi_expansion_sudden(1.0, 1e12), 1.0, 1e-9);
  ck_assert_double_eq_tol(ebi_contraction_sudden(1.0, 1e12), 0.5, 1e-9);
  for (double ratio = 0.05; ratio < 1.0; ratio += 0.07)
    ck_assert_double_lt(ebi_expansion_conical(ratio, 1.0, 20.0), ebi_expansion_sudden(ratio, 1.0));
}
END_TEST

/* SMACNA 1990, table 14-12 A between its points and beside them. */
START_TEST(conical_contractions) {
  ck_assert_double_eq(ebi_contraction_conical(0.0123, 0.0123, 30.0), 0.0);
  ck_assert_double_eq_tol(ebi_contraction_conical(1.0, 3.0, 105.0), 0.185, 1e-12);
  ck_assert_double_eq_tol(ebi_contraction_conical(1.0, 5.0, 45.0), 0.055, 1e-12);
  ck_assert_double_eq_tol(ebi_contraction_conical(1.0, 77.0, 3.0), 0.05, 1e-12);
  ck_assert_double_eq_tol(ebi_contraction_conical(1.0, 77.0, 180.0), 0.43, 1e-12);
  ck_assert_double_eq_tol(ebi_contraction_conical(1.0, 1.7, 30.0), 0.05, 1e-12);
  /* near no change the sudden contraction is less and goes to nothing */
  ck_assert_double_eq(ebi_contraction_conical(1.0, 1.001, 30.0),
                      ebi_contraction_sudden(1.0, 1.001));
}
END_TEST

/* Idelchik 2006 diag. 7-29: two sides of different sizes, each by its own; slopes by differences.
 */
START_TEST(bull_head_sides_and_slopes) {
  ebi_tee_shape shape = {0.0123, 0.0079, 0.0041, 90.0}, turned = {0.0123, 0.0041, 0.0079, 90.0};
  for (double q = 0.02; q < 1.0; q += 0.037) {
    ebi_tee_loss at = ebi_tee_bull_head_converging(&shape, q);
    ebi_tee_loss more = ebi_tee_bull_head_converging(&shape, q + 1e-6);
    ebi_tee_loss less = ebi_tee_bull_head_converging(&shape, q - 1e-6);
    ck_assert_double_eq_tol(at.branch_slope, (more.branch - less.branch) / 2e-6, 1e-5);
    ck_assert_double_eq_tol(at.straight_slope, (more.straight - less.straight) / 2e-6, 1e-5);
    ebi_tee_loss other = ebi_tee_bull_head_converging(&turned, 1.0 - q);
    ck_assert_double_eq_tol(at.branch, other.straight, 1e-12);
  }
}
END_TEST

Suite *suite_tee(void) {
  Suite *suite = suite_create("tee");
  TCase *tcase = tcase_create("tee");
  tcase_add_loop_test(tcase, slopes_are_derivatives, 0, N_SHAPES);
  tcase_add_loop_test(tcase, smooth_is_published_outside_the_blends, 0, N_SHAPES);
  tcase_add_loop_test(tcase, no_jumps, 0, N_SHAPES);
  tcase_add_test(tcase, published_steps);
  tcase_add_test(tcase, regain_is_kept);
  tcase_add_test(tcase, smaller_straight_duct);
  tcase_add_test(tcase, area_changes);
  tcase_add_test(tcase, conical_contractions);
  tcase_add_test(tcase, bull_head_sides_and_slopes);
  suite_add_tcase(suite, tcase);
  return suite;
}
