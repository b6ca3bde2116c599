/* test_moist.c - moist air, and the water that drops from it */

#include <check.h>
#include <math.h>
#include <stdlib.h>

#include "evenbreath.h"
#include "physics/air.h"
#include "physics/moist.h"
#include "suites.h"

/* ---- Vapour ---- */

START_TEST(saturation_rises_through_the_triple_point) {
  double last = 0.0;
  for (double t = -100.0; t <= 200.0; t += 0.0137) {
    double now = eb_vapour_saturation(t);
    ck_assert_double_gt(now, last);
    last = now;
  }
  double ice = eb_vapour_saturation(0.01), water = eb_vapour_saturation(nextafter(0.01, 1.0));
  ck_assert_double_eq_tol(water / ice, 1.0, 1e-7);
  ck_assert_double_ge(water, ice);
}
END_TEST

/* Supercooled water holds more vapour than ice, 10 % more at -10 C (WMO-No. 8, from memory). */
START_TEST(supercooled_water_holds_more) {
  for (double t = -60.0; t < 0.0; t += 0.73)
    ck_assert_double_gt(eb_vapour_saturation_water(t), eb_vapour_saturation(t));
  ck_assert_double_eq_tol(eb_vapour_saturation_water(-10.0) / eb_vapour_saturation(-10.0), 1.10,
                          0.01);
  for (double t = 0.37; t <= 100.0; t += 3.17)
    ck_assert_double_eq(eb_vapour_saturation_water(t), eb_vapour_saturation(t));
}
END_TEST

START_TEST(saturation_temperature_is_the_inverse) {
  for (double t = -99.97; t < 200.0; t += 0.31)
    ck_assert_double_eq_tol(ebi_saturation_temperature(eb_vapour_saturation(t)), t, 1e-9);
  for (double off = -1e-6; off <= 1e-6; off += 1.7e-8)
    ck_assert_double_eq_tol(ebi_saturation_temperature(eb_vapour_saturation(0.01 + off)),
                            0.01 + off, 1.2e-7);
  ck_assert(isnan(ebi_saturation_temperature(0.0)));
  ck_assert(isnan(ebi_saturation_temperature(-3.0)));
  ck_assert(isnan(ebi_saturation_temperature(1e7)));
}
END_TEST

START_TEST(dew_point_of_saturated_air_is_its_temperature) {
  for (double t = -99.3; t < 200.0; t += 1.73)
    ck_assert_double_eq(eb_dew_point(t, 1.0), t);
  for (double t = 0.37; t < 100.0; t += 1.73)
    ck_assert_double_eq(ebi_dew_point(t, 1.0), t);
}
END_TEST

START_TEST(dew_point_rises_with_humidity_and_temperature) {
  for (double t = -43.0; t <= 61.0; t += 2.9) {
    double last = -101.0;
    for (double humidity = 0.013; humidity <= 1.0; humidity += 0.0271) {
      double dew = eb_dew_point(t, humidity);
      ck_assert_double_gt(dew, last);
      ck_assert_double_lt(dew, t);
      ck_assert_double_lt(dew, eb_dew_point(t + 0.7, humidity));
      ck_assert_double_eq_tol(eb_vapour_saturation(dew) / (humidity * eb_vapour_saturation(t)), 1.0,
                              1e-11);
      last = dew;
    }
  }
}
END_TEST

/* Above 0.01 C both humidities are one; below, as much over water is more vapour. */
START_TEST(dew_points_by_both_humidities) {
  for (double humidity = 0.03; humidity <= 1.0; humidity += 0.0571) {
    ck_assert_double_eq(eb_dew_point(20.3, humidity), ebi_dew_point(20.3, humidity));
    ck_assert_double_gt(ebi_dew_point(-9.7, humidity), eb_dew_point(-9.7, humidity) + 0.3);
  }
  ck_assert_double_gt(ebi_dew_point(-9.7, 0.97), -9.7);
}
END_TEST

