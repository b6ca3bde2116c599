/* methods_fans.c - fans at other densities and speeds, as case rows ask for them
 *
 * A fan works on a square-law system of its own; the network finds where. */

#include "base/quantity.h"
#include "layout.h"
#include "methods.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

#define SEA_LEVEL 101325.0

/* A point that a fan is known to work at. */
typedef struct duty {
  double flow, pressure, power;
} duty;

/* A fan whose curve at `speed` and `density` goes through a duty. */
static ebi_fan *fan_through(layout *l, const duty *d, double speed, double density) {
  double up = EB_REFERENCE_DENSITY / density;
  double flow[] = {0.4 * d->flow, d->flow, 1.7 * d->flow};
  double pressure[] = {1.2 * up * d->pressure, up * d->pressure, 0.3 * up * d->pressure};
  double power[] = {0.7 * up * d->power, up * d->power, 1.1 * up * d->power};
  return layout_fan(l, speed, flow, pressure, power, 3);
}

/* Puts the fan of a duty (at a speed and density) at full speed into air of another density, on a
 * system that has the duty's pressure at its flow: flow, pressure, power. */
static eb_status moved(const duty *d, double speed, double density, double now, double *out) {
  double at[2] = {0};
  layout l = layout_new(3, now, 1.81e-5);
  ebi_fan *fan = fan_through(&l, d, speed, density);
  ebi_element element = layout_element_fan(fan, 1.0);
  layout_fix(&l, 0, 0.0);
  layout_fix(&l, 2, 0.0);
  layout_part(&l, 0, 1, &element, 1);
  layout_square(&l, 1, 2, d->pressure * EB_REFERENCE_DENSITY / (density * d->flow * d->flow));
  eb_status status = layout_solve(&l, 1, out, 2, at);
  out[1] = at[1];
  if (status == EB_OK)
    out[2] = ebi_fan_power(fan, out[0], 1.0, now);
  layout_free(&l);
  return status;
}

/* flow, pressure, power at a temperature; another temperature -> the same there */
METHOD(fan_warmed) {
  IGNORE_COUNT;
  duty d = {in[0], in[1], in[2]};
  return moved(&d, 1.0, eb_air_density(in[3], SEA_LEVEL), eb_air_density(in[4], SEA_LEVEL), out);
}

/* flow, pressure, power at a speed; another, faster speed -> the same there */
METHOD(fan_faster) {
  IGNORE_COUNT;
  duty d = {in[0], in[1], in[2]};
  return moved(&d, in[3] / in[4], EB_REFERENCE_DENSITY, EB_REFERENCE_DENSITY, out);
}

/* flow, pressure and power that a fan shall have at an altitude and temperature -> share of the
 * reference density, pressure and power at 1.2 kg/m3, where its curve is given */
METHOD(fan_altitude) {
  IGNORE_COUNT;
  duty d = {in[0], in[1], in[2]};
  double density = eb_air_density(in[4], eb_air_pressure(in[3])), now[3];
  eb_status status = moved(&d, 1.0, density, EB_REFERENCE_DENSITY, now);
  out[0] = density / EB_REFERENCE_DENSITY;
  out[1] = now[1];
  out[2] = now[2];
  return status;
}

/* W per m3/h, as a sheet gives it, as the library takes it */
METHOD(fan_power_unit) {
  IGNORE_COUNT;
  return ebi_unit_to_si(in[0], "W/(m3/h)", EBI_FAN_POWER, out) ? EB_OK : EB_E_RANGE;
}

const case_method case_methods_fans[] = {{"fan.warmed", 5, 3, fan_warmed},
                                         {"fan.faster", 5, 3, fan_faster},
                                         {"fan.altitude", 5, 3, fan_altitude},
                                         {"fan.power_unit", 1, 1, fan_power_unit},
                                         {NULL, 0, 0, NULL}};
