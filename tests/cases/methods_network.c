/* methods_network.c - whole networks, as case rows ask for them
 *
 * Each method stands for one published layout; its rows give the numbers. */

#include <math.h>
#include <stdlib.h>

#include "layout.h"
#include "methods.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

/* Jeppson 1974, chapter 7: inflow at A (node 0) and E (4), outflow at C (2), D (3) and F (5).
 * roughness, kinematic viscosity, inflow at E, outflow at C, D, F, then bore and length of each
 * of seven pipes. */
METHOD(network_two_loops) {
  IGNORE_COUNT;
  static const int ends[][2] = {{0, 1}, {1, 2}, {3, 2}, {0, 3}, {4, 1}, {4, 5}, {5, 2}};
  layout l = layout_new(6, EB_REFERENCE_DENSITY, in[1] * EB_REFERENCE_DENSITY);
  layout_fix(&l, 0, 0.0);
  layout_asks(&l, 4, -in[2]);
  layout_asks(&l, 2, in[3]);
  layout_asks(&l, 3, in[4]);
  layout_asks(&l, 5, in[5]);
  for (int i = 0; i < 7; i++)
    layout_duct(&l, ends[i][0], ends[i][1], in[6 + 2 * i], in[7 + 2 * i], in[0], 0.0);
  return layout_flows(&l, 7, out);
}

/* A bridge of square laws: inflow at a (node 0), outflow at d (3), then the resistances
 * [N s2/m8] of ab, ac, bc, bd, cd. */
METHOD(network_bridge) {
  IGNORE_COUNT;
  static const int ends[][2] = {{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}};
  layout l = layout_new(4, EB_REFERENCE_DENSITY, 1.81e-5);
  layout_fix(&l, 0, 0.0);
  layout_asks(&l, 3, in[0]);
  for (int i = 0; i < 5; i++)
    layout_square(&l, ends[i][0], ends[i][1], in[1 + i]);
  return layout_flows(&l, 5, out);
}

/* The same bridge of ducts: roughness, outflows at B, C, D, then bore, length and zeta of
 * AB, AC, BC, BD, CD. */
METHOD(network_duct_bridge) {
  IGNORE_COUNT;
  static const int ends[][2] = {{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}};
  layout l = layout_new(4, 1.204, 1.81e-5);
  layout_fix(&l, 0, 0.0);
  for (int i = 1; i < 4; i++)
    layout_asks(&l, i, in[i]);
  for (int i = 0; i < 5; i++)
    layout_duct(&l, ends[i][0], ends[i][1], in[4 + 3 * i], in[5 + 3 * i], in[0], in[6 + 3 * i]);
  return layout_flows(&l, 5, out);
}

/* Three loops of pipes with a fixed Darcy factor; the inflow, three outflows at d, g and h, then
 * bore, length and factor of each of ten pipes. */
METHOD(network_three_loops) {
  IGNORE_COUNT;
  enum { A_, B_, C_, D_, E_, F_, G_, H_ };
  static const int ends[][2] = {{A_, B_}, {B_, C_}, {C_, D_}, {D_, E_}, {E_, A_},
                                {D_, F_}, {F_, G_}, {G_, E_}, {C_, H_}, {H_, F_}};
  layout l = layout_new(8, EB_REFERENCE_DENSITY, 1.81e-5);
  layout_fix(&l, A_, 0.0);
  layout_asks(&l, D_, in[0]);
  layout_asks(&l, G_, in[1]);
  layout_asks(&l, H_, in[2]);
  for (int i = 0; i < 10; i++) {
    double bore = in[3 + 3 * i], area = ebi_section_round(bore).area;
    double velocity_pressure = 0.5 * EB_REFERENCE_DENSITY / (area * area);
    layout_square(&l, ends[i][0], ends[i][1],
                  in[5 + 3 * i] * in[4 + 3 * i] / bore * velocity_pressure);
  }
  return layout_flows(&l, 10, out);
}

/* Fan points of c0 + c1 q + c2 q^2 (Pa, l/s), close enough for seven digits. */
#define FAN_POINTS 601
static ebi_fan *quadratic_fan(layout *l, const double *c) {
  static double flow[FAN_POINTS], pressure[FAN_POINTS];
  for (int i = 0; i < FAN_POINTS; i++) {
    double q = 0.2 * i;
    flow[i] = 1e-3 * q;
    pressure[i] = c[0] + q * (c[1] + q * c[2]);
  }
  return layout_fan(l, 1.0, flow, pressure, NULL, FAN_POINTS);
}

/* A fan, a main duct to a box and three branches to still air. c0, c1, c2 of the fan (at the
 * density of the air), then bore, length, roughness and zeta of main and branches ->
 * three branch flows, the fan's flow, the pressure in the box. */
METHOD(network_fan_tree) {
  IGNORE_COUNT;
  layout l = layout_new(5, 1.204, 1.81e-5);
  double scale = EB_REFERENCE_DENSITY / 1.204, c[] = {in[0] * scale, in[1] * scale, in[2] * scale};
  layout_fix(&l, 0, 0.0);
  for (int i = 2; i < 5; i++)
    layout_fix(&l, i, 0.0);
  for (int i = 0; i < 3; i++)
    layout_duct(&l, 1, 2 + i, in[7 + 4 * i], in[8 + 4 * i], in[9 + 4 * i], in[10 + 4 * i]);
  ebi_section main = ebi_section_round(in[3]);
  ebi_element elements[] = {layout_element_fan(quadratic_fan(&l, c), 1.0),
                            layout_element_duct(main, in[4], in[5]),
                            layout_element_loss(main.area, in[6])};
  layout_part(&l, 0, 1, elements, 3);
  double pressure[2] = {0};
  eb_status status = layout_solve(&l, 4, out, 2, pressure);
  out[4] = pressure[1];
  layout_free(&l);
  return status;
}

/* A fan p0 s^2 - k q^2, a trunk and terminals c q^m + k q^2 (Pa, l/s): p0, fan k, trunk k, m, s,
 * then c and k of four terminals -> their flows [l/s], the pressure in the box and of the fan. */
METHOD(network_box_of_four) {
  IGNORE_COUNT;
  layout l = layout_new(7, EB_REFERENCE_DENSITY, 1.81e-5);
  layout_fix(&l, 0, in[0] * in[4] * in[4]);
  for (int i = 0; i < 4; i++) {
    const double *ck = &in[5 + 2 * i];
    ebi_element elements[] = {
        {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {ck[1], 1e-3, 2.0}},
        {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {ck[0], 1e-3, in[3]}}};
    layout_fix(&l, 3 + i, 0.0);
    layout_part(&l, 2, 3 + i, elements, ck[0] > 0.0 ? 2 : 1);
  }
  layout_square(&l, 0, 1, 1e6 * in[1]);
  layout_square(&l, 1, 2, 1e6 * in[2]);
  double pressure[3] = {0};
  eb_status status = layout_solve(&l, 4, out, 3, pressure);
  layout_free(&l);
  for (int i = 0; i < 4; i++)
    out[i] *= 1e3;
  out[4] = pressure[2];
  out[5] = pressure[1];
  return status;
}

const case_method case_methods_network[] = {{"network.two_loops", 20, 7, network_two_loops},
                                            {"network.bridge", 6, 5, network_bridge},
                                            {"network.duct_bridge", 19, 5, network_duct_bridge},
                                            {"network.three_loops", 33, 10, network_three_loops},
                                            {"network.fan_tree", 19, 5, network_fan_tree},
                                            {"network.box_of_four", 13, 6, network_box_of_four},
                                            {NULL, 0, 0, NULL}};
