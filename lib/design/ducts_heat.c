/* ducts_heat.c - the temperature of the air along all ducts, and its densities
 *
 * Air starts outdoors and in the rooms, takes or gives heat along each run (exponential, see
 * physics/duct_heat.h), mixes by mass where runs meet, and passes the exchanger. A run is in
 * its `space:`, else in the rooms' air, with its `insulation:`, else bare. The heat of the fans is
 * left out: a temperature ratio measured on the unit, as the usual test does, holds it already.
 *
 * Flows follow from densities and densities from flows: the caller solves and comes here in
 * turn until nothing changes. */

#include "design/ducts_heat.h"

#include <math.h>

#define SAME 1e-12 /* K */
#define UNIT_STEPS 50
#define WELL 0.3      /* of the last pass's miss, or less */
#define SETTLED 1e-10 /* K: the last pass ended another question */
#define LEAST_STEP 0.05
#define MOST_STEP 1.5

/* ---- The unit ---- */

/* Mean of what the runs bring to the fan's inlet, or where air goes backward to its outlet;
 * `none` where nothing comes. */
static double arriving_c(const ebi_side *side, bool inlet, double none) {
  double capacity = 0.0, heat = 0.0;
  for (size_t i = 0; i < side->n_runs && side->job->solution.flow_ref != NULL; i++) {
    const ebi_side_run *run = &side->runs[i];
    double flow = ebi_heat_flow(side, run);
    if (flow == 0.0 || ebi_heat_downstream(run, flow)->kind != EBI_END_UNIT ||
        (flow > 0.0) != inlet)
      continue;
    capacity += ebi_heat_capacity(side, run);
    heat += ebi_heat_capacity(side, run) * run->end_c;
  }
  return capacity > 0.0 ? heat / capacity : none;
}

/* A side whose fan is blown backward has no exchange. */
static bool backward(const ebi_side *side) {
  return side->fan_flow < -EBI_STILL;
}

static double blown_back(ebi_side *side, double none) {
  double last = side->heat->unit_in_c, arrives = arriving_c(side, false, none);
  side->heat->unit_in_c = side->heat->unit_out_c = arrives;
  return fabs(arrives - last);
}

static double set_unit(ebi_side *side, double in_c, double out_c) {
  double change = fmax(fabs(in_c - side->heat->unit_in_c), fabs(out_c - side->heat->unit_out_c));
  side->heat->unit_in_c = in_c;
  side->heat->unit_out_c = out_c;
  return change;
}

/* Heat handed over as a share of what the supply air could take: the ratio, but no more than
 * the extract air has. `given` is the extract air's change for the supply air's. */
static double handed(const ebi_side *supply, const ebi_side *extract, double ratio, double *given) {
  *given = 1.0;
  if (supply->fan_flow <= EBI_STILL || extract->fan_flow <= EBI_STILL)
    return ratio;
  *given = supply->fan_flow / extract->fan_flow;
  return fmin(ratio, 1.0 / *given);
}

/* Through the exchanger; gives the largest change [K]. A side without ducts is as it was. */
static double pass_unit(ebi_ducts_job *job, const ebi_site_air *site) {
  ebi_side *supply = &job->side[EBI_SUPPLY_SIDE], *extract = &job->side[EBI_EXTRACT_SIDE];
  double oda = arriving_c(supply, true, site->outdoor_c), change = 0.0;
  double eta = arriving_c(extract, true, site->indoor_c), given;
  double ratio = handed(supply, extract, site->temperature_ratio, &given);
  bool exchange = !backward(supply) && !backward(extract);
  double moved = exchange ? ratio * (eta - oda) : 0.0;
  if (supply->heat != NULL)
    change =
        backward(supply) ? blown_back(supply, site->indoor_c) : set_unit(supply, oda, oda + moved);
  if (extract->heat != NULL)
    change = fmax(change, backward(extract) ? blown_back(extract, site->outdoor_c)
                                            : set_unit(extract, eta, eta - given * moved));
  return change;
}

static eb_status find_temperatures(ebi_ducts_job *job, const ebi_site_air *site) {
  eb_status status = EB_OK;
  double change = HUGE_VAL;
  for (int step = 0; status == EB_OK && step < UNIT_STEPS && change > SAME; step++) {
    for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
      status = ebi_heat_carry(&job->side[s], site);
    change = pass_unit(job, site);
  }
  if (status != EB_OK || change <= SAME)
    return status;
  ebi_diag(job->context, EB_ERROR, "heat-unit", job->house->unit_where, NULL,
           "the temperatures at the unit do not settle (they still change by %.3g K)", change);
  return EB_E_DIVERGED;
}

/* ---- Densities ---- */

static void compare(double *change, ebi_air_state before, ebi_air_state after) {
  *change = fmax(*change, fabs(after.density / before.density - 1.0));
}

/* What each run's mean temperature is off what its air was taken at. */
static void find_misses(ebi_side *side) {
  ebi_side_heat *heat = side->heat;
  for (size_t i = 0; i < side->n_runs; i++) {
    const ebi_side_run *run = &side->runs[i];
    double mean = ebi_duct_mean_c(run->start_c, heat->around_c[i], ebi_heat_units(side, i));
    heat->last_miss[i] = heat->miss[i];
    heat->miss[i] = mean - heat->mean_c[i];
  }
}

/* Air that rises or falls by its own warmth can swing from pass to pass. Where the misses do not
 * shrink well the step is that of Aitken for vectors (Irons & Tuck 1969, Int. J. Numerical
 * Methods in Engineering 1, 275, from memory). */
