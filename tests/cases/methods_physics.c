/* methods_physics.c - the physics functions, as case rows ask for them */

#include <math.h>

#include "base/context.h"
#include "methods.h"
#include "numeric/root.h"
#include "physics/fan.h"
#include "physics/friction.h"
#include "physics/losses.h"
#include "physics/section.h"

/* Physics functions answer NAN outside their range. */
static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

/* ---- Air ---- */

METHOD(air_density) {
  IGNORE_COUNT;
  return checked(out, eb_air_density(in[0], in[1]));
}

METHOD(air_density_moist) {
  IGNORE_COUNT;
  return checked(out, eb_air_density_moist(in[0], in[1], in[2]));
}

METHOD(air_density_altitude) {
  IGNORE_COUNT;
  return checked(out, eb_air_density(in[1], eb_air_pressure(in[0])));
}

METHOD(air_viscosity) {
  IGNORE_COUNT;
  return checked(out, eb_air_viscosity(in[0]));
}

METHOD(air_pressure) {
  IGNORE_COUNT;
  return checked(out, eb_air_pressure(in[0]));
}

METHOD(air_heat_capacity) {
  IGNORE_COUNT;
  return checked(out, eb_air_heat_capacity(in[0], in[1]));
}

METHOD(air_heat_capacity_altitude) {
  IGNORE_COUNT;
  return checked(out, eb_air_heat_capacity(in[1], eb_air_pressure(in[0])));
}

/* ---- Friction ---- */

METHOD(friction_factor) {
  IGNORE_COUNT;
  return checked(out, eb_friction_factor(in[0], in[1], in[2]));
}

METHOD(friction_colebrook) {
  IGNORE_COUNT;
  return checked(out, eb_colebrook(in[0], in[1]));
}

METHOD(friction_laminar_rectangle) {
  IGNORE_COUNT;
  return checked(out, eb_laminar_constant_rectangle(in[0], in[1]));
}

static double gradient(ebi_section section, double flow, double roughness, double density,
                       double viscosity) {
  double velocity = flow / section.area;
  double reynolds = density * velocity * section.hydraulic / viscosity;
  double f = eb_friction_factor(reynolds, roughness / section.hydraulic, section.laminar);
  return f / section.hydraulic * 0.5 * density * velocity * velocity;
}

/* bore, flow, roughness, density, viscosity */
METHOD(friction_gradient) {
  IGNORE_COUNT;
  return checked(out, gradient(ebi_section_round(in[0]), in[1], in[2], in[3], in[4]));
}

/* width, height, flow, roughness, density, viscosity */
METHOD(friction_gradient_rectangle) {
  IGNORE_COUNT;
  return checked(out, gradient(ebi_section_rectangle(in[0], in[1]), in[2], in[3], in[4], in[5]));
}

/* bore, flow, roughness, temperature */
METHOD(friction_gradient_temperature) {
  IGNORE_COUNT;
  return checked(out, gradient(ebi_section_round(in[0]), in[1], in[2],
                               eb_air_density(in[3], 101325.0), eb_air_viscosity(in[3])));
}

METHOD(section_rectangle_hydraulic) {
  IGNORE_COUNT;
  return checked(out, ebi_section_rectangle(in[0], in[1]).hydraulic);
}

METHOD(section_oval) {
  IGNORE_COUNT;
  out[1] = ebi_section_oval(in[0], in[1]).hydraulic;
  return checked(out, ebi_section_oval(in[0], in[1]).area);
}

static double gradient_excess(double bore, void *data) {
  const double *in = data; /* flow, gradient, roughness, density, viscosity */
  return gradient(ebi_section_round(bore), in[0], in[2], in[3], in[4]) - in[1];
}

/* The bore whose friction gradient is the one asked for. */
METHOD(friction_bore) {
  IGNORE_COUNT;
  double data[5] = {in[0], in[1], in[2], in[3], in[4]};
  return ebi_root((ebi_function){gradient_excess, data}, 0.02, 2.0, 1e-12, out);
}

