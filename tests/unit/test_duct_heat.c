/* test_duct_heat.c - heat through the wall of a duct; dew points; thermal gravity */

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "physics/air.h"
#include "physics/duct_heat.h"
#include "suites.h"

#define PI 3.14159265358979323846

/* The closed form for a round duct: cylindrical conduction between two films. */
START_TEST(round_duct_is_the_closed_form) {
  static const double tubes[][3] = {
      {0.125, 0.025, 0.040}, {0.160, 0.050, 0.037}, {0.0631, 0.0137, 0.0443}, {0.2, 0.4, 0.022}};
  for (size_t i = 0; i < sizeof tubes / sizeof tubes[0]; i++) {
    double inner = tubes[i][0], outer = inner + 2.0 * tubes[i][1], conductivity = tubes[i][2];
    double want = PI / (1.0 / (8.0 * inner) + log(outer / inner) / (2.0 * conductivity) +
                        1.0 / (8.0 * outer));
    ebi_duct_wall wall = ebi_duct_wall_of(PI * inner, tubes[i][1], conductivity);
    ck_assert_double_eq_tol(ebi_duct_transmittance(&wall), want, 1e-14);
  }
}
END_TEST

/* Two films of 8 W/(m2 K), one behind the other, on the perimeter of the bore. */
START_TEST(bare_duct_has_its_films) {
  ebi_duct_wall wall = ebi_duct_wall_of(0.5273, 0.0, 1.0);
  ck_assert_double_eq_tol(ebi_duct_transmittance(&wall), 0.5273 * 4.0, 1e-14);
  ck_assert_double_eq_tol(ebi_duct_surface_outside(&wall, -3.7, 20.9), 8.6, 1e-13);
  ck_assert_double_eq_tol(ebi_duct_surface_inside(&wall, -3.7, 20.9), 8.6, 1e-13);
}
END_TEST

/* Heat is the same in each film and through the insulation. */
START_TEST(surfaces_agree_with_the_heat) {
  ebi_duct_wall wall = ebi_duct_wall_of(0.397, 0.0237, 0.0411);
  double air = -8.3, around = 21.7, heat = ebi_duct_transmittance(&wall) * (air - around);
  double outer = 0.397 + 2.0 * PI * 0.0237;
  ck_assert_double_eq_tol((ebi_duct_surface_outside(&wall, air, around) - around) * 8.0 * outer,
                          heat, 1e-12);
  ck_assert_double_eq_tol((air - ebi_duct_surface_inside(&wall, air, around)) * 8.0 * 0.397, heat,
                          1e-12);
}
END_TEST

START_TEST(long_ducts_reach_their_space_and_never_pass_it) {
  double last = 19.3;
  for (double units = 0.0; units < 40.0; units += 0.37) {
    double end = ebi_duct_end_c(19.3, -2.1, units), mean = ebi_duct_mean_c(19.3, -2.1, units);
    ck_assert_double_ge(end, -2.1);
    ck_assert_double_le(end, last);
    ck_assert(mean >= end && mean <= 19.3);
    last = end;
  }
  ck_assert_double_eq(ebi_duct_end_c(19.3, -2.1, HUGE_VAL), -2.1);
  ck_assert_double_eq(ebi_duct_mean_c(19.3, -2.1, HUGE_VAL), -2.1);
  ck_assert_double_eq(ebi_duct_end_c(19.3, -2.1, 0.0), 19.3);
  ck_assert_double_eq(ebi_duct_mean_c(19.3, -2.1, 0.0), 19.3);
  ck_assert_double_eq_tol(ebi_duct_mean_c(19.3, -2.1, 1e-9), 19.3, 1e-7);
}
END_TEST

/* Two ducts one behind the other are one of both lengths, and heat is what air lost. */
START_TEST(ducts_add_up) {
  double middle = ebi_duct_end_c(17.9, 3.1, 0.211);
  ck_assert_double_eq_tol(ebi_duct_end_c(middle, 3.1, 0.342), ebi_duct_end_c(17.9, 3.1, 0.553),
                          1e-13);
  double mean = ebi_duct_mean_c(17.9, 3.1, 0.553), end = ebi_duct_end_c(17.9, 3.1, 0.553);
  ck_assert_double_eq_tol(0.553 * (mean - 3.1), 17.9 - end, 1e-13);
}
END_TEST

