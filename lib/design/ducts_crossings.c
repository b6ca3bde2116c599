/* ducts_crossings.c - fans whose curve rises somewhere
 *
 * The solver works with the falling envelope of a fan's curve, so it finds the
 * duty point furthest right. Where the given curve rises, the system can cross
 * it more than once, and the fan may settle at any of the crossings or hunt
 * between them. Here the difference "given curve less system" is looked at over
 * a grid of flows of the fan, the other fan turning as it does, and each change of
 * sign is run down to its root. */

#include <math.h>

#include "design/ducts.h"
#include "numeric/root.h"

#define GRID 60
#define GRID_REACH 1.2 /* of the last point of the curve */
#define MOST_CROSSINGS 8

typedef struct scan {
  ebi_side *side;
  double speed;
  ebi_aim aims[EBI_SIDES]; /* of both fans; the one looked at has its flow imposed */
  eb_status status;
} scan;

static ebi_fan_state fan_at(const ebi_side *side, double flow_ref, double speed) {
  double flow = ebi_ducts_actual(flow_ref, side->fan_air.density);
  return ebi_fan_at(side->fan, flow, speed, side->fan_air.density);
}

static double excess(double flow_ref, void *data) {
  scan *s = data;
  ebi_side *side = s->side;
  s->aims[side->supply ? EBI_SUPPLY_SIDE : EBI_EXTRACT_SIDE] = (ebi_aim){EBI_AIM_FLOW, flow_ref};
  eb_status status = ebi_ducts_solve(side->job, s->aims);
  if (status != EB_OK) {
    s->status = status;
    return NAN;
  }
  double rise = ebi_side_asked(side);
  return fan_at(side, flow_ref, s->speed).given - rise;
}

static bool rises(const ebi_side *side, double reach, double speed) {
  for (int i = 1; i <= GRID; i++)
    if (fan_at(side, reach * i / GRID, speed).rising)
      return true;
  return false;
}

static eb_status find_crossings(scan *s, double reach, double *at, size_t *count) {
  double low = reach / GRID, below = excess(low, s);
  for (int i = 2; i <= GRID && *count < MOST_CROSSINGS; i++) {
    double high = reach * i / GRID, above = excess(high, s);
    if (s->status != EB_OK)
      return s->status;
    if ((below > 0.0) != (above > 0.0)) {
      eb_status status = ebi_root((ebi_function){excess, s}, low, high, 1e-9, &at[*count]);
      if (status != EB_OK)
        return s->status != EB_OK ? s->status : status;
      (*count)++;
    }
    low = high;
    below = above;
  }
  return EB_OK;
}

static eb_status scan_side(ebi_side *side, const char *level, const double speed[EBI_SIDES]) {
  scan s = {.side = side, .status = EB_OK};
  for (int i = 0; i < EBI_SIDES; i++)
    s.aims[i] = (ebi_aim){EBI_AIM_SPEED, speed[i]};
  s.speed = speed[side->supply ? EBI_SUPPLY_SIDE : EBI_EXTRACT_SIDE];
  double first, last, at[MOST_CROSSINGS];
  ebi_fan_range(side->fan, s.speed, &first, &last);
  double reach = GRID_REACH * last * side->fan_air.density / EB_REFERENCE_DENSITY;
  size_t count = 0;
  if (!rises(side, reach, s.speed))
    return EB_OK;
  eb_status status = find_crossings(&s, reach, at, &count);
  if (status != EB_OK || count < 2)
    return status;
  for (size_t i = 0; i < count; i++)
    ebi_diag(side->job->context, EB_WARNING, "fan-crossing", side->job->house->unit_where, NULL,
             "the %s fan's curve rises and meets the ducts %zu times at %s: crossing %zu at %.1f "
             "l/s and %.1f Pa; the fan may settle at any of them",
             side->name, count, level, i + 1, 1e3 * ebi_ducts_room_flow(side->job, at[i]),
             fan_at(side, at[i], s.speed).given);
  return EB_OK;
}

eb_status ebi_ducts_crossings(ebi_ducts_job *job, const char *level,
                              const double speed[EBI_SIDES]) {
  eb_status status = EB_OK;
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
    if (job->side[s].network != NULL)
      status = scan_side(&job->side[s], level, speed);
  return status;
}
