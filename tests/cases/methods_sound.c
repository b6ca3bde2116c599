/* methods_sound.c - the formulas of sound, as case rows ask for them */

#include <math.h>

#include "methods.h"
#include "physics/sound.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

/* Octave of a frequency; the rows name only middles. */
static size_t band_of(double hz) {
  size_t band = 0;
  while (band + 1 < EB_OCTAVES && ebi_octave_hz(band) < hz - 0.5)
    band++;
  return band;
}

static eb_status good(const double *out) {
  return isnan(*out) ? EB_E_RANGE : EB_OK;
}

/* frequency */
METHOD(weighting) {
  IGNORE_COUNT;
  *out = ebi_octave_a(band_of(in[0]));
  return good(out);
}

/* level... */
METHOD(sum) {
  *out = -INFINITY;
  for (int i = 0; i < n_in; i++)
    *out = ebi_sound_add(*out, in[i]);
  return good(out);
}

/* level before, loss, what is generated there */
METHOD(element) {
  IGNORE_COUNT;
  *out = ebi_sound_add(in[0] - in[1], in[2]);
  return good(out);
}

/* flow, pressure */
METHOD(fan_rule) {
  IGNORE_COUNT;
  *out = ebi_sound_fan_rule(in[0], in[1]);
  return good(out);
}

/* flow, pressure */
METHOD(fan_duty) {
  IGNORE_COUNT;
  *out = ebi_sound_fan_duty(in[0], in[1]);
  return good(out);
}

/* frequency, specific level, duty, turns per second, blades, increment, share of best efficiency */
METHOD(fan_band) {
  IGNORE_COUNT;
  *out = ebi_sound_fan_band(band_of(in[0]), in[1], in[2], ebi_sound_blade_hz(in[3], in[4]), in[5],
                            ebi_sound_off_peak(in[6]));
  return good(out);
}

/* turns per second, blades */
METHOD(blades) {
  IGNORE_COUNT;
  *out = ebi_sound_blade_hz(in[0], in[1]);
  return good(out);
}

/* share of best efficiency */
METHOD(off_peak) {
  IGNORE_COUNT;
  *out = ebi_sound_off_peak(in[0]);
  return good(out);
}

/* bore, frequency */
METHOD(unlined_round) {
  IGNORE_COUNT;
  *out = ebi_sound_unlined_round(in[0], band_of(in[1]));
  return good(out);
}

/* perimeter / area [1/m] as that of a square, length, frequency */
METHOD(unlined_rectangle) {
  IGNORE_COUNT;
  *out = in[1] * ebi_sound_unlined_rectangle(4.0 / in[0], 4.0 / in[0], band_of(in[2]));
  return good(out);
}

/* bore, lining, frequency */
METHOD(lined_round) {
  IGNORE_COUNT;
  *out = ebi_sound_lined_round(in[0], in[1], band_of(in[2]));
  return good(out);
}

/* perimeter / area [1/m] as that of a square, lining, frequency */
METHOD(lined_rectangle) {
  IGNORE_COUNT;
  *out = ebi_sound_lined_rectangle(4.0 / in[0], 4.0 / in[0], in[1], band_of(in[2]));
  return good(out);
}

/* bore, frequency */
METHOD(bend_round) {
  IGNORE_COUNT;
  *out = ebi_sound_bend_round(in[0], band_of(in[1]));
  return good(out);
}

/* width, frequency */
METHOD(bend_vaned) {
  IGNORE_COUNT;
  *out = ebi_sound_bend_vaned(in[0], band_of(in[1]));
  return good(out);
}

/* area of the branch, of all that leave */
METHOD(division) {
  IGNORE_COUNT;
  *out = -ebi_sound_division(in[0], in[1]);
  return good(out);
}

/* diameter, frequency: likewise the next three */
METHOD(end_flush) {
  IGNORE_COUNT;
  *out = ebi_sound_end_flush(in[0], in[1]);
  return good(out);
}

METHOD(end_free) {
  IGNORE_COUNT;
  *out = ebi_sound_end_free(in[0], in[1]);
  return good(out);
}

METHOD(end_old) {
  IGNORE_COUNT;
  *out = ebi_sound_end_old(in[0], in[1]);
  return good(out);
}

METHOD(end_piston) {
  IGNORE_COUNT;
  *out = ebi_sound_end_piston(in[0], in[1]);
  return good(out);
}

/* velocity, bore */
METHOD(duct_flow) {
  IGNORE_COUNT;
  *out = ebi_sound_duct_flow(in[0], 0.25 * 3.14159265358979323846 * in[1] * in[1]);
  return good(out);
}

