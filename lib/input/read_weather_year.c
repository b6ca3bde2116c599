/* read_weather_year.c - from the hours of a file to a climate */

#include "input/read_weather_year.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "model/climate.h"

#define LEAP_HOUR (24 * EBI_LEAP_DAY)

ebi_weather_year *ebi_weather_year_new(ebi_arena *arena) {
  ebi_weather_year *year = EBI_NEW(arena, ebi_weather_year);
  for (int i = 0; year != NULL && i < EBI_CALENDAR_HOURS; i++)
    year->temperature[i] = year->humidity[i] = year->wind[i] = NAN;
  return year;
}

/* ---- 29 February -------------------------------------------------------- */

static void move(ebi_weather_year *year, size_t to, size_t from, size_t count) {
  memmove(year->line + to, year->line + from, count * sizeof *year->line);
  memmove(year->column + to, year->column + from, count * sizeof *year->column);
  memmove(year->temperature + to, year->temperature + from, count * sizeof *year->temperature);
  memmove(year->humidity + to, year->humidity + from, count * sizeof *year->humidity);
  memmove(year->wind + to, year->wind + from, count * sizeof *year->wind);
}

/* Where stamps are of ends, 1 March 00:00 is the last hour of February, and that it is the 28th
 * shows only when the rest of the 29th is not there. */
size_t ebi_weather_year_close_up(ebi_weather_year *year) {
  int there = 0;
  for (int i = LEAP_HOUR; i < LEAP_HOUR + 24; i++)
    there += year->line[i] != 0;
  if (there > 1 || (there == 1 && year->line[LEAP_HOUR + 23] == 0))
    return EBI_CALENDAR_HOURS;
  if (there == 1 && year->line[LEAP_HOUR - 1] == 0)
    move(year, LEAP_HOUR - 1, LEAP_HOUR + 23, 1);
  move(year, LEAP_HOUR, LEAP_HOUR + 24, EBI_CALENDAR_HOURS - LEAP_HOUR - 24);
  return EBI_CALENDAR_HOURS - 24;
}

/* The place in the leap calendar. */
static size_t place(size_t hour, size_t n) {
  return n < EBI_CALENDAR_HOURS && hour >= LEAP_HOUR ? hour + 24 : hour;
}

int ebi_hour_month(size_t hour, size_t n) {
  int month, day;
  ebi_calendar_date((int)(place(hour, n) / 24), &month, &day);
  return month;
}

ebi_hour_name ebi_hour_name_of(size_t hour, size_t n) {
  int month, day;
  ebi_hour_name name;
  ebi_calendar_date((int)(place(hour, n) / 24), &month, &day);
  snprintf(name.text, sizeof name.text, "%02u-%02uT%02u:00", (unsigned)(month + 1) % 100,
           (unsigned)day % 100, (unsigned)(hour % 24));
  return name;
}

/* ---- Plausible temperatures --------------------------------------------- */

static bool looks_like_fahrenheit(const ebi_weather_year *year, size_t n) {
  double sum[12] = {0}, count[12] = {0}, all = 0.0, hours = 0.0;
  for (size_t i = 0; i < n; i++) {
    if (isnan(year->temperature[i]))
      continue;
    int month = ebi_hour_month(i, n);
    sum[month] += year->temperature[i];
    count[month] += 1.0;
    all += year->temperature[i];
    hours += 1.0;
  }
  for (int i = 0; i < 12; i++)
    if (sum[i] > 45.0 * count[i])
      return true;
  return all > 35.0 * hours;
}

/* Humidity in parts of 1 would be read as percent, and be hardly any. */
static void check_humidity(ebi_weather_file *file, const ebi_weather_year *year, size_t n) {
  double most = -1.0;
  for (size_t i = 0; i < n; i++)
    if (year->humidity[i] > most)
      most = year->humidity[i];
  if (most < 0.0 || most > 0.01)
    return;
  file->csv.line = file->header_line;
  ebi_weather_error(file, file->of[EBI_WEATHER_HUMIDITY].column, "climate-humidity",
                    "no hour is above 1: these seem to be parts of 1, and humidity is due in "
                    "percent, 0 to 100");
}

