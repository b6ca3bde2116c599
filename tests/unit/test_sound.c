/* test_sound.c - sound as physics: sums, sources, losses, rooms */

#include <check.h>
#include <math.h>

#include "physics/sound.h"
#include "suites.h"

#define NEAR(found, want, slack)                                                                   \
  ck_assert_msg(fabs((found) - (want)) <= (slack), "%.9g is not %.9g", (double)(found),            \
                (double)(want))

static const double bands[EB_OCTAVES] = {51.3, 53.7, 50.2, 47.1, 41.9, 36.4, 30.8, 22.5};

/* ---- Levels ---- */

START_TEST(equal_powers_add_three_decibels) {
  NEAR(ebi_sound_add(37.3, 37.3), 37.3 + 10.0 * log10(2.0), 1e-12);
  NEAR(ebi_sound_add(20.1, 91.7), ebi_sound_add(91.7, 20.1), 1e-12);
  NEAR(ebi_sound_add(44.4, -INFINITY), 44.4, 0.0);
  ck_assert(isinf(ebi_sound_add(-INFINITY, -INFINITY)));
}
END_TEST

/* Own sum: 10 lg of the eight powers, plain and weighted. */
START_TEST(bands_are_summed_and_weighted) {
  double plain = 0, weighted = 0;
  static const double a[] = {-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1}; /* IEC 61672-1 */
  for (int i = 0; i < EB_OCTAVES; i++) {
    plain += pow(10.0, 0.1 * bands[i]);
    weighted += pow(10.0, 0.1 * (bands[i] + a[i]));
  }
  NEAR(ebi_sound_total(bands), 10.0 * log10(plain), 1e-11);
  NEAR(ebi_sound_weighted(bands), 10.0 * log10(weighted), 1e-11);
}
END_TEST

/* ---- Fans ---- */

static const ebi_sound_duty fan = {0.037, 90.0, 0.61, bands};

START_TEST(fan_follows_its_speed_to_the_fifth_power) {
  double n = 1.37;
  NEAR(ebi_sound_fan_shift(&fan, 0.037 * n, 90.0 * n * n, 0.61 * n), 50.0 * log10(n), 1e-10);
  double power[EB_OCTAVES];
  ebi_sound_fan(&fan, 1, 0.037 * n, 90.0 * n * n, 0.61 * n, power);
  for (int i = 0; i < EB_OCTAVES; i++)
    NEAR(power[i], bands[i] + 50.0 * log10(n), 1e-10);
}
END_TEST

START_TEST(pressure_counts_at_one_speed_and_is_bounded) {
  NEAR(ebi_sound_fan_shift(&fan, 0.03, 110.0, 0.61), 20.0 * log10(110.0 / 90.0), 1e-10);
  NEAR(ebi_sound_fan_shift(&fan, 0.09, 3.0, 0.61), -3.0, 1e-12);
  NEAR(ebi_sound_fan_shift(&fan, 0.09, -3.0, 0.61), -3.0, 1e-12);
  NEAR(ebi_sound_fan_shift(&fan, 0.001, 900.0, 0.61), 3.0, 1e-12);
}
END_TEST

/* 10 lg V + 20 lg dp of the rule of thumb (VDI 2081). */
START_TEST(speed_unknown_falls_back_on_flow_and_pressure) {
  ebi_sound_duty plain = {0.037, 90.0, 0.0, bands};
  NEAR(ebi_sound_fan_shift(&plain, 0.05, 133.0, 0.9),
       ebi_sound_fan_rule(0.05, 133.0) - ebi_sound_fan_rule(0.037, 90.0), 1e-10);
}
END_TEST

START_TEST(fan_at_rest_is_silent) {
  double power[EB_OCTAVES];
  ebi_sound_fan(&fan, 1, 0.0, 0.0, 0.0, power);
  ck_assert(isinf(power[3]) && power[3] < 0);
  ck_assert(isinf(ebi_sound_weighted(power)));
}
END_TEST

START_TEST(each_stated_duty_is_met) {
  static const double other[EB_OCTAVES] = {57.7, 58.9, 57.0, 52.2, 49.8, 44.1, 37.3, 31.6};
  ebi_sound_duty two[] = {fan, {0.055, 140.0, 0.83, other}};
  double power[EB_OCTAVES];
  ebi_sound_fan(two, 2, 0.055, 140.0, 0.83, power);
  for (int i = 0; i < EB_OCTAVES; i++)
    NEAR(power[i], other[i], 1e-6);
  ebi_sound_fan(two, 2, 0.037, 90.0, 0.61, power);
  for (int i = 0; i < EB_OCTAVES; i++)
    NEAR(power[i], bands[i], 1e-6);
}
END_TEST

/* 50 lg n is 8.35 dB from 0.61 to 0.896, more than what these two say beside: between and
 * beyond them faster is louder. */
