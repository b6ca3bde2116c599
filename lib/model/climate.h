/* climate.h - what follows from the hours or days of a climate */

#ifndef EBI_MODEL_CLIMATE_H
#define EBI_MODEL_CLIMATE_H

#include "model/tables.h"

/* From hour_c, hour_month and hour_of_day: extremes and means of each day, hours_of, and all that
 * follows from the days. False when memory ran out. */
bool ebi_climate_of_hours(ebi_climate *climate, ebi_arena *arena);

/* From day_max, day_min and day_month: day_mean where it is NULL, the months' days, mean_c and
 * deviation. False when memory ran out. */
bool ebi_climate_of_days(ebi_climate *climate, ebi_arena *arena);

/* The yearly deviation from the means of the months. */
void ebi_climate_of_months(ebi_climate *climate);

/* Where humidity was counted over water below 0 C, as weather stations do: that over ice, by which
 * the library counts; at most 1. */
double ebi_humidity_over_ice(double temperature_c, double humidity);

#endif
