/* ducts_crossings.c - fans whose curve rises somewhere
 *
 * The solver works with the falling envelope of a fan's curve, so it finds the
 * duty point furthest right. Where the given curve rises, the system can cross
 * it more than once, and the fan may settle at any of the crossings or hunt
 * between them. Here the difference "given curve less system" is looked at over
 * a grid of flows, and each change of sign is run down to its root. */

#include <math.h>

#include "design/ducts.h"
#include "numeric/root.h"

#define GRID 60
#define GRID_REACH 1.2 /* of the flow at the duty point or the last point of the curve */
#define MOST_CROSSINGS 8

typedef struct scan {
  ebi_side *side;
  double speed;
  eb_status status;
} scan;

static ebi_fan_state fan_at(const ebi_side *side, double total_ref, double speed) {
  double flow = ebi_ducts_actual(total_ref, side->fan_air.density);
  return ebi_fan_at(side->fan, flow, speed, side->fan_air.density);
}

static double excess(double total_ref, void *data) {
  scan *s = data;
  double rise = 0.0;
  eb_status status = ebi_side_impose(s->side, total_ref, &rise);
  if (status != EB_OK) {
    s->status = status;
    return NAN;
  }
  return fan_at(s->side, total_ref, s->speed).given - rise;
}

static bool rises(const ebi_side *side, double reach, double speed) {
  for (int i = 1; i <= GRID; i++)
    if (fan_at(side, reach * i / GRID, speed).rising)
      return true;
  return false;
}

/* The largest flow on the fan's curves, brought to the speed (ref). */
static double curve_end(const ebi_side *side, double speed) {
  const ebi_unit *unit = side->job->house->unit;
  const ebi_fan_data *data = side->supply ? &unit->supply_fan : &unit->extract_fan;
  double end = 0.0;
  for (size_t i = 0; i < data->n_curves; i++) {
    const ebi_fan_curve_data *curve = &data->curves[i];
    end = fmax(end, curve->points[curve->n_points - 1].flow * speed / curve->speed);
  }
  return end * side->fan_air.density / EB_REFERENCE_DENSITY;
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

eb_status ebi_side_crossings(ebi_side *side, const char *level, double speed) {
  double reach = GRID_REACH * fmax(curve_end(side, speed), side->total);
  double at[MOST_CROSSINGS];
  size_t count = 0;
  if (!rises(side, reach, speed))
    return EB_OK;
  scan s = {.side = side, .speed = speed, .status = EB_OK};
  eb_status status = find_crossings(&s, reach, at, &count);
  if (status != EB_OK || count < 2)
    return status;
  for (size_t i = 0; i < count; i++)
    ebi_diag(side->job->context, EB_WARNING, "fan-crossing", side->job->house->unit_where, NULL,
             "the %s fan's curve rises and meets the ducts %zu times at %s: crossing %zu at %.1f "
             "l/s and %.1f Pa; the fan may settle at any of them",
             side->name, count, level, i + 1, 1e3 * ebi_ducts_room_flow(side->job, at[i]),
             fan_at(side, at[i], speed).given);
  return EB_OK;
}