bool ebi_weather_year_plausible(ebi_weather_file *file, const ebi_weather_year *year, size_t n) {
  const ebi_weather_column *head = &file->of[EBI_WEATHER_TEMPERATURE];
  check_humidity(file, year, n);
  if (head->factor > 0.9 && looks_like_fahrenheit(year, n)) {
    file->csv.line = file->header_line;
    ebi_weather_error(file, head->column, "climate-fahrenheit",
                      "the year's mean is above 35 C or a month's above 45 C: this looks like "
                      "Fahrenheit; if so, name the column temperature_f");
    return false;
  }
  for (size_t i = 0; i < n; i++) {
    double t = year->temperature[i];
    if (isnan(t) || (t >= EBI_WEATHER_COLDEST && t <= EBI_WEATHER_HOTTEST))
      continue;
    file->csv.line = year->line[i];
    ebi_weather_error(file, year->column[i], "climate-temperature",
                      "%.4g C cannot be outdoor air: -80 to 60 C%s", t,
                      t < -90.0 ? "; a missing value is an empty cell, not a number" : "");
  }
  return file->errors == 0;
}

/* ---- The climate -------------------------------------------------------- */

static bool any(const double *values, size_t n) {
  for (size_t i = 0; i < n; i++)
    if (!isnan(values[i]))
      return true;
  return false;
}

/* By months, where the hours tell. Of humidity the vapour is averaged, and told as that of air
 * at the month's mean temperature. */
static void months_of(const ebi_weather_year *year, size_t n, ebi_climate *climate) {
  double wind[12] = {0}, winds[12] = {0}, vapour[12] = {0}, vapours[12] = {0};
  for (size_t i = 0; i < n; i++) {
    int month = climate->hour_month[i];
    if (!isnan(year->wind[i])) {
      wind[month] += year->wind[i];
      winds[month] += 1.0;
    }
    if (climate->hour_humidity != NULL && !isnan(climate->hour_humidity[i])) {
      vapour[month] += climate->hour_humidity[i] * eb_vapour_saturation(climate->hour_c[i]);
      vapours[month] += 1.0;
    }
  }
  for (int i = 0; i < 12; i++) {
    if (winds[i] > 0.0 && !climate->wind_m_s[i].given)
      climate->wind_m_s[i] = (ebi_given){wind[i] / winds[i], true, climate->entry.where};
    double humidity = vapour[i] / vapours[i] / eb_vapour_saturation(climate->mean_c[i]);
    if (vapours[i] > 0.0 && !climate->humidity[i].given)
      climate->humidity[i] = (ebi_given){fmin(humidity, 1.0), true, climate->entry.where};
  }
}

static const double *humidity_of(const ebi_weather_year *year, size_t n, bool over_ice,
                                 ebi_arena *arena) {
  double *humidity = EBI_NEW_ARRAY(arena, double, n);
  for (size_t i = 0; humidity != NULL && i < n; i++)
    humidity[i] = over_ice ? year->humidity[i]
                           : ebi_humidity_over_ice(year->temperature[i], year->humidity[i]);
  return humidity;
}

static bool fill(const ebi_weather_year *year, size_t n, bool over_ice, ebi_arena *arena,
                 ebi_climate *climate) {
  double *temperature = EBI_NEW_ARRAY(arena, double, n);
  unsigned char *month = EBI_NEW_ARRAY(arena, unsigned char, n);
  unsigned char *of_day = EBI_NEW_ARRAY(arena, unsigned char, n);
  if (temperature == NULL || month == NULL || of_day == NULL)
    return false;
  for (size_t i = 0; i < n; i++) {
    temperature[i] = year->temperature[i];
    month[i] = (unsigned char)ebi_hour_month(i, n);
    of_day[i] = (unsigned char)(i % 24);
  }
  if (any(year->humidity, n)) {
    climate->hour_humidity = humidity_of(year, n, over_ice, arena);
    if (climate->hour_humidity == NULL)
      return false;
  }
  climate->n_hours = n;
  climate->hour_c = temperature;
  climate->hour_month = month;
  climate->hour_of_day = of_day;
  if (!ebi_climate_of_hours(climate, arena))
    return false;
  months_of(year, n, climate);
  return true;
}

void ebi_weather_year_finish(ebi_weather_file *file, ebi_weather_year *year,
                             const ebi_weather_choices *choices, ebi_climate *climate) {
  size_t n = ebi_weather_year_close_up(year);
  if (ebi_weather_year_plausible(file, year, n) && ebi_weather_year_gaps(file, year, n, choices) &&
      !fill(year, n, choices->over_ice, file->reader->arena, climate))
    ebi_weather_error(file, 1, "memory", "memory ran out");
}
