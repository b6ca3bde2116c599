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

/* ---- Degree-days and base temperature ---- */

/* base, mean, days, k */
METHOD(degree_days_monthly) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_monthly(in[0], in[1], in[2], in[3]));
}

/* base, mean, days, standard deviation of the daily means */
METHOD(degree_days_iso) {
  IGNORE_COUNT;
  double k = sqrt(2.0 * 3.14159265358979323846) / in[3];
  return checked(out, eb_degree_days_monthly(in[0], in[1], in[2], k));
}

/* base, max, min */
METHOD(degree_days_min_max) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_min_max(in[0], in[1], in[2]));
}

/* Cooling is heating on the mirrored scale. */
METHOD(cooling_days_min_max) {
  IGNORE_COUNT;
  return checked(out, eb_degree_days_min_max(-in[0], -in[2], -in[1]));
}

static double year(double base, const double *means, double k, double february) {
  const double days[12] = {31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  double sum = 0.0;
  for (int i = 0; i < 12; i++)
    sum += eb_degree_days_monthly(base, means[i], days[i], k);
  return sum;
}

/* base, k, twelve means */
METHOD(degree_days_year) {
  IGNORE_COUNT;
  return checked(out, year(in[0], in + 2, in[1], 28.0));
}

/* base, k, first year, twelve means of each year -> mean, standard deviation, least and greatest
 * of the years */
METHOD(degree_days_years) {
  int count = (n_in - 3) / 12;
  double sum = 0.0, squares = 0.0, least = INFINITY, most = -INFINITY;
  for (int i = 0; i < count; i++) {
    bool leap = fmod(in[2] + i, 4.0) == 0.0; /* none of the rows holds 1900 or 2100 */
    double d = year(in[0], in + 3 + 12 * i, in[1], leap ? 29.0 : 28.0);
    sum += d;
    squares += d * d;
    least = fmin(least, d);
    most = fmax(most, d);
  }
  out[1] = count > 1 ? sqrt((squares - sum * sum / count) / (count - 1)) : 0.0;
  out[2] = least;
  out[3] = most;
  return checked(out, sum / count);
}

/* The mean alone. */
METHOD(degree_days_years_mean) {
  double all[4];
  eb_status status = degree_days_years(in, n_in, all);
  *out = all[0];
  return status;
}

/* indoor, gains, heat loss without and with recovery, k, twelve means -> degree-days and need
 * without, degree-days and need with, saving */
METHOD(degree_days_saving) {
  IGNORE_COUNT;
  for (int i = 0; i < 2; i++) {
    out[2 * i] = year(eb_base_temperature(in[0], in[1], in[2 + i]), in + 5, in[4], 28.0);
    out[2 * i + 1] = 0.024 * in[2 + i] * out[2 * i];
  }
  out[4] = out[1] - out[3];
  return EB_OK;
}

static double month_excess(double mean, void *data) {
  const double *in = data; /* base, degree-days, days */
  return eb_degree_days_monthly(in[0], mean, in[2], 0.71) - in[1];
}

/* base, degree-days at it, days, other base -> degree-days at the other base */
METHOD(degree_days_other_base) {
  IGNORE_COUNT;
  double data[3] = {in[0], in[1], in[2]}, mean;
  eb_status status = ebi_root((ebi_function){month_excess, data}, -40.0, 40.0, 1e-10, &mean);
  if (status == EB_OK)
    *out = eb_degree_days_monthly(in[3], mean, in[2], 0.71);
  return status;
}

METHOD(base_temperature) {
  IGNORE_COUNT;
  return checked(out, eb_base_temperature(in[0], in[1], in[2]));
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

/* ratio at balanced flow, that flow, supply, extract -> supply ratio, extract ratio, heat
 * recovered over the larger flow; the conductance stays */
METHOD(counterflow_flows) {
  IGNORE_COUNT;
  double least = fmin(in[2], in[3]), most = fmax(in[2], in[3]);
  double ntu = eb_counterflow_ntu(in[0], 1.0) * in[1] / least;
  double moved = eb_counterflow_effectiveness(ntu, least / most) * least;
  out[1] = moved / in[3];
  out[2] = moved / most;
  return checked(out, moved / in[2]);
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
    {"degree_days.monthly", 4, 1, degree_days_monthly},
    {"degree_days.iso", 4, 1, degree_days_iso},
    {"degree_days.min_max", 3, 1, degree_days_min_max},
    {"degree_days.cooling_min_max", 3, 1, cooling_days_min_max},
    {"degree_days.year", 14, 1, degree_days_year},
    {"degree_days.years", CASE_ANY, 4, degree_days_years},
    {"degree_days.years_mean", CASE_ANY, 1, degree_days_years_mean},
    {"degree_days.saving", 17, 5, degree_days_saving},
    {"degree_days.other_base", 4, 1, degree_days_other_base},
    {"base_temperature", 3, 1, base_temperature},
    {"counterflow.effectiveness", 2, 1, counterflow_effectiveness},
    {"counterflow.ntu", 2, 1, counterflow_ntu},
    {"counterflow.flows", 4, 3, counterflow_flows},
    {"infiltration", 4, 1, infiltration},
    {"infiltration.recovered", 4, 1, infiltration_recovered},
    {"fan.duty", 7, 1, fan_duty},
    {"fan.laws", 1, 2, fan_laws},
    {NULL, 0, 0, NULL}};