/* ---- Area changes and tees ---- */

METHOD(expansion_sudden) {
  IGNORE_COUNT;
  return checked(out, ebi_expansion_sudden(in[0], 1.0));
}

METHOD(contraction_sudden) {
  IGNORE_COUNT;
  return checked(out, ebi_contraction_sudden(in[0], 1.0));
}

/* two bores, total angle */
METHOD(expansion_conical) {
  IGNORE_COUNT;
  return checked(out, ebi_expansion_conical(in[0] * in[0], in[1] * in[1], in[2]));
}

static ebi_tee_shape tee_shape(const double *in) {
  return (ebi_tee_shape){.combined = 1.0, .straight = 1.0, .branch = in[0], .angle = in[1]};
}

/* Tees: branch/combined area, angle, q -> coefficient of the solver, as published. */
METHOD(tee_dividing_branch) {
  IGNORE_COUNT;
  ebi_tee_shape shape = tee_shape(in);
  out[1] = ebi_tee_diverging_published(&shape, in[2]).branch;
  return checked(out, ebi_tee_diverging(&shape, in[2]).branch);
}

METHOD(tee_dividing_straight) {
  IGNORE_COUNT;
  ebi_tee_shape shape = tee_shape(in);
  out[1] = ebi_tee_diverging_published(&shape, in[2]).straight;
  return checked(out, ebi_tee_diverging(&shape, in[2]).straight);
}

METHOD(tee_joining_branch) {
  IGNORE_COUNT;
  ebi_tee_shape shape = tee_shape(in);
  out[1] = ebi_tee_converging_published(&shape, in[2]).branch;
  return checked(out, ebi_tee_converging(&shape, in[2]).branch);
}

METHOD(tee_joining_straight) {
  IGNORE_COUNT;
  ebi_tee_shape shape = tee_shape(in);
  out[1] = ebi_tee_converging_published(&shape, in[2]).straight;
  return checked(out, ebi_tee_converging(&shape, in[2]).straight);
}

/* ---- Exchanger and leakage ---- */

METHOD(counterflow_effectiveness) {
  IGNORE_COUNT;
  return checked(out, eb_counterflow_effectiveness(in[0], in[1]));
}

METHOD(counterflow_ntu) {
  IGNORE_COUNT;
  return checked(out, eb_counterflow_ntu(in[0], in[1]));
}

METHOD(infiltration) {
  IGNORE_COUNT;
  return checked(out, eb_infiltration(in[0], in[1], in[2], in[3]));
}

/* n50, ventilation air change, temperature ratio, e: recovered share of all air heat */
METHOD(infiltration_recovered) {
  IGNORE_COUNT;
  double leak = eb_infiltration(in[0], 0.0, in[3], 15.0);
  return checked(out, in[2] * in[1] / (in[1] + leak));
}

/* ---- Fans ---- */

typedef struct operating {
  const ebi_fan *fan;
  double speed, density, back, linear, square; /* system: back + linear q + square q^2 */
} operating;

static double missing(double flow, void *data) {
  const operating *o = data;
  double system = o->back + flow * (o->linear + flow * o->square);
  return ebi_fan_at(o->fan, flow, o->speed, o->density).rise - system;
}

/* Operating point of a fan of `count` points; flow and pressure into `out`. */
static eb_status operate(const double *flow, const double *pressure, size_t count, operating o,
                         double *out) {
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = context != NULL ? ebi_context_arena(context) : NULL;
  ebi_fan_curve_points points = {.speed = 1.0, .flow = flow, .pressure = pressure, .count = count};
  eb_status status = EB_E_MEMORY;
  if (arena != NULL && (o.fan = ebi_fan_new(arena, &points, 1, 0.0)) != NULL)
    status = ebi_root((ebi_function){missing, &o}, 1e-6, flow[count - 1], 1e-12, &out[0]);
  if (status == EB_OK)
    out[1] = ebi_fan_at(o.fan, out[0], o.speed, o.density).rise;
  eb_context_free(context);
  return status;
}