/* Freezing fog, as a weather station counts: saturated over water, beyond saturation over ice. */
START_TEST(freezing_fog_is_in_range) {
  for (double t = -59.0; t < 0.0; t += 3.7) {
    double humidity = eb_vapour_saturation_water(t) / eb_vapour_saturation(t);
    ck_assert_double_gt(eb_dew_point(t, humidity), t);
    ck_assert_double_gt(eb_humidity_ratio(t, humidity, 97000.0), ebi_saturation_ratio(t, 97000.0));
    ck_assert(isnan(eb_humidity_ratio(t, 1.001 * humidity, 97000.0)));
  }
}
END_TEST

/* ---- States ---- */

START_TEST(humidity_and_ratio_are_inverses) {
  for (double t = -37.3; t <= 51.0; t += 4.19)
    for (double p = 61300.0; p < 106000.0; p += 8837.0)
      for (double humidity = 0.0; humidity <= 1.0; humidity += 0.0713) {
        double ratio = eb_humidity_ratio(t, humidity, p);
        ck_assert_double_eq_tol(eb_relative_humidity(t, ratio, p), humidity, 1e-14);
        double more = eb_humidity_ratio(t, humidity + 0.001, p);
        ck_assert(isnan(more) || more > ratio);
      }
}
END_TEST

START_TEST(enthalpy_and_temperature_are_inverses) {
  for (double t = -37.3; t <= 51.0; t += 4.19)
    for (double ratio = 0.0; ratio < 0.03; ratio += 0.00137) {
      double h = eb_moist_enthalpy(t, ratio);
      ck_assert_double_eq_tol((h - 2501e3 * ratio) / (1006.0 + 1860.0 * ratio), t, 1e-11);
    }
}
END_TEST

/* The density of air.c and the volume here are of one gas: 0.378 and 0.621945 are both rounded. */
START_TEST(volume_agrees_with_density) {
  for (double t = 0.3; t <= 51.0; t += 4.19) {
    double ratio = eb_humidity_ratio(t, 0.63, 93700.0);
    double density = (1.0 + ratio) / eb_moist_volume(t, ratio, 93700.0);
    ck_assert_double_eq_tol(density / eb_air_density_moist(t, 93700.0, 0.63), 1.0, 2e-5);
  }
  ck_assert_double_eq_tol(eb_moist_volume(-7.9, 0.0, 88000.0) * eb_air_density(-7.9, 88000.0), 1.0,
                          1e-15);
}
END_TEST

/* Between dew point and temperature, higher the wetter the air. */
START_TEST(wet_bulb_lies_between) {
  for (double t = -43.0; t <= 60.0; t += 2.37) {
    double last = -101.0;
    for (double humidity = 0.0; humidity <= 1.0; humidity += 0.0231) {
      double ratio = eb_humidity_ratio(t, humidity, 91700.0);
      double bulb = eb_wet_bulb(t, ratio, 91700.0);
      ck_assert_double_gt(bulb, last);
      ck_assert_double_le(bulb, t);
      ck_assert(humidity == 0.0 || bulb >= eb_dew_point(t, humidity) - 1e-9);
      last = bulb;
    }
    ck_assert_double_eq_tol(eb_wet_bulb(t, ebi_saturation_ratio(t, 91700.0), 91700.0), t, 1e-9);
  }
}
END_TEST

/* As water freezes on the bulb its temperature falls at a stroke, by less than a kelvin: what
 * freezes needs more heat to evaporate, so it would take drier air to keep it at 0 C. */
START_TEST(wet_bulb_freezes_below_zero) {
  double wet = NAN, frozen = NAN;
  for (double humidity = 0.6; humidity > 0.2; humidity -= 1e-4) {
    double bulb = eb_wet_bulb(5.3, eb_humidity_ratio(5.3, humidity, 101325.0), 101325.0);
    if (bulb >= 0.0)
      wet = bulb;
    else if (isnan(frozen))
      frozen = bulb;
  }
  ck_assert_double_lt(wet, 0.02);
  ck_assert(frozen > -1.0 && frozen < -0.05);
}
END_TEST