/* Strouhal number */
METHOD(vaned_spectrum) {
  IGNORE_COUNT;
  *out = ebi_sound_vaned_spectrum(in[0]);
  return good(out);
}

/* Strouhal number */
METHOD(bend_spectrum) {
  IGNORE_COUNT;
  *out = ebi_sound_bend_spectrum(in[0]);
  return good(out);
}

/* Strouhal number, speeds of main over branch */
METHOD(junction_spectrum) {
  IGNORE_COUNT;
  *out = ebi_sound_junction_spectrum(in[0], in[1]);
  return good(out);
}

/* drop, velocity -> coefficient, blockage, velocity in the opening; many blades */
METHOD(damper) {
  IGNORE_COUNT;
  out[0] = ebi_sound_damper_loss(in[0], in[1]);
  out[1] = ebi_sound_damper_blockage(out[0], false);
  out[2] = in[1] / out[1];
  return good(out);
}

/* drop, velocity, area, depth, frequency */
METHOD(damper_level) {
  IGNORE_COUNT;
  double open = in[1] / ebi_sound_damper_blockage(ebi_sound_damper_loss(in[0], in[1]), false);
  double spectrum = ebi_sound_damper_spectrum(in[4] * in[3] / open);
  *out = ebi_sound_generated(spectrum, in[4], open, in[2], in[3]);
  return good(out);
}

/* power, directivity, distance, absorption */
METHOD(room_at) {
  IGNORE_COUNT;
  *out = in[0] + ebi_sound_room_at(in[1], in[2], in[3]);
  return good(out);
}

/* power, distance, volume, frequency */
METHOD(room_schultz) {
  IGNORE_COUNT;
  *out = in[0] + ebi_sound_room_schultz(in[1], in[2], in[3]);
  return good(out);
}

/* distance, volume, frequency -> loss, with the constant of the form in feet: 25 there is 12.1004
 * in metres, which the metric form rounds to 12 */
METHOD(room_schultz_feet) {
  IGNORE_COUNT;
  double exact = 25.0 + 15.0 * log10(0.3048) + 10.0 * log10(0.3048);
  *out = -(ebi_sound_room_schultz(in[0], in[1], in[2]) - 12.0 + exact);
  return good(out);
}

/* height, area ratio, outlets, frequency */
METHOD(room_ceiling) {
  IGNORE_COUNT;
  *out = ebi_sound_room_ceiling(in[0], in[1], in[2], in[3]);
  return good(out);
}

const case_method case_methods_sound[] = {{"sound.weighting", 1, 1, weighting},
                                          {"sound.sum", CASE_ANY, 1, sum},
                                          {"sound.element", 3, 1, element},
                                          {"sound.fan_rule", 2, 1, fan_rule},
                                          {"sound.fan_duty", 2, 1, fan_duty},
                                          {"sound.fan_band", 7, 1, fan_band},
                                          {"sound.blades", 2, 1, blades},
                                          {"sound.off_peak", 1, 1, off_peak},
                                          {"sound.unlined_round", 2, 1, unlined_round},
                                          {"sound.unlined_rectangle", 3, 1, unlined_rectangle},
                                          {"sound.lined_round", 3, 1, lined_round},
                                          {"sound.lined_rectangle", 3, 1, lined_rectangle},
                                          {"sound.bend_round", 2, 1, bend_round},
                                          {"sound.bend_vaned", 2, 1, bend_vaned},
                                          {"sound.division", 2, 1, division},
                                          {"sound.end_flush", 2, 1, end_flush},
                                          {"sound.end_free", 2, 1, end_free},
                                          {"sound.end_old", 2, 1, end_old},
                                          {"sound.end_piston", 2, 1, end_piston},
                                          {"sound.duct_flow", 2, 1, duct_flow},
                                          {"sound.vaned_spectrum", 1, 1, vaned_spectrum},
                                          {"sound.bend_spectrum", 1, 1, bend_spectrum},
                                          {"sound.junction_spectrum", 2, 1, junction_spectrum},
                                          {"sound.damper", 2, 3, damper},
                                          {"sound.damper_level", 5, 1, damper_level},
                                          {"sound.room_at", 4, 1, room_at},
                                          {"sound.room_schultz", 4, 1, room_schultz},
                                          {"sound.room_schultz_feet", 3, 1, room_schultz_feet},
                                          {"sound.room_ceiling", 4, 1, room_ceiling},
                                          {NULL, 0, 0, NULL}};
