/* test_fit.c - least squares with a prior, evidence for other explanations, and draws */

#include <check.h>
#include <math.h>

#include "base/context.h"
#include "numeric/draws.h"
#include "numeric/fit.h"
#include "suites.h"

#define CHECK_ABSOLUTE(found, want, slack) ck_assert_double_eq_tol(found, want, slack)
#define CHECK_RELATIVE(found, want, slack) CHECK_ABSOLUTE(found, want, (slack)*fabs(want))

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

/* ---- A mean and a slope ---- */

typedef struct line {
  const double *x, *y;
  size_t count;
  double deviation;
} line;

static eb_status off_line(const double *u, double *residuals, void *user) {
  const line *l = user;
  for (size_t i = 0; i < l->count; i++)
    residuals[i] = (l->y[i] - u[0] - u[1] * l->x[i]) / l->deviation;
  return EB_OK;
}

static const double xs[] = {-1.7, -0.4, 0.9, 2.3, 3.1}, ys[] = {-2.1, 0.35, 1.9, 4.4, 6.3};

/* Of a straight law the posterior is in closed form: (J'J + I) u = J'y, its inverse the covariance
 * (any text on Bayesian least squares; own elimination of the 2 x 2 system). */
START_TEST(straight_law_has_the_closed_form) {
  line l = {xs, ys, 5, 0.5};
  ebi_fit_problem problem = {2, 5, off_line, &l};
  ebi_fit fit = {0};
  ck_assert_int_eq(ebi_fit_solve(arena, &problem, &fit), EB_OK);
  double a = 1.0, b = 0.0, c = 1.0, p = 0.0, q = 0.0, w = 1.0 / (0.5 * 0.5);
  for (int i = 0; i < 5; i++) {
    a += w;
    b += w * xs[i];
    c += w * xs[i] * xs[i];
    p += w * ys[i];
    q += w * xs[i] * ys[i];
  }
  double d = a * c - b * b;
  CHECK_RELATIVE(fit.unknowns[0], (c * p - b * q) / d, 1e-5);
  CHECK_RELATIVE(fit.unknowns[1], (a * q - b * p) / d, 1e-5);
  CHECK_RELATIVE(fit.covariance[0], c / d, 1e-6);
  CHECK_RELATIVE(fit.covariance[1], -b / d, 1e-6);
  CHECK_RELATIVE(fit.covariance[3], a / d, 1e-6);
  CHECK_RELATIVE(fit.log_evidence, -0.5 * fit.cost - 0.5 * log(d), 1e-6);
}
END_TEST

START_TEST(without_data_all_is_as_expected) {
  ebi_fit_problem problem = {3, 0, off_line, NULL};
  ebi_fit fit = {0};
  ck_assert_int_eq(ebi_fit_solve(arena, &problem, &fit), EB_OK);
  for (int i = 0; i < 9; i++)
    ck_assert(fit.covariance[i] == (i % 4 == 0 ? 1.0 : 0.0));
  ck_assert(fit.unknowns[0] == 0.0 && fit.unknowns[2] == 0.0 && fit.steps == 0);
}
END_TEST

/* Two data on two unknowns far from their prior: exp bends the law. */
static eb_status off_curve(const double *u, double *residuals, void *user) {
  (void)user;
  residuals[0] = 40.0 * (exp(u[0]) - 3.0);
  residuals[1] = 40.0 * (u[1] * u[1] * u[0] - 2.5);
  return EB_OK;
}

/* At the least cost its slope is nought: numerically. */
START_TEST(bent_law_ends_where_the_cost_is_least) {
  ebi_fit_problem problem = {2, 2, off_curve, NULL};
  ebi_fit fit = {0};
  double start[] = {0.3, 0.8};
  fit.unknowns = start;
  ck_assert_int_eq(ebi_fit_solve(arena, &problem, &fit), EB_OK);
  for (int j = 0; j < 2; j++) {
    double cost[2];
    for (int side = 0; side < 2; side++) {
      double u[] = {fit.unknowns[0], fit.unknowns[1]}, r[2];
      u[j] += side == 0 ? -1e-3 : 1e-3;
      (void)off_curve(u, r, NULL);
      cost[side] = r[0] * r[0] + r[1] * r[1] + u[0] * u[0] + u[1] * u[1];
    }
    ck_assert(cost[0] >= fit.cost - 1e-6 && cost[1] >= fit.cost - 1e-6);
  }
}
END_TEST

static eb_status fails(const double *u, double *residuals, void *user) {
  (void)u;
  (void)residuals;
  (void)user;
  return EB_E_NO_SOLUTION;
}

