/* test_outdoor_air.c - models of leaks, carbon dioxide indoors and the yardstick of the European
 * Union */

#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "physics/air_quality.h"
#include "suites.h"

/* ---- Leaks --------------------------------------------------------------- */

/* ASHRAE HoF 2021 prints two rules; both add balanced air in full, and lie between the larger of
 * the others and their sum. */
START_TEST(two_rules_of_one_handbook) {
  for (double leaks = 0.0; leaks < 60.0; leaks += 3.7) {
    for (double fans = 0.0; fans < 60.0; fans += 4.3) {
      double square = eb_infiltration_quadrature(17.1, fans, leaks) - 17.1;
      double half = eb_infiltration_half(17.1, fans, leaks) - 17.1;
      ck_assert(square >= fmax(fans, leaks) - 1e-12 && square <= fans + leaks + 1e-12);
      ck_assert(half >= fmax(fans, leaks) - 1e-12 && half <= fans + leaks + 1e-12);
    }
  }
  ck_assert(isnan(eb_infiltration_quadrature(1.0, NAN, 1.0)));
  ck_assert(isnan(eb_infiltration_quadrature(-1.0, 1.0, 1.0)));
  ck_assert(isnan(eb_infiltration_half(1.0, 1.0, INFINITY)));
  ck_assert(isnan(eb_infiltration_half(1.0, -1.0, 1.0)));
}
END_TEST

/* Stack and wind apart, and the whole in quadrature. */
START_TEST(models_of_leaks) {
  double still = eb_infiltration_basic(0.0431, 2.9e-4, 2.31e-4, 27.0, 0.0);
  double even = eb_infiltration_basic(0.0431, 2.9e-4, 2.31e-4, 0.0, 3.9);
  ck_assert_double_eq_tol(eb_infiltration_basic(0.0431, 2.9e-4, 2.31e-4, 27.0, 3.9),
                          hypot(still, even), 1e-15);
  ck_assert(isnan(eb_infiltration_basic(-0.1, 2.9e-4, 2.31e-4, 27.0, 3.9)));
  ck_assert(isnan(eb_infiltration_basic(0.04, 2.9e-4, 2.31e-4, 27.0, NAN)));

  eb_enhanced_leakage house = {0.051, 0.67, 0.089, 0.156, 0.64, 0.59};
  still = eb_infiltration_enhanced(&house, 27.0, 0.0);
  even = eb_infiltration_enhanced(&house, 0.0, 3.9);
  ck_assert_double_eq_tol(eb_infiltration_enhanced(&house, 27.0, 3.9), hypot(still, even), 1e-15);
  house.shelter = 1.1;
  ck_assert(isnan(eb_infiltration_enhanced(&house, 27.0, 3.9)));

  double mild = eb_infiltration_quick(0.0431, 5.0, 11.0, 0.0, false);
  ck_assert_double_gt(eb_infiltration_quick(0.0431, 5.0, 31.0, 0.0, false), mild);
  ck_assert_double_gt(eb_infiltration_quick(0.0431, 5.0, 11.0, 0.011, false), mild);
  ck_assert_double_lt(eb_infiltration_quick(0.0431, 5.0, 11.0, 0.0, true), mild);
  ck_assert_double_eq(eb_infiltration_quick(0.0, 5.0, 11.0, 0.0, true), 0.0);
  ck_assert(isnan(eb_infiltration_quick(0.0, 5.0, 11.0, 0.001, true)));
}
END_TEST

/* ---- Carbon dioxide ------------------------------------------------------- */

/* Two stretches of time are one; a room left alone comes to its steady rise or back to outdoors;
 * a closed room is the limit of a slow one. */
START_TEST(carbon_dioxide_in_time) {
  const double g = 7.6e-6, q = 0.0061, v = 31.7;
  double half = eb_co2_after(g, q, v, 2.1e-4, 1310.0);
  ck_assert_double_eq_tol(eb_co2_after(g, q, v, half, 1310.0),
                          eb_co2_after(g, q, v, 2.1e-4, 2620.0), 1e-16);
  ck_assert_double_eq_tol(eb_co2_after(g, q, v, 0.0, 1e6), eb_co2_rise(g, q), 1e-15);
  ck_assert_double_eq_tol(eb_co2_after(0.0, q, v, 9e-4, 1e6), 0.0, 1e-15);
  ck_assert_double_eq_tol(eb_co2_after(g, 1e-12, v, 3e-4, 7200.0),
                          eb_co2_after(g, 0.0, v, 3e-4, 7200.0), 1e-12);
  ck_assert(isnan(eb_co2_rise(-g, q)) && isnan(eb_co2_rise(g, 0.0)) && isnan(eb_co2_rise(g, NAN)));
  ck_assert(isnan(eb_co2_after(g, -q, v, 0.0, 1.0)) && isnan(eb_co2_after(g, q, v, 0.0, -1.0)));
  ck_assert(isnan(eb_co2_after(g, q, v, INFINITY, 1.0)));
}
END_TEST

