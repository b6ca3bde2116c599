/* ducts_heat_walk.c - the air of a side carried along its flow
 *
 * Meetings are taken in the direction of the flow, each once all that comes in is known.
 * Where air goes round in a circle no meeting is first: those left over are relaxed. */

#include <math.h>

#include "design/ducts_heat.h"

#define CIRCLE_SAME 1e-10 /* K */
#define CIRCLE_STEPS 10000

/* ---- Runs ---- */

double ebi_heat_around_c(const ebi_site_air *site, const ebi_run *run) {
  return run->space_temperature.given ? run->space_temperature.value : site->indoor_c;
}

ebi_duct_wall ebi_heat_wall(const ebi_side_run *run) {
  const ebi_given *thickness = &run->run->insulation_thickness;
  const ebi_given *conductivity = &run->run->insulation_conductivity;
  double perimeter = 4.0 * run->section.area / run->section.hydraulic;
  if (!thickness->given || !conductivity->given)
    return ebi_duct_wall_of(perimeter, 0.0, 1.0);
  return ebi_duct_wall_of(perimeter, thickness->value, conductivity->value);
}

double ebi_heat_flow(const ebi_side *side, const ebi_side_run *run) {
  double flow = side->job->solution.flow_ref[run->part];
  return fabs(flow) > EBI_STILL ? flow : 0.0;
}

double ebi_heat_capacity(const ebi_side *side, const ebi_side_run *run) {
  return EB_REFERENCE_DENSITY * EBI_AIR_CP * fabs(ebi_heat_flow(side, run));
}

double ebi_heat_units(const ebi_side *side, size_t number) {
  double capacity = ebi_heat_capacity(side, &side->runs[number]);
  return capacity > 0.0 ? side->heat->conductance[number] / capacity : HUGE_VAL;
}

static const ebi_end *upstream(const ebi_side_run *run, double flow) {
  return flow > 0.0 ? &run->from : &run->to;
}

const ebi_end *ebi_heat_downstream(const ebi_side_run *run, double flow) {
  return flow > 0.0 ? &run->to : &run->from;
}

/* Of the air that comes out of an end's place into its run. */
static double place_c(const ebi_side *side, const ebi_site_air *site, const ebi_side_run *run,
                      const ebi_end *end) {
  switch (end->kind) {
  case EBI_END_UNIT:
    return end == &run->from ? side->heat->unit_out_c : side->heat->unit_in_c;
  case EBI_END_OUTDOORS:
    return site->outdoor_c;
  case EBI_END_ROOM:
    return site->indoor_c;
  case EBI_END_MEETING:
    return side->heat->meeting_c[end->number];
  }
  return site->indoor_c;
}

/* Carries the air of a run from its start to its end; still air has its space's temperature. */
static void carry(ebi_side *side, const ebi_site_air *site, size_t number) {
  ebi_side_run *run = &side->runs[number];
  double flow = ebi_heat_flow(side, run), around = side->heat->around_c[number];
  run->start_c = run->end_c = around;
  if (flow == 0.0)
    return;
  run->start_c = place_c(side, site, run, upstream(run, flow));
  run->end_c = ebi_duct_end_c(run->start_c, around, ebi_heat_units(side, number));
}

/* ---- Along the flow ---- */

static void start_walk(ebi_side *side) {
  ebi_side_heat *heat = side->heat;
  for (size_t m = 0; m < side->n_meetings; m++) {
    heat->capacity[m] = heat->heat[m] = 0.0;
    heat->waiting[m] = 0;
  }
  for (size_t i = 0; i < side->n_runs; i++) {
    double flow = ebi_heat_flow(side, &side->runs[i]);
    const ebi_end *to = ebi_heat_downstream(&side->runs[i], flow);
    if (flow != 0.0 && to->kind == EBI_END_MEETING)
      heat->waiting[to->number]++;
  }
}

