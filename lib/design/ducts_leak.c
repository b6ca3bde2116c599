/* ducts_leak.c - what the seams of ducts let through, by their class
 *
 * Half of a run's leak stands at either of its ends, to the air around it: that of
 * the house, or outdoors where the run has a space of its own. The network knows
 * total pressures; they are taken for the static ones that drive a leak. The
 * surface is the duct's own outside (EN 14239), with all tubes. */

#include <math.h>

#include "design/ducts.h"
#include "physics/duct_leakage.h"

#define PI 3.14159265358979323846

/* Outside of one metre of one tube. */
static double outside(const ebi_duct_size *duct) {
  double wall = 2.0 * duct->wall;
  if (duct->shape == EBI_ROUND)
    return PI * (duct->bore + wall);
  double width = duct->width + wall, height = duct->height + wall;
  if (duct->shape == EBI_RECTANGLE)
    return 2.0 * (width + height);
  return PI * fmin(width, height) + 2.0 * fabs(width - height);
}

static ebi_node around(const ebi_ducts_job *job, const ebi_side_run *run) {
  return run->run->space_temperature.given ? job->house_air.outdoors : job->house_air.common;
}

eb_status ebi_leak_add(ebi_side *side, ebi_side_run *run) {
  const ebi_ducts_job *job = side->job;
  double surface = outside(&run->run->duct) * run->run->length * run->run->parallel;
  double at_1_pa = ebi_duct_leakage_coefficient(job->house->duct_leakage_class) * surface;
  run->leak[0] = run->leak[1] = EBI_NONE;
  if (!(at_1_pa > 0.0))
    return EB_OK;
  ebi_element leak = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0};
  leak.as.power.drop = 1.0;
  leak.as.power.at = 0.5 * at_1_pa;
  leak.as.power.exponent = 1.0 / EBI_DUCT_LEAKAGE_EXPONENT;
  for (int end = 0; end < 2; end++) {
    run->leak[end] =
        ebi_network_part(side->network, run->run->name, (end == 0 ? &run->from : &run->to)->node,
                         around(job, run), run->air, &leak, 1);
    if (run->leak[end] == EBI_NONE)
      return EB_E_MEMORY;
  }
  return EB_OK;
}

bool ebi_side_leaks(const ebi_side *side) {
  for (size_t i = 0; i < side->n_runs; i++)
    if (side->runs[i].leak[0] != EBI_NONE)
      return true;
  return false;
}

double ebi_run_leakage(const ebi_ducts_job *job, const ebi_side_run *run) {
  if (run->leak[0] == EBI_NONE)
    return 0.0;
  return job->solution.flow_ref[run->leak[0]] + job->solution.flow_ref[run->leak[1]];
}
