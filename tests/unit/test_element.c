/* test_element.c - pressure laws of single elements */

#include "network/element.h"

#include <check.h>
#include <math.h>

#include "base/context.h"
#include "suites.h"

static const ebi_air_state air = {1.193, 1.823e-5};

static ebi_element duct(double bore, double length, double roughness) {
  return (ebi_element){.kind = EBI_ELEMENT_DUCT,
                       .parallel = 1.0,
                       .as.duct = {ebi_section_round(bore), length, roughness}};
}

static ebi_element loss(double area, double forward, double backward) {
  return (ebi_element){
      .kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {area, forward, backward}};
}

static ebi_element power(double drop, double at, double exponent) {
  return (ebi_element){
      .kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {drop, at, exponent}};
}

static ebi_element valve(double k) {
  return (ebi_element){.kind = EBI_ELEMENT_VALVE, .parallel = 1.0, .as.valve = {k}};
}

static bool near_enough(double found, double want, double relative) {
  return fabs(found - want) <= relative * fabs(want);
}

/* From far below a drop of 1e-6 Pa to far above, both ways: rising, without a jump, the slope
 * that of the drop. */
static void check_smooth(ebi_element element, double from, double to) {
  double before = 0.0, at = 0.0;
  ck_assert_double_eq(ebi_element_drop(&element, air, 0.0).pa, 0.0);
  ck_assert_double_gt(ebi_element_drop(&element, air, 0.0).slope, 0.0);
  for (double q = from; q < to; q *= 1.0173) {
    double step = 1e-6 * q;
    ebi_drop d = ebi_element_drop(&element, air, q);
    double rise =
        ebi_element_drop(&element, air, q + step).pa - ebi_element_drop(&element, air, q - step).pa;
    ck_assert_double_gt(d.pa, before);
    ck_assert_msg(near_enough(rise / (2.0 * step), d.slope, 2e-5), "slope at %g", q);
    if (at > 0.0)
      ck_assert_double_lt(d.pa / before, 1.12);
    before = d.pa;
    at = q;
  }
}

static void check_odd(ebi_element element) {
  for (double q = 1e-9; q < 0.1; q *= 3.7) {
    ebi_drop a = ebi_element_drop(&element, air, q), b = ebi_element_drop(&element, air, -q);
    ck_assert_double_eq(a.pa, -b.pa);
    ck_assert_double_eq(a.slope, b.slope);
  }
}

START_TEST(laws_are_smooth_rising_and_odd) {
  ebi_element all[] = {duct(0.0763, 7.31, 9e-5),  loss(0.0123, 1.37, 1.37),
                       power(29.3, 0.0413, 1.31), power(17.9, 0.057, 1.0),
                       power(61.0, 0.0231, 2.0),  valve(0.00213)};
  for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
    check_smooth(all[i], 1e-9, 0.13);
    check_odd(all[i]);
  }
}
END_TEST

/* Hagen-Poiseuille: 128 mu L q / (pi D^4) */
START_TEST(a_slow_duct_is_laminar) {
  ebi_element d = duct(0.3, 11.7, 9e-5);
  double want = 128.0 * 1.823e-5 * 11.7 * 1e-3 / (3.14159265358979 * pow(0.3, 4));
  ck_assert(near_enough(ebi_element_drop(&d, air, 1e-3).pa, want, 1e-12));
  ck_assert(near_enough(ebi_element_drop(&d, air, 1e-9).pa, 1e-6 * want, 1e-12));
}
END_TEST

/* 160 mm, 0.09 mm, 50 l/s at 1.204 kg/m3: 0.5946 Pa/m (Colebrook, fluids 1.0.22). */
START_TEST(a_duct_has_colebrook_friction) {
  ebi_element d = duct(0.16, 10.0, 9e-5);
  double pa = ebi_element_drop(&d, (ebi_air_state){1.204, 1.81e-5}, 0.05).pa;
  ck_assert(near_enough(pa, 5.946, 2e-4));
}
END_TEST

/* Where the regimes of friction change nothing jumps. */
START_TEST(a_duct_has_no_jump_between_regimes) {
  ebi_element d = duct(0.063, 1.0, 7e-6);
  static const double reynolds[] = {2000.0, 2299.0, 2300.0, 2301.0, 4000.0, 5000.0};
  for (size_t i = 0; i < 6; i++) {
    double q = reynolds[i] * air.viscosity / air.density / 0.063 * d.as.duct.section.area;
    ebi_drop below = ebi_element_drop(&d, air, q * (1.0 - 1e-9));
    ebi_drop above = ebi_element_drop(&d, air, q * (1.0 + 1e-9));
    ck_assert_double_gt(above.pa, below.pa);
    ck_assert(near_enough(above.pa, below.pa, 1e-8));
    ck_assert(near_enough(above.slope, below.slope, 1e-5));
  }
}
END_TEST