START_TEST(states_range) {
  ck_assert(isnan(eb_vapour_saturation(-100.1)));
  ck_assert(isnan(eb_vapour_saturation(200.1)));
  ck_assert(isnan(eb_vapour_saturation(NAN)));
  ck_assert(isnan(eb_vapour_saturation_water(-60.1)));
  ck_assert(isnan(eb_vapour_saturation_water(100.1)));
  ck_assert(isnan(eb_humidity_ratio(20.0, -1e-9, 101325.0)));
  ck_assert(isnan(eb_humidity_ratio(20.0, 1.0 + 1e-9, 101325.0)));
  ck_assert(isnan(eb_humidity_ratio(20.0, NAN, 101325.0)));
  ck_assert(isnan(eb_humidity_ratio(101.0, 1.0, 101325.0)));
  ck_assert(isnan(eb_humidity_ratio(20.0, 0.5, INFINITY)));
  ck_assert(isnan(eb_humidity_ratio(20.0, 0.5, 0.0)));
  ck_assert(isnan(eb_relative_humidity(20.0, -1e-9, 101325.0)));
  ck_assert(isnan(eb_relative_humidity(20.0, 0.01, -1.0)));
  ck_assert(isnan(eb_relative_humidity(201.0, 0.01, 101325.0)));
  ck_assert(isnan(eb_moist_enthalpy(-101.0, 0.01)));
  ck_assert(isnan(eb_moist_enthalpy(20.0, INFINITY)));
  ck_assert(isnan(eb_moist_volume(20.0, -0.01, 101325.0)));
  ck_assert(isnan(eb_moist_volume(20.0, 0.01, 0.0)));
  ck_assert(isnan(eb_dew_point(20.0, 0.0)));
  ck_assert(isnan(eb_dew_point(-70.0, 1e-5)));
  ck_assert(isnan(eb_wet_bulb(20.0, 0.02, 101325.0)));
  ck_assert(isnan(eb_wet_bulb(100.1, 0.02, 101325.0)));
  ck_assert(isnan(eb_wet_bulb(20.0, NAN, 101325.0)));
  ck_assert_double_gt(eb_relative_humidity(10.0, 0.01, 101325.0), 1.3);
}
END_TEST

/* ---- Surfaces ---- */

START_TEST(surface_factor_keeps_the_limit) {
  for (double outdoor = -23.7; outdoor < 18.0; outdoor += 3.9)
    for (double humidity = 0.21; humidity < 0.79; humidity += 0.057) {
      double factor = eb_surface_factor_needed(20.7, humidity, outdoor, 0.8);
      ck_assert_double_lt(factor, 1.0);
      if (factor >= 0.0)
        ck_assert_double_eq_tol(eb_surface_humidity(20.7, humidity, outdoor, factor), 0.8, 1e-10);
    }
  ck_assert_double_gt(eb_surface_factor_needed(20.7, 0.85, 3.1, 0.8), 1.0);
  ck_assert_double_lt(eb_surface_factor_needed(20.7, 0.31, 15.9, 0.8), 0.0);
  ck_assert_double_eq_tol(eb_surface_humidity(20.7, 0.43, -5.9, 1.0), 0.43, 1e-14);
  ck_assert_double_gt(eb_surface_humidity(20.7, 0.63, -5.9, 0.3), 1.0);
}
END_TEST

START_TEST(surface_range) {
  ck_assert(isnan(eb_surface_humidity(20.0, 1.1, 0.0, 0.7)));
  ck_assert(isnan(eb_surface_humidity(20.0, 0.5, 0.0, 1.1)));
  ck_assert(isnan(eb_surface_humidity(20.0, 0.5, -300.0, 0.1)));
  ck_assert(isnan(eb_surface_factor_needed(20.0, 0.5, 20.0, 0.8)));
  ck_assert(isnan(eb_surface_factor_needed(20.0, 0.5, -INFINITY, 0.8)));
  ck_assert(isnan(eb_surface_factor_needed(20.0, 0.5, 0.0, 1.1)));
  ck_assert(isnan(eb_surface_factor_needed(20.0, 0.0, 0.0, 0.8)));
}
END_TEST

/* ---- Water that drops ---- */

/* J/kg: water of 4186 J/(kg K), ice 333.6 kJ/kg below it with 2100 J/(kg K) */
static double water_enthalpy(double temperature_c, double frozen) {
  return (1.0 - frozen) * 4186.0 * temperature_c + frozen * (2100.0 * temperature_c - 333.6e3);
}

