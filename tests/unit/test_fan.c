/* test_fan.c - fan curves, their falling envelope, fan laws and power */

#include "physics/fan.h"

#include <check.h>
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

/* Invented curves: one that falls, one with a dip and a hump as forward-curved fans have. */
static const double flow[] = {0.0, 0.011, 0.024, 0.041, 0.063, 0.081};
static const double falling[] = {423.0, 411.0, 391.0, 352.0, 271.0, 173.0};
static const double humped[] = {382.0, 337.0, 349.0, 364.0, 297.0, 171.0};
static const double power[] = {29.0, 34.0, 39.5, 46.0, 58.0, 71.0};
static const double slow_flow[] = {0.0, 0.013, 0.029, 0.037};
static const double slow[] = {97.0, 89.0, 63.0, 39.0};
static const double slow_power[] = {8.3, 9.1, 10.4, 10.9};

static ebi_fan *fan_of(const double *pressure, const double *watts, double standby) {
  ebi_fan_curve_points points = {1.0, flow, pressure, watts, 6};
  ebi_fan *fan = ebi_fan_new(arena, &points, 1, standby);
  ck_assert_ptr_nonnull(fan);
  return fan;
}

static ebi_fan *fan_of_two_speeds(double standby) {
  ebi_fan_curve_points points[] = {{0.46, slow_flow, slow, slow_power, 4},
                                   {1.0, flow, humped, power, 6}};
  ebi_fan *fan = ebi_fan_new(arena, points, 2, standby);
  ck_assert_ptr_nonnull(fan);
  return fan;
}

START_TEST(a_falling_curve_is_its_own_envelope) {
  ebi_fan *fan = fan_of(falling, NULL, 0.0);
  for (size_t i = 0; i < 6; i++)
    ck_assert_double_eq(ebi_fan_at(fan, flow[i], 1.0, 1.2).rise, falling[i]);
  for (double q = 0.0; q <= 0.081; q += 0.00031) {
    ebi_fan_state at = ebi_fan_at(fan, q, 1.0, 1.2);
    ck_assert_double_eq(at.rise, at.given);
    ck_assert(!at.rising && !at.beyond);
  }
}
END_TEST

static void check_falls(const ebi_fan *fan, double speed) {
  double last = INFINITY, step = 0.000047;
  for (double q = -0.05; q < 0.15; q += step) {
    ebi_fan_state at = ebi_fan_at(fan, q, speed, 1.13);
    ck_assert_msg(at.rise < last, "speed %.2f: does not fall at %.6f", speed, q);
    ck_assert_msg(isinf(last) || at.beyond || last - at.rise < 2.0, "speed %.2f: jumps at %.6f",
                  speed, q);
    ck_assert_msg(at.slope < 0.0, "speed %.2f: slope at %.6f", speed, q);
    last = at.rise;
  }
}

START_TEST(the_envelope_falls_everywhere) {
  check_falls(fan_of(falling, NULL, 0.0), 1.0);
  check_falls(fan_of(humped, NULL, 0.0), 1.0);
  ebi_fan *fan = fan_of_two_speeds(0.0);
  for (double speed = 0.07; speed <= 1.0; speed += 0.093)
    check_falls(fan, speed);
}
END_TEST

/* The least falling curve above the given one: never below it, and as high as the hump (364 Pa)
 * from the place left of it where the curve passes that pressure. */
START_TEST(the_envelope_of_a_hump) {
  ebi_fan *fan = fan_of(humped, NULL, 0.0);
  for (double q = 0.0; q < 0.081; q += 0.00019) {
    ebi_fan_state at = ebi_fan_at(fan, q, 1.0, 1.2);
    ck_assert_double_ge(at.rise, at.given);
    if (q > 0.0411 || at.given > 364.5)
      ck_assert_double_eq_tol(at.rise, at.given, 0.05);
    else
      ck_assert_double_eq_tol(at.rise, 364.0, 0.55);
    ck_assert_int_eq(at.rising, at.rise - at.given > 1e-4 * at.rise || (q >= 0.011 && q < 0.041));
  }
}
END_TEST

