/* fan.c - fan curves, their falling envelope, fan laws and electrical power
 *
 * A curve is Steffen's interpolation of its points. The solver needs a law that
 * falls strictly, so it gets the least falling curve that lies nowhere below
 * the given one: going from the largest flow to the smallest, the largest
 * pressure met so far, where it stays level tilted by a slope of a ten-thousandth
 * of top pressure over largest flow. This is the branch right of a peak, on which
 * a fan runs stably. Between two points a Steffen curve is monotone, so one
 * level for each interval (the envelope at its right end) describes it.
 *
 * Outside its points a curve says nothing, and nothing is made up: to the left
 * it stays level, to the right it falls so steeply that a fan moves no more than
 * a thousandth above its last flow, whatever helps it. */

#include "physics/fan.h"

#include <math.h>

#include "numeric/curve.h"
#include "numeric/root.h"

#define TILT 1e-4
#define END_FALL 1e3 /* top pressures over the largest flow */
#define SPEED_MIN 1e-3

typedef struct fan_curve {
  double speed;
  const double *flow;    /* of the points */
  const double *ceiling; /* Pa, envelope in each point */
  size_t count;
  double tilt, end_fall;             /* Pa/(m3/s), > 0 */
  const ebi_curve *pressure, *power; /* power NULL: not given */
} fan_curve;

struct ebi_fan {
  const fan_curve *curves;
  size_t count;
  double standby; /* W */
};

/* ---- Building ---- */

/* Top pressure over largest flow. */
static double slope_of(const ebi_fan_curve_points *points) {
  double top = 0.0;
  for (size_t i = 0; i < points->count; i++)
    top = fmax(top, fabs(points->pressure[i]));
  return fmax(top, 1.0) / points->flow[points->count - 1];
}

static double *ceiling_new(ebi_arena *arena, const ebi_fan_curve_points *points, double tilt) {
  double *ceiling = EBI_NEW_ARRAY(arena, double, points->count);
  if (ceiling == NULL)
    return NULL;
  size_t i = points->count - 1;
  ceiling[i] = points->pressure[i];
  while (i-- > 0)
    ceiling[i] =
        fmax(points->pressure[i], ceiling[i + 1] + tilt * (points->flow[i + 1] - points->flow[i]));
  return ceiling;
}

static bool curve_fill(ebi_arena *arena, const ebi_fan_curve_points *points, fan_curve *curve) {
  double *flow = EBI_NEW_ARRAY(arena, double, points->count);
  if (flow == NULL)
    return false;
  for (size_t i = 0; i < points->count; i++)
    flow[i] = points->flow[i];
  *curve = (fan_curve){.speed = points->speed,
                       .flow = flow,
                       .count = points->count,
                       .tilt = TILT * slope_of(points),
                       .end_fall = END_FALL * slope_of(points),
                       .pressure = ebi_curve_new(arena, flow, points->pressure, points->count)};
  curve->ceiling = ceiling_new(arena, points, curve->tilt);
  if (points->power != NULL) {
    curve->power = ebi_curve_new(arena, flow, points->power, points->count);
    if (curve->power == NULL)
      return false;
  }
  return curve->pressure != NULL && curve->ceiling != NULL;
}

ebi_fan *ebi_fan_new(ebi_arena *arena, const ebi_fan_curve_points *curves, size_t count,
                     double standby) {
  ebi_fan *fan = EBI_NEW(arena, ebi_fan);
  fan_curve *own = EBI_NEW_ARRAY(arena, fan_curve, count);
  if (fan == NULL || own == NULL)
    return NULL;
  for (size_t i = 0; i < count; i++) {
    if (!curve_fill(arena, &curves[i], &own[i]))
      return NULL;
  }
  *fan = (ebi_fan){.curves = own, .count = count, .standby = standby};
  return fan;
}

/* ---- One curve at its own speed and 1.2 kg/m3 ---- */

/* The envelope's level at the right end of the interval that holds `flow`. */
static double ceiling_at(const fan_curve *curve, double flow) {
  size_t low = 0, high = curve->count - 1;
  while (high - low > 1) {
    size_t middle = low + (high - low) / 2;
    if (curve->flow[middle] <= flow)
      low = middle;
    else
      high = middle;
  }
  return curve->ceiling[high] + curve->tilt * (curve->flow[high] - flow);
}

/* Left of the points level with the envelope, right of them steeply down. */
static ebi_fan_state outside(const fan_curve *curve, double flow) {
  bool left = flow < curve->flow[0];
  size_t end = left ? 0 : curve->count - 1;
  double slope = left ? -curve->tilt : -curve->end_fall;
  double change = slope * (flow - curve->flow[end]);
  return (ebi_fan_state){.rise = curve->ceiling[end] + change,
                         .slope = slope,
                         .beyond = true,
                         .given = ebi_curve_at(curve->pressure, curve->flow[end]).y + change};
}