static void check_exchange(double outdoor, double extract_c, double humidity, double ratio,
                           double pressure) {
  const double flow = 0.0473;
  eb_wet_exchange x = eb_exchanger_wet(outdoor, 0.83, extract_c, humidity, flow, ratio, pressure);
  double in = eb_humidity_ratio(extract_c, humidity, pressure);
  double fresh = eb_humidity_ratio(outdoor, 0.83, pressure);
  double water = x.condensate_kg_s / flow, end = in - water;
  double frozen = x.condensate_kg_s > 0.0 ? x.frost_kg_s / x.condensate_kg_s : 0.0;
  double lost = eb_moist_enthalpy(extract_c, in) - eb_moist_enthalpy(x.exhaust_c, end) -
                water * water_enthalpy(x.exhaust_c, frozen);
  double gained = eb_moist_enthalpy(x.supply_c, fresh) - eb_moist_enthalpy(outdoor, fresh);
  ck_assert_double_eq_tol(flow * lost, x.heat_w, 1e-9 * x.heat_w + 1e-9);
  ck_assert_double_eq_tol(flow * gained, x.heat_w, 1e-9 * x.heat_w + 1e-9);
  ck_assert_double_ge(x.condensate_kg_s, 0.0);
  ck_assert(x.frost_kg_s >= 0.0 && x.frost_kg_s <= x.condensate_kg_s);
  ck_assert_double_ge(x.exhaust_c, x.dry_exhaust_c - 1e-9);
  ck_assert_double_le(x.exhaust_c, extract_c);
  ck_assert_double_le(eb_relative_humidity(x.exhaust_c, end, pressure), 1.0 + 1e-9);
  ck_assert_double_eq_tol(x.latent_w, 2501e3 * x.condensate_kg_s, 1e-9);
  if (water > 0.0)
    ck_assert_double_eq_tol(ebi_saturation_ratio(x.exhaust_c, pressure) / end, 1.0, 1e-9);
  else
    ck_assert_double_eq_tol(x.exhaust_c, x.dry_exhaust_c, 1e-12);
}

START_TEST(wet_exchange_keeps_energy_and_water) {
  for (double outdoor = -31.7; outdoor < 20.0; outdoor += 1.93)
    for (double humidity = 0.0; humidity <= 1.0; humidity += 0.0613)
      for (double ratio = 0.0; ratio <= 1.0; ratio += 0.0873) {
        check_exchange(outdoor, 20.9, humidity, ratio, 101325.0);
        check_exchange(outdoor, 23.3, humidity, ratio, 79500.0);
      }
}
END_TEST

/* The colder, the cooler the exhaust and the more water: it halts at 0 C while that freezes. */
START_TEST(water_freezes_at_zero) {
  double last_c = 30.0, last_water = -1.0, last_frost = -1.0;
  int halted = 0;
  for (double outdoor = 19.0; outdoor > -30.0; outdoor -= 0.0371) {
    eb_wet_exchange x = eb_exchanger_wet(outdoor, 0.7, 21.3, 0.39, 0.05, 0.83, 101325.0);
    double share = x.condensate_kg_s > 0.0 ? x.frost_kg_s / x.condensate_kg_s : 0.0;
    ck_assert_double_le(x.exhaust_c, last_c);
    ck_assert_double_ge(x.condensate_kg_s, last_water - 1e-15);
    ck_assert_double_ge(share, last_frost - 1e-9);
    if (x.exhaust_c == 0.0) {
      ck_assert(share > 0.0 && share < 1.0);
      halted++;
    } else {
      ck_assert_double_eq(share, x.exhaust_c > 0.0 ? 0.0 : 1.0);
    }
    last_c = x.exhaust_c;
    last_water = x.condensate_kg_s;
    last_frost = share;
  }
  ck_assert_int_gt(halted, 5);
  ck_assert_double_lt(last_c, -3.0);
}
END_TEST

