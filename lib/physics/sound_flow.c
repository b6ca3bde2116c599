/* sound_flow.c - the sound that air makes in ducts, bends, junctions and dampers */

#include <math.h>

#include "physics/sound.h"

#define FOOT 0.3048
#define FEET_PER_MINUTE (FOOT / 60.0)
#define INCH_OF_WATER 249.08891

double ebi_sound_duct_flow(double velocity, double area) {
  if (!(velocity > 0) || !(area > 0))
    return -INFINITY;
  return 7.0 + 50.0 * log10(velocity) + 10.0 * log10(area);
}

double ebi_sound_duct_flow_band(double velocity, double area, size_t band) {
  if (!(velocity > 0))
    return -INFINITY;
  return ebi_sound_duct_flow(velocity, area) - 2.0 -
         26.0 * log10(1.14 + 0.02 * ebi_octave_hz(band) / velocity);
}

double ebi_sound_vaned_spectrum(double strouhal) {
  double lg = log10(strouhal);
  return -47.5 - 7.69 * pow(fmax(lg, 0.0), 2.5);
}

double ebi_sound_bend_spectrum(double strouhal) {
  double lg = log10(strouhal);
  return -9.22 - 16.48 * lg - 5.05 * lg * lg;
}

double ebi_sound_junction_spectrum(double strouhal, double speed_ratio) {
  double lg = log10(strouhal);
  return -21.6 + 12.4 * pow(speed_ratio, 0.67) - 16.5 * pow(speed_ratio, -0.3) * lg -
         5.0 * pow(speed_ratio, -0.25) * lg * lg;
}

double ebi_sound_damper_spectrum(double strouhal) {
  double lg = log10(strouhal);
  return strouhal <= 25.0 ? -36.3 - 10.7 * lg : -1.1 - 35.9 * lg;
}

double ebi_sound_generated(double spectrum, double hz, double velocity, double area, double depth) {
  if (!(velocity > 0))
    return -INFINITY;
  return spectrum + 10.0 * log10(hz) + 50.0 * log10(velocity / FEET_PER_MINUTE) +
         10.0 * log10(area / (FOOT * FOOT)) + 10.0 * log10(depth / FOOT) - 107.0;
}

double ebi_sound_damper_loss(double drop, double velocity) {
  double feet = velocity / FEET_PER_MINUTE;
  return 15.9e6 * (drop / INCH_OF_WATER) / (feet * feet);
}

double ebi_sound_damper_blockage(double coefficient, bool single_blade) {
  if (single_blade && coefficient > 4.0)
    return 0.68 * pow(coefficient, -0.15) - 0.22;
  return 1.0 / (sqrt(coefficient) + 1.0); /* (sqrt C - 1)/(C - 1), 0.5 at C = 1 */
}
