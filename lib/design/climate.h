/* climate.h - degree-days of a climate's months, by what the climate has
 *
 * Each way to take the weather has its own rule; sums of one are never mixed
 * with sums of another. */

#ifndef EBI_DESIGN_CLIMATE_H
#define EBI_DESIGN_CLIMATE_H

#include "model/tables.h"

/* Coarsest first. */
typedef enum ebi_weather {
  EBI_WEATHER_MONTHS, /* means of months, by the climate's month rule */
  EBI_WEATHER_DAYS,   /* daily extremes, by the four cases */
  EBI_WEATHER_HOURS   /* each hour */
} ebi_weather;

/* Months every climate has. */
bool ebi_climate_has(const ebi_climate *climate, ebi_weather weather);
ebi_weather ebi_climate_finest(const ebi_climate *climate);

/* "months", and "Hitchin 1983" or how else the degree-days come about. */
const char *ebi_weather_name(ebi_weather weather);
const char *ebi_weather_rule(const ebi_climate *climate, ebi_weather weather);

/* Degree-days [K day] of month 0..11 below a base. */
double ebi_climate_degree_days(const ebi_climate *climate, ebi_weather weather, int month,
                               double base_c);

/* Days of the month below a base: the slope of its degree-days by the base. */
double ebi_climate_days_below(const ebi_climate *climate, ebi_weather weather, int month,
                              double base_c);

/* The same two far below the month's mean, where frost protection works: months are then spread
 * normally, since the tail of the monthly rules is too long. */
double ebi_climate_cold_degree_days(const ebi_climate *climate, ebi_weather weather, int month,
                                    double base_c);
double ebi_climate_cold_days(const ebi_climate *climate, ebi_weather weather, int month,
                             double base_c);

/* Degree-days of the year by every definition that the climate's data allow: below `base_c` and
 * the usual bases, then the rules that jump. NAN base_c: the usual ones alone. */
EB_MUST_USE eb_status ebi_climate_definitions(const ebi_climate *climate, double base_c,
                                              ebi_arena *arena, const eb_degree_day_row **rows,
                                              size_t *n);

#endif