START_TEST(the_slope_is_the_derivative) {
  ebi_fan *fan = fan_of_two_speeds(0.0);
  double h = 1e-8;
  for (double speed = 0.3; speed <= 1.0; speed += 0.07) {
    int kinks = 0;
    for (double q = -0.003; q < 0.1; q += 0.00037) {
      double before = ebi_fan_at(fan, q - h, speed, 1.2).rise;
      double after = ebi_fan_at(fan, q + h, speed, 1.2).rise;
      double slope = ebi_fan_at(fan, q, speed, 1.2).slope, secant = (after - before) / (2.0 * h);
      kinks += fabs(slope - secant) > 1.0 + 1e-3 * fabs(secant);
    }
    ck_assert_int_le(kinks, 1);
  }
}
END_TEST

START_TEST(beyond_the_points) {
  ebi_fan *fan = fan_of(falling, power, 3.0);
  ebi_fan_state back = ebi_fan_at(fan, -0.01, 1.0, 1.2), far = ebi_fan_at(fan, 0.1, 1.0, 1.2);
  ck_assert(back.beyond && far.beyond);
  ck_assert(!back.rising && !far.rising);
  ck_assert_double_eq_tol(back.rise, 423.0, 0.01); /* level, but for its tilt */
  ck_assert_double_eq_tol(ebi_fan_at(fan, 0.081, 1.0, 1.2).rise, 173.0, 1e-9);
  ck_assert_double_lt(far.rise, -423.0);
  ck_assert_double_eq(ebi_fan_power(fan, 0.1, 1.0, 1.2), 71.0);
  ck_assert_double_eq(ebi_fan_power(fan, -0.1, 1.0, 1.2), 29.0);
}
END_TEST

/* Even where 200 Pa help it, a fan moves no more than its last flow, within 0.1 %. */
START_TEST(no_flow_beyond_the_last_point) {
  ebi_fan *fan = fan_of(falling, NULL, 0.0);
  for (double n = 0.23; n <= 1.0; n += 0.077) {
    double end = 0.081 * n, last = HUGE_VAL;
    for (double q = end; q < 1.002 * end; q += 1e-4 * end) {
      ebi_fan_state at = ebi_fan_at(fan, q, n, 1.2);
      ck_assert(at.rise < last && isfinite(at.slope));
      last = at.rise;
    }
    ck_assert_double_lt(ebi_fan_at(fan, 1.001 * end, n, 1.2).rise, -200.0 * n * n);
  }
}
END_TEST

/* Fan laws: q ~ n, p ~ n^2 rho, P ~ n^3 rho. */
START_TEST(laws_of_one_curve) {
  ebi_fan *fan = fan_of(humped, power, 0.0);
  for (double n = 0.11; n < 1.0; n += 0.087) {
    for (double q = 0.002; q < 0.09; q += 0.0051) {
      ebi_fan_state full = ebi_fan_at(fan, q, 1.0, 1.2), part = ebi_fan_at(fan, q * n, n, 1.05);
      ck_assert_double_eq_tol(part.rise, full.rise * n * n * 1.05 / 1.2, 1e-10);
      ck_assert_double_eq_tol(part.slope, full.slope * n * 1.05 / 1.2, 1e-8);
      ck_assert_double_eq_tol(ebi_fan_power(fan, q * n, n, 1.05),
                              ebi_fan_power(fan, q, 1.0, 1.2) * n * n * n * 1.05 / 1.2, 1e-10);
    }
  }
}
END_TEST

START_TEST(between_two_speeds) {
  ebi_fan *fan = fan_of_two_speeds(0.0);
  ck_assert_double_eq_tol(ebi_fan_at(fan, 0.029, 0.46, 1.2).rise, 63.0, 1e-10);
  ck_assert_double_eq_tol(ebi_fan_at(fan, 0.063, 1.0, 1.2).rise, 297.0, 1e-10);
  double n = 0.73, q = 0.027, share = (n - 0.46) / 0.54;
  ebi_fan_curve_points low = {0.46, slow_flow, slow, NULL, 4}, high = {1.0, flow, humped, NULL, 6};
  ebi_fan *slow_only = ebi_fan_new(arena, &low, 1, 0.0);
  ebi_fan *fast_only = ebi_fan_new(arena, &high, 1, 0.0);
  ck_assert(slow_only != NULL && fast_only != NULL);
  double want = (1.0 - share) * ebi_fan_at(slow_only, q, n, 1.2).rise +
                share * ebi_fan_at(fast_only, q, n, 1.2).rise;
  ck_assert_double_eq_tol(ebi_fan_at(fan, q, n, 1.2).rise, want, 1e-10);
  ck_assert_double_eq_tol(ebi_fan_at(fan, 0.01, 0.2, 1.2).rise,
                          ebi_fan_at(slow_only, 0.01, 0.2, 1.2).rise, 1e-12);
  double last = 0.0;
  for (double speed = 0.05; speed <= 1.0; speed += 0.01) {
    double rise = ebi_fan_at(fan, 0.0031, speed, 1.2).rise;
    ck_assert(rise > last && rise - last < 12.0);
    last = rise;
  }
}
END_TEST