/* The thickness asked for gives the surface asked for, for cold ducts and for warm ones. */
START_TEST(thickness_is_the_inverse) {
  static const double asked[][4] = {{0.3927, -5.3, 20.7, 9.9},
                                    {0.3927, -5.3, 20.7, 19.6},
                                    {1.0e6, 4.0, 27.0, 25.2},
                                    {0.2, 61.0, 18.0, 24.5}};
  for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++) {
    ebi_duct_wall wall = ebi_duct_wall_of(asked[i][0], 0.0, 0.0391);
    wall.thickness = ebi_duct_thickness(&wall, asked[i][1], asked[i][2], asked[i][3]);
    ck_assert_double_gt(wall.thickness, 1e-4);
    ck_assert_double_eq_tol(ebi_duct_surface_outside(&wall, asked[i][1], asked[i][2]), asked[i][3],
                            1e-9);
  }
}
END_TEST

START_TEST(thickness_at_its_ends) {
  ebi_duct_wall wall = ebi_duct_wall_of(0.41, 0.0, 0.04);
  ck_assert_double_eq(ebi_duct_thickness(&wall, -3.0, 20.0, 8.49), 0.0); /* bare: 8.5 */
  ck_assert_double_eq(ebi_duct_thickness(&wall, -3.0, 20.0, -11.0), 0.0);
  ck_assert(isnan(ebi_duct_thickness(&wall, -3.0, 20.0, 20.0)));
  ck_assert(isnan(ebi_duct_thickness(&wall, -3.0, 20.0, 23.0)));
  ck_assert(isnan(ebi_duct_thickness(&wall, 20.0, 20.0, 10.0)));
  ck_assert(isnan(ebi_duct_thickness(&wall, -3.0, 20.0, NAN)));
}
END_TEST

/* ---- Moist air ---- */

START_TEST(dew_point_saturates) {
  for (double t = -59.0; t <= 100.0; t += 7.3)
    for (double humidity = 0.02; humidity <= 1.0; humidity += 0.0613) {
      double dew = ebi_dew_point(t, humidity), vapour = humidity * eb_vapour_saturation_water(t);
      ck_assert(t < 0.0 || dew <= t);
      ck_assert_double_eq_tol(eb_vapour_saturation(dew) / vapour, 1.0, 1e-11);
    }
  ck_assert_double_eq_tol(ebi_dew_point(17.3, 1.0), 17.3, 1e-11);
  ck_assert(isnan(ebi_dew_point(-61.0, 0.5)));
  ck_assert(isnan(ebi_dew_point(NAN, 0.5)));
  ck_assert(isnan(ebi_dew_point(20.0, 1e-300)));
  ck_assert(isnan(eb_vapour_saturation_water(101.0)));
}
END_TEST

/* Vapour beyond what air can hold does not count. */
START_TEST(air_holds_no_more_than_saturates_it) {
  double half = 0.5 * eb_vapour_saturation_water(21.3);
  ck_assert_double_eq(ebi_air_moist_at(21.3, 98000.0, 0.0).density, eb_air_density(21.3, 98000.0));
  ck_assert_double_eq_tol(ebi_air_moist_at(21.3, 98000.0, half).density,
                          eb_air_density_moist(21.3, 98000.0, 0.5), 1e-15);
  ck_assert_double_eq_tol(ebi_air_moist_at(1.7, 98000.0, half).density,
                          eb_air_density_moist(1.7, 98000.0, 1.0), 1e-15);
}
END_TEST

START_TEST(light_air_rises) {
  ck_assert_double_eq_tol(ebi_stack_pressure(1.29, 1.19, 4.7), 0.1 * 9.80665 * 4.7, 1e-12);
  ck_assert_double_eq(ebi_stack_pressure(1.29, 1.19, -4.7), -ebi_stack_pressure(1.29, 1.19, 4.7));
  ck_assert_double_eq(ebi_stack_pressure(1.23, 1.23, 50.0), 0.0);
}
END_TEST

Suite *suite_duct_heat(void) {
  Suite *suite = suite_create("duct_heat");
  TCase *tcase = tcase_create("duct_heat");
  tcase_add_test(tcase, round_duct_is_the_closed_form);
  tcase_add_test(tcase, bare_duct_has_its_films);
  tcase_add_test(tcase, surfaces_agree_with_the_heat);
  tcase_add_test(tcase, long_ducts_reach_their_space_and_never_pass_it);
  tcase_add_test(tcase, ducts_add_up);
  tcase_add_test(tcase, thickness_is_the_inverse);
  tcase_add_test(tcase, thickness_at_its_ends);
  tcase_add_test(tcase, dew_point_saturates);
  tcase_add_test(tcase, air_holds_no_more_than_saturates_it);
  tcase_add_test(tcase, light_air_rises);
  suite_add_tcase(suite, tcase);
  return suite;
}