START_TEST(louder_with_speed_between_duties) {
  static const double other[EB_OCTAVES] = {57.7, 58.9, 57.0, 52.2, 49.8, 44.1, 37.3, 31.6};
  ebi_sound_duty two[] = {fan, {0.055, 140.0, 0.83, other}};
  double before = -INFINITY;
  for (double n = 0.2; n <= 1.0; n += 0.013) {
    double power[EB_OCTAVES];
    ebi_sound_fan(two, 2, 0.062 * n, 230.0 * n * n, n, power);
    double now = ebi_sound_weighted(power);
    ck_assert_msg(now > before, "at %g: %g after %g", n, now, before);
    before = now;
  }
}
END_TEST

START_TEST(off_peak_and_rules_refuse_what_they_cannot) {
  ck_assert(isnan(ebi_sound_off_peak(0.49)) && isnan(ebi_sound_off_peak(1.01)));
  ck_assert(isnan(ebi_sound_fan_rule(0.0, 70.0)) && isnan(ebi_sound_fan_rule(0.03, -1.0)));
  ck_assert(isnan(ebi_sound_fan_duty(-0.1, 70.0)));
  NEAR(ebi_sound_off_peak(0.667), 9.0, 0.0);
}
END_TEST

/* ---- Valves ---- */

static const ebi_sound_duty valve = {0.0113, 34.0, 0.0, bands};

/* At a fixed opening the drop goes with the square of the flow. */
START_TEST(valve_follows_the_sixth_power_of_its_flow) {
  NEAR(ebi_sound_valve_shift(&valve, 0.0113 * 1.29, 34.0 * 1.29 * 1.29), 60.0 * log10(1.29), 1e-10);
  NEAR(ebi_sound_valve_shift(&valve, 0.0113, 68.0), 25.0 * log10(2.0), 1e-10);
  double power[EB_OCTAVES];
  ebi_sound_valve(&valve, 1, 0.0, 34.0, power);
  ck_assert(isinf(power[0]));
  ebi_sound_valve(&valve, 1, 0.009, 0.0, power);
  ck_assert(isinf(power[7]));
}
END_TEST

/* ---- Losses ---- */

START_TEST(ends_reflect_less_of_higher_tones) {
  for (size_t i = 1; i < EB_OCTAVES; i++)
    for (double bore = 0.063; bore < 0.4; bore *= 1.31) {
      double hz = ebi_octave_hz(i), lower = ebi_octave_hz(i - 1);
      ck_assert(ebi_sound_end_flush(bore, hz) < ebi_sound_end_flush(bore, lower));
      ck_assert(ebi_sound_end_free(bore, hz) > ebi_sound_end_flush(bore, hz));
      ck_assert(ebi_sound_end_flush(1.1 * bore, hz) < ebi_sound_end_flush(bore, hz));
    }
  ck_assert(isnan(ebi_sound_end_flush(0.0, 250.0)) && isnan(ebi_sound_end_free(0.1, 0.0)));
  ck_assert(isnan(ebi_sound_end_piston(3.0, 8000.0)));
}
END_TEST

START_TEST(bends_are_read_off_and_held_at_the_ends) {
  NEAR(ebi_sound_bend_round(0.010, 0), 0.2 * (0.063 * 0.010 / 0.0254) / 0.76, 1e-12);
  NEAR(ebi_sound_bend_round(1.0, 7), 2.7, 1e-12);
  NEAR(ebi_sound_bend_vaned(1.219, 7), 6.8, 1e-12);
  ck_assert(isnan(ebi_sound_bend_round(0.0, 3)));
}
END_TEST

START_TEST(large_ducts_take_less) {
  static const double bore[] = {0.17, 0.37, 0.75, 1.2};
  for (size_t i = 0; i < EB_OCTAVES; i++)
    for (int b = 1; b < 4; b++)
      ck_assert(ebi_sound_unlined_round(bore[b], i) <= ebi_sound_unlined_round(bore[b - 1], i));
  ck_assert(isnan(ebi_sound_unlined_round(-0.1, 2)));
  ck_assert(isnan(ebi_sound_unlined_rectangle(0.2, 0.0, 2)));
}
END_TEST

START_TEST(lining_has_its_range) {
  ck_assert(isnan(ebi_sound_lined_round(0.09, 0.025, 3)));
  ck_assert(isnan(ebi_sound_lined_round(0.16, 0.012, 3)));
  ck_assert(isnan(ebi_sound_lined_round(0.16, 0.080, 3)));
  ck_assert(isnan(ebi_sound_lined_rectangle(0.2, 0.2, 0.06, 3)));
  ck_assert(ebi_sound_lined_round(0.16, 0.05, 2) > ebi_sound_lined_round(0.16, 0.025, 2));
  ck_assert(ebi_sound_lined_round(1.524, 0.025, 0) >= 0.0);
}
END_TEST