START_TEST(a_loss_has_one_coefficient_each_way) {
  ebi_element l = loss(0.0079, 0.43, 1.71);
  double velocity = 0.0317 / 0.0079, pressure = 0.5 * 1.193 * velocity * velocity;
  ck_assert(near_enough(ebi_element_drop(&l, air, 0.0317).pa, 0.43 * pressure, 1e-13));
  ck_assert(near_enough(ebi_element_drop(&l, air, -0.0317).pa, -1.71 * pressure, 1e-13));
  l = loss(0.0079, 0.0, -0.2);
  ck_assert_double_gt(ebi_element_drop(&l, air, 0.0).slope, 0.0);
  ck_assert_double_lt(ebi_element_drop(&l, air, 0.05).pa, 1e-5);
  ck_assert(near_enough(ebi_element_drop(&l, air, -0.0317).pa, 0.2 * pressure, 1e-13));
}
END_TEST

START_TEST(a_power_law_meets_its_point) {
  ebi_element p = power(31.7, 0.0527, 1.43);
  ck_assert(
      near_enough(ebi_element_drop(&p, (ebi_air_state){1.2, 1.8e-5}, 0.0527).pa, 31.7, 1e-14));
  ck_assert(near_enough(ebi_element_drop(&p, (ebi_air_state){1.2, 1.8e-5}, 0.0211).pa,
                        31.7 * pow(0.0211 / 0.0527, 1.43), 1e-13));
  ck_assert(near_enough(ebi_element_drop(&p, (ebi_air_state){0.96, 1.8e-5}, 0.0527).pa,
                        31.7 * pow(0.8, 0.43), 1e-13));
}
END_TEST

/* 4 l/s per Pa^0.5 at 15 l/s: 14.0625 Pa at 1.2 kg/m3. */
START_TEST(a_valve_goes_with_density) {
  ebi_element v = valve(0.004);
  ck_assert(
      near_enough(ebi_element_drop(&v, (ebi_air_state){1.2, 1.8e-5}, 0.015).pa, 14.0625, 1e-13));
  ck_assert(
      near_enough(ebi_element_drop(&v, (ebi_air_state){0.9, 1.8e-5}, 0.015).pa, 10.546875, 1e-13));
}
END_TEST

START_TEST(parallel_tubes_share_the_flow) {
  ebi_element one = duct(0.075, 9.3, 7e-6), three = one;
  three.parallel = 3.0;
  ebi_drop a = ebi_element_drop(&one, air, 0.0113), b = ebi_element_drop(&three, air, 0.0339);
  ck_assert(near_enough(b.pa, a.pa, 1e-14));
  ck_assert(near_enough(b.slope, a.slope / 3.0, 1e-14));
  ck_assert(
      near_enough(ebi_element_velocity(&three, 0.0339), 0.0113 / one.as.duct.section.area, 1e-14));
  ck_assert(near_enough(ebi_element_reynolds(&three, air, -0.0339),
                        0.0113 / one.as.duct.section.area * 0.075 * 1.193 / 1.823e-5, 1e-13));
}
END_TEST

START_TEST(only_ducts_and_losses_have_a_velocity) {
  ebi_element v = valve(0.003), l = loss(0.0131, 1.0, 1.0);
  ck_assert_double_eq(ebi_element_velocity(&v, 0.01), 0.0);
  ck_assert_double_eq(ebi_element_reynolds(&v, air, 0.01), 0.0);
  ck_assert(near_enough(ebi_element_velocity(&l, 0.0262), 2.0, 1e-14));
}
END_TEST

START_TEST(a_fan_is_a_negative_drop) {
  eb_context *context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  static const double q[] = {0.0, 0.031, 0.077}, p[] = {391.0, 317.0, 93.0};
  ebi_fan_curve_points points = {1.0, q, p, NULL, 3};
  ebi_fan *fan = ebi_fan_new(ebi_context_arena(context), &points, 1, 0.0);
  ck_assert_ptr_nonnull(fan);
  ebi_element f = {.kind = EBI_ELEMENT_FAN, .parallel = 1.0, .as.fan = {fan, 1.0}};
  ebi_drop d = ebi_element_drop(&f, (ebi_air_state){1.2, 1.8e-5}, 0.031);
  ck_assert_double_eq(d.pa, -317.0);
  ck_assert_double_gt(d.slope, 0.0);
  ck_assert_double_lt(ebi_element_drop(&f, air, -0.02).pa, -391.0 * 1.193 / 1.2);
  eb_context_free(context);
}
END_TEST

Suite *suite_element(void) {
  Suite *suite = suite_create("element");
  TCase *tests = tcase_create("laws");
  tcase_add_test(tests, laws_are_smooth_rising_and_odd);
  tcase_add_test(tests, a_slow_duct_is_laminar);
  tcase_add_test(tests, a_duct_has_colebrook_friction);
  tcase_add_test(tests, a_duct_has_no_jump_between_regimes);
  tcase_add_test(tests, a_loss_has_one_coefficient_each_way);
  tcase_add_test(tests, a_power_law_meets_its_point);
  tcase_add_test(tests, a_valve_goes_with_density);
  tcase_add_test(tests, parallel_tubes_share_the_flow);
  tcase_add_test(tests, only_ducts_and_losses_have_a_velocity);
  tcase_add_test(tests, a_fan_is_a_negative_drop);
  suite_add_tcase(suite, tests);
  return suite;
}
