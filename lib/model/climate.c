/* climate.c - what follows from the hours or days of a climate */

#include "model/climate.h"

#include <math.h>

#include "numeric/sort.h"

/* Below it a month's days are as good as alike: the monthly rules need some spread [K]. */
#define LEAST_DEVIATION 0.05

static double deviation_of(double sum, double squares, double n) {
  return n > 1.0 ? sqrt(fmax(squares - sum * sum / n, 0.0) / (n - 1.0)) : 0.0;
}

void ebi_climate_of_months(ebi_climate *climate) {
  double sum = 0.0, squares = 0.0;
  for (int i = 0; i < 12; i++) {
    sum += climate->mean_c[i];
    squares += climate->mean_c[i] * climate->mean_c[i];
  }
  climate->yearly_deviation = deviation_of(sum, squares, 12.0);
}

static bool middles(ebi_climate *climate, ebi_arena *arena) {
  double *mean = EBI_NEW_ARRAY(arena, double, climate->n_days);
  if (mean == NULL)
    return false;
  for (size_t i = 0; i < climate->n_days; i++)
    mean[i] = 0.5 * (climate->day_max[i] + climate->day_min[i]);
  climate->day_mean = mean;
  return true;
}

bool ebi_climate_of_days(ebi_climate *climate, ebi_arena *arena) {
  double sum[12] = {0}, squares[12] = {0};
  if (climate->day_mean == NULL && !middles(climate, arena))
    return false;
  for (int i = 0; i < 12; i++)
    climate->days[i] = 0.0;
  for (size_t i = 0; i < climate->n_days; i++) {
    int month = climate->day_month[i];
    climate->days[month] += 1.0;
    sum[month] += climate->day_mean[i];
    squares[month] += climate->day_mean[i] * climate->day_mean[i];
  }
  for (int i = 0; i < 12; i++) {
    climate->mean_c[i] = sum[i] / climate->days[i];
    climate->deviation[i] =
        fmax(deviation_of(sum[i], squares[i], climate->days[i]), LEAST_DEVIATION);
  }
  ebi_climate_of_months(climate);
  return true;
}

/* ---- Hours -------------------------------------------------------------- */

static bool sort_month(const ebi_climate *climate, ebi_arena *arena, int month,
                       ebi_sorted *sorted) {
  size_t n = 0;
  for (size_t i = 0; i < climate->n_hours; i++)
    n += climate->hour_month[i] == month;
  double *rising = EBI_NEW_ARRAY(arena, double, n), *sums = EBI_NEW_ARRAY(arena, double, n + 1);
  if (rising == NULL || sums == NULL)
    return false;
  *sorted = (ebi_sorted){rising, sums, n};
  n = 0;
  for (size_t i = 0; i < climate->n_hours; i++)
    if (climate->hour_month[i] == month)
      rising[n++] = climate->hour_c[i];
  ebi_sort_rising(rising, n);
  for (size_t i = 0; i < n; i++)
    sums[i + 1] = sums[i] + rising[i];
  return true;
}

typedef struct day_arrays {
  double *max, *min, *mean;
  unsigned char *month;
} day_arrays;

/* The hours of one day from `i`; returns the first of the next. */
static size_t take_day(const ebi_climate *climate, size_t i, size_t day, const day_arrays *to) {
  size_t first = i;
  double sum = 0.0;
  to->max[day] = -INFINITY;
  to->min[day] = INFINITY;
  to->month[day] = climate->hour_month[i];
  do {
    to->max[day] = fmax(to->max[day], climate->hour_c[i]);
    to->min[day] = fmin(to->min[day], climate->hour_c[i]);
    sum += climate->hour_c[i++];
  } while (i < climate->n_hours && climate->hour_of_day[i] > climate->hour_of_day[i - 1]);
  to->mean[day] = sum / (double)(i - first);
  return i;
}

static bool take_days(ebi_climate *climate, ebi_arena *arena) {
  size_t most = climate->n_hours;
  size_t n = 1;
  for (size_t i = 1; i < most; i++)
    n += climate->hour_of_day[i] <= climate->hour_of_day[i - 1];
  day_arrays to = {EBI_NEW_ARRAY(arena, double, n), EBI_NEW_ARRAY(arena, double, n),
                   EBI_NEW_ARRAY(arena, double, n), EBI_NEW_ARRAY(arena, unsigned char, n)};
  if (to.max == NULL || to.min == NULL || to.mean == NULL || to.month == NULL)
    return false;
  for (size_t i = 0, day = 0; i < most; day++)
    i = take_day(climate, i, day, &to);
  climate->day_max = to.max;
  climate->day_min = to.min;
  climate->day_mean = to.mean;
  climate->day_month = to.month;
  climate->n_days = n;
  return true;
}

/* The mean of a month is that of its hours, also where a day lacks some. */
bool ebi_climate_of_hours(ebi_climate *climate, ebi_arena *arena) {
  if (!take_days(climate, arena) || !ebi_climate_of_days(climate, arena))
    return false;
  for (int i = 0; i < 12; i++) {
    ebi_sorted *sorted = &climate->hours_of[i];
    if (!sort_month(climate, arena, i, sorted))
      return false;
    climate->mean_c[i] = sorted->sums[sorted->n] / (double)sorted->n;
  }
  ebi_climate_of_months(climate);
  return true;
}

/* ---- Humidity ----------------------------------------------------------- */

double ebi_humidity_over_ice(double temperature_c, double humidity) {
  double t = fmax(temperature_c, -60.0); /* the coldest that the formula over water is for */
  if (t >= 0.01 || isnan(humidity))
    return humidity;
  return fmin(humidity * eb_vapour_saturation_water(t) / eb_vapour_saturation(t), 1.0);
}