/* Carries a run and leaves its air at the meeting it flows to. True where that is now complete. */
static bool deliver(ebi_side *side, const ebi_site_air *site, size_t number) {
  ebi_side_heat *heat = side->heat;
  const ebi_side_run *run = &side->runs[number];
  double flow = ebi_heat_flow(side, run);
  carry(side, site, number);
  const ebi_end *to = ebi_heat_downstream(run, flow);
  if (flow == 0.0 || to->kind != EBI_END_MEETING)
    return false;
  double capacity = ebi_heat_capacity(side, run);
  heat->capacity[to->number] += capacity;
  heat->heat[to->number] += capacity * run->end_c;
  if (--heat->waiting[to->number] > 0)
    return false;
  heat->meeting_c[to->number] = heat->heat[to->number] / heat->capacity[to->number];
  return true;
}

/* From the ends that are no meetings, then on from each meeting that is complete. */
static void walk(ebi_side *side, const ebi_site_air *site) {
  ebi_side_heat *heat = side->heat;
  size_t queued = 0;
  start_walk(side);
  for (size_t i = 0; i < side->n_runs; i++) {
    const ebi_side_run *run = &side->runs[i];
    double flow = ebi_heat_flow(side, run);
    if (flow != 0.0 && upstream(run, flow)->kind == EBI_END_MEETING)
      continue;
    if (deliver(side, site, i))
      heat->queue[queued++] = ebi_heat_downstream(run, flow)->number;
  }
  for (size_t next = 0; next < queued; next++) {
    const ebi_meeting *meeting = &side->meetings[heat->queue[next]];
    for (size_t e = 0; e < meeting->n_ends; e++) {
      const ebi_side_run *run = &side->runs[meeting->ends[e] >> 1];
      double flow = ebi_heat_flow(side, run);
      bool leaves = flow != 0.0 && upstream(run, flow) == ebi_side_end(side, meeting->ends[e]);
      if (leaves && deliver(side, site, meeting->ends[e] >> 1))
        heat->queue[queued++] = ebi_heat_downstream(run, flow)->number;
    }
  }
}

/* ---- Circles ---- */

/* Mixes what comes into a meeting with the temperatures there are; gives the change [K]. */
static double relax_meeting(ebi_side *side, const ebi_site_air *site, size_t number) {
  const ebi_meeting *meeting = &side->meetings[number];
  double capacity = 0.0, heat = 0.0, last = side->heat->meeting_c[number];
  for (size_t e = 0; e < meeting->n_ends; e++) {
    const ebi_side_run *run = &side->runs[meeting->ends[e] >> 1];
    double flow = ebi_heat_flow(side, run);
    if (flow == 0.0 || ebi_heat_downstream(run, flow) != ebi_side_end(side, meeting->ends[e]))
      continue;
    carry(side, site, meeting->ends[e] >> 1);
    capacity += ebi_heat_capacity(side, run);
    heat += ebi_heat_capacity(side, run) * run->end_c;
  }
  side->heat->meeting_c[number] = heat / capacity;
  return fabs(side->heat->meeting_c[number] - last);
}

static eb_status relax_circles(ebi_side *side, const ebi_site_air *site) {
  double change = HUGE_VAL;
  bool any = false;
  for (int step = 0; step < CIRCLE_STEPS && change > CIRCLE_SAME; step++) {
    change = 0.0;
    for (size_t m = 0; m < side->n_meetings; m++)
      if (side->heat->waiting[m] > 0) {
        any = true;
        change = fmax(change, relax_meeting(side, site, m));
      }
  }
  for (size_t i = 0; any && i < side->n_runs; i++)
    carry(side, site, i);
  if (change <= CIRCLE_SAME)
    return EB_OK;
  ebi_diag(side->job->context, EB_ERROR, "heat-circle", side->job->house->where, NULL,
           "air goes round in a circle of the %s ducts, and its temperature does not settle (it "
           "still changes by %.3g K a round)",
           side->name, change);
  return EB_E_DIVERGED;
}

eb_status ebi_heat_carry(ebi_side *side, const ebi_site_air *site) {
  if (side->heat == NULL || side->job->solution.flow_ref == NULL)
    return EB_OK;
  walk(side, site);
  return relax_circles(side, site);
}
