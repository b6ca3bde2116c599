/* sound_duct.c - what ducts, bends, junctions and open ends take from sound */

#include <math.h>

#include "physics/sound.h"

#define FOOT 0.3048
#define INCH 0.0254
#define PI 3.14159265358979323846

/* ---- Straight ducts ---- */

double ebi_sound_unlined_round(double bore, size_t band) {
  static const double largest[] = {0.180, 0.380, 0.760};
  static const double loss[4][EB_OCTAVES] = {
      {0.10, 0.10, 0.16, 0.16, 0.33, 0.33, 0.33, 0.33},
      {0.10, 0.10, 0.10, 0.16, 0.23, 0.23, 0.23, 0.23},
      {0.07, 0.07, 0.07, 0.10, 0.16, 0.16, 0.16, 0.16},
      {0.03, 0.03, 0.03, 0.07, 0.07, 0.07, 0.07, 0.07},
  };
  size_t row = 0;
  while (row < 3 && bore > largest[row])
    row++;
  return bore > 0 ? loss[row][band] : (double)NAN;
}

/* Perimeter over area [1/ft]. */
static double perimeter_per_area(double width, double height) {
  return 2.0 * (width + height) / (width * height) * FOOT;
}

/* dB/ft */
static double unlined(double ratio, double hz) {
  if (ratio < 3.0)
    return 1.64 * pow(ratio, 0.73) * pow(hz, -0.58);
  return hz <= 250.0 ? 17.0 * pow(ratio, -0.25) * pow(hz, -0.85) : 0.02 * pow(ratio, 0.8);
}

double ebi_sound_unlined_rectangle(double width, double height, size_t band) {
  if (!(width > 0) || !(height > 0))
    return NAN;
  return unlined(perimeter_per_area(width, height), ebi_octave_hz(band)) / FOOT;
}

double ebi_sound_lined_round(double bore, double lining, size_t band) {
  static const double c[EB_OCTAVES][6] = {
      {.2825, .3447, -.05251, -.03837, 9.1315e-4, -8.294e-6},
      {.5237, .2234, -.004936, -.02724, 3.377e-4, -2.49e-6},
      {.3652, .79, -.1157, -.01834, -1.211e-4, 2.681e-6},
      {.1333, 1.845, -.3735, -.01293, 8.624e-5, -4.986e-6},
      {1.933, 0, 0, .06135, -.003891, 3.934e-5},
      {2.73, 0, 0, -.07341, 4.428e-4, 1.006e-6},
      {2.8, 0, 0, -.1467, .003404, -2.851e-5},
      {1.545, 0, 0, -.05452, .00129, -1.318e-5},
  };
  double d = bore / INCH, t = lining / INCH;
  if (!(d >= 3.9) || d > 60.0 || !(t >= 0.98) || t > 3.0)
    return NAN;
  const double *k = c[band];
  double loss = k[0] + k[1] * t + k[2] * t * t + k[3] * d + k[4] * d * d + k[5] * d * d * d;
  return fmax(loss, 0.0) / FOOT;
}

double ebi_sound_lined_rectangle(double width, double height, double lining, size_t band) {
  static const double b[EB_OCTAVES] = {.0133, .0574, .271, 1.0147, 1.77, 1.392, 1.518, 1.581};
  static const double c[EB_OCTAVES] = {1.959, 1.41, .824, .5, .695, .802, .451, .219};
  static const double d[EB_OCTAVES] = {.917, .941, 1.079, 1.087, 0, 0, 0, 0};
  double t = lining / INCH, ratio = perimeter_per_area(width, height);
  if (!(width > 0) || !(height > 0) || !(t >= 0.98) || t > 2.01)
    return NAN;
  double hz = ebi_octave_hz(band), bare = unlined(ratio, hz);
  if (hz > 250.0)
    bare = 0.02 * pow(ratio, 0.8); /* in this sum at any ratio, as its table shows */
  return (b[band] * pow(ratio, c[band]) * pow(t, d[band]) + bare) / FOOT;
}

/* ---- Bends ---- */

typedef struct reading {
  double product, loss; /* kHz x inch, dB */
} reading;

/* Straight in the log of the product; falls to 0 below the first and stays beyond the last. */
static double read_graph(const reading *graph, size_t n, double size, size_t band) {
  double product = 1e-3 * ebi_octave_hz(band) * size / INCH;
  if (!(size > 0))
    return NAN;
  if (product <= graph[0].product)
    return graph[0].loss * product / graph[0].product;
  for (size_t i = 1; i < n; i++)
    if (product <= graph[i].product)
      return graph[i - 1].loss + (graph[i].loss - graph[i - 1].loss) *
                                     log(product / graph[i - 1].product) /
                                     log(graph[i].product / graph[i - 1].product);
  return graph[n - 1].loss;
}

double ebi_sound_bend_round(double bore, size_t band) {
  static const reading graph[] = {{0.76, 0.2}, {1.5, 0.5}, {3, 1.8},  {6, 2.8},
                                  {12, 3.3},   {24, 3.3},  {48, 3.0}, {96, 2.7}};
  return read_graph(graph, sizeof graph / sizeof graph[0], bore, band);
}

double ebi_sound_bend_vaned(double width, size_t band) {
  static const reading graph[] = {{3, 3.1}, {6, 6.2}, {12, 7.1}, {24, 7.0}, {48, 6.9}, {96, 6.8}};
  return read_graph(graph, sizeof graph / sizeof graph[0], width, band);
}

/* ---- Junctions and ends ---- */

double ebi_sound_division(double area, double sum) {
  return area > 0 && sum >= area ? 10.0 * log10(sum / area) : (double)NAN;
}

static double end_loss(double factor, double exponent, double diameter, double hz) {
  if (!(diameter > 0) || !(hz > 0))
    return NAN;
  double ratio = factor * EBI_SPEED_OF_SOUND / (PI * hz * diameter);
  return 10.0 * log10(1.0 + pow(ratio, exponent));
}

double ebi_sound_end_flush(double diameter, double hz) {
  return end_loss(0.7, 2.0, diameter, hz);
}

double ebi_sound_end_free(double diameter, double hz) {
  return end_loss(1.0, 2.0, diameter, hz);
}

double ebi_sound_end_old(double diameter, double hz) {
  return end_loss(0.8, 1.88, diameter, hz);
}

/* J1(x)/(x/2) and H1(x)/(x/2) by their power series; x up to 20 to 1e-8. */
static void piston_series(double x, double *bessel, double *struve) {
  double square = 0.25 * x * x, j = 1.0, h = 4.0 * x / (3.0 * PI);
  *bessel = *struve = 0;
  for (int k = 1; k < 80; k++) {
    *bessel += j;
    *struve += h;
    j *= -square / (k * (k + 1.0));
    h *= -square / ((k + 0.5) * (k + 1.5));
  }
}

/* Of a plane wave the part 4 R / ((1 + R)^2 + X^2) leaves, with R = 1 - J1(2ka)/ka and
 * X = H1(2ka)/ka of a piston of radius a. */
double ebi_sound_end_piston(double diameter, double hz) {
  double ka = PI * hz * diameter / EBI_SPEED_OF_SOUND, bessel, struve;
  if (!(ka > 0) || ka > 10.0)
    return NAN;
  piston_series(2.0 * ka, &bessel, &struve);
  double resistance = 1.0 - bessel, left = (1.0 + resistance) * (1.0 + resistance);
  return -10.0 * log10(4.0 * resistance / (left + struve * struve));
}
