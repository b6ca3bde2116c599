/* read_weather_hours.c - a year of hours from CSV
 *
 * Each hour of the calendar of a leap year has a place; the rows fill them in
 * the order of time. 29 February counts where the file has it. */

#include <math.h>
#include <string.h>

#include "input/read_weather.h"
#include "input/read_weather_year.h"
#include "model/calendar.h"

/* ---- When --------------------------------------------------------------- */

/* How the first stamp is written is how all must be. */
typedef struct stamp_clock {
  bool started, has_year, has_zone;
  int zone;
  long first, last; /* hours on one clock */
} stamp_clock;

static const char *stamp_fault(const stamp_clock *clock, const ebi_time_stamp *stamp,
                               const ebi_weather_choices *choices) {
  if (!stamp->has_time)
    return "the hour is due too, as in 2019-01-31T07:00; days alone are read by `days:`";
  if (stamp->minute != 0)
    return "whole hours are due: take the means of shorter steps first";
  if (stamp->hour == 24 && !choices->stamp_end)
    return "24:00 is the end of an hour: say `stamp: end` in the YAML file that names this one";
  if (clock->started && (stamp->year >= 0) != clock->has_year)
    return "the stamps before it are with the year, or all without";
  if (clock->started && stamp->has_zone != clock->has_zone)
    return "the stamps before it are with Z or an offset, or all without";
  if (clock->started && (stamp->zone - clock->zone) % 60 != 0)
    return "its offset differs from that of the first row by less than an hour";
  return NULL;
}

/* Its hour on the clock of the first row; of the end of an hour that hour. */
static long hour_number(stamp_clock *clock, const ebi_time_stamp *stamp, bool stamp_end) {
  bool first = !clock->started;
  if (first)
    *clock = (stamp_clock){.started = true,
                           .has_year = stamp->year >= 0,
                           .has_zone = stamp->has_zone,
                           .zone = stamp->zone};
  long day = clock->has_year ? ebi_day_number(stamp->year, stamp->month, stamp->day)
                             : ebi_calendar_day(stamp->month, stamp->day);
  long hour = 24 * day + stamp->hour - (stamp->zone - clock->zone) / 60 - stamp_end;
  if (hour < 0 && !first && !clock->has_year)
    hour += EBI_CALENDAR_HOURS; /* the end of the last hour of the year */
  return hour;
}

static int place_of(const stamp_clock *clock, long hour) {
  if (!clock->has_year)
    return (int)((hour + EBI_CALENDAR_HOURS) % EBI_CALENDAR_HOURS);
  int year, month, day;
  ebi_date_of_number(hour / 24, &year, &month, &day);
  return 24 * ebi_calendar_day(month, day) + (int)(hour % 24);
}

/* Says what is wrong with the order; false where it is. */
static bool in_order(ebi_weather_file *file, const stamp_clock *clock, long hour,
                     const char *stamp) {
  int column = file->csv.cells[file->of[EBI_WEATHER_TIME].at].column;
  if (hour > clock->last)
    return true;
  if (hour == clock->last)
    ebi_weather_error(file, column, "climate-twice",
                      "the hour \"%s\" stands twice; the clock must not change to summer time: "
                      "write standard time or UTC, or the offset with each stamp",
                      stamp);
  else
    ebi_weather_error(file, column, "climate-order",
                      "\"%s\" is earlier than the row before; the hours must rise%s", stamp,
                      clock->has_year ? ". Of a typical year pieced of several, leave the years "
                                        "out: 01-31T07:00"
                                      : "");
  return false;
}

/* ---- Rows --------------------------------------------------------------- */

static void take_values(ebi_weather_file *file, ebi_weather_year *year, int place) {
  year->line[place] = file->csv.line;
  year->column[place] = file->csv.cells[file->of[EBI_WEATHER_TEMPERATURE].at].column;
  year->temperature[place] = ebi_weather_number(file, EBI_WEATHER_TEMPERATURE);
  year->humidity[place] = ebi_weather_number(file, EBI_WEATHER_HUMIDITY) / 100.0;
  year->wind[place] = ebi_weather_number(file, EBI_WEATHER_WIND);
  (void)ebi_weather_number(file, EBI_WEATHER_PRESSURE);
}

/* False where no more is worth reading. */
static bool take_row(ebi_weather_file *file, stamp_clock *clock, ebi_weather_year *year,
                     const ebi_weather_choices *choices) {
  if (!ebi_weather_row_fits(file))
    return true;
  const ebi_csv_cell *cell = &file->csv.cells[file->of[EBI_WEATHER_TIME].at];
  ebi_csv_words shown = ebi_csv_show(cell);
  ebi_time_stamp stamp;
  const char *why = ebi_time_stamp_read(cell->text, cell->length, &stamp);
  if (why == NULL)
    why = stamp_fault(clock, &stamp, choices);
  if (why != NULL) {
    ebi_weather_error(file, cell->column, "climate-stamp", "\"%s\": %s", shown.text, why);
    return true;
  }
  bool first = !clock->started;
  long hour = hour_number(clock, &stamp, choices->stamp_end);
  if (!first && !in_order(file, clock, hour, shown.text))
    return true;
  int place = place_of(clock, hour);
  if (year->line[place] != 0) {
    ebi_weather_error(file, cell->column, "climate-years",
                      "\"%s\": the year went round, this hour stands in line %d too; one year is "
                      "due, of 8760 or 8784 rows, and this file has %zu",
                      shown.text, year->line[place], year->rows + ebi_csv_rest(&file->csv) + 1);
    return false;
  }
  clock->first = first ? hour : clock->first;
  clock->last = hour;
  take_values(file, year, place);
  return true;
}

/* From 01:00 to 00:00 of the next year is how ends of hours are stamped. */
static void warn_of_ends(const ebi_weather_file *file, const stamp_clock *clock,
                         const ebi_weather_choices *choices) {
  if (!choices->stamp_end && clock->first % 24 == 1 && clock->last % 24 == 0)
    ebi_diag(file->reader->context, EB_WARNING, "climate-stamp",
             (ebi_where){file->csv.file, file->header_line + 1, 1}, NULL,
             "the year runs from 01:00 to 00:00: these seem to be ends of hours; if so, say "
             "`stamp: end` in the YAML file that names this one");
}

void ebi_weather_hours(ebi_reader *reader, const char *path, const ebi_weather_choices *choices,
                       ebi_climate *climate) {
  static const ebi_weather_role needed[] = {EBI_WEATHER_TIME, EBI_WEATHER_TEMPERATURE,
                                            EBI_WEATHER_ROLES};
  ebi_weather_file file;
  stamp_clock clock = {0};
  ebi_arena *scratch = ebi_context_arena(reader->context);
  ebi_weather_year *year = scratch ? ebi_weather_year_new(scratch) : NULL;
  if (year == NULL) {
    ebi_diag(reader->context, EB_ERROR, "memory", (ebi_where){path, 0, 0}, NULL, "memory ran out");
  } else if (ebi_weather_open(&file, reader, scratch, path, needed)) {
    while (ebi_csv_next(&file.csv) && take_row(&file, &clock, year, choices))
      year->rows++;
    if (file.errors == 0) {
      warn_of_ends(&file, &clock, choices);
      ebi_weather_year_finish(&file, year, choices, climate);
    }
    ebi_weather_close(&file);
  }
  if (scratch != NULL)
    ebi_context_release(reader->context, scratch);
}
