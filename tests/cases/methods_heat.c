/* methods_heat.c - heat of ducts and thermal gravity, as case rows ask for them */

#include <math.h>
#include <stdlib.h>

#include "methods.h"
#include "network/network.h"
#include "physics/duct_heat.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in
#define PI 3.14159265358979323846

static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

/* ---- Ducts ---- */

/* bore, thickness, conductivity, film inside (0: none), film outside */
static ebi_duct_wall round_wall(const double *in) {
  return (ebi_duct_wall){.perimeter = PI * in[0],
                         .thickness = in[1],
                         .conductivity = in[2],
                         .inside = in[3] > 0.0 ? in[3] : HUGE_VAL,
                         .outside = in[4]};
}

METHOD(heat_transmittance) {
  IGNORE_COUNT;
  ebi_duct_wall wall = round_wall(in);
  return checked(out, ebi_duct_transmittance(&wall));
}

/* ... length, flow at 1.2 kg/m3, start and around -> end */
METHOD(heat_end) {
  IGNORE_COUNT;
  ebi_duct_wall wall = round_wall(in);
  double units = ebi_duct_transmittance(&wall) * in[5] / (1.2 * EBI_AIR_CP * in[6]);
  return checked(out, ebi_duct_end_c(in[7], in[8], units));
}

/* The same -> transmittance, drop, heat. */
METHOD(heat_drop) {
  double end;
  eb_status status = heat_end(in, n_in, &end);
  ebi_duct_wall wall = round_wall(in);
  out[0] = ebi_duct_transmittance(&wall);
  out[1] = in[7] - end;
  out[2] = 1.2 * EBI_AIR_CP * in[6] * out[1];
  return status;
}

/* Heat per area of wall, width, height, length, velocity, density. A constant flux is the
 * limit of a large difference. */
METHOD(heat_flux) {
  IGNORE_COUNT;
  const double far = 1e6;
  double flow = in[4] * in[1] * in[2] * in[5] * EBI_AIR_CP;
  double units = in[0] * 2.0 * (in[1] + in[2]) / far * in[3] / flow;
  return checked(out, 0.0 - ebi_duct_end_c(0.0, -far, units));
}

/* ... and the temperature at the end */
METHOD(heat_flux_start) {
  eb_status status = heat_flux(in, n_in, out);
  *out += in[6];
  return status;
}

/* A flat wall without a film inside: conductivity, film, inside, around, surface. */
static double flat_thickness(double conductivity, double film, double inside, double around,
                             double surface) {
  ebi_duct_wall wall = {
      .perimeter = 1e6, .conductivity = conductivity, .inside = HUGE_VAL, .outside = film};
  return ebi_duct_thickness(&wall, inside, around, surface);
}

METHOD(heat_thickness) {
  IGNORE_COUNT;
  return checked(out, flat_thickness(in[0], in[1], in[2], in[3], in[4]));
}

/* conductivity, film, inside, around, humidity around */
METHOD(heat_dry_thickness) {
  IGNORE_COUNT;
  return checked(out, flat_thickness(in[0], in[1], in[2], in[3], ebi_dew_point(in[3], in[4])));
}

/* ---- Thermal gravity ---- */

/* density around, density, height */
METHOD(stack_pressure) {
  IGNORE_COUNT;
  return checked(out, ebi_stack_pressure(in[0], in[1], in[2]));
}

/* temperature inside, around, height */
METHOD(stack_temperatures) {
  IGNORE_COUNT;
  double around = eb_air_density(in[1], 101325.0), inside = eb_air_density(in[0], 101325.0);
  return checked(out, ebi_stack_pressure(around, inside, in[2]));
}

/* Two losses at the given flow and a stack effect, one behind the other in a network that
 * draws that flow: what a fan must raise. */
METHOD(stack_fan) {
  IGNORE_COUNT;
  const double flow = 0.0731;
  eb_context *context = eb_context_new(NULL);
  ebi_network *network = context != NULL ? ebi_network_new(context) : NULL;
  if (network == NULL)
    abort();
  ebi_node open = ebi_network_node(network, "open"), fan = ebi_network_node(network, "fan");
  ebi_element elements[] = {
      {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {in[0], flow, 2.0}},
      {.kind = EBI_ELEMENT_SOURCE, .parallel = 1.0, .as.source = {in[2]}},
      {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {in[1], flow, 2.0}}};
  ebi_network_part(network, "stack", open, fan, (ebi_air_state){1.2, 1.8e-5}, elements, 3);
  ebi_network_fix(network, open, 0.0);
  ebi_network_outflow(network, fan, flow);
  ebi_solution solution;
  eb_status status = ebi_network_solve(network, &solution);
  if (status == EB_OK)
    out[0] = -solution.pressure[fan];
  ebi_network_free(network);
  eb_context_free(context);
  return status;
}

const case_method case_methods_heat[] = {{"heat.transmittance", 5, 1, heat_transmittance},
                                         {"heat.end", 9, 1, heat_end},
                                         {"heat.drop", 9, 3, heat_drop},
                                         {"heat.flux", 6, 1, heat_flux},
                                         {"heat.flux_start", 7, 1, heat_flux_start},
                                         {"heat.thickness", 5, 1, heat_thickness},
                                         {"heat.dry_thickness", 5, 1, heat_dry_thickness},
                                         {"stack.pressure", 3, 1, stack_pressure},
                                         {"stack.temperatures", 3, 1, stack_temperatures},
                                         {"stack.fan", 3, 1, stack_fan},
                                         {NULL, 0, 0, NULL}};
