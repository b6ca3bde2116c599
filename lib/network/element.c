/* element.c - pressure laws of single elements
 *
 * Laws that go with a power above one of the flow have no slope at rest, which
 * no solver can step from; and no real opening is turbulent there. Near rest
 * each passes into the odd cubic a x + b x^3 that meets it with the same value
 * and slope (a = (3 - m)/2, b = (m - 1)/2 for the power m), so the drop is
 * smooth and rises everywhere. Where that begins is said at each law. */

#include "network/element.h"

#include <math.h>

#include "physics/friction.h"

#define PI 3.14159265358979323846

/* A local loss leaves its square law below this Reynolds number (Idelchik
 * 2006, section 1-8: losses go with 1/Re below about 10; from memory). */
#define LOSS_REYNOLDS 10.0

/* A power law leaves it below this share of its stated flow. */
#define POWER_SHARE 1e-4

/* A valve leaves its square law below 1e-6 Pa. */
#define VALVE_ROOT 1e-3 /* Pa^0.5 */

/* Drop of a loss with a coefficient of zero and of a source [Pa/(m3/s)], so that it rises. */
#define LEAST_SLOPE 1e-4

/* x^m sign(x), softened below x0. */
static ebi_drop soft_power(double x, double x0, double m) {
  double size = fabs(x);
  if (size >= x0) {
    double slope = m == 2.0 ? size : pow(size, m - 1.0);
    return (ebi_drop){x * slope, m * slope};
  }
  double u = x / x0, unit = m == 2.0 ? x0 : pow(x0, m - 1.0);
  double a = 0.5 * (3.0 - m), b = 0.5 * (m - 1.0);
  return (ebi_drop){x0 * unit * u * (a + b * u * u), unit * (a + 3.0 * b * u * u)};
}

/* Darcy-Weisbach; in laminar flow f Re is constant and the drop linear. */
static ebi_drop duct_drop(const ebi_element *element, ebi_air_state air, double flow) {
  const ebi_section *section = &element->as.duct.section;
  double bore = section->hydraulic, area = section->area, length = element->as.duct.length;
  double size = fabs(flow);
  double reynolds = size * air.density * bore / (air.viscosity * area);
  if (reynolds <= EBI_REYNOLDS_LAMINAR) {
    double slope = section->laminar * air.viscosity * length / (2.0 * bore * bore * area);
    return (ebi_drop){slope * flow, slope};
  }
  double f_slope;
  double f = ebi_friction(reynolds, element->as.duct.roughness / bore, section->laminar, &f_slope);
  double factor = air.density * length * size / (2.0 * bore * area * area);
  return (ebi_drop){factor * f * flow, factor * (2.0 * f + f_slope * reynolds)};
}

/* The flow at that Reynolds number, on the bore of equal area: Re = 2 q density /
 * (viscosity sqrt(pi area)). */
static double loss_rest(double area, ebi_air_state air) {
  return 0.5 * LOSS_REYNOLDS * air.viscosity * sqrt(PI * area) / air.density;
}

static ebi_drop loss_drop(const ebi_element *element, ebi_air_state air, double flow) {
  double area = element->as.loss.area;
  double zeta = flow < 0.0 ? element->as.loss.backward : element->as.loss.forward;
  if (zeta == 0.0)
    return (ebi_drop){LEAST_SLOPE * flow, LEAST_SLOPE};
  double factor = 0.5 * zeta * air.density / (area * area);
  ebi_drop square = soft_power(flow, loss_rest(area, air), 2.0);
  return (ebi_drop){factor * square.pa, factor * square.slope};
}

/* A loss whose coefficient goes with the Reynolds number, held at the ends of the curve. */
static ebi_drop loss_by_reynolds(const ebi_element *element, ebi_air_state air, double flow) {
  const ebi_curve *curve = element->as.loss.by_reynolds;
  ebi_drop plain = loss_drop(element, air, flow);
  double per_flow =
      element->as.loss.diameter * air.density / (air.viscosity * element->as.loss.area);
  double x = log(fmax(fabs(flow) * per_flow, 1.0));
  double inside = fmin(fmax(x, ebi_curve_first(curve)), ebi_curve_last(curve));
  ebi_curve_value factor = ebi_curve_at(curve, inside);
  double slope = plain.slope * factor.y;
  if (inside == x && flow != 0.0)
    slope += plain.pa * factor.slope / flow;
  return (ebi_drop){plain.pa * factor.y, slope};
}

