/* methods_exchanger.c - kinds of exchangers and measured ratios, as case rows ask for them */

#include <math.h>

#include "methods.h"
#include "physics/exchanger.h"

#define METHOD(name) static eb_status name(const double *in, int n_in, double *out)
#define IGNORE_COUNT (void)n_in

static eb_status checked(double *out, double value) {
  *out = value;
  return isfinite(value) ? EB_OK : EB_E_RANGE;
}

METHOD(crossflow_effectiveness) {
  IGNORE_COUNT;
  return checked(out, eb_crossflow_effectiveness(in[0], in[1]));
}

METHOD(crossflow_ntu) {
  IGNORE_COUNT;
  return checked(out, ebi_crossflow_ntu(in[0], in[1]));
}

METHOD(parallel_effectiveness) {
  IGNORE_COUNT;
  return checked(out, eb_parallel_flow_effectiveness(in[0], in[1]));
}

/* ratio, at, flow, exponent */
METHOD(ratio_at_flow) {
  IGNORE_COUNT;
  return checked(out, eb_ratio_at_flow(in[0], in[1], in[2], in[3]));
}

/* outdoor, supply, extract, warming by the fan */
METHOD(ratio_measured) {
  IGNORE_COUNT;
  return checked(out, eb_ratio_without_fan(in[0], in[1], in[2], in[3]));
}

/* outdoor, supply, extract, power in the supply, flow, heat capacity */
METHOD(ratio_without_fan) {
  IGNORE_COUNT;
  double warming = eb_fan_warming(in[3], in[4], in[5]);
  return checked(out, eb_ratio_without_fan(in[0], in[1], in[2], warming));
}

/* outdoor, exhaust, extract: the same definition seen from the other end */
METHOD(ratio_extract_side) {
  IGNORE_COUNT;
  return checked(out, eb_ratio_without_fan(in[2], in[1], in[0], 0.0));
}

METHOD(ratio_without_leak) {
  IGNORE_COUNT;
  return checked(out, eb_ratio_without_leak(in[0], in[1]));
}

METHOD(fan_warming) {
  IGNORE_COUNT;
  return checked(out, eb_fan_warming(in[0], in[1], in[2]));
}

/* ratio at balanced flow, that flow, supply, extract -> supply ratio, extract ratio, heat
 * recovered over the larger flow */
METHOD(unbalanced) {
  IGNORE_COUNT;
  eb_exchanger_ratios ratios = eb_unbalanced_ratios(in[0], in[1], in[2], in[3]);
  out[0] = ratios.supply_ratio;
  out[1] = ratios.extract_ratio;
  out[2] = ratios.recovery;
  return isfinite(out[0]) && isfinite(out[1]) && isfinite(out[2]) ? EB_OK : EB_E_RANGE;
}

const case_method case_methods_exchanger[] = {
    {"crossflow.effectiveness", 2, 1, crossflow_effectiveness},
    {"crossflow.ntu", 2, 1, crossflow_ntu},
    {"parallel.effectiveness", 2, 1, parallel_effectiveness},
    {"ratio.at_flow", 4, 1, ratio_at_flow},
    {"ratio.measured", 4, 1, ratio_measured},
    {"ratio.without_fan", 6, 1, ratio_without_fan},
    {"ratio.extract_side", 3, 1, ratio_extract_side},
    {"ratio.without_leak", 2, 1, ratio_without_leak},
    {"fan.warming", 3, 1, fan_warming},
    {"counterflow.flows", 4, 3, unbalanced},
    {NULL, 0, 0, NULL}};
