/* methods_network.c - whole networks, as case rows ask for them
 *
 * Each method stands for one published layout; its rows give the numbers. */

#include <math.h>
#include <stdlib.h>

#include "methods.h"
#include "network/network.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

#define NODES_MAX 10

/* A layout being built; nodes are numbers from 0. */
typedef struct layout {
  eb_context *context;
  ebi_network *network;
  ebi_air_state air;
} layout;

static layout layout_new(int nodes, double density, double viscosity) {
  layout l = {.context = eb_context_new(NULL), .air = {density, viscosity}};
  l.network = l.context != NULL ? ebi_network_new(l.context) : NULL;
  if (l.network == NULL)
    abort();
  for (int i = 0; i < nodes; i++)
    (void)ebi_network_node(l.network, "node");
  return l;
}

static void part(layout *l, int from, int to, const ebi_element *elements, size_t count) {
  if (ebi_network_part(l->network, "part", (ebi_node)from, (ebi_node)to, l->air, elements, count) ==
      (size_t)-1)
    abort();
}

/* A round duct with a local loss. */
static void duct(layout *l, int from, int to, double bore, double length, double roughness,
                 double zeta) {
  ebi_section section = ebi_section_round(bore);
  ebi_element elements[] = {
      {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {section, length, roughness}},
      {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {section.area, zeta, zeta}}};
  part(l, from, to, elements, zeta != 0.0 ? 2 : 1);
}

/* drop [Pa] at 1 m3/s, by the square */
static void square(layout *l, int from, int to, double drop) {
  ebi_element element = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {drop, 1.0, 2.0}};
  part(l, from, to, &element, 1);
}

/* Solves, gives the flows of the first parts [m3/s] and frees. */
static eb_status flows(layout *l, int n, double *out) {
  ebi_solution solution;
  eb_status status = ebi_network_solve(l->network, &solution);
  for (int i = 0; i < n && status == EB_OK; i++)
    out[i] = solution.flow_ref[i] * EB_REFERENCE_DENSITY / l->air.density;
  ebi_network_free(l->network);
  eb_context_free(l->context);
  return status;
}

/* Outflow of actual volume; node 0 is the one of known pressure and gives what is asked. */
static void asks(layout *l, int node, double flow) {
  ebi_network_outflow(l->network, (ebi_node)node, flow * l->air.density / EB_REFERENCE_DENSITY);
}

/* Jeppson 1974, chapter 7: inflow at A (node 0) and E (4), outflow at C (2), D (3) and F (5).
 * roughness, kinematic viscosity, inflow at E, outflow at C, D, F, then bore and length of each
 * of seven pipes. */
METHOD(network_two_loops) {
  IGNORE_COUNT;
  static const int ends[][2] = {{0, 1}, {1, 2}, {3, 2}, {0, 3}, {4, 1}, {4, 5}, {5, 2}};
  layout l = layout_new(6, EB_REFERENCE_DENSITY, in[1] * EB_REFERENCE_DENSITY);
  ebi_network_fix(l.network, 0, 0.0);
  asks(&l, 4, -in[2]);
  asks(&l, 2, in[3]);
  asks(&l, 3, in[4]);
  asks(&l, 5, in[5]);
  for (int i = 0; i < 7; i++)
    duct(&l, ends[i][0], ends[i][1], in[6 + 2 * i], in[7 + 2 * i], in[0], 0.0);
  return flows(&l, 7, out);
}

/* A bridge of square laws: inflow at a (node 0), outflow at d (3), then the resistances
 * [N s2/m8] of ab, ac, bc, bd, cd. */
METHOD(network_bridge) {
  IGNORE_COUNT;
  static const int ends[][2] = {{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}};
  layout l = layout_new(4, EB_REFERENCE_DENSITY, 1.81e-5);
  ebi_network_fix(l.network, 0, 0.0);
  asks(&l, 3, in[0]);
  for (int i = 0; i < 5; i++)
    square(&l, ends[i][0], ends[i][1], in[1 + i]);
  return flows(&l, 5, out);
}

/* The same bridge of ducts: roughness, outflows at B, C, D, then bore, length and zeta of
 * AB, AC, BC, BD, CD. */
METHOD(network_duct_bridge) {
  IGNORE_COUNT;
  static const int ends[][2] = {{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}};
  layout l = layout_new(4, 1.204, 1.81e-5);
  ebi_network_fix(l.network, 0, 0.0);
  for (int i = 1; i < 4; i++)
    asks(&l, i, in[i]);
  for (int i = 0; i < 5; i++)
    duct(&l, ends[i][0], ends[i][1], in[4 + 3 * i], in[5 + 3 * i], in[0], in[6 + 3 * i]);
  return flows(&l, 5, out);
}

/* Three loops of pipes with a fixed Darcy factor; the inflow, three outflows at d, g and h, then
 * bore, length and factor of each of ten pipes. */
