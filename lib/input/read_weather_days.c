/* read_weather_days.c - a year of daily extremes from CSV */

#include <math.h>

#include "input/growing.h"
#include "input/read_weather.h"
#include "model/calendar.h"
#include "model/climate.h"

#define LISTED 10

/* Days in the places of a leap year's calendar. */
typedef struct daily {
  int line[EBI_CALENDAR_DAYS]; /* 0: no row */
  double max[EBI_CALENDAR_DAYS], min[EBI_CALENDAR_DAYS], wind[EBI_CALENDAR_DAYS];
  bool has_year;
  long last;
  size_t rows;
} daily;

static const char *stamp_fault(const daily *days, const ebi_time_stamp *stamp) {
  if (stamp->has_time && stamp->hour + stamp->minute > 0)
    return "a day is due, without the hour; hours are read by `hours:`";
  if (days->rows > 0 && (stamp->year >= 0) != days->has_year)
    return "the days before it are with the year, or all without";
  return NULL;
}

static void check_extremes(ebi_weather_file *file, double max, double min) {
  const ebi_csv_cell *cell = &file->csv.cells[file->of[EBI_WEATHER_MAX].at];
  if (isnan(max) || isnan(min))
    ebi_weather_error(file, 1, "climate-gaps",
                      "a day needs both its highest and its lowest temperature");
  else if (max < min)
    ebi_weather_error(file, cell->column, "climate-temperature",
                      "the highest of the day, %.4g C, is below the lowest, %.4g C", max, min);
  else if (max > EBI_WEATHER_HOTTEST || min < EBI_WEATHER_COLDEST)
    ebi_weather_error(file, cell->column, "climate-temperature",
                      "%.4g C cannot be outdoor air: -80 to 60 C; of Fahrenheit say max_f and "
                      "min_f",
                      max > EBI_WEATHER_HOTTEST ? max : min);
}

/* False where no more is worth reading. */
static bool take_day(ebi_weather_file *file, daily *days, const ebi_time_stamp *stamp,
                     const ebi_csv_cell *cell) {
  int place = ebi_calendar_day(stamp->month, stamp->day);
  long number = stamp->year >= 0 ? ebi_day_number(stamp->year, stamp->month, stamp->day) : place;
  if (days->rows > 0 && number <= days->last) {
    ebi_weather_error(file, cell->column, number == days->last ? "climate-twice" : "climate-order",
                      "\"%s\" is not later than the row before; the days must rise",
                      ebi_csv_show(cell).text);
    return true;
  }
  if (days->line[place] != 0) {
    ebi_weather_error(file, cell->column, "climate-years",
                      "\"%s\": the year went round, this day stands in line %d too; one year is "
                      "due, of 365 or 366 rows, and this file has %zu",
                      ebi_csv_show(cell).text, days->line[place],
                      days->rows + ebi_csv_rest(&file->csv) + 1);
    return false;
  }
  days->has_year = stamp->year >= 0;
  days->last = number;
  days->rows++;
  days->line[place] = file->csv.line;
  days->max[place] = ebi_weather_number(file, EBI_WEATHER_MAX);
  days->min[place] = ebi_weather_number(file, EBI_WEATHER_MIN);
  days->wind[place] = ebi_weather_number(file, EBI_WEATHER_WIND);
  if (file->errors == 0)
    check_extremes(file, days->max[place], days->min[place]);
  return true;
}

static bool take_row(ebi_weather_file *file, daily *days) {
  if (!ebi_weather_row_fits(file))
    return true;
  const ebi_csv_cell *cell = &file->csv.cells[file->of[EBI_WEATHER_TIME].at];
  ebi_time_stamp stamp;
  const char *why = ebi_time_stamp_read(cell->text, cell->length, &stamp);
  if (why == NULL)
    why = stamp_fault(days, &stamp);
  if (why != NULL)
    ebi_weather_error(file, cell->column, "climate-stamp", "\"%s\": %s", ebi_csv_show(cell).text,
                      why);
  return why != NULL || take_day(file, days, &stamp, cell);
}

/* ---- The whole ---------------------------------------------------------- */

static bool wanted(const daily *days, int place) {
  return place != EBI_LEAP_DAY || days->line[place] != 0;
}

