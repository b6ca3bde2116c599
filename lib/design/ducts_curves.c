/* ducts_curves.c - fans and ducts as curves over flow, for whoever draws them
 *
 * A fan's curve is the one of the unit's sheet at a speed, in the air that the fan moves. The
 * curve of the ducts is a row of solves: both fans' flows of the level times the same factor, the
 * valves as they stand. Both are from spigot to spigot, so that they meet in the duty. */

#include <math.h>

#include "design/ducts.h"

#define FAN_POINTS 33
#define DUCT_POINTS 24
#define REACH_MOST 3.0 /* of the level's flow */

/* ---- Fans ---- */

static double fan_rise(const ebi_side *side, double flow, double speed) {
  double given = ebi_fan_at(side->fan, flow, speed, side->fan_air.density).given;
  return (given - ebi_side_filter_drop_at(side, flow)) * side->fan_factor;
}

static eb_status fan_curve(const ebi_side *side, double speed, eb_curve *curve) {
  eb_curve_point *points = EBI_NEW_ARRAY(side->job->arena, eb_curve_point, FAN_POINTS);
  if (points == NULL)
    return EB_E_MEMORY;
  double first, last;
  ebi_fan_range(side->fan, speed, &first, &last);
  for (int i = 0; i < FAN_POINTS; i++) {
    double flow = first + (last - first) * i / (FAN_POINTS - 1);
    points[i] = (eb_curve_point){flow, fan_rise(side, flow, speed)};
  }
  *curve = (eb_curve){.speed = speed, .points = points, .n_points = FAN_POINTS};
  return EB_OK;
}

static eb_status sheet_curves(const ebi_side *side, const eb_curve **curves, size_t *count) {
  const ebi_unit *unit = side->job->house->unit;
  const ebi_fan_data *data = side->supply ? &unit->supply_fan : &unit->extract_fan;
  eb_curve *own = EBI_NEW_ARRAY(side->job->arena, eb_curve, data->n_curves);
  eb_status status = own == NULL ? EB_E_MEMORY : EB_OK;
  for (size_t i = 0; status == EB_OK && i < data->n_curves; i++)
    status = fan_curve(side, data->curves[i].speed, &own[i]);
  *curves = own;
  *count = data->n_curves;
  return status;
}

eb_status ebi_ducts_sheet_curves(ebi_ducts_job *job) {
  const ebi_side *supply = &job->side[EBI_SUPPLY_SIDE], *extract = &job->side[EBI_EXTRACT_SIDE];
  eb_ducts *result = job->result;
  eb_status status = EB_OK;
  if (supply->network != NULL)
    status = sheet_curves(supply, &result->supply_sheet_curves, &result->n_supply_sheet_curves);
  if (status == EB_OK && extract->network != NULL)
    status = sheet_curves(extract, &result->extract_sheet_curves, &result->n_extract_sheet_curves);
  return status;
}

/* ---- Ducts ---- */

static eb_side_state *state_of(const ebi_ducts_job *job, size_t level, int side) {
  eb_level_state *state = &job->levels[level];
  return side == EBI_SUPPLY_SIDE ? &state->supply : &state->extract;
}

/* As far as the fan's sheet goes. */
static double reach_of(const ebi_side *side, const eb_side_state *state) {
  double first, last;
  ebi_fan_range(side->fan, side->drive.fastest, &first, &last);
  return state->fan_flow_m3_s > 0.0 ? fmin(last / state->fan_flow_m3_s, REACH_MOST) : 1.0;
}

/* Both sides at so much of the level's flow, into point number `i` of each. */
static eb_status solve_at(ebi_ducts_job *job, size_t level, double factor, size_t i,
                          eb_curve_point *const points[EBI_SIDES]) {
  ebi_aim aims[EBI_SIDES] = {{EBI_AIM_FLOW, 0.0}, {EBI_AIM_FLOW, 0.0}};
  for (int s = 0; s < EBI_SIDES; s++) {
    double dense = job->side[s].fan_air.density / EB_REFERENCE_DENSITY;
    aims[s].value = factor * state_of(job, level, s)->fan_flow_m3_s * dense;
  }
  eb_status status = ebi_ducts_solve(job, aims);
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
    if (points[s] != NULL)
      points[s][i] = (eb_curve_point){factor * state_of(job, level, s)->fan_flow_m3_s,
                                      ebi_side_rise(&job->side[s])};
  return status;
}

eb_status ebi_ducts_curves(ebi_ducts_job *job, size_t level) {
  eb_curve_point *points[EBI_SIDES] = {NULL, NULL};
  double reach = 1.0;
  eb_status status = EB_OK;
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    eb_side_state *state = state_of(job, level, s);
    if (side->network == NULL)
      continue;
    points[s] = EBI_NEW_ARRAY(job->arena, eb_curve_point, DUCT_POINTS);
    status = points[s] == NULL ? EB_E_MEMORY : fan_curve(side, state->speed, &state->fan_curve);
    reach = fmax(reach, reach_of(side, state));
    state->duct_curve = (eb_curve){.points = points[s], .n_points = DUCT_POINTS};
  }
  job->air_stands = true; /* the line is of the air as it is at the duty */
  for (size_t i = 0; status == EB_OK && i < DUCT_POINTS; i++)
    status = solve_at(job, level, reach * (double)(i + 1) / DUCT_POINTS, i, points);
  job->air_stands = false;
  return status;
}