/* Electronics do not follow the cube: 4 W stay. */
START_TEST(power_stands_on_the_standby) {
  ebi_fan *fan = fan_of(falling, power, 4.0);
  ck_assert_double_eq_tol(ebi_fan_power(fan, 0.041, 1.0, 1.2), 46.0, 1e-12);
  ck_assert_double_eq_tol(ebi_fan_power(fan, 0.0041, 0.1, 1.2), 4.0 + 42.0e-3, 1e-12);
  ck_assert_double_eq_tol(ebi_fan_power(fan, 0.041, 1.0, 1.0), 4.0 + 42.0 / 1.2, 1e-12);
  ck_assert_double_eq_tol(ebi_fan_power(fan_of(falling, power, 99.0), 0.041, 1.0, 1.2), 99.0,
                          1e-12);
  ck_assert(isnan(ebi_fan_power(fan_of(falling, NULL, 4.0), 0.041, 1.0, 1.2)));
  double slow_power_is = ebi_fan_power(fan_of_two_speeds(2.0), 0.029, 0.46, 1.2);
  ck_assert_double_eq_tol(slow_power_is, 10.4, 1e-12);
}
END_TEST

START_TEST(speed_for_a_duty) {
  ebi_fan *fan = fan_of_two_speeds(0.0);
  for (double n = 0.31; n < 1.0; n += 0.0613) {
    double q = 0.043 * n, speed = -1.0, rise = ebi_fan_at(fan, q, n, 1.17).rise;
    ck_assert_int_eq(ebi_fan_speed(fan, q, rise, 1.17, &speed), EB_OK);
    ck_assert_double_eq_tol(ebi_fan_at(fan, q, speed, 1.17).rise, rise, 1e-9);
  }
  double speed = -1.0;
  ck_assert_int_eq(ebi_fan_speed(fan, 0.041, 365.0, 1.2, &speed), EB_E_NO_SOLUTION);
  ck_assert_double_eq(speed, 1.0);
  ck_assert_int_eq(ebi_fan_speed(fan, -0.02, -1.0, 1.2, &speed), EB_E_NO_SOLUTION);
  ck_assert_double_lt(speed, 0.01);
}
END_TEST

/* A level start and a curve that only rises are still brought to a falling law. */
START_TEST(odd_curves) {
  static const double level[] = {300.0, 300.0, 300.0, 290.0, 200.0, 100.0};
  static const double rising[] = {10.0, 20.0, 30.0, 40.0, 50.0, 60.0};
  static const double nothing[] = {0.0, 0.0, 0.0, 0.0, 0.0, 0.0};
  check_falls(fan_of(level, NULL, 0.0), 1.0);
  check_falls(fan_of(rising, NULL, 0.0), 0.8);
  check_falls(fan_of(nothing, NULL, 0.0), 1.0);
  ck_assert(!ebi_fan_at(fan_of(level, NULL, 0.0), 0.005, 1.0, 1.2).rising);
  ck_assert(ebi_fan_at(fan_of(rising, NULL, 0.0), 0.005, 1.0, 1.2).rising);
}
END_TEST

Suite *suite_fan(void) {
  Suite *suite = suite_create("fan");
  TCase *tcase = tcase_create("fan");
  tcase_add_checked_fixture(tcase, setup, teardown);
  tcase_add_test(tcase, a_falling_curve_is_its_own_envelope);
  tcase_add_test(tcase, the_envelope_falls_everywhere);
  tcase_add_test(tcase, the_envelope_of_a_hump);
  tcase_add_test(tcase, the_slope_is_the_derivative);
  tcase_add_test(tcase, beyond_the_points);
  tcase_add_test(tcase, no_flow_beyond_the_last_point);
  tcase_add_test(tcase, laws_of_one_curve);
  tcase_add_test(tcase, between_two_speeds);
  tcase_add_test(tcase, power_stands_on_the_standby);
  tcase_add_test(tcase, speed_for_a_duty);
  tcase_add_test(tcase, odd_curves);
  suite_add_tcase(suite, tcase);
  return suite;
}