/* Schofield 1985 (from memory): a person's metabolism grows with mass; some per cent at the seams
 * of the ages. */
START_TEST(basal_metabolism) {
  static const double seams[] = {3.0, 10.0, 18.0, 30.0, 60.0}, mass[] = {15.0, 32.0, 63.0, 70, 70};
  for (size_t i = 0; i < sizeof seams / sizeof seams[0]; i++)
    for (int female = 0; female < 2; female++) {
      double young = ebi_basal_metabolism(mass[i], seams[i] - 0.01, female);
      double old = ebi_basal_metabolism(mass[i], seams[i], female);
      ck_assert_double_eq_tol(old / young, 1.0, 0.17);
      ck_assert(old > 0.0 && old != young);
      ck_assert_double_gt(ebi_basal_metabolism(mass[i] + 1.0, seams[i], female), old);
    }
  ck_assert(isnan(ebi_basal_metabolism(0.4, 0.5, false))); /* below what the line is for */
  ck_assert(isnan(ebi_basal_metabolism(70.0, -1.0, false)));
  ck_assert(isnan(ebi_basal_metabolism(70.0, 151.0, false)));
  ck_assert(isnan(ebi_co2_generation(0.85, 7.0, 1.2, -273.15, 101325.0)));
  ck_assert(isnan(ebi_co2_generation(0.85, 7.0, 1.2, 20.0, 0.0)));
  ck_assert(isnan(ebi_co2_generation_by_surface(1.8, 1.2, 0.0)));
}
END_TEST

/* ---- The yardstick -------------------------------------------------------- */

/* Regulation (EU) 1253/2014: better exchangers and better fans spare more, and classes follow. */
START_TEST(specific_energy) {
  eb_specific_energy_inputs in = {0.79, 0.31, 0.95, 1.5, 1.1, 5112.0, 9.5, 168.0, 2.4};
  double sec = eb_specific_energy(&in);
  in.temperature_ratio = 0.83;
  double better = eb_specific_energy(&in);
  ck_assert_double_lt(better, sec);
  /* d SEC/d ratio = -th dT c q_net CTRL MISC/eta_h */
  ck_assert_double_eq_tol(better - sec, -0.04 * 5112.0 * 9.5 * 0.000344 * 1.3 * 0.95 * 1.1 / 0.75,
                          1e-12);
  in.power_wh_m3 = 0.4;
  ck_assert_double_gt(eb_specific_energy(&in), better);
  in.power_wh_m3 = -0.1;
  ck_assert(isnan(eb_specific_energy(&in)));
  in.power_wh_m3 = 0.4;
  in.heating_hours = 8761.0;
  ck_assert(isnan(eb_specific_energy(&in)));
}
END_TEST

START_TEST(specific_energy_classes) {
  static const struct {
    double at;
    const char *from, *below;
  } bounds[] = {{-42, "A", "A+"}, {-34, "B", "A"}, {-26, "C", "B"}, {-23, "D", "C"},
                {-20, "E", "D"},  {-10, "F", "E"}, {0, "G", "F"}};
  for (size_t i = 0; i < sizeof bounds / sizeof bounds[0]; i++) {
    ck_assert_str_eq(eb_specific_energy_class(bounds[i].at), bounds[i].from);
    ck_assert_str_eq(eb_specific_energy_class(bounds[i].at - 1e-9), bounds[i].below);
  }
  ck_assert_ptr_null(eb_specific_energy_class(NAN));
}
END_TEST

Suite *suite_outdoor_air(void) {
  Suite *suite = suite_create("outdoor_air");
  TCase *tcase = tcase_create("outdoor_air");
  tcase_add_test(tcase, two_rules_of_one_handbook);
  tcase_add_test(tcase, models_of_leaks);
  tcase_add_test(tcase, carbon_dioxide_in_time);
  tcase_add_test(tcase, basal_metabolism);
  tcase_add_test(tcase, specific_energy);
  tcase_add_test(tcase, specific_energy_classes);
  suite_add_tcase(suite, tcase);
  return suite;
}
