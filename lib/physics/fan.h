/* fan.h - a fan: total-pressure rise and power against flow and speed
 *
 * Curves are at 1.2 kg/m3 at given speeds (share of the top speed). Between
 * two curves both are brought to the asked speed by the fan laws and blended;
 * outside them the nearest curve is scaled: q ~ n, p ~ n^2 rho, P ~ n^3 rho.
 *
 * Left of its first point a curve stays level; right of its last it falls so
 * steeply that no solution lies more than 0.1 % beyond the last flow. */

#ifndef EBI_FAN_H
#define EBI_FAN_H

#include "base/arena.h"

typedef struct ebi_fan ebi_fan;

typedef struct ebi_fan_curve_points {
  double speed;           /* 0 < speed <= 1 */
  const double *flow;     /* m3/s, rising strictly from >= 0 */
  const double *pressure; /* Pa, total */
  const double *power;    /* W, or NULL */
  size_t count;           /* >= 2 */
} ebi_fan_curve_points;

/* Curves by rising speed, count >= 1. standby [W] is the floor of power that
 * does not follow the laws. NULL when memory ran out. */
ebi_fan *ebi_fan_new(ebi_arena *arena, const ebi_fan_curve_points *curves, size_t count,
                     double standby);

typedef struct ebi_fan_state {
  double rise;  /* Pa; the falling envelope of the curve */
  double slope; /* Pa/(m3/s), < 0 */
  bool beyond;  /* flow is outside the points given */
  bool rising;  /* the given curve rises here, above/below the envelope */
  double given; /* Pa, of the given curve itself */
} ebi_fan_state;

/* flow [m3/s] actual, density [kg/m3], speed 0..1 (> 0). */
ebi_fan_state ebi_fan_at(const ebi_fan *fan, double flow, double speed, double density);

/* First and last flow [m3/s] of the points at a speed. */
void ebi_fan_range(const ebi_fan *fan, double speed, double *first, double *last);

/* Electrical power [W] at flow, speed and density; NAN where no curve has power. */
double ebi_fan_power(const ebi_fan *fan, double flow, double speed, double density);

/* Speed at which the fan gives `rise` at `flow`: EB_E_NO_SOLUTION where even
 * full speed does not (speed is then 1) or the slowest gives more. */
EB_MUST_USE eb_status ebi_fan_speed(const ebi_fan *fan, double flow, double rise, double density,
                                    double *speed);

#endif
