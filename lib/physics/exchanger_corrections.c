/* exchanger_corrections.c - a measured temperature ratio at other flows, without leaks and fans */

#include <math.h>

#include "physics/exchanger.h"

/* NTU = UA/(c q) goes with q^(m - 1). */
double eb_ratio_at_flow(double ratio, double at, double flow, double exponent) {
  if (!(at > 0.0) || !isfinite(at) || !(flow > 0.0) || !isfinite(flow) ||
      !(exponent >= 0.0 && exponent <= 1.0))
    return NAN;
  double ntu = eb_counterflow_ntu(ratio, 1.0) * pow(flow / at, exponent - 1.0);
  return eb_counterflow_effectiveness(ntu, 1.0);
}

/* Extract air mixed into the supply at its own temperature: measured = (1 - r) ratio + r. */
double eb_ratio_without_leak(double measured, double leak) {
  if (!(leak >= 0.0 && leak < 1.0) || !(measured >= leak && measured <= 1.0))
    return NAN;
  return (measured - leak) / (1.0 - leak);
}

double eb_ratio_without_fan(double outdoor_c, double supply_c, double extract_c,
                            double fan_warming_k) {
  double ratio = (supply_c - fan_warming_k - outdoor_c) / (extract_c - outdoor_c);
  return isfinite(ratio) ? ratio : (double)NAN;
}

double eb_fan_warming(double power_w, double flow_m3_s, double capacity_wh_m3_k) {
  if (!(power_w >= 0.0) || !(flow_m3_s > 0.0) || !(capacity_wh_m3_k > 0.0))
    return NAN;
  double warming = power_w / (3600.0 * capacity_wh_m3_k * flow_m3_s);
  return isfinite(warming) ? warming : (double)NAN;
}

double ebi_exchanger_size(bool crossflow, double ratio, double at) {
  return (crossflow ? ebi_crossflow_ntu(ratio, 1.0) : eb_counterflow_ntu(ratio, 1.0)) * at;
}

eb_exchanger_ratios ebi_exchanger_ratios(bool crossflow, double size, double supply,
                                         double extract) {
  double least = fmin(supply, extract), most = fmax(supply, extract);
  if (!(supply > 0.0) || !(extract > 0.0) || !isfinite(most))
    return (eb_exchanger_ratios){NAN, NAN, NAN};
  double ntu = size / least, capacity_ratio = least / most;
  double moved = least * (crossflow ? eb_crossflow_effectiveness(ntu, capacity_ratio)
                                    : eb_counterflow_effectiveness(ntu, capacity_ratio));
  return (eb_exchanger_ratios){moved / supply, moved / extract, moved / most};
}

eb_exchanger_ratios eb_unbalanced_ratios(double ratio, double at, double supply, double extract) {
  double size = at > 0.0 ? ebi_exchanger_size(false, ratio, at) : (double)NAN;
  return ebi_exchanger_ratios(false, size, supply, extract);
}