START_TEST(wet_exchange_range) {
  ck_assert(isnan(eb_exchanger_wet(21.1, 0.5, 21.0, 0.5, 0.05, 0.8, 101325.0).heat_w));
  ck_assert(isnan(eb_exchanger_wet(0.0, 0.5, 21.0, 0.5, 0.0, 0.8, 101325.0).exhaust_c));
  ck_assert(isnan(eb_exchanger_wet(0.0, 0.5, 21.0, 0.5, INFINITY, 0.8, 101325.0).heat_w));
  ck_assert(isnan(eb_exchanger_wet(0.0, 0.5, 21.0, 0.5, 0.05, -0.1, 101325.0).supply_c));
  ck_assert(isnan(eb_exchanger_wet(0.0, 0.5, 21.0, 0.5, 0.05, 1.1, 101325.0).condensate_kg_s));
  ck_assert(isnan(eb_exchanger_wet(0.0, 1.1, 21.0, 0.5, 0.05, 0.8, 101325.0).latent_w));
  ck_assert(isnan(eb_exchanger_wet(0.0, 0.5, 21.0, NAN, 0.05, 0.8, 101325.0).frost_kg_s));
  ck_assert(isnan(eb_exchanger_wet(0.0, 0.5, 21.0, 0.5, 0.05, 0.8, 0.0).dry_exhaust_c));
  ck_assert_double_eq(eb_exchanger_wet(21.0, 0.5, 21.0, 0.5, 0.05, 0.8, 1e5).heat_w, 0.0);
}
END_TEST

/* One ratio for heat and moisture is that of enthalpy as well, but for the product of both. */
START_TEST(moisture_core) {
  eb_moisture_core all = eb_exchanger_moisture(-3.7, 0.83, 21.3, 0.41, 1.0, 1.0, 97000.0);
  ck_assert_double_eq_tol(all.supply_c, 21.3, 1e-12);
  ck_assert_double_eq_tol(all.supply_humidity_ratio, eb_humidity_ratio(21.3, 0.41, 97000.0), 1e-12);
  ck_assert_double_eq_tol(all.total_effectiveness, 1.0, 1e-12);
  eb_moisture_core some = eb_exchanger_moisture(-3.7, 0.83, 21.3, 0.41, 0.7, 0.7, 97000.0);
  ck_assert_double_eq_tol(some.total_effectiveness, 0.7, 2e-3);
  eb_moisture_core none = eb_exchanger_moisture(-3.7, 0.83, 21.3, 0.41, 0.0, 0.0, 97000.0);
  ck_assert_double_eq(none.total_effectiveness, 0.0);
  ck_assert_double_eq(none.supply_c, -3.7);
}
END_TEST

/* A core that hands over more moisture than heat cannot make fog. */
START_TEST(moisture_core_saturates) {
  eb_moisture_core core = eb_exchanger_moisture(-9.3, 0.9, 21.3, 0.6, 0.3, 0.9, 101325.0);
  ck_assert_double_eq_tol(eb_relative_humidity(core.supply_c, core.supply_humidity_ratio, 101325.0),
                          1.0, 1e-12);
}
END_TEST

START_TEST(moisture_core_range) {
  eb_moisture_core same = eb_exchanger_moisture(20.0, 0.5, 20.0, 0.5, 0.8, 0.6, 101325.0);
  ck_assert_double_eq(same.supply_c, 20.0);
  ck_assert(isnan(same.total_effectiveness));
  ck_assert(isnan(eb_exchanger_moisture(0.0, 0.5, 20.0, 0.5, 1.1, 0.6, 1e5).supply_c));
  ck_assert(isnan(eb_exchanger_moisture(0.0, 0.5, 20.0, 0.5, 0.8, -0.1, 1e5).supply_c));
  ck_assert(isnan(eb_exchanger_moisture(0.0, 1.5, 20.0, 0.5, 0.8, 0.6, 1e5).supply_c));
  ck_assert(isnan(eb_exchanger_moisture(0.0, 0.5, 20.0, 0.5, 0.8, 0.6, NAN).supply_c));
}
END_TEST

