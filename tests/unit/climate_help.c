/* climate_help.c - files of weather read plainly, as they stand */

#include "climate_help.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/climate.h"

#define MOST 8784

const char *climate_help_path(ebi_arena *arena, const char *path) {
  const char *source = getenv("srcdir");
  const char *full = ebi_arena_format(arena, "%s/%s", source ? source : ".", path);
  ck_assert_ptr_nonnull(full);
  return full;
}

static FILE *open_file(const char *path) {
  FILE *file = fopen(path, "r");
  ck_assert_msg(file != NULL, "%s", path);
  return file;
}

ebi_climate *climate_help_seattle(ebi_arena *arena) {
  FILE *file = open_file(climate_help_path(arena, "tables/climates/seattle-hours.csv"));
  double *hours = EBI_NEW_ARRAY(arena, double, MOST);
  unsigned char *month = EBI_NEW_ARRAY(arena, unsigned char, MOST);
  unsigned char *of_day = EBI_NEW_ARRAY(arena, unsigned char, MOST);
  ebi_climate *climate = EBI_NEW(arena, ebi_climate);
  ck_assert(hours && month && of_day && climate);
  size_t n = 0;
  for (char line[256]; fgets(line, sizeof line, file) != NULL;) {
    unsigned m, day, hour;
    double t;
    if (n >= MOST || sscanf(line, "%2u-%2uT%2u:00,%lf", &m, &day, &hour, &t) != 4)
      continue;
    hours[n] = t;
    month[n] = (unsigned char)(m - 1);
    of_day[n++] = (unsigned char)hour;
  }
  fclose(file);
  *climate = (ebi_climate){.entry = {"seattle-hours", "Seattle", {"NOAA", "read"}, {0}},
                           .hitchin_k = 0.71,
                           .latitude = 47.45,
                           .altitude_m = 130.0,
                           .n_hours = n,
                           .hour_c = hours,
                           .hour_month = month,
                           .hour_of_day = of_day};
  ck_assert(ebi_climate_of_hours(climate, arena));
  return climate;
}

size_t climate_help_san_francisco(double *hours, size_t most) {
  char path[512];
  const char *source = getenv("srcdir");
  snprintf(path, sizeof path, "%s/tests/data/san-francisco.csv", source ? source : ".");
  FILE *file = open_file(path);
  size_t n = 0;
  double fahrenheit;
  for (char line[256]; fgets(line, sizeof line, file) != NULL;)
    if (n < most && sscanf(line, "%lf,2010-", &fahrenheit) == 1)
      hours[n++] = (fahrenheit - 32.0) / 1.8;
  fclose(file);
  return n;
}

/* Two of them are shipped. */
static const char *path_of_days(ebi_arena *arena, const char *place, int year) {
  bool shipped = year == (strcmp(place, "seattle") == 0 ? 2012 : 2014);
  return climate_help_path(arena, ebi_arena_format(arena, "%s/%s-%d.csv",
                                                   shipped ? "tables/climates" : "tests/data",
                                                   place, year));
}

ebi_climate *climate_help_days(ebi_arena *arena, const char *place, int year) {
  FILE *file = open_file(path_of_days(arena, place, year));
  double *max = EBI_NEW_ARRAY(arena, double, 366), *min = EBI_NEW_ARRAY(arena, double, 366);
  unsigned char *month = EBI_NEW_ARRAY(arena, unsigned char, 366);
  ebi_climate *climate = EBI_NEW(arena, ebi_climate);
  ck_assert(max && min && month && climate);
  size_t n = 0;
  for (char line[256]; fgets(line, sizeof line, file) != NULL;) {
    unsigned m, day;
    int of_year;
    double high, low;
    if (n >= 366 || sscanf(line, "%4d-%2u-%2u,%lf,%lf", &of_year, &m, &day, &high, &low) != 5)
      continue;
    max[n] = high;
    min[n] = low;
    month[n++] = (unsigned char)(m - 1);
  }
  fclose(file);
  *climate = (ebi_climate){.entry = {place, place, {"NOAA", "read"}, {0}},
                           .hitchin_k = 0.71,
                           .n_days = n,
                           .day_max = max,
                           .day_min = min,
                           .day_month = month};
  ck_assert(ebi_climate_of_days(climate, arena));
  return climate;
}