START_TEST(a_failing_law_ends_the_fit) {
  ebi_fit_problem problem = {1, 1, fails, NULL};
  ebi_fit fit = {0};
  ck_assert_int_eq(ebi_fit_solve(arena, &problem, &fit), EB_E_NO_SOLUTION);
}
END_TEST

/* ---- Evidence ---- */

/* ln of a normal density of covariance I + J J' + v d d', by elimination. */
static double log_density(const line *l, const double *lack, const double *direction, double v) {
  double s[5][5], r[5], value = 0.0;
  for (int i = 0; i < 5; i++) {
    r[i] = lack[i];
    for (int k = 0; k < 5; k++)
      s[i][k] = (i == k ? 1.0 : 0.0) + (1.0 + l->x[i] * l->x[k]) / (l->deviation * l->deviation) +
                v * direction[i] * direction[k];
  }
  for (int c = 0; c < 5; c++) {
    value -= 0.5 * log(s[c][c]) + 0.5 * r[c] * r[c] / s[c][c];
    for (int i = c + 1; i < 5; i++) {
      double by = s[i][c] / s[c][c];
      r[i] -= by * r[c];
      for (int k = c; k < 5; k++)
        s[i][k] -= by * s[c][k];
    }
  }
  return value;
}

START_TEST(evidence_of_a_cause_is_that_of_the_wider_normal) {
  line l = {xs, ys, 5, 0.5};
  ebi_fit_problem problem = {2, 5, off_line, &l};
  ebi_fit fit = {0};
  ebi_evidence evidence;
  ck_assert_int_eq(ebi_fit_solve(arena, &problem, &fit), EB_OK);
  ck_assert_int_eq(ebi_evidence_new(arena, &problem, &fit, &evidence), EB_OK);
  double none[5] = {0}, direction[] = {0.0, 1.0, 0.0, -0.5, 0.3}, lack[5], moved[5];
  for (int i = 0; i < 5; i++) {
    lack[i] = ys[i] / 0.5;
    moved[i] = lack[i] - 1.3 * direction[i];
  }
  double base = log_density(&l, lack, none, 0.0), amount;
  CHECK_ABSOLUTE(ebi_evidence_of_cause(&evidence, direction, 1.3, 1.7, &amount),
                 log_density(&l, moved, direction, 1.7 * 1.7) - base, 1e-4);
  CHECK_ABSOLUTE(ebi_evidence_of_data(&evidence, moved), log_density(&l, moved, none, 0.0) - base,
                 1e-4);
  ck_assert(isfinite(amount));
}
END_TEST

/* ---- Draws ---- */

START_TEST(draws_have_their_covariance_and_are_the_same_each_time) {
  enum { COUNT = 20000 };
  const double covariance[] = {2.0, -0.6, -0.6, 0.5};
  double *draws, *again, sum[3] = {0.0, 0.0, 0.0};
  ck_assert_int_eq(ebi_draws_together(arena, 7, covariance, 2, COUNT, &draws), EB_OK);
  ck_assert_int_eq(ebi_draws_together(arena, 7, covariance, 2, COUNT, &again), EB_OK);
  for (int i = 0; i < COUNT; i++) {
    ck_assert(draws[2 * i] == again[2 * i]);
    sum[0] += draws[2 * i] * draws[2 * i];
    sum[1] += draws[2 * i] * draws[2 * i + 1];
    sum[2] += draws[2 * i + 1] * draws[2 * i + 1];
  }
  CHECK_ABSOLUTE(sum[0] / COUNT, 2.0, 0.08);
  CHECK_ABSOLUTE(sum[1] / COUNT, -0.6, 0.04);
  CHECK_ABSOLUTE(sum[2] / COUNT, 0.5, 0.02);
}
END_TEST

START_TEST(a_covariance_that_is_none_is_refused) {
  const double covariance[] = {1.0, 2.0, 2.0, 1.0};
  double *draws = NULL;
  ck_assert_int_eq(ebi_draws_together(arena, 7, covariance, 2, 10, &draws), EB_E_RANGE);
}
END_TEST

Suite *suite_fit(void) {
  Suite *suite = suite_create("fit");
  TCase *tests = tcase_create("fit");
  tcase_add_checked_fixture(tests, setup, teardown);
  tcase_add_test(tests, straight_law_has_the_closed_form);
  tcase_add_test(tests, without_data_all_is_as_expected);
  tcase_add_test(tests, bent_law_ends_where_the_cost_is_least);
  tcase_add_test(tests, a_failing_law_ends_the_fit);
  tcase_add_test(tests, evidence_of_a_cause_is_that_of_the_wider_normal);
  tcase_add_test(tests, draws_have_their_covariance_and_are_the_same_each_time);
  tcase_add_test(tests, a_covariance_that_is_none_is_refused);
  suite_add_tcase(suite, tests);
  return suite;
}