START_TEST(coil_keeps_energy_and_water) {
  const double flow = 0.0613;
  for (double inlet = -13.0; inlet <= 36.0; inlet += 3.7)
    for (double humidity = 0.0; humidity <= 1.0; humidity += 0.0871)
      for (double cooling = 0.0; cooling < 2300.0; cooling += 137.0) {
        eb_coil coil = eb_cooling_coil(inlet, humidity, flow, cooling, 99700.0);
        double in = eb_humidity_ratio(inlet, humidity, 99700.0);
        double water = coil.condensate_kg_s / flow;
        double given = eb_moist_enthalpy(inlet, in) -
                       eb_moist_enthalpy(coil.outlet_c, coil.outlet_humidity_ratio);
        double frozen = coil.outlet_c < 0.0 ? 1.0 : 0.0;
        ck_assert_double_ge(coil.condensate_kg_s, 0.0);
        ck_assert_double_eq_tol(coil.outlet_humidity_ratio + water, in, 1e-12);
        ck_assert_double_le(coil.outlet_c, inlet + 1e-9);
        if (coil.outlet_c != 0.0)
          ck_assert_double_eq_tol(flow * (given - water * water_enthalpy(coil.outlet_c, frozen)),
                                  cooling, 1e-9 * cooling + 1e-9);
        if (water == 0.0)
          ck_assert_double_eq(coil.sensible_share, 1.0);
        else
          ck_assert(coil.sensible_share > 0.0 && coil.sensible_share < 1.0 + 1e-9);
      }
}
END_TEST

START_TEST(coil_range) {
  ck_assert(isnan(eb_cooling_coil(26.0, 0.5, 0.0, 1200.0, 101325.0).outlet_c));
  ck_assert(isnan(eb_cooling_coil(26.0, 0.5, 0.06, -1.0, 101325.0).outlet_c));
  ck_assert(isnan(eb_cooling_coil(26.0, 0.5, 0.06, INFINITY, 101325.0).outlet_c));
  ck_assert(isnan(eb_cooling_coil(26.0, 1.5, 0.06, 1200.0, 101325.0).condensate_kg_s));
  ck_assert(isnan(eb_cooling_coil(26.0, 0.5, 1e-3, 1200.0, 101325.0).sensible_share));
  eb_coil idle = eb_cooling_coil(26.3, 0.57, 0.06, 0.0, 101325.0);
  ck_assert_double_eq(idle.outlet_c, 26.3);
  ck_assert_double_eq(idle.condensate_kg_s, 0.0);
}
END_TEST

static void add_states(Suite *suite) {
  TCase *tcase = tcase_create("states");
  tcase_add_test(tcase, saturation_rises_through_the_triple_point);
  tcase_add_test(tcase, supercooled_water_holds_more);
  tcase_add_test(tcase, saturation_temperature_is_the_inverse);
  tcase_add_test(tcase, dew_point_of_saturated_air_is_its_temperature);
  tcase_add_test(tcase, dew_point_rises_with_humidity_and_temperature);
  tcase_add_test(tcase, dew_points_by_both_humidities);
  tcase_add_test(tcase, freezing_fog_is_in_range);
  tcase_add_test(tcase, humidity_and_ratio_are_inverses);
  tcase_add_test(tcase, enthalpy_and_temperature_are_inverses);
  tcase_add_test(tcase, volume_agrees_with_density);
  tcase_add_test(tcase, wet_bulb_lies_between);
  tcase_add_test(tcase, wet_bulb_freezes_below_zero);
  tcase_add_test(tcase, states_range);
  suite_add_tcase(suite, tcase);
}

Suite *suite_moist(void) {
  Suite *suite = suite_create("moist");
  TCase *tcase = tcase_create("condensation");
  add_states(suite);
  tcase_add_test(tcase, surface_factor_keeps_the_limit);
  tcase_add_test(tcase, surface_range);
  tcase_add_test(tcase, wet_exchange_keeps_energy_and_water);
  tcase_add_test(tcase, water_freezes_at_zero);
  tcase_add_test(tcase, wet_exchange_range);
  tcase_add_test(tcase, moisture_core);
  tcase_add_test(tcase, moisture_core_saturates);
  tcase_add_test(tcase, moisture_core_range);
  tcase_add_test(tcase, coil_keeps_energy_and_water);
  tcase_add_test(tcase, coil_range);
  suite_add_tcase(suite, tcase);
  return suite;
}
