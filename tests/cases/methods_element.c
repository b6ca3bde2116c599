/* methods_element.c - pressure laws of single elements, as case rows ask for them */

#include <math.h>

#include "methods.h"
#include "network/element.h"

/* Viscosity of the rows; it matters to ducts only. */
static ebi_air_state air(double density) {
  return (ebi_air_state){.density = density, .viscosity = 1.81e-5};
}

static eb_status drop(ebi_element element, double density, double flow, double *out) {
  element.parallel = 1.0;
  *out = ebi_element_drop(&element, air(density), flow).pa;
  return isfinite(*out) ? EB_OK : EB_E_RANGE;
}

static double loss(double zeta, double bore, double density, double flow) {
  ebi_element element = {
      .kind = EBI_ELEMENT_LOSS,
      .as.loss = {.area = ebi_section_round(bore).area, .forward = zeta, .backward = zeta}};
  element.parallel = 1.0;
  return ebi_element_drop(&element, air(density), flow).pa;
}

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

/* area, coefficient, flow, density */
METHOD(element_loss) {
  IGNORE_COUNT;
  ebi_element element = {.kind = EBI_ELEMENT_LOSS,
                         .as.loss = {.area = in[0], .forward = in[1], .backward = in[1]}};
  return drop(element, in[3], in[2], out);
}

/* bore, coefficient, flow, density */
METHOD(element_loss_round) {
  IGNORE_COUNT;
  *out = loss(in[1], in[0], in[3], in[2]);
  return isfinite(*out) ? EB_OK : EB_E_RANGE;
}

/* bore, length, roughness, flow, density */
METHOD(element_duct) {
  IGNORE_COUNT;
  ebi_element element = {
      .kind = EBI_ELEMENT_DUCT,
      .as.duct = {.section = ebi_section_round(in[0]), .length = in[1], .roughness = in[2]}};
  return drop(element, in[4], in[3], out);
}

/* k, flow */
METHOD(element_valve) {
  IGNORE_COUNT;
  ebi_element element = {.kind = EBI_ELEMENT_VALVE, .as.valve = {.k = in[0]}};
  return drop(element, EB_REFERENCE_DENSITY, in[1], out);
}

/* drop, at, exponent, flow */
METHOD(element_power) {
  IGNORE_COUNT;
  ebi_element element = {.kind = EBI_ELEMENT_POWER,
                         .as.power = {.drop = in[0], .at = in[1], .exponent = in[2]}};
  return drop(element, EB_REFERENCE_DENSITY, in[3], out);
}

/* bore, flow */
METHOD(element_velocity) {
  IGNORE_COUNT;
  ebi_element element = {.kind = EBI_ELEMENT_DUCT,
                         .parallel = 1.0,
                         .as.duct = {.section = ebi_section_round(in[0]), .length = 1.0}};
  *out = ebi_element_velocity(&element, in[1]);
  return isfinite(*out) ? EB_OK : EB_E_RANGE;
}

/* flow, inlet bore, outlets, outlet bore: a dump of 1.0 on the inlet and an entry of 0.5 on each
 * outlet velocity */
METHOD(element_box) {
  IGNORE_COUNT;
  *out = loss(1.0, in[1], EB_REFERENCE_DENSITY, in[0]) +
         loss(0.5, in[3], EB_REFERENCE_DENSITY, in[0] / in[2]);
  return isfinite(*out) ? EB_OK : EB_E_RANGE;
}

const case_method case_methods_element[] = {
    {"element.loss", 4, 1, element_loss},   {"element.loss_round", 4, 1, element_loss_round},
    {"element.duct", 5, 1, element_duct},   {"element.velocity", 2, 1, element_velocity},
    {"element.valve", 2, 1, element_valve}, {"element.power", 4, 1, element_power},
    {"element.box", 4, 1, element_box},     {NULL, 0, 0, NULL}};
