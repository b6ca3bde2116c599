/* test_air.c - air and sections */

#include "physics/air.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "physics/section.h"
#include "suites.h"

START_TEST(density_follows_the_gas_law) {
  double rho = eb_air_density(13.7, 98123.0);
  ck_assert_double_eq_tol(eb_air_density(13.7, 2.0 * 98123.0), 2.0 * rho, 1e-14);
  ck_assert_double_eq_tol(eb_air_density(2.0 * (13.7 + 273.15) - 273.15, 98123.0), 0.5 * rho,
                          1e-14);
  ebi_air_state air = ebi_air_at(13.7, 98123.0);
  ck_assert_double_eq(air.density, rho);
  ck_assert_double_eq(air.viscosity, eb_air_viscosity(13.7));
}
END_TEST

/* Vapour is lighter than air; ASHRAE Handbook Fundamentals 2017 ch. 1: 2338.8 Pa at 20 C. */
START_TEST(moist_air_is_lighter) {
  double dry = eb_air_density(20.0, 101325.0), wet = eb_air_density_moist(20.0, 101325.0, 1.0);
  ck_assert_double_eq(eb_air_density_moist(20.0, 101325.0, 0.0), dry);
  ck_assert_double_eq_tol((dry - wet) / dry * 101325.0 / 0.378, 2338.8, 0.1);
}
END_TEST

START_TEST(pressure_falls_with_height) {
  ck_assert_double_eq(eb_air_pressure(0.0), 101325.0);
  double last = 2e5;
  for (double z = -500.0; z <= 11000.0; z += 137.0) {
    double p = eb_air_pressure(z);
    ck_assert_double_lt(p, last);
    last = p;
  }
}
END_TEST

START_TEST(out_of_range_is_nan) {
  ck_assert(isnan(eb_air_density(-273.15, 101325.0)));
  ck_assert(isnan(eb_air_density(NAN, 101325.0)));
  ck_assert(isnan(eb_air_density(20.0, 0.0)));
  ck_assert(isnan(eb_air_density(20.0, INFINITY)));
  ck_assert(isnan(eb_air_density_moist(20.0, 101325.0, 1.01)));
  ck_assert(isnan(eb_air_density_moist(20.0, 101325.0, NAN)));
  ck_assert(isnan(eb_air_density_moist(-41.0, 101325.0, 0.5)));
  ck_assert(isnan(eb_air_density_moist(60.0, 15000.0, 1.0))); /* it would boil */
  ck_assert(isnan(eb_air_viscosity(-300.0)));
  ck_assert(isnan(eb_air_pressure(-501.0)));
  ck_assert(isnan(eb_air_pressure(NAN)));
  ck_assert(isnan(eb_air_heat_capacity(20.0, -1.0)));
  ck_assert(isnan(eb_laminar_constant_rectangle(0.0, 0.06)));
  ck_assert(isnan(eb_laminar_constant_rectangle(0.2, INFINITY)));
}
END_TEST

/* Shah & London 1978: 56.91 for a square, 96 between plates. */
START_TEST(laminar_constants) {
  ck_assert_double_eq_tol(eb_laminar_constant_rectangle(0.117, 0.117), 56.91, 0.02);
  ck_assert_double_eq_tol(eb_laminar_constant_rectangle(1e-9, 1.0), 96.0, 1e-6);
  ck_assert_double_eq(eb_laminar_constant_rectangle(0.204, 0.06),
                      eb_laminar_constant_rectangle(0.06, 0.204));
}
END_TEST

/* A flat oval 204 x 60: area and perimeter by hand; laminar constants from a finite-difference
 * solution of the same shape (own calculation). */
START_TEST(ovals) {
  ebi_section oval = ebi_section_oval(0.204, 0.06), turned = ebi_section_oval(0.06, 0.204);
  ck_assert_double_eq_tol(oval.area, 11467.4e-6, 0.05e-6);
  ck_assert_double_eq_tol(oval.hydraulic, 4.0 * 11467.4 / 476.5 * 1e-3, 1e-5);
  ck_assert_double_eq(turned.laminar, oval.laminar);
  static const double known[][2] = {{1.0, 64.0},  {1.5, 65.34}, {2.0, 68.15},
                                    {3.4, 75.42}, {5.0, 80.54}, {10.0, 87.41}};
  for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
    ck_assert_double_eq_tol(ebi_section_oval(0.06 * known[i][0], 0.06).laminar, known[i][1],
                            0.009 * known[i][1]);
}
END_TEST

START_TEST(round_is_the_limit) {
  ebi_section circle = ebi_section_round(0.1234), oval = ebi_section_oval(0.1234, 0.1234);
  ck_assert_double_eq_tol(oval.area, circle.area, 1e-16);
  ck_assert_double_eq_tol(oval.hydraulic, circle.hydraulic, 1e-15);
  ck_assert_double_eq_tol(oval.laminar, 64.0, 1e-12);
  ck_assert_double_eq_tol(ebi_section_equal_area_bore(&circle), 0.1234, 1e-15);
  ebi_section flat = ebi_section_rectangle(0.204, 0.06);
  ck_assert_double_eq_tol(ebi_section_equal_area_bore(&flat), 0.124837, 1e-6);
}
END_TEST

Suite *suite_air(void) {
  Suite *suite = suite_create("air");
  TCase *tcase = tcase_create("air");
  tcase_add_test(tcase, density_follows_the_gas_law);
  tcase_add_test(tcase, moist_air_is_lighter);
  tcase_add_test(tcase, pressure_falls_with_height);
  tcase_add_test(tcase, out_of_range_is_nan);
  tcase_add_test(tcase, laminar_constants);
  tcase_add_test(tcase, ovals);
  tcase_add_test(tcase, round_is_the_limit);
  suite_add_tcase(suite, tcase);
  return suite;
}