/* c0, c1, c2 of the fan at full speed and k0, k1, k2 of the system, both in Pa and l/s; speed */
METHOD(fan_duty) {
  IGNORE_COUNT;
  enum { COUNT = 601 };
  double flow[COUNT], pressure[COUNT], both[2];
  for (int i = 0; i < COUNT; i++) {
    double q = 0.2 * i;
    flow[i] = 1e-3 * q;
    pressure[i] = in[0] + q * (in[1] + q * in[2]);
  }
  operating o = {.speed = in[6],
                 .density = EB_REFERENCE_DENSITY,
                 .back = in[3],
                 .linear = 1e3 * in[4],
                 .square = 1e6 * in[5]};
  eb_status status = operate(flow, pressure, COUNT, o, both);
  *out = both[0];
  return status;
}

/* speed -> pressure and power over those of full speed at the same point of the curve */
METHOD(fan_laws) {
  IGNORE_COUNT;
  static const double flow[] = {0.0, 0.03, 0.07}, pressure[] = {310.0, 270.0, 90.0};
  static const double power[] = {17.0, 31.0, 36.0};
  eb_context *context = eb_context_new(NULL);
  ebi_arena *arena = context != NULL ? ebi_context_arena(context) : NULL;
  ebi_fan_curve_points points = {1.0, flow, pressure, power, 3};
  ebi_fan *fan = arena != NULL ? ebi_fan_new(arena, &points, 1, 0.0) : NULL;
  if (fan != NULL) {
    double q = 0.0413, n = in[0];
    out[0] = ebi_fan_at(fan, q * n, n, 1.2).rise / ebi_fan_at(fan, q, 1.0, 1.2).rise;
    out[1] = ebi_fan_power(fan, q * n, n, 1.2) / ebi_fan_power(fan, q, 1.0, 1.2);
  }
  eb_context_free(context);
  return fan != NULL ? EB_OK : EB_E_MEMORY;
}

const case_method case_methods_physics[] = {
    {"air.density", 2, 1, air_density},
    {"air.density_moist", 3, 1, air_density_moist},
    {"air.density_altitude", 2, 1, air_density_altitude},
    {"air.viscosity", 1, 1, air_viscosity},
    {"air.pressure", 1, 1, air_pressure},
    {"air.heat_capacity", 2, 1, air_heat_capacity},
    {"air.heat_capacity_altitude", 2, 1, air_heat_capacity_altitude},
    {"friction.factor", 3, 1, friction_factor},
    {"friction.colebrook", 2, 1, friction_colebrook},
    {"friction.laminar_rectangle", 2, 1, friction_laminar_rectangle},
    {"friction.gradient", 5, 1, friction_gradient},
    {"friction.gradient_rectangle", 6, 1, friction_gradient_rectangle},
    {"friction.gradient_temperature", 4, 1, friction_gradient_temperature},
    {"friction.bore", 5, 1, friction_bore},
    {"section.rectangle_hydraulic", 2, 1, section_rectangle_hydraulic},
    {"section.oval", 2, 2, section_oval},
    {"expansion.sudden", 1, 1, expansion_sudden},
    {"expansion.conical", 3, 1, expansion_conical},
    {"contraction.sudden", 1, 1, contraction_sudden},
    {"tee.dividing_branch", 3, 2, tee_dividing_branch},
    {"tee.dividing_straight", 3, 2, tee_dividing_straight},
    {"tee.joining_branch", 3, 2, tee_joining_branch},
    {"tee.joining_straight", 3, 2, tee_joining_straight},
    {"counterflow.effectiveness", 2, 1, counterflow_effectiveness},
    {"counterflow.ntu", 2, 1, counterflow_ntu},
    {"infiltration", 4, 1, infiltration},
    {"infiltration.recovered", 4, 1, infiltration_recovered},
    {"fan.duty", 7, 1, fan_duty},
    {"fan.laws", 1, 2, fan_laws},
    {NULL, 0, 0, NULL}};
