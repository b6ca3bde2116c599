/* methods_worked.c - worked examples of textbooks, from end to end
 *
 * Each method builds the layout of its example with the numbers of its row; flows and pressures
 * come from the network solver, the fan and the friction of the library. Friction factors that an
 * example fixes by itself (Fanning's among them) become loss coefficients. */

#include <math.h>

#include "layout.h"
#include "methods.h"
#include "numeric/root.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

#define GRAVITY 9.81
#define AIR_VISCOSITY 1.81e-5 /* Pa s, where no duct of the layout asks for it */

/* Friction by a given Darcy factor, as a loss. */
static ebi_element fixed_friction(ebi_section section, double length, double darcy) {
  return layout_element_loss(section.area, darcy * length / section.hydraulic);
}

/* ---- Fans and ducts ---- */

/* A duct from still air to still air: bore, length, roughness, sum of coefficients, density,
 * viscosity, density of water, then flow and head of water of each point of the fan
 * -> flow, head of water. */
METHOD(worked_fan_and_duct) {
  enum { OUTSIDE, FAN, ROOM };
  double flow[CASE_IN_MAX], pressure[CASE_IN_MAX], head = in[6] * GRAVITY, at[3] = {0};
  size_t count = n_in > 7 ? (size_t)(n_in - 7) / 2 : 0;
  if (count < 2)
    return EB_E_ARGUMENT;
  for (size_t i = 0; i < count; i++) {
    flow[i] = in[7 + 2 * i];
    pressure[i] = in[8 + 2 * i] * head * EB_REFERENCE_DENSITY / in[4];
  }
  layout l = layout_new(3, in[4], in[5]);
  layout_fix(&l, OUTSIDE, 0.0);
  layout_fix(&l, ROOM, 0.0);
  ebi_element fan = layout_element_fan(layout_fan(&l, 1.0, flow, pressure, NULL, count), 1.0);
  layout_part(&l, OUTSIDE, FAN, &fan, 1);
  layout_duct(&l, FAN, ROOM, in[0], in[1], in[2], in[3]);
  eb_status status = layout_solve(&l, 1, out, 3, at);
  out[1] = at[FAN] / head;
  layout_free(&l);
  return status;
}

/* bore, length, roughness, sum of coefficients, density, viscosity, flow -> pressure, velocity */
METHOD(worked_duct) {
  IGNORE_COUNT;
  double at[2] = {0}, flow;
  layout l = layout_new(2, in[4], in[5]);
  layout_fix(&l, 0, 0.0);
  layout_asks(&l, 1, in[6]);
  ebi_part part = layout_duct(&l, 0, 1, in[0], in[1], in[2], in[3]);
  eb_status status = layout_solve(&l, 1, &flow, 2, at);
  size_t count;
  out[0] = at[0] - at[1];
  out[1] = ebi_element_velocity(ebi_network_elements(l.network, part, &count), flow);
  layout_free(&l);
  return status;
}

/* bore, length, roughness, sum of coefficients, density, viscosity, pressure -> flow */
METHOD(worked_duct_between) {
  IGNORE_COUNT;
  layout l = layout_new(2, in[4], in[5]);
  layout_fix(&l, 0, in[6]);
  layout_fix(&l, 1, 0.0);
  layout_duct(&l, 0, 1, in[0], in[1], in[2], in[3]);
  return layout_flows(&l, 1, out);
}

/* A duct with a fixed Fanning factor: bore, length, factor, density, flow -> pressure */
METHOD(worked_duct_fanning) {
  IGNORE_COUNT;
  double at[2] = {0};
  layout l = layout_new(2, in[3], AIR_VISCOSITY);
  layout_fix(&l, 0, 0.0);
  layout_asks(&l, 1, in[4]);
  ebi_element friction = fixed_friction(ebi_section_round(in[0]), in[1], 4.0 * in[2]);
  layout_part(&l, 0, 1, &friction, 1);
  eb_status status = layout_solve(&l, 0, NULL, 2, at);
  *out = at[0] - at[1];
  layout_free(&l);
  return status;
}

