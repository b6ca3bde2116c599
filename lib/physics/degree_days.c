/* degree_days.c - how much it is colder than a base, of days and hours */

#include "physics/degree_days.h"

#include <math.h>

#include "evenbreath.h"

#define PI 3.14159265358979324

static bool extremes(double base_c, double max_c, double min_c) {
  return isfinite(base_c) && isfinite(0.5 * (max_c + min_c)) && max_c >= min_c;
}

/* The four cases of the British and Irish meteorological services. */
double eb_degree_days_min_max(double base_c, double max_c, double min_c) {
  double mean = 0.5 * (max_c + min_c);
  if (!extremes(base_c, max_c, min_c))
    return NAN;
  if (min_c >= base_c)
    return 0.0;
  if (mean > base_c)
    return 0.25 * (base_c - min_c);
  if (max_c >= base_c)
    return 0.5 * (base_c - min_c) - 0.25 * (max_c - base_c);
  return base_c - mean;
}

double ebi_days_below_min_max(double base_c, double max_c, double min_c) {
  double mean = 0.5 * (max_c + min_c);
  if (min_c >= base_c)
    return 0.0;
  if (mean > base_c)
    return 0.25;
  return max_c >= base_c ? 0.75 : 1.0;
}

/* The same rules on the scale turned over. */
double eb_cooling_days_min_max(double base_c, double max_c, double min_c) {
  return eb_degree_days_min_max(-base_c, -min_c, -max_c);
}

double eb_degree_days_middle(double base_c, double max_c, double min_c) {
  if (!extremes(base_c, max_c, min_c))
    return NAN;
  return fmax(base_c - 0.5 * (max_c + min_c), 0.0);
}

/* With M the middle and A half the range: [(Tb - M)(theta + pi/2) + A cos theta]/pi,
 * sin theta = (Tb - M)/A (own integral). */
double eb_degree_days_sine(double base_c, double max_c, double min_c) {
  if (!extremes(base_c, max_c, min_c))
    return NAN;
  double below = base_c - 0.5 * (max_c + min_c), half = 0.5 * (max_c - min_c);
  if (fabs(below) >= half)
    return fmax(below, 0.0);
  double angle = asin(below / half);
  return fmax((below * (angle + 0.5 * PI) + half * cos(angle)) / PI, 0.0);
}

double eb_degree_days_jump(double indoor_c, double limit_c, double day_mean_c) {
  if (!isfinite(indoor_c) || !isfinite(limit_c) || !isfinite(day_mean_c) || indoor_c < limit_c)
    return NAN;
  return day_mean_c < limit_c ? indoor_c - day_mean_c : 0.0;
}

double eb_degree_days_hours(double base_c, const double *hours, size_t n) {
  double sum = 0.0;
  if (!isfinite(base_c) || (hours == NULL && n > 0))
    return NAN;
  for (size_t i = 0; i < n; i++) {
    if (!isfinite(hours[i]))
      return NAN;
    sum += hours[i] < base_c ? base_c - hours[i] : 0.0;
  }
  return sum / 24.0;
}

double eb_base_temperature(double indoor_c, double gains_w, double heat_loss_w_k) {
  if (!isfinite(indoor_c) || !isfinite(gains_w) || !isfinite(heat_loss_w_k) ||
      !(heat_loss_w_k > 0.0))
    return NAN;
  return indoor_c - gains_w / heat_loss_w_k;
}
