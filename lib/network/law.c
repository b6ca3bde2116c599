/* law.c - drops of parts and tees at reference flows */

#include "network/law.h"

#include <math.h>

/* What joins nodes "without loss": 5e-6 Pa at 50 l/s. [Pa/(m3/s)] */
#define MINUTE 1e-4

#define START_VELOCITY 1.0 /* m/s */
#define START_FLOW 0.03    /* m3/s */

/* The flow below which a changed exponent no longer counts, as a share of `at`: the law keeps its
 * finite slope at rest. */
#define AT_REST 1e-3

ebi_drop ebi_part_bent(const ebi_net_part *part, ebi_drop drop, double flow_ref) {
  double rest = AT_REST * part->at, square = flow_ref * flow_ref + rest * rest;
  double bend = pow(square / (part->at * part->at), 0.5 * part->exponent);
  double by_flow = bend * part->exponent * flow_ref / square;
  return (ebi_drop){bend * drop.pa, bend * drop.slope + by_flow * drop.pa};
}

ebi_drop ebi_part_drop(const ebi_net_part *part, double flow_ref) {
  if (part->count == 0)
    return (ebi_drop){MINUTE * flow_ref, MINUTE};
  double per_ref = ebi_per_ref(part->air);
  ebi_drop sum = {0.0, 0.0};
  for (size_t i = 0; i < part->count; i++) {
    ebi_drop one = ebi_element_drop(&part->elements[i], part->air, flow_ref * per_ref);
    sum.pa += one.pa;
    sum.slope += one.slope;
  }
  sum.pa *= part->factor;
  sum.slope *= per_ref * part->factor;
  return part->exponent == 0.0 ? sum : ebi_part_bent(part, sum, flow_ref);
}

/* Actual flow through all tubes of an element, 0 where its law tells none. */
static double start_of(const ebi_element *element) {
  switch (element->kind) {
  case EBI_ELEMENT_DUCT:
    return START_VELOCITY * element->as.duct.section.area * element->parallel;
  case EBI_ELEMENT_LOSS:
    return START_VELOCITY * element->as.loss.area * element->parallel;
  case EBI_ELEMENT_POWER:
    return element->as.power.at * element->parallel;
  case EBI_ELEMENT_VALVE:
    return element->as.valve.k * element->parallel;
  case EBI_ELEMENT_FAN:
  case EBI_ELEMENT_SOURCE:
    break;
  }
  return 0.0;
}

static bool has_area(const ebi_element *element) {
  return element->kind == EBI_ELEMENT_DUCT || element->kind == EBI_ELEMENT_LOSS;
}

double ebi_part_start(const ebi_net_part *part) {
  double to_ref = part->air.density / EB_REFERENCE_DENSITY, other = 0.0;
  for (size_t i = 0; i < part->count; i++) {
    double start = start_of(&part->elements[i]);
    if (has_area(&part->elements[i]))
      return start * to_ref;
    if (other == 0.0)
      other = start;
  }
  return (other > 0.0 ? other : START_FLOW) * to_ref;
}

ebi_tee_drop ebi_net_tee_drops(const ebi_net_tee *tee, double straight_ref, double branch_ref) {
  double per_ref = EB_REFERENCE_DENSITY / tee->air.density;
  ebi_tee_drop drop =
      ebi_tee_drops(&tee->shape, tee->air, straight_ref * per_ref, branch_ref * per_ref);
  drop.straight += MINUTE * straight_ref;
  drop.branch += MINUTE * branch_ref;
  drop.straight_by_s = drop.straight_by_s * per_ref + MINUTE;
  drop.branch_by_b = drop.branch_by_b * per_ref + MINUTE;
  drop.straight_by_b *= per_ref;
  drop.branch_by_s *= per_ref;
  return drop;
}
