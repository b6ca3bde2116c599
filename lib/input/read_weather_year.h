/* read_weather_year.h - the hours of a file in the places of a leap year's calendar */

#ifndef EBI_READ_WEATHER_YEAR_H
#define EBI_READ_WEATHER_YEAR_H

#include "input/read_weather.h"
#include "model/calendar.h"

typedef struct ebi_weather_year {
  size_t rows;
  int line[EBI_CALENDAR_HOURS]; /* 0: no row */
  int column[EBI_CALENDAR_HOURS];
  double temperature[EBI_CALENDAR_HOURS]; /* C; NAN where missing, as all below */
  double humidity[EBI_CALENDAR_HOURS];    /* 0..1 */
  double wind[EBI_CALENDAR_HOURS];        /* m/s */
} ebi_weather_year;

/* NULL when memory ran out. */
ebi_weather_year *ebi_weather_year_new(ebi_arena *arena);

/* Checks the whole, fills gaps where that was asked for, and fills the climate. */
void ebi_weather_year_finish(ebi_weather_file *file, ebi_weather_year *year,
                             const ebi_weather_choices *choices, ebi_climate *climate);

/* Closes up the place of 29 February where the file has none; the hours of the year. */
size_t ebi_weather_year_close_up(ebi_weather_year *year);

/* Fills short gaps or says what is missing; false after an error. `n` hours, closed up. */
bool ebi_weather_year_gaps(ebi_weather_file *file, ebi_weather_year *year, size_t n,
                           const ebi_weather_choices *choices);

/* Whether these can be temperatures of air outdoors, in C; false after an error. */
bool ebi_weather_year_plausible(ebi_weather_file *file, const ebi_weather_year *year, size_t n);

/* "03-31T02:00" of an hour of a year of n hours. */
typedef struct ebi_hour_name {
  char text[16];
} ebi_hour_name;
ebi_hour_name ebi_hour_name_of(size_t hour, size_t n);

/* Its month 0..11. */
int ebi_hour_month(size_t hour, size_t n);

#endif
