/* physics.c - the physics alone, on plain numbers: no house, no context, nothing to free
 *
 *   cc physics.c $(pkg-config --cflags --libs evenbreath) -o physics
 *
 * SPDX-License-Identifier: GPL-3.0-or-later */

#include <evenbreath.h>
#include <math.h>
#include <stdio.h>

#define PI 3.14159265358979323846

/* Friction of 30 l/s in ten metres of smooth duct, 125 mm. */
static void duct(void) {
  double bore = 0.125, flow = 0.030, roughness = 0.09e-3;
  double density = eb_air_density(20, eb_air_pressure(60)), viscosity = eb_air_viscosity(20);
  double velocity = flow / (PI / 4 * bore * bore);
  double reynolds = density * velocity * bore / viscosity;
  double factor = eb_friction_factor(reynolds, roughness / bore, 64);
  printf("duct: %.2f m/s, Re %.0f, f %.4f, %.2f Pa\n", velocity, reynolds, factor,
         factor * 10 / bore * density / 2 * velocity * velocity);
}

/* An exchanger of 85 % at 40 l/s gives back more at 30. */
static void exchanger(void) {
  double units = eb_counterflow_ntu(0.85, 1);
  printf("exchanger: %.2f transfer units, %.1f %% at 30 l/s\n", units,
         100 * eb_counterflow_effectiveness(units * 40 / 30, 1));
}

/* A January of 4.3 C below a base of 16.4 C, by the rule of the United Kingdom. */
static void january(void) {
  double days = eb_degree_days_monthly(16.4, 4.3, 31, 0.71);
  printf("January: %.0f K day, %.0f kWh at 88 W/K\n", days, days * 24 * 88 / 1000);
}

/* Air of a bathroom on a cold window. */
static void window(void) {
  printf("window: dew point %.1f C, %.0f %% at the glass\n", eb_dew_point(22, 0.70),
         100 * eb_surface_humidity(22, 0.70, 2, 0.65));
}

int main(void) {
  duct();
  exchanger();
  january();
  window();
  /* Outside its range a function is NAN, and says so by nothing else. */
  printf("outside the range: %s\n", isnan(eb_friction_factor(-1, 0, 64)) ? "not a number" : "?");
  return 0;
}