static ebi_fan_state curve_at(const fan_curve *curve, double flow) {
  ebi_curve_value given = ebi_curve_at(curve->pressure, flow);
  if (given.outside)
    return outside(curve, flow);
  double ceiling = ceiling_at(curve, flow);
  bool level = ceiling > given.y;
  return (ebi_fan_state){.rise = level ? ceiling : given.y,
                         .slope = level ? -curve->tilt : fmin(given.slope, -curve->tilt),
                         .rising = given.slope > 0.0 || ceiling - given.y > TILT * fabs(ceiling),
                         .given = given.y};
}

/* ---- Between speeds ---- */

/* The two curves around a speed and the share of the upper one; outside all curves, and with one
 * curve only, both are the nearest. */
typedef struct between {
  const fan_curve *lower, *upper;
  double share;
} between;

static between around(const ebi_fan *fan, double speed) {
  size_t i = 0;
  while (i < fan->count && fan->curves[i].speed < speed)
    i++;
  if (i == 0 || i == fan->count) {
    const fan_curve *nearest = &fan->curves[i == 0 ? 0 : i - 1];
    return (between){nearest, nearest, 0.0};
  }
  const fan_curve *lower = &fan->curves[i - 1], *upper = &fan->curves[i];
  return (between){lower, upper, (speed - lower->speed) / (upper->speed - lower->speed)};
}

/* The fan laws: q ~ n, p ~ n^2 rho. */
static ebi_fan_state scaled(const fan_curve *curve, double flow, double speed, double density) {
  double ratio = speed / curve->speed, dense = density / EB_REFERENCE_DENSITY;
  ebi_fan_state state = curve_at(curve, flow / ratio);
  state.rise *= ratio * ratio * dense;
  state.given *= ratio * ratio * dense;
  state.slope *= ratio * dense;
  return state;
}

ebi_fan_state ebi_fan_at(const ebi_fan *fan, double flow, double speed, double density) {
  between b = around(fan, speed);
  ebi_fan_state low = scaled(b.lower, flow, speed, density);
  if (b.share == 0.0)
    return low;
  ebi_fan_state high = scaled(b.upper, flow, speed, density);
  if (b.share == 1.0)
    return high;
  return (ebi_fan_state){.rise = low.rise + b.share * (high.rise - low.rise),
                         .slope = low.slope + b.share * (high.slope - low.slope),
                         .beyond = low.beyond || high.beyond,
                         .rising = low.rising || high.rising,
                         .given = low.given + b.share * (high.given - low.given)};
}

/* Between two curves what both of them show. */
void ebi_fan_range(const ebi_fan *fan, double speed, double *first, double *last) {
  between b = around(fan, speed);
  const fan_curve *curves[] = {b.lower, b.upper};
  *first = 0.0;
  *last = HUGE_VAL;
  for (int i = 0; i < 2; i++) {
    if ((i == 0 && b.share == 1.0) || (i == 1 && b.share == 0.0))
      continue;
    double ratio = speed / curves[i]->speed;
    *first = fmax(*first, curves[i]->flow[0] * ratio);
    *last = fmin(*last, curves[i]->flow[curves[i]->count - 1] * ratio);
  }
}

/* ---- Power ---- */

/* Above standby P ~ n^3 rho. Outside the points the power of the end stands. */
static double scaled_power(const ebi_fan *fan, const fan_curve *curve, double flow, double speed,
                           double density) {
  double ratio = speed / curve->speed;
  double own_flow =
      fmin(fmax(flow / ratio, ebi_curve_first(curve->power)), ebi_curve_last(curve->power));
  double moving = fmax(ebi_curve_at(curve->power, own_flow).y - fan->standby, 0.0);
  return fan->standby + moving * ratio * ratio * ratio * density / EB_REFERENCE_DENSITY;
}

double ebi_fan_power(const ebi_fan *fan, double flow, double speed, double density) {
  between b = around(fan, speed);
  if (b.lower->power == NULL && b.upper->power == NULL)
    return NAN;
  if (b.lower->power == NULL)
    return scaled_power(fan, b.upper, flow, speed, density);
  double low = scaled_power(fan, b.lower, flow, speed, density);
  if (b.upper->power == NULL || b.share == 0.0)
    return low;
  return low + b.share * (scaled_power(fan, b.upper, flow, speed, density) - low);
}

/* ---- Speed for a duty ---- */

typedef struct duty {
  const ebi_fan *fan;
  double flow, rise, density;
} duty;

static double missing_rise(double speed, void *data) {
  const duty *d = data;
  return ebi_fan_at(d->fan, d->flow, speed, d->density).rise - d->rise;
}

eb_status ebi_fan_speed(const ebi_fan *fan, double flow, double rise, double density,
                        double *speed) {
  duty d = {fan, flow, rise, density};
  if (missing_rise(1.0, &d) < 0.0) {
    *speed = 1.0;
    return EB_E_NO_SOLUTION;
  }
  if (missing_rise(SPEED_MIN, &d) > 0.0) {
    *speed = SPEED_MIN;
    return EB_E_NO_SOLUTION;
  }
  return ebi_root((ebi_function){missing_rise, &d}, SPEED_MIN, 1.0, 1e-13, speed);
}