/* A round duct that goes on as a rectangular one: flow, density, Fanning factor; coefficient of
 * the entry, bore, length, transition as a number of bores; width, height, length, coefficient
 * of the outlet -> pressure of the fan, of the round part, of the rectangular part */
METHOD(worked_two_shapes) {
  IGNORE_COUNT;
  enum { FAN, CHANGE, OUTLET };
  ebi_section round = ebi_section_round(in[4]), flat = ebi_section_rectangle(in[7], in[8]);
  double darcy = 4.0 * in[2], at[3] = {0};
  ebi_element first[] = {layout_element_loss(round.area, in[3]),
                         fixed_friction(round, in[5] + in[6] * in[4], darcy)};
  ebi_element second[] = {fixed_friction(flat, in[9], darcy),
                          layout_element_loss(flat.area, in[10])};
  layout l = layout_new(3, in[1], AIR_VISCOSITY);
  layout_fix(&l, FAN, 0.0);
  layout_asks(&l, OUTLET, in[0]);
  layout_part(&l, FAN, CHANGE, first, 2);
  layout_part(&l, CHANGE, OUTLET, second, 2);
  eb_status status = layout_solve(&l, 0, NULL, 3, at);
  out[0] = -at[OUTLET];
  out[1] = at[FAN] - at[CHANGE];
  out[2] = at[CHANGE] - at[OUTLET];
  layout_free(&l);
  return status;
}

/* Four equal inlets and a main: flow of the main, density, Fanning factor; bore, length and
 * coefficient of a branch; bore, length and junction, as a number of bores, of the main
 * -> pressure of the fan, of a branch, of the main, flow of a branch */
METHOD(worked_four_inlets) {
  IGNORE_COUNT;
  enum { FAN = 4, JUNCTION };
  ebi_section branch = ebi_section_round(in[3]), main = ebi_section_round(in[6]);
  double darcy = 4.0 * in[2], at[6] = {0}, flow[4] = {0};
  ebi_element inlet[] = {layout_element_loss(branch.area, in[5]),
                         fixed_friction(branch, in[4], darcy)};
  ebi_element trunk = fixed_friction(main, in[7] + in[8] * in[6], darcy);
  layout l = layout_new(6, in[1], AIR_VISCOSITY);
  for (int i = 0; i < 4; i++) {
    layout_fix(&l, i, 0.0);
    layout_part(&l, i, JUNCTION, inlet, 2);
  }
  layout_part(&l, JUNCTION, FAN, &trunk, 1);
  layout_asks(&l, FAN, in[0]);
  eb_status status = layout_solve(&l, 4, flow, 6, at);
  out[0] = -at[FAN];
  out[1] = -at[JUNCTION];
  out[2] = at[JUNCTION] - at[FAN];
  out[3] = flow[3];
  layout_free(&l);
  return status;
}

/* ---- A valve to balance by ---- */

typedef struct throttled {
  const double *in;
  eb_status status;
  double to_e, to_f, at_c;
} throttled;

/* Flow to E less flow to F at a valve opening. Heads stand for pressures. */
static double uneven(double opening, void *data) {
  enum { A_, B_, C_, D_, E_, F_ };
  static const int ends[][2] = {{A_, B_}, {A_, B_}, {B_, C_}, {C_, F_}, {C_, D_}};
  throttled *t = data;
  double flow[6] = {0}, at[6] = {0};
  layout l = layout_new(6, EB_REFERENCE_DENSITY, AIR_VISCOSITY);
  layout_fix(&l, A_, t->in[0]);
  layout_fix(&l, E_, t->in[1]);
  layout_fix(&l, F_, t->in[2]);
  for (int i = 0; i < 5; i++) {
    double bore = t->in[4 + 2 * i], length = t->in[5 + 2 * i];
    layout_square(&l, ends[i][0], ends[i][1], t->in[3] * length / (3.0 * pow(bore, 5)));
  }
  layout_square(&l, D_, E_, pow(4000.0 / opening, 2));
  t->status = layout_solve(&l, 6, flow, 6, at);
  layout_free(&l);
  t->to_e = flow[5];
  t->to_f = flow[3];
  t->at_c = at[C_];
  return t->status == EB_OK ? t->to_e - t->to_f : (double)NAN;
}