START_TEST(division_needs_a_part_of_the_sum) {
  NEAR(ebi_sound_division(0.7, 0.7), 0.0, 1e-12);
  ck_assert(isnan(ebi_sound_division(0.8, 0.7)) && isnan(ebi_sound_division(0.0, 0.7)));
}
END_TEST

/* ---- What the air makes ---- */

/* 3 m/s in 125 mm: 11.745 dB in all, and by hand 2 + 26 lg(1.14 + 0.02 500/3) less at 500 Hz. */
START_TEST(duct_flow_has_its_spectrum) {
  double area = 0.25 * 3.14159265358979 * 0.125 * 0.125;
  NEAR(ebi_sound_duct_flow_band(3.0, area, 3), 11.745 - 2.0 - 16.917, 2e-3);
  for (size_t i = 1; i < EB_OCTAVES; i++)
    ck_assert(ebi_sound_duct_flow_band(4.1, area, i) < ebi_sound_duct_flow_band(4.1, area, i - 1));
  ck_assert(isinf(ebi_sound_duct_flow(0.0, area)) && isinf(ebi_sound_duct_flow_band(0.0, area, 2)));
  ck_assert(isinf(ebi_sound_generated(-20.0, 250.0, 0.0, area, 0.1)));
}
END_TEST

/* At M = 1 a junction's spectrum is nearly an elbow's (guide on sound, 2009). */
START_TEST(junction_of_equal_speeds_is_an_elbow) {
  for (double st = 2.0; st < 300.0; st *= 2.3)
    NEAR(ebi_sound_junction_spectrum(st, 1.0), ebi_sound_bend_spectrum(st), 0.5);
}
END_TEST

START_TEST(damper_blockage_has_no_gap_at_one) {
  NEAR(ebi_sound_damper_blockage(1.0, false), 0.5, 1e-12);
  NEAR(ebi_sound_damper_blockage(2.0, false), (sqrt(2.0) - 1.0) / (2.0 - 1.0), 1e-12);
  NEAR(ebi_sound_damper_blockage(6.1, true), 0.68 * pow(6.1, -0.15) - 0.22, 1e-12);
}
END_TEST

/* ---- Rooms ---- */

START_TEST(rooms_with_more_absorption_are_quieter) {
  double absorption = ebi_sound_absorption(30.7, 0.5);
  NEAR(absorption, 0.163 * 30.7 / 0.5, 1e-12);
  NEAR(ebi_sound_room_mean(absorption), 10.0 * log10(4.0 / absorption), 1e-12);
  ck_assert(ebi_sound_room_at(2.0, 1.1, absorption) > ebi_sound_room_mean(absorption));
  NEAR(ebi_sound_room_at(2.0, 1e6, absorption), ebi_sound_room_mean(absorption), 1e-9);
  ck_assert(isnan(ebi_sound_absorption(0.0, 0.5)) && isnan(ebi_sound_room_mean(0.0)));
  ck_assert(isnan(ebi_sound_room_at(2.0, 0.0, 9.0)));
  ck_assert(isnan(ebi_sound_room_schultz(1.0, 0.0, 500.0)));
  ck_assert(isnan(ebi_sound_room_ceiling(2.4, 1.0, 0.0, 500.0)));
}
END_TEST

Suite *suite_sound(void) {
  Suite *suite = suite_create("sound");
  TCase *test = tcase_create("sound");
  tcase_add_test(test, equal_powers_add_three_decibels);
  tcase_add_test(test, bands_are_summed_and_weighted);
  tcase_add_test(test, fan_follows_its_speed_to_the_fifth_power);
  tcase_add_test(test, pressure_counts_at_one_speed_and_is_bounded);
  tcase_add_test(test, speed_unknown_falls_back_on_flow_and_pressure);
  tcase_add_test(test, fan_at_rest_is_silent);
  tcase_add_test(test, each_stated_duty_is_met);
  tcase_add_test(test, louder_with_speed_between_duties);
  tcase_add_test(test, off_peak_and_rules_refuse_what_they_cannot);
  tcase_add_test(test, valve_follows_the_sixth_power_of_its_flow);
  tcase_add_test(test, ends_reflect_less_of_higher_tones);
  tcase_add_test(test, bends_are_read_off_and_held_at_the_ends);
  tcase_add_test(test, large_ducts_take_less);
  tcase_add_test(test, lining_has_its_range);
  tcase_add_test(test, division_needs_a_part_of_the_sum);
  tcase_add_test(test, duct_flow_has_its_spectrum);
  tcase_add_test(test, junction_of_equal_speeds_is_an_elbow);
  tcase_add_test(test, damper_blockage_has_no_gap_at_one);
  tcase_add_test(test, rooms_with_more_absorption_are_quieter);
  suite_add_tcase(suite, test);
  return suite;
}
