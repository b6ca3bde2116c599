/* read_weather_gaps.c - hours that a file does not have */

#include <math.h>

#include "input/growing.h"
#include "input/read_weather_year.h"

#define MOST_FILLED 24
#define LONGEST_RUN 6
#define LISTED 10

typedef struct gap_list {
  size_t count, longest; /* of hours, and of a run of them, which may go round the year's end */
  size_t first;          /* the first of them */
  const char *list;      /* the first few by name */
} gap_list;

static bool missing(const ebi_weather_year *year, size_t hour) {
  return isnan(year->temperature[hour]);
}

/* Twice round, so that a run over New Year is seen whole. */
static size_t longest_run(const ebi_weather_year *year, size_t n) {
  size_t run = 0, longest = 0;
  for (size_t i = 0; i < 2 * n; i++) {
    run = missing(year, i % n) ? run + 1 : 0;
    longest = run > longest ? run : longest;
  }
  return longest < n ? longest : n;
}

static bool find_gaps(const ebi_weather_year *year, size_t n, size_t listed, ebi_arena *arena,
                      gap_list *gaps) {
  ebi_growing list = {.arena = arena};
  *gaps = (gap_list){.longest = longest_run(year, n)};
  for (size_t i = 0; i < n; i++) {
    if (!missing(year, i))
      continue;
    if (gaps->count == 0)
      gaps->first = i;
    if (gaps->count < listed)
      ebi_grow_format(&list, "%s%s", gaps->count ? ", " : "", ebi_hour_name_of(i, n).text);
    gaps->count++;
  }
  if (gaps->count > listed)
    ebi_grow_format(&list, " and %zu more", gaps->count - listed);
  gaps->list = list.text;
  return !list.failed;
}

/* Straight between the hours on both sides; the year goes round. */
static void interpolate(ebi_weather_year *year, size_t n) {
  for (size_t i = 0; i < n; i++) {
    size_t before = i, after = i, run = 0;
    if (!missing(year, i) || (i > 0 && missing(year, i - 1)) || (i == 0 && missing(year, n - 1)))
      continue; /* not the first of its run */
    before = (i + n - 1) % n;
    for (; missing(year, after); after = (after + 1) % n)
      run++;
    double from = year->temperature[before], to = year->temperature[after];
    for (size_t k = 0; k < run; k++)
      year->temperature[(i + k) % n] = from + (to - from) * (double)(k + 1) / (double)(run + 1);
  }
}

/* The line of the row after the first gap, or of the last row. */
static int line_after(const ebi_weather_file *file, const ebi_weather_year *year, size_t first,
                      size_t n) {
  for (size_t i = first; i < n; i++)
    if (year->line[i] != 0)
      return year->line[i];
  return file->csv.line;
}

static void refuse(ebi_weather_file *file, const ebi_weather_year *year, size_t n,
                   const ebi_weather_choices *choices, const gap_list *gaps) {
  bool short_ones = gaps->count <= MOST_FILLED && gaps->longest <= LONGEST_RUN;
  file->csv.line = line_after(file, year, gaps->first, n);
  ebi_weather_error(file, 1, "climate-gaps", "of the year's %zu hours %zu %s missing: %s%s", n,
                    gaps->count, gaps->count == 1 ? "is" : "are", gaps->list,
                    !short_ones ? "; only gaps of at most 6 hours, 24 in all, can be filled"
                    : choices->beside_yaml
                        ? "; `gaps: interpolate` fills them from the hours on both sides"
                        : "; name this file in a YAML file, `hours: FILE.csv`, that says "
                          "`gaps: interpolate` too");
}

bool ebi_weather_year_gaps(ebi_weather_file *file, ebi_weather_year *year, size_t n,
                           const ebi_weather_choices *choices) {
  gap_list gaps;
  bool may_fill = choices->interpolate;
  if (!find_gaps(year, n, may_fill ? MOST_FILLED : LISTED, file->reader->arena, &gaps)) {
    ebi_weather_error(file, 1, "memory", "memory ran out");
    return false;
  }
  if (gaps.count == 0)
    return true;
  if (!may_fill || gaps.count > MOST_FILLED || gaps.longest > LONGEST_RUN) {
    refuse(file, year, n, choices, &gaps);
    return false;
  }
  interpolate(year, n);
  ebi_diag(file->reader->context, EB_WARNING, "climate-gaps",
           (ebi_where){file->csv.file, line_after(file, year, gaps.first, n), 1}, NULL,
           "%zu missing hour%s filled from the hours on both sides: %s", gaps.count,
           gaps.count == 1 ? " was" : "s were", gaps.list);
  return true;
}
