/* sound_source.c - the sound power of fans and valves */

#include <math.h>

#include "physics/sound.h"

/* 1 cfm [m3/s] and 1 inch of water [Pa]. */
#define CFM 0.0004719474432
#define INCH_OF_WATER 249.08891

/* Sound does not follow the pressure without bound on one fan curve. */
#define MOST_OFF_CURVE 3.0

/* Duties nearer than this in lg are one. */
#define SAME_DUTY 1e-9

double ebi_sound_fan_rule(double flow, double rise) {
  return flow > 0 && rise > 0 ? 37.0 + 10.0 * log10(flow) + 20.0 * log10(rise) : (double)NAN;
}

double ebi_sound_fan_duty(double flow, double rise) {
  return flow > 0 && rise > 0 ? 10.0 * log10(flow / CFM) + 20.0 * log10(rise / INCH_OF_WATER)
                              : (double)NAN;
}

double ebi_sound_blade_hz(double turns, double blades) {
  return turns * blades;
}

/* Octaves end at their middle x or / the root of two. */
static bool in_band(size_t band, double hz) {
  double middle = ebi_octave_hz(band);
  return hz >= middle / sqrt(2.0) && hz < middle * sqrt(2.0);
}

double ebi_sound_fan_band(size_t band, double specific, double duty, double blade_hz,
                          double increment, double off_peak) {
  return specific + duty + off_peak + (in_band(band, blade_hz) ? increment : 0.0);
}

double ebi_sound_off_peak(double share) {
  static const double from[] = {0.90, 0.85, 0.75, 0.65, 0.55, 0.50};
  if (share > 1.0)
    return NAN;
  for (int i = 0; i < 6; i++)
    if (share >= from[i])
      return 3.0 * i;
  return NAN;
}

/* ---- From stated duties ---- */

double ebi_sound_fan_shift(const ebi_sound_duty *stated, double flow, double rise, double speed) {
  if (!(flow > 0) || !(speed > 0))
    return -INFINITY;
  double by_pressure = 20.0 * log10(fmax(rise, 1e-6) / stated->pressure);
  if (!(stated->speed > 0))
    return 10.0 * log10(flow / stated->flow) + by_pressure;
  double turns = log10(speed / stated->speed);
  return 50.0 * turns + fmax(-MOST_OFF_CURVE, fmin(MOST_OFF_CURVE, by_pressure - 40.0 * turns));
}

double ebi_sound_valve_shift(const ebi_sound_duty *stated, double flow, double drop) {
  if (!(flow > 0) || !(drop > 0))
    return -INFINITY;
  return 10.0 * log10(flow / stated->flow) + 25.0 * log10(drop / stated->pressure);
}

static double valve_shift(const ebi_sound_duty *stated, double flow, double drop, double speed) {
  (void)speed;
  return ebi_sound_valve_shift(stated, flow, drop);
}

/* How much louder than at a stated duty. */
typedef double shift_of(const ebi_sound_duty *stated, double flow, double pressure, double speed);

/* 1 / distance^2 of a duty and a stated one. */
static double weight_of(const ebi_sound_duty *stated, double flow, double pressure) {
  double x = log10(flow / stated->flow), y = log10(fmax(pressure, 1e-6) / stated->pressure);
  return 1.0 / (x * x + y * y + SAME_DUTY * SAME_DUTY);
}

static void blend(const ebi_sound_duty *stated, size_t n, double flow, double pressure,
                  double speed, shift_of *shift, double power[EB_OCTAVES]) {
  double weights = 0;
  for (size_t band = 0; band < EB_OCTAVES; band++)
    power[band] = 0;
  for (size_t i = 0; i < n; i++) {
    double louder = shift(&stated[i], flow, pressure, speed);
    if (isinf(louder)) {
      for (size_t band = 0; band < EB_OCTAVES; band++)
        power[band] = -INFINITY;
      return;
    }
    double weight = weight_of(&stated[i], flow, pressure);
    weights += weight;
    for (size_t band = 0; band < EB_OCTAVES; band++)
      power[band] += weight * (stated[i].power[band] + louder);
  }
  for (size_t band = 0; band < EB_OCTAVES; band++)
    power[band] /= weights;
}

void ebi_sound_fan(const ebi_sound_duty *stated, size_t n, double flow, double rise, double speed,
                   double power[EB_OCTAVES]) {
  blend(stated, n, flow, rise, speed, ebi_sound_fan_shift, power);
}

void ebi_sound_valve(const ebi_sound_duty *stated, size_t n, double flow, double drop,
                     double power[EB_OCTAVES]) {
  blend(stated, n, flow, drop, 0, valve_shift, power);
}
