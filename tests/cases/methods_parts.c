/* methods_parts.c - area changes, bull-heads, flexible and crushed ducts, as case rows ask for them
 */

#include <math.h>

#include "methods.h"
#include "network/element.h"
#include "physics/flexible.h"
#include "physics/losses.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

/* large/small area, total angle */
METHOD(contraction_conical) {
  IGNORE_COUNT;
  return checked(out, ebi_contraction_conical(1.0, in[0], in[1]));
}

/* side/stem area, share of that side -> coefficient of the solver, as published */
METHOD(tee_bull_head) {
  IGNORE_COUNT;
  ebi_tee_shape shape = {1.0, in[0], in[0], 90.0};
  out[1] = ebi_tee_bull_head_converging_published(&shape, in[1]).branch;
  return checked(out, ebi_tee_bull_head_converging(&shape, in[1]).branch);
}

/* bore, share of the length lost */
METHOD(flexible_factor) {
  IGNORE_COUNT;
  return checked(out, ebi_flexible_factor(1.0 - in[1], in[0]));
}

METHOD(flexible_lost) {
  IGNORE_COUNT;
  return checked(out, (in[0] - in[1]) / in[0]);
}

/* roughness, share lost -> Pa of 1.8 m of 250 mm at 470 l/s */
METHOD(flexible_drop) {
  IGNORE_COUNT;
  ebi_element duct = {.kind = EBI_ELEMENT_DUCT, .parallel = 1.0};
  duct.as.duct.section = ebi_section_round(0.25);
  duct.as.duct.length = 1.8 * ebi_flexible_factor(1.0 - in[1], 0.25);
  duct.as.duct.roughness = in[0];
  ebi_air_state air = {.density = 1.204, .viscosity = 1.813e-5};
  return checked(out, ebi_element_drop(&duct, air, 0.47).pa);
}

METHOD(flexible_velocity) {
  IGNORE_COUNT;
  return checked(out, in[0] / ebi_section_round(in[1]).area);
}

/* height kept -> share of the area left, drop a metre at one friction factor */
METHOD(section_crushed) {
  IGNORE_COUNT;
  ebi_section whole = ebi_section_round(0.125), flat = ebi_section_crushed(0.125, in[0]);
  double narrower = whole.area / flat.area;
  out[1] = narrower * narrower * whole.hydraulic / flat.hydraulic;
  return checked(out, 1.0 / narrower);
}

const case_method case_methods_parts[] = {{"contraction.conical", 2, 1, contraction_conical},
                                          {"tee.bull_head", 2, 2, tee_bull_head},
                                          {"flexible.factor", 2, 1, flexible_factor},
                                          {"flexible.lost", 2, 1, flexible_lost},
                                          {"flexible.drop", 2, 1, flexible_drop},
                                          {"flexible.velocity", 2, 1, flexible_velocity},
                                          {"section.crushed", 1, 2, section_crushed},
                                          {NULL, 0, 0, NULL}};