/* Says which days are missing; false where some are. */
static bool complete(ebi_weather_file *file, const daily *days) {
  ebi_growing list = {.arena = file->reader->arena};
  size_t count = 0;
  for (int i = 0; i < EBI_CALENDAR_DAYS; i++) {
    int month, day;
    if (days->line[i] != 0 || !wanted(days, i))
      continue;
    ebi_calendar_date(i, &month, &day);
    if (count++ < LISTED)
      ebi_grow_format(&list, "%s%02d-%02d", count > 1 ? ", " : "", month + 1, day);
  }
  if (count > LISTED)
    ebi_grow_format(&list, " and %zu more", count - LISTED);
  if (list.failed)
    ebi_weather_error(file, 1, "memory", "memory ran out");
  else if (count > 0)
    ebi_weather_error(file, 1, "climate-gaps",
                      "%zu day%s missing of the year: %s; a year has 365 or 366 rows", count,
                      count == 1 ? " is" : "s are", list.text);
  return count == 0 && !list.failed;
}

static void winds_of(const daily *days, ebi_climate *climate) {
  double sum[12] = {0}, count[12] = {0};
  for (int i = 0; i < EBI_CALENDAR_DAYS; i++) {
    int month, day;
    ebi_calendar_date(i, &month, &day);
    if (days->line[i] == 0 || isnan(days->wind[i]))
      continue;
    sum[month] += days->wind[i];
    count[month] += 1.0;
  }
  for (int i = 0; i < 12; i++)
    if (count[i] > 0.0 && !climate->wind_m_s[i].given)
      climate->wind_m_s[i] = (ebi_given){sum[i] / count[i], true, climate->entry.where};
}

static bool fill(const daily *days, ebi_arena *arena, ebi_climate *climate) {
  double *max = EBI_NEW_ARRAY(arena, double, days->rows);
  double *min = EBI_NEW_ARRAY(arena, double, days->rows);
  unsigned char *of_month = EBI_NEW_ARRAY(arena, unsigned char, days->rows);
  if (max == NULL || min == NULL || of_month == NULL)
    return false;
  size_t n = 0;
  for (int i = 0; i < EBI_CALENDAR_DAYS; i++) {
    int month, day;
    ebi_calendar_date(i, &month, &day);
    if (days->line[i] == 0)
      continue;
    max[n] = days->max[i];
    min[n] = days->min[i];
    of_month[n++] = (unsigned char)month;
  }
  climate->n_days = n;
  climate->day_max = max;
  climate->day_min = min;
  climate->day_month = of_month;
  winds_of(days, climate);
  return ebi_climate_of_days(climate, arena);
}

/* Cold days in Fahrenheit can pass for hot ones in Celsius, but not a year of them. */
static bool plausible(ebi_weather_file *file, const daily *days) {
  const ebi_weather_column *head = &file->of[EBI_WEATHER_MAX];
  double sum = 0.0;
  for (int i = 0; i < EBI_CALENDAR_DAYS; i++)
    if (days->line[i] != 0)
      sum += 0.5 * (days->max[i] + days->min[i]);
  if (head->factor < 0.9 || sum <= 35.0 * (double)days->rows)
    return true;
  file->csv.line = file->header_line;
  ebi_weather_error(file, head->column, "climate-fahrenheit",
                    "the year's mean is above 35 C: this looks like Fahrenheit; if so, name the "
                    "columns max_f and min_f");
  return false;
}

static void read_rows(ebi_weather_file *file, daily *days, ebi_climate *climate) {
  while (ebi_csv_next(&file->csv) && take_row(file, days))
    continue;
  if (file->errors == 0 && complete(file, days) && plausible(file, days) &&
      !fill(days, file->reader->arena, climate))
    ebi_weather_error(file, 1, "memory", "memory ran out");
  ebi_weather_close(file);
}

void ebi_weather_days(ebi_reader *reader, const char *path, ebi_climate *climate) {
  static const ebi_weather_role needed[] = {EBI_WEATHER_TIME, EBI_WEATHER_MAX, EBI_WEATHER_MIN,
                                            EBI_WEATHER_ROLES};
  ebi_weather_file file;
  ebi_arena *scratch = ebi_context_arena(reader->context);
  daily *days = scratch ? EBI_NEW(scratch, daily) : NULL;
  if (days == NULL)
    ebi_diag(reader->context, EB_ERROR, "memory", (ebi_where){path, 0, 0}, NULL, "memory ran out");
  else if (ebi_weather_open(&file, reader, scratch, path, needed))
    read_rows(&file, days, climate);
  if (scratch != NULL)
    ebi_context_release(reader->context, scratch);
}
