/* test_friction.c - the friction factor over all regimes */

#include "physics/friction.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "evenbreath.h"
#include "suites.h"

static const double roughnesses[] = {0.0, 1.3e-6, 0.00072, 0.0091, 0.05};
static const double laminars[] = {40.0, 56.9, 64.0, 96.0, 100.0};
#define N_ROUGHNESS (sizeof roughnesses / sizeof roughnesses[0])
#define N_LAMINAR (sizeof laminars / sizeof laminars[0])

/* x + c ln(a + b x) rises in x, so halving in long double finds its root whatever the start. */
static double colebrook_by_halving(double reynolds, double roughness) {
  long double a = (long double)roughness / 3.7L, b = 2.51L / (long double)reynolds;
  long double c = 2.0L / logl(10.0L), low = 1e-12L, high = 100.0L;
  for (int i = 0; i < 200; i++) {
    long double middle = 0.5L * (low + high);
    if (middle + c * logl(a + b * middle) < 0.0L)
      low = middle;
    else
      high = middle;
  }
  return (double)(1.0L / (low * low));
}

/* Checked against the equation itself, Colebrook 1939. */
START_TEST(colebrook_is_exact) {
  for (double reynolds = 1.7e-3; reynolds < 2e8; reynolds *= 1.137) {
    double f = eb_colebrook(reynolds, roughnesses[_i]);
    double want = colebrook_by_halving(reynolds, roughnesses[_i]);
    ck_assert_msg(fabs(f - want) <= 4e-15 * want, "Re %.6g: %.17g, not %.17g", reynolds, f, want);
  }
}
END_TEST

START_TEST(regimes_meet) {
  double rough = roughnesses[_i % (int)N_ROUGHNESS], laminar = laminars[_i / (int)N_ROUGHNESS];
  static const double joins[] = {EBI_REYNOLDS_LAMINAR, EBI_REYNOLDS_TURBULENT};
  for (int i = 0; i < 2; i++) {
    double slope_below, slope_above, step = 1e-9 * joins[i];
    double below = ebi_friction(joins[i] - step, rough, laminar, &slope_below);
    double above = ebi_friction(joins[i] + step, rough, laminar, &slope_above);
    ck_assert_double_eq_tol(below, above, 1e-7 * above);
    ck_assert_double_eq_tol(slope_below, slope_above, 1e-6 * fabs(slope_above));
  }
  ck_assert_double_eq(ebi_friction(1234.5, rough, laminar, NULL), laminar / 1234.5);
  ck_assert_double_eq(ebi_friction(4000.0, rough, laminar, NULL), eb_colebrook(4000.0, rough));
}
END_TEST

/* Pressure goes with f Re^2, which must rise by steps small against its own size: that is, rise
 * everywhere and jump nowhere. */
START_TEST(pressure_rises_without_jumps) {
  double rough = roughnesses[_i % (int)N_ROUGHNESS], laminar = laminars[_i / (int)N_ROUGHNESS];
  double last = 0.0;
  for (double reynolds = 1.0; reynolds < 1e6; reynolds *= 1.001) {
    double slope, f = ebi_friction(reynolds, rough, laminar, &slope);
    double pressure = f * reynolds * reynolds;
    ck_assert_msg(pressure > last, "falls at Re %.9g", reynolds);
    ck_assert_msg(last == 0.0 || pressure < 1.01 * last, "jumps at Re %.9g", reynolds);
    ck_assert_msg(2.0 * f + reynolds * slope > 0.0, "slope at Re %.9g", reynolds);
    last = pressure;
  }
}
END_TEST

START_TEST(slope_is_the_derivative) {
  double rough = roughnesses[_i % (int)N_ROUGHNESS], laminar = laminars[_i / (int)N_ROUGHNESS];
  for (double reynolds = 1.3; reynolds < 3e7; reynolds *= 1.0713) {
    double h = 1e-5 * reynolds, slope;
    ebi_friction(reynolds, rough, laminar, &slope);
    double secant = (ebi_friction(reynolds + h, rough, laminar, NULL) -
                     ebi_friction(reynolds - h, rough, laminar, NULL)) /
                    (2.0 * h);
    double scale = ebi_friction(reynolds, rough, laminar, NULL) / reynolds;
    ck_assert_msg(fabs(slope - secant) < 2e-7 * scale + 1e-9 * fabs(slope),
                  "Re %.6g: %.12g, secant %.12g", reynolds, slope, secant);
  }
}
END_TEST

/* The friction table of a 125 mm duct must not be Fanning's (a quarter). */
START_TEST(factor_is_darcys) {
  ck_assert_double_eq_tol(eb_friction_factor(1500.0, 0.0, 64.0), 64.0 / 1500.0, 1e-15);
}
END_TEST

START_TEST(out_of_range_is_nan) {
  ck_assert(isnan(eb_friction_factor(0.0, 0.001, 64.0)));
  ck_assert(isnan(eb_friction_factor(NAN, 0.001, 64.0)));
  ck_assert(isnan(eb_friction_factor(INFINITY, 0.001, 64.0)));
  ck_assert(isnan(eb_friction_factor(3e3, 0.051, 64.0)));
  ck_assert(isnan(eb_friction_factor(3e3, NAN, 64.0)));
  ck_assert(isnan(eb_friction_factor(3e3, 0.001, 39.9)));
  ck_assert(isnan(eb_friction_factor(3e3, 0.001, NAN)));
  ck_assert(isnan(eb_colebrook(-1.0, 0.001)));
  ck_assert(isnan(eb_colebrook(1e5, -1e-300)));
}
END_TEST

Suite *suite_friction(void) {
  Suite *suite = suite_create("friction");
  TCase *tcase = tcase_create("friction");
  int pairs = (int)(N_ROUGHNESS * N_LAMINAR);
  tcase_add_loop_test(tcase, colebrook_is_exact, 0, (int)N_ROUGHNESS);
  tcase_add_loop_test(tcase, regimes_meet, 0, pairs);
  tcase_add_loop_test(tcase, pressure_rises_without_jumps, 0, pairs);
  tcase_add_loop_test(tcase, slope_is_the_derivative, 0, pairs);
  tcase_add_test(tcase, factor_is_darcys);
  tcase_add_test(tcase, out_of_range_is_nan);
  suite_add_tcase(suite, tcase);
  return suite;
}
