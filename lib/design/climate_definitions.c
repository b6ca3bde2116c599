/* climate_definitions.c - degree-days of a year by every definition its data allow
 *
 * The same name stands for many sums; the rule and the base go with each. */

#include <math.h>

#include "design/climate.h"

#define JUMPS 4
#define BASES 5
#define RULES 6

typedef struct definitions {
  const ebi_climate *climate;
  const char *months_source; /* with where the means are from */
  eb_degree_day_row *rows;
  size_t n;
} definitions;

static void add(definitions *d, const char *rule, double base_c, double heating, double cooling,
                const char *source) {
  d->rows[d->n++] = (eb_degree_day_row){.rule = rule,
                                        .base_c = base_c,
                                        .heating_k_d = heating,
                                        .cooling_k_d = cooling,
                                        .source = source};
}

/* ---- From the means of months ------------------------------------------- */

static const char *months_source(const ebi_climate *climate, ebi_arena *arena) {
  static const char *const sources[] = {
      [EBI_MONTH_HITCHIN] = "Hitchin 1983; CIBSE TM41:2006 ch. 2, from memory",
      [EBI_MONTH_ISO] = "ISO 15927-6 in ASHRAE HoF 2021 ch. 14 eq. 38",
      [EBI_MONTH_NORMAL] = "Schoenau and Kehrig 1990 in ASHRAE HoF 2021 ch. 14 eqs. 32-33",
      [EBI_MONTH_ERBS] = "Erbs, Klein and Beckman 1983, constants from memory"};
  const char *source = sources[climate->month_rule];
  return climate->months_from == NULL
             ? source
             : ebi_arena_format(arena, "%s; means from %s", source, climate->months_from);
}

/* Heating less cooling is the sum of base less mean, by each of the rules. */
static void add_months(definitions *d, double base_c) {
  const ebi_climate *climate = d->climate;
  double heating = 0.0, cooling = 0.0;
  for (int i = 0; i < 12; i++) {
    double of_month = ebi_climate_degree_days(climate, EBI_WEATHER_MONTHS, i, base_c);
    heating += of_month;
    cooling += fmax(of_month - climate->days[i] * (base_c - climate->mean_c[i]), 0.0);
  }
  add(d, ebi_weather_rule(climate, EBI_WEATHER_MONTHS), base_c, heating, cooling, d->months_source);
}

/* ---- From days ---------------------------------------------------------- */

typedef struct day_rule {
  double (*of_day)(double base_c, double max_c, double min_c);
  const char *name, *source;
} day_rule;

/* Each gives cooling on the scale turned over. */
static void add_extremes(definitions *d, double base_c) {
  static const day_rule rules[] = {
      {eb_degree_days_min_max, "four cases of daily extremes",
       "degree-day rules of the British and Irish meteorological services"},
      {eb_degree_days_middle, "middle of daily extremes",
       "Western Regional Climate Center (United States), base 65 F"},
      {eb_degree_days_sine, "sine between daily extremes", "own integral"}};
  const ebi_climate *climate = d->climate;
  for (size_t r = 0; r < sizeof rules / sizeof rules[0]; r++) {
    double heating = 0.0, cooling = 0.0;
    for (size_t i = 0; i < climate->n_days; i++) {
      heating += rules[r].of_day(base_c, climate->day_max[i], climate->day_min[i]);
      cooling += rules[r].of_day(-base_c, -climate->day_min[i], -climate->day_max[i]);
    }
    add(d, rules[r].name, base_c, heating, cooling, rules[r].source);
  }
}

static void add_day_means(definitions *d, double base_c) {
  const ebi_climate *climate = d->climate;
  double heating = 0.0, cooling = 0.0;
  for (size_t i = 0; i < climate->n_days; i++) {
    heating += fmax(base_c - climate->day_mean[i], 0.0);
    cooling += fmax(climate->day_mean[i] - base_c, 0.0);
  }
  add(d, "means of the days' hours", base_c, heating, cooling, "ISO 15927-6:2007, from memory");
}

static void add_jump(definitions *d, const char *rule, double indoor_c, double limit_c,
                     const char *source) {
  double sum = 0.0;
  for (size_t i = 0; i < d->climate->n_days; i++)
    sum += eb_degree_days_jump(indoor_c, limit_c, d->climate->day_mean[i]);
  add(d, rule, indoor_c, sum, NAN, source);
  d->rows[d->n - 1].jump = limit_c < indoor_c;
}

/* Eurostat counts a day of just 15 C too. */
static void add_jumps(definitions *d) {
  add_jump(d, "20/15", 20.0, 15.0, "VDI 2067 and DIN 4108-6 (Germany)");
  add_jump(d, "20/12", 20.0, 12.0, "practice of Austria, Switzerland and Liechtenstein");
  add_jump(d, "15/15", 15.0, 15.0, "German statistics office, Heizgradtage");
  add_jump(d, "18/15", 18.0, nextafter(15.0, 16.0), "Eurostat, from memory");
}

/* ---- From hours --------------------------------------------------------- */

static void add_hours(definitions *d, double base_c) {
  const ebi_climate *climate = d->climate;
  double heating = 0.0, cooling = 0.0;
  for (int i = 0; i < 12; i++) {
    const ebi_sorted *hours = &climate->hours_of[i];
    double of_month = ebi_climate_degree_days(climate, EBI_WEATHER_HOURS, i, base_c);
    heating += of_month;
    cooling += fmax(of_month - ((double)hours->n * base_c - hours->sums[hours->n]) / 24.0, 0.0);
  }
  add(d, "sum of the hours", base_c, heating, cooling,
      "ISO 15927-6:2007, from memory; ASHRAE HoF 2021 ch. 19");
}

/* ---- All of them -------------------------------------------------------- */

static void add_base(definitions *d, double base_c) {
  add_months(d, base_c);
  if (d->climate->n_days > 0)
    add_extremes(d, base_c);
  if (d->climate->n_hours > 0) {
    add_day_means(d, base_c);
    add_hours(d, base_c);
  }
}

eb_status ebi_climate_definitions(const ebi_climate *climate, double base_c, ebi_arena *arena,
                                  const eb_degree_day_row **rows, size_t *n) {
  static const double usual[] = {10.0, 15.5, 55.0 / 3.0, 20.0}; /* 55/3: 65 F */
  definitions d = {.climate = climate, .months_source = months_source(climate, arena)};
  d.rows = EBI_NEW_ARRAY(arena, eb_degree_day_row, (BASES * RULES) + JUMPS);
  if (d.rows == NULL || d.months_source == NULL)
    return EB_E_MEMORY;
  if (isfinite(base_c))
    add_base(&d, base_c);
  for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++)
    if (!(fabs(usual[i] - base_c) < 5e-4))
      add_base(&d, usual[i]);
  if (climate->n_days > 0)
    add_jumps(&d);
  *rows = d.rows;
  *n = d.n;
  return EB_OK;
}