/* The opening n of h = (4000/n)^2 Q^2 that makes both flows equal: heads at A, E and F; Fanning
 * factor; bore and length of both pipes AB, of BC, CF, CD
 * -> opening, flow to E, flow to F, total flow, head at C */
METHOD(worked_throttle) {
  IGNORE_COUNT;
  throttled t = {.in = in};
  eb_status status = ebi_root((ebi_function){uneven, &t}, 10.0, 100.0, 1e-9, &out[0]);
  if (status != EB_OK)
    return t.status != EB_OK ? t.status : status;
  (void)uneven(out[0], &t);
  out[1] = t.to_e;
  out[2] = t.to_f;
  out[3] = t.to_e + t.to_f;
  out[4] = t.at_c;
  return t.status;
}

/* ---- A closed loop ---- */

/* A fan in a ring of local losses: flow, density, then velocity and coefficient of each
 * -> pressure of the fan, power into the air, flow of the ring with that fan */
METHOD(worked_ring_of_losses) {
  ebi_element losses[CASE_IN_MAX];
  size_t count = (size_t)(n_in - 2) / 2;
  for (size_t i = 0; i < count; i++)
    losses[i] = layout_element_loss(in[0] / in[2 + 2 * i], in[3 + 2 * i]);
  double at[2] = {0};
  layout open = layout_new(2, in[1], AIR_VISCOSITY);
  layout_fix(&open, 0, 0.0);
  layout_asks(&open, 1, in[0]);
  layout_part(&open, 0, 1, losses, count);
  eb_status status = layout_solve(&open, 0, NULL, 2, at);
  layout_free(&open);
  if (status != EB_OK)
    return status;
  out[0] = at[0] - at[1];
  out[1] = out[0] * in[0];
  ebi_element fan = {.kind = EBI_ELEMENT_SOURCE, .parallel = 1.0, .as.source = {out[0]}};
  layout ring = layout_new(2, in[1], AIR_VISCOSITY);
  layout_fix(&ring, 0, 0.0);
  layout_part(&ring, 0, 1, losses, count);
  layout_part(&ring, 1, 0, &fan, 1);
  return layout_flows(&ring, 1, &out[2]);
}

/* ---- Sizes ---- */

typedef struct wanted {
  ebi_air_state air;
  double flow, length, pressure;
  ebi_section (*section)(double side);
} wanted;

static ebi_section square_section(double side) {
  return ebi_section_rectangle(side, side);
}

static double smooth_drop(ebi_section section, const wanted *w) {
  ebi_element duct = layout_element_duct(section, w->length, 0.0);
  return ebi_element_drop(&duct, w->air, w->flow).pa;
}

static double excess(double side, void *data) {
  const wanted *w = data;
  return smooth_drop(w->section(side), w) - w->pressure;
}

/* Side of the smooth square duct that loses as much as a smooth round one: bore, velocity,
 * kinematic viscosity -> side, flow */
METHOD(worked_square_for_round) {
  IGNORE_COUNT;
  ebi_section round = ebi_section_round(in[0]);
  wanted w = {.air = {1.0, in[2]}, .length = 1.0, .section = square_section};
  w.flow = out[1] = in[1] * round.area;
  w.pressure = smooth_drop(round, &w);
  return ebi_root((ebi_function){excess, &w}, 0.1 * in[0], 10.0 * in[0], 1e-12, &out[0]);
}