/* The flow coefficient of a crack goes with density to the power n - 1 (ASTM
 * E779, from memory; n = 1/m), so the drop goes with density to the m - 1. */
static ebi_drop power_drop(const ebi_element *element, ebi_air_state air, double flow) {
  double m = element->as.power.exponent, at = element->as.power.at;
  double factor = element->as.power.drop;
  if (air.density != EB_REFERENCE_DENSITY)
    factor *= pow(air.density / EB_REFERENCE_DENSITY, m - 1.0);
  ebi_drop law = soft_power(flow / at, POWER_SHARE, m);
  return (ebi_drop){factor * law.pa, factor * law.slope / at};
}

static ebi_drop valve_drop(const ebi_element *element, ebi_air_state air, double flow) {
  double k = element->as.valve.k, factor = air.density / EB_REFERENCE_DENSITY;
  ebi_drop law = soft_power(flow / k, VALVE_ROOT, 2.0);
  return (ebi_drop){factor * law.pa, factor * law.slope / k};
}

static ebi_drop fan_drop(const ebi_element *element, ebi_air_state air, double flow) {
  ebi_fan_state state = ebi_fan_at(element->as.fan.fan, flow, element->as.fan.speed, air.density);
  return (ebi_drop){-state.rise, -state.slope};
}

static ebi_drop source_drop(const ebi_element *element, double flow) {
  return (ebi_drop){LEAST_SLOPE * flow - element->as.source.rise, LEAST_SLOPE};
}

static ebi_drop one_drop(const ebi_element *element, ebi_air_state air, double flow) {
  switch (element->kind) {
  case EBI_ELEMENT_DUCT:
    return duct_drop(element, air, flow);
  case EBI_ELEMENT_LOSS:
    return element->as.loss.by_reynolds != NULL ? loss_by_reynolds(element, air, flow)
                                                : loss_drop(element, air, flow);
  case EBI_ELEMENT_POWER:
    return power_drop(element, air, flow);
  case EBI_ELEMENT_VALVE:
    return valve_drop(element, air, flow);
  case EBI_ELEMENT_FAN:
    return fan_drop(element, air, flow);
  case EBI_ELEMENT_SOURCE:
    return source_drop(element, flow);
  }
  return (ebi_drop){0.0, 0.0};
}

ebi_drop ebi_element_drop(const ebi_element *element, ebi_air_state air, double flow) {
  if (element->parallel == 1.0)
    return one_drop(element, air, flow);
  ebi_drop drop = one_drop(element, air, flow / element->parallel);
  drop.slope /= element->parallel;
  return drop;
}

static bool loss_square(const ebi_element *element, ebi_air_state air, ebi_square *square) {
  double forward = element->as.loss.forward, backward = element->as.loss.backward;
  if (element->as.loss.by_reynolds != NULL || forward == 0.0 || backward == 0.0)
    return false;
  double area = element->as.loss.area, factor = 0.5 * air.density / (area * area);
  *square = (ebi_square){factor * forward, factor * backward, loss_rest(area, air)};
  return true;
}

static void valve_square(const ebi_element *element, ebi_air_state air, ebi_square *square) {
  double k = element->as.valve.k, factor = air.density / (EB_REFERENCE_DENSITY * k * k);
  *square = (ebi_square){factor, factor, VALVE_ROOT * k};
}

bool ebi_element_square(const ebi_element *element, ebi_air_state air, ebi_square *square) {
  if (element->kind == EBI_ELEMENT_VALVE)
    valve_square(element, air, square);
  else if (element->kind != EBI_ELEMENT_LOSS || !loss_square(element, air, square))
    return false;
  double n = element->parallel;
  square->forward /= n * n;
  square->backward /= n * n;
  square->above *= n;
  return true;
}

/* Area of one tube, 0 where the element has none. */
static double area_of(const ebi_element *element) {
  if (element->kind == EBI_ELEMENT_DUCT)
    return element->as.duct.section.area;
  return element->kind == EBI_ELEMENT_LOSS ? element->as.loss.area : 0.0;
}

double ebi_element_velocity(const ebi_element *element, double flow) {
  double area = area_of(element);
  return area > 0.0 ? flow / (element->parallel * area) : 0.0;
}

double ebi_element_reynolds(const ebi_element *element, ebi_air_state air, double flow) {
  double length = element->kind == EBI_ELEMENT_DUCT ? element->as.duct.section.hydraulic
                                                    : sqrt(4.0 * area_of(element) / PI);
  return fabs(ebi_element_velocity(element, flow)) * length * air.density / air.viscosity;
}