METHOD(network_three_loops) {
  IGNORE_COUNT;
  enum { A_, B_, C_, D_, E_, F_, G_, H_ };
  static const int ends[][2] = {{A_, B_}, {B_, C_}, {C_, D_}, {D_, E_}, {E_, A_},
                                {D_, F_}, {F_, G_}, {G_, E_}, {C_, H_}, {H_, F_}};
  layout l = layout_new(8, EB_REFERENCE_DENSITY, 1.81e-5);
  ebi_network_fix(l.network, A_, 0.0);
  asks(&l, D_, in[0]);
  asks(&l, G_, in[1]);
  asks(&l, H_, in[2]);
  for (int i = 0; i < 10; i++) {
    double bore = in[3 + 3 * i], area = ebi_section_round(bore).area;
    double velocity_pressure = 0.5 * EB_REFERENCE_DENSITY / (area * area);
    square(&l, ends[i][0], ends[i][1], in[5 + 3 * i] * in[4 + 3 * i] / bore * velocity_pressure);
  }
  return flows(&l, 10, out);
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
  ebi_fan_curve_points points = {1.0, flow, pressure, NULL, FAN_POINTS};
  ebi_arena *arena = ebi_context_arena(l->context);
  ebi_fan *fan = arena != NULL ? ebi_fan_new(arena, &points, 1, 0.0) : NULL;
  if (fan == NULL)
    abort();
  return fan;
}

/* A fan, a main duct to a box and three branches to still air. c0, c1, c2 of the fan (at the
 * density of the air), then bore, length, roughness and zeta of main and branches ->
 * three branch flows, the fan's flow, the pressure in the box. */
METHOD(network_fan_tree) {
  IGNORE_COUNT;
  layout l = layout_new(5, 1.204, 1.81e-5);
  double scale = EB_REFERENCE_DENSITY / 1.204, c[] = {in[0] * scale, in[1] * scale, in[2] * scale};
  ebi_network_fix(l.network, 0, 0.0);
  for (ebi_node i = 2; i < 5; i++)
    ebi_network_fix(l.network, i, 0.0);
  for (int i = 0; i < 3; i++)
    duct(&l, 1, 2 + i, in[7 + 4 * i], in[8 + 4 * i], in[9 + 4 * i], in[10 + 4 * i]);
  ebi_section main = ebi_section_round(in[3]);
  ebi_element elements[] = {
      {.kind = EBI_ELEMENT_FAN, .parallel = 1.0, .as.fan = {quadratic_fan(&l, c), 1.0}},
      {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0, .as.duct = {main, in[4], in[5]}},
      {.kind = EBI_ELEMENT_LOSS, .parallel = 1.0, .as.loss = {main.area, in[6], in[6]}}};
  part(&l, 0, 1, elements, 3);
  ebi_solution solution;
  if (ebi_network_solve(l.network, &solution) == EB_OK)
    out[4] = solution.pressure[1];
  return flows(&l, 4, out);
}

/* Douglas, Gasiorek & Swaffield, Example 14.7: heads [m] at A, E, F; Fanning factor; bore and
 * length of both pipes AB, of BC, CF, CD; valve opening n of h = (4000/n)^2 Q^2
 * -> flow to E, flow to F, head at C. Heads stand for pressures. */
METHOD(network_throttled) {
  IGNORE_COUNT;
  enum { A_, B_, C_, D_, E_, F_ };
  static const int ends[][2] = {{A_, B_}, {A_, B_}, {B_, C_}, {C_, F_}, {C_, D_}};
  layout l = layout_new(6, EB_REFERENCE_DENSITY, 1.81e-5);
  ebi_network_fix(l.network, A_, in[0]);
  ebi_network_fix(l.network, E_, in[1]);
  ebi_network_fix(l.network, F_, in[2]);
  square(&l, D_, E_, pow(4000.0 / in[14], 2));
  for (int i = 4; i >= 0; i--)
    square(&l, ends[i][0], ends[i][1], in[3] * in[5 + 2 * i] / (3.0 * pow(in[4 + 2 * i], 5)));
  ebi_solution solution;
  double q[3];
  if (ebi_network_solve(l.network, &solution) == EB_OK)
    out[2] = solution.pressure[C_];
  eb_status status = flows(&l, 3, q);
  out[0] = q[0];
  out[1] = q[2];
  return status;
}

/* A fan p0 s^2 - k q^2, a trunk and terminals c q^m + k q^2 (Pa, l/s): p0, fan k, trunk k, m, s,
 * then c and k of four terminals -> their flows [l/s], the pressure in the box and of the fan. */
METHOD(network_box_of_four) {
  IGNORE_COUNT;
  layout l = layout_new(7, EB_REFERENCE_DENSITY, 1.81e-5);
  ebi_network_fix(l.network, 0, in[0] * in[4] * in[4]);
  for (int i = 0; i < 4; i++) {
    const double *ck = &in[5 + 2 * i];
    ebi_element elements[] = {
        {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {ck[1], 1e-3, 2.0}},
        {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {ck[0], 1e-3, in[3]}}};
    ebi_network_fix(l.network, (ebi_node)(3 + i), 0.0);
    part(&l, 2, 3 + i, elements, ck[0] > 0.0 ? 2 : 1);
  }
  square(&l, 0, 1, 1e6 * in[1]);
  square(&l, 1, 2, 1e6 * in[2]);
  ebi_solution solution;
  if (ebi_network_solve(l.network, &solution) == EB_OK) {
    out[4] = solution.pressure[2];
    out[5] = solution.pressure[1];
  }
  eb_status status = flows(&l, 4, out);
  for (int i = 0; i < 4; i++)
    out[i] *= 1e3;
  return status;
}

const case_method case_methods_network[] = {{"network.two_loops", 20, 7, network_two_loops},
                                            {"network.bridge", 6, 5, network_bridge},
                                            {"network.duct_bridge", 19, 5, network_duct_bridge},
                                            {"network.three_loops", 33, 10, network_three_loops},
                                            {"network.fan_tree", 19, 5, network_fan_tree},
                                            {"network.throttled", 15, 3, network_throttled},
                                            {"network.box_of_four", 13, 6, network_box_of_four},
                                            {NULL, 0, 0, NULL}};