static void find_step(ebi_side *side) {
  ebi_side_heat *heat = side->heat;
  double across = 0.0, along = 0.0, size = 0.0, last = 0.0;
  for (size_t i = 0; i < side->n_runs; i++) {
    double turn = heat->miss[i] - heat->last_miss[i];
    across += turn * heat->last_miss[i];
    along += turn * turn;
    size += heat->miss[i] * heat->miss[i];
    last += heat->last_miss[i] * heat->last_miss[i];
  }
  bool settled = last <= SETTLED * SETTLED * (double)side->n_runs;
  bool shrinks = heat->step == 0.0 || settled || size <= WELL * WELL * last;
  heat->step = shrinks ? 1.0 : fmin(fmax(-heat->step * across / along, LEAST_STEP), MOST_STEP);
}

static void give_run(ebi_side *side, const ebi_site_air *site, size_t number, double *change) {
  ebi_side_run *run = &side->runs[number];
  ebi_side_heat *heat = side->heat;
  eb_air kind = run->run->air;
  double mean = heat->mean_c[number] + heat->miss[number];
  compare(change, run->air, ebi_site_air_at(site, kind, mean));
  heat->mean_c[number] += heat->step * heat->miss[number];
  run->air = ebi_site_air_at(site, kind, heat->mean_c[number]);
  ebi_network_part_air(side->network, run->part, run->air);
  size_t count;
  ebi_element *elements = ebi_network_elements(side->network, run->part, &count), stack;
  for (size_t i = 0; i < count; i++)
    if (elements[i].kind == EBI_ELEMENT_SOURCE && ebi_run_stack(side->job, run, &stack))
      elements[i] = stack;
}

static void give_meeting(ebi_side *side, const ebi_site_air *site, size_t number) {
  const ebi_meeting *meeting = &side->meetings[number];
  if (meeting->kind != EBI_MEETING_TEE)
    return;
  eb_air kind = side->runs[meeting->ends[0] >> 1].run->air;
  ebi_network_tee_air(side->network, meeting->tee,
                      ebi_site_air_at(site, kind, side->heat->meeting_c[number]));
}

static void give_side(ebi_side *side, const ebi_site_air *site, double *change) {
  if (side->heat == NULL || side->job->solution.flow_ref == NULL)
    return;
  find_misses(side);
  find_step(side);
  for (size_t i = 0; i < side->n_runs; i++)
    give_run(side, site, i, change);
  for (size_t t = 0; t < side->n_terminals; t++)
    ebi_network_part_air(side->network, side->terminals[t].part,
                         ebi_terminal_air(side, &side->terminals[t]));
  for (size_t m = 0; m < side->n_meetings; m++)
    give_meeting(side, site, m);
  ebi_air_state fan = ebi_site_air_at(site, side->outlet, side->heat->unit_out_c);
  compare(change, side->fan_air, fan);
  side->fan_air = fan;
  ebi_network_part_air(side->network, side->fan_part, fan);
}

/* ---- The whole ---- */

static eb_status start_side(ebi_side *side, const ebi_site_air *site) {
  ebi_arena *arena = side->job->scratch;
  ebi_side_heat *heat = EBI_NEW(arena, ebi_side_heat);
  double *numbers = EBI_NEW_ARRAY(
      arena, double, 5 * side->n_runs + 3 * side->n_meetings + side->job->house->n_rooms);
  size_t *counts = EBI_NEW_ARRAY(arena, size_t, 2 * side->n_meetings);
  if (heat == NULL || numbers == NULL || counts == NULL)
    return EB_E_MEMORY;
  *heat = (ebi_side_heat){.conductance = numbers,
                          .around_c = numbers + side->n_runs,
                          .mean_c = numbers + 2 * side->n_runs,
                          .miss = numbers + 3 * side->n_runs,
                          .last_miss = numbers + 4 * side->n_runs,
                          .meeting_c = numbers + 5 * side->n_runs,
                          .waiting = counts,
                          .queue = counts + side->n_meetings};
  heat->capacity = heat->meeting_c + side->n_meetings;
  heat->heat = heat->capacity + side->n_meetings;
  heat->room_flow = heat->heat + side->n_meetings;
  for (size_t i = 0; i < side->n_runs; i++) {
    ebi_duct_wall wall = ebi_heat_wall(&side->runs[i]);
    const ebi_run *run = side->runs[i].run;
    heat->conductance[i] = ebi_duct_transmittance(&wall) * run->length * run->parallel;
    heat->around_c[i] = ebi_heat_around_c(site, run);
    heat->mean_c[i] = side->runs[i].start_c; /* as ebi_ducts_air has it */
  }
  for (size_t m = 0; m < side->n_meetings; m++)
    heat->meeting_c[m] = site->indoor_c;
  heat->unit_in_c = heat->unit_out_c = site->indoor_c;
  side->heat = heat;
  return EB_OK;
}

/* With one temperature everywhere there is nothing to find. */
static bool heated(const ebi_ducts_job *job) {
  if (job->house->outdoor.given)
    return true;
  for (size_t i = 0; i < job->house->n_runs; i++)
    if (job->house->runs[i].space_temperature.given)
      return true;
  return false;
}

eb_status ebi_ducts_heat(ebi_ducts_job *job, double *change) {
  *change = 0.0;
  if (!heated(job))
    return EB_OK;
  ebi_site_air site = ebi_ducts_site(job);
  eb_status status = EB_OK;
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
    if (job->side[s].network != NULL && job->side[s].heat == NULL)
      status = start_side(&job->side[s], &site);
  if (status == EB_OK)
    status = find_temperatures(job, &site);
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
    give_side(&job->side[s], &site, change);
  return status;
}