/* Bore of a smooth duct for a head of its own air: flow, density, viscosity, length, head
 * -> bore, Darcy factor, velocity, Reynolds number */
METHOD(worked_bore) {
  IGNORE_COUNT;
  wanted w = {.air = {in[1], in[2]},
              .flow = in[0],
              .length = in[3],
              .pressure = in[1] * GRAVITY * in[4],
              .section = ebi_section_round};
  eb_status status = ebi_root((ebi_function){excess, &w}, 0.02, 5.0, 1e-12, &out[0]);
  ebi_element duct = layout_element_duct(ebi_section_round(out[0]), in[3], 0.0);
  out[2] = ebi_element_velocity(&duct, in[0]);
  out[3] = ebi_element_reynolds(&duct, w.air, in[0]);
  out[1] = eb_friction_factor(out[3], 0.0, 64.0);
  return status;
}

/* ---- A supply path of a dwelling ---- */

/* Louvre, duct, bends, silencer, duct, bend, box, one of its branches with bends, valve, with all
 * data at the path's own density. Flow, branches of the box, density, viscosity; face and
 * coefficient of the louvre; bore, roughness, coefficient and count of bends, length of the duct;
 * silencer [Pa]; bore, roughness, coefficient and count of bends, length of the branch; k of the
 * valve -> pressure of the fan, before the box, in the box */
METHOD(worked_supply_path) {
  IGNORE_COUNT;
  enum { FAN, INLET, BOX, ROOM };
  ebi_section trunk = ebi_section_round(in[6]), branch = ebi_section_round(in[12]);
  double scale = in[2] / EB_REFERENCE_DENSITY, at[4] = {0};
  ebi_element first[] = {
      layout_element_loss(in[4], in[5]),
      layout_element_duct(trunk, in[10], in[7]),
      layout_element_loss(trunk.area, in[8] * in[9]),
      {.kind = EBI_ELEMENT_POWER, .parallel = 1.0, .as.power = {in[11] / scale, in[0], 2.0}}};
  ebi_element dump = layout_element_loss(trunk.area, 1.0);
  ebi_element last[] = {
      layout_element_loss(branch.area, 0.5),
      layout_element_duct(branch, in[16], in[13]),
      layout_element_loss(branch.area, in[14] * in[15]),
      {.kind = EBI_ELEMENT_VALVE, .parallel = 1.0, .as.valve = {in[17] * sqrt(scale)}}};
  layout l = layout_new(4, in[2], in[3]);
  layout_fix(&l, ROOM, 0.0);
  layout_asks(&l, FAN, -in[0]);
  layout_asks(&l, BOX, in[0] * (1.0 - 1.0 / in[1]));
  layout_part(&l, FAN, INLET, first, 4);
  layout_part(&l, INLET, BOX, &dump, 1);
  layout_part(&l, BOX, ROOM, last, 4);
  eb_status status = layout_solve(&l, 0, NULL, 4, at);
  for (int i = 0; i < 3; i++)
    out[i] = at[i];
  layout_free(&l);
  return status;
}

const case_method case_methods_worked[] = {
    {"worked.fan_and_duct", CASE_ANY, 2, worked_fan_and_duct},
    {"worked.duct", 7, 2, worked_duct},
    {"worked.duct_between", 7, 1, worked_duct_between},
    {"worked.duct_fanning", 5, 1, worked_duct_fanning},
    {"worked.two_shapes", 11, 3, worked_two_shapes},
    {"worked.four_inlets", 9, 4, worked_four_inlets},
    {"worked.throttle", 14, 5, worked_throttle},
    {"worked.ring_of_losses", CASE_ANY, 3, worked_ring_of_losses},
    {"worked.square_for_round", 3, 2, worked_square_for_round},
    {"worked.bore", 5, 4, worked_bore},
    {"worked.supply_path", 18, 3, worked_supply_path},
    {NULL, 0, 0, NULL}};
