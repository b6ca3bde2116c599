/* sound.c - levels of sound: bands, weighting, sums */

#include "physics/sound.h"

#include <math.h>

double ebi_octave_hz(size_t band) {
  static const double hz[EB_OCTAVES] = {63, 125, 250, 500, 1000, 2000, 4000, 8000};
  return hz[band];
}

double ebi_octave_a(size_t band) {
  static const double weight[EB_OCTAVES] = {-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1};
  return weight[band];
}

double ebi_sound_add(double a, double b) {
  double larger = fmax(a, b), smaller = fmin(a, b);
  if (isinf(larger))
    return larger;
  return larger + 10.0 * log10(1.0 + pow(10.0, 0.1 * (smaller - larger)));
}

double ebi_sound_total(const double bands[EB_OCTAVES]) {
  double sum = 0.0;
  for (size_t band = 0; band < EB_OCTAVES; band++)
    sum += pow(10.0, 0.1 * bands[band]);
  return 10.0 * log10(sum);
}

double ebi_sound_weighted(const double bands[EB_OCTAVES]) {
  double weighted[EB_OCTAVES];
  for (size_t band = 0; band < EB_OCTAVES; band++)
    weighted[band] = bands[band] + ebi_octave_a(band);
  return ebi_sound_total(weighted);
}
