/* test_climate.c - degree-days of files of weather, and what must hold between them */

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/context.h"
#include "climate_help.h"
#include "design/climate.h"
#include "model/climate.h"
#include "suites.h"

#define US_BASE (55.0 / 3.0) /* 65 F */

static eb_context *context;
static ebi_arena *arena;

static void setup(void) {
  context = eb_context_new(NULL);
  arena = ebi_context_arena(context);
  ck_assert_ptr_nonnull(arena);
}

static void teardown(void) {
  eb_context_free(context);
}

static double year(const ebi_climate *climate, ebi_weather weather, double base) {
  double sum = 0.0;
  for (int i = 0; i < 12; i++)
    sum += ebi_climate_degree_days(climate, weather, i, base);
  return sum;
}

/* Of the row by that rule and base. */
static eb_degree_day_row defined(const ebi_climate *climate, const char *rule, double base) {
  const eb_degree_day_row *rows;
  size_t n;
  ck_assert_int_eq(ebi_climate_definitions(climate, base, arena, &rows, &n), EB_OK);
  for (size_t i = 0; i < n; i++)
    if (strcmp(rows[i].rule, rule) == 0 && fabs(rows[i].base_c - base) < 1e-6)
      return rows[i];
  ck_abort_msg("no row by %s", rule);
  return (eb_degree_day_row){0};
}

static void near(double found, double want, double tolerance, const char *what) {
  ck_assert_msg(fabs(found - want) <= tolerance, "%s: %.4f, not %.4f", what, found, want);
}

/* ---- Published and computed sums ---------------------------------------- */

/* Seattle and New York, daily extremes of 2012 to 2015 (vega-datasets 3.2.1, weather.csv; NOAA);
 * sums by R 4.2.2. Four cases and middle of the extremes. */
START_TEST(sums_of_days) {
  static const struct {
    const char *id, *place;
    int year;
    double base;
    bool middle;
    double want, tolerance;
  } rows[] = {
      {"DD-SEA-2012-MM", "seattle", 2012, 15.5, false, 1955.8, 0.02},
      {"DD-SEA-2013-MM", "seattle", 2013, 15.5, false, 1808.1, 0.02},
      {"DD-SEA-2013-MEAN", "seattle", 2013, 15.5, true, 1729.75, 0.01},
      {"DD-SEA-2014-MM", "seattle", 2014, 15.5, false, 1569.9, 0.02},
      {"DD-SEA-2014-MEAN", "seattle", 2014, 15.5, true, 1466.4, 0.01},
      {"DD-SEA-2015-MM", "seattle", 2015, 15.5, false, 1511.4, 0.02},
      {"DD-SEA-2015-MEAN", "seattle", 2015, 15.5, true, 1408.75, 0.01},
      {"DD-NEW-2012-MM", "new-york", 2012, 15.5, false, 1719.9, 0.01},
      {"DD-NEW-2012-MEAN", "new-york", 2012, 15.5, true, 1666.2, 0.01},
      {"DD-NEW-2013-MM", "new-york", 2013, 15.5, false, 2110.45, 0.01},
      {"DD-NEW-2013-MEAN", "new-york", 2013, 15.5, true, 2049.65, 0.01},
      {"DD-NEW-2014-MM", "new-york", 2014, 15.5, false, 2208.88, 0.01},
      {"DD-NEW-2014-MEAN", "new-york", 2014, 15.5, true, 2153.15, 0.01},
      {"DD-NEW-2015-MM", "new-york", 2015, 15.5, false, 1990.7, 0.01},
      {"DD-NEW-2015-MEAN", "new-york", 2015, 15.5, true, 1930.55, 0.01},
      {"DD-SEA-2012-MEAN18", "seattle", 2012, US_BASE, true, 2671.55, 0.02},
      {"DD-SEA-2015-MEAN18", "seattle", 2015, US_BASE, true, 2150.8, 0.02},
      {"DD-NEW-2014-MM18", "new-york", 2014, US_BASE, false, 2837.42, 0.02},
      {"DD-NEW-2014-MEAN18", "new-york", 2014, US_BASE, true, 2784.52, 0.02},
      {"DD-NEW-2012-MEAN18", "new-york", 2012, US_BASE, true, 2284.5, 0.02},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    const ebi_climate *climate = climate_help_days(arena, rows[i].place, rows[i].year);
    const char *rule = rows[i].middle ? "middle of daily extremes" : "four cases of daily extremes";
    near(defined(climate, rule, rows[i].base).heating_k_d, rows[i].want, rows[i].tolerance,
         rows[i].id);
    if (!rows[i].middle)
      near(year(climate, EBI_WEATHER_DAYS, rows[i].base), rows[i].want, rows[i].tolerance,
           rows[i].id);
  }
}
END_TEST

/* Seattle hourly normals 1981-2010, the 8759 hours as they are (vega-datasets 3.2.1; NOAA); sums
 * by R 4.2.2. */
START_TEST(sums_of_hours) {
  static const struct {
    const char *id, *rule;
    double base, want;
  } rows[] = {
      {"DD-SEAN-10-daily", "means of the days' hours", 10.0, 582.25},
      {"DD-SEAN-10-mean2", "middle of daily extremes", 10.0, 526.5},
      {"DD-SEAN-10-Hitchin", "Hitchin 1983", 10.0, 707.1},
      {"DD-SEAN-15.5-hourly", "sum of the hours", 15.5, 1879.35},
      {"DD-SEAN-15.5-daily", "means of the days' hours", 15.5, 1800.26},
      {"DD-SEAN-15.5-mean2", "middle of daily extremes", 15.5, 1717.1},
      {"DD-SEAN-15.5-Hitchin", "Hitchin 1983", 15.5, 1914.55},
      {"DD-SEAN-18.3333-hourly", "sum of the hours", US_BASE, 2739.41},
      {"DD-SEAN-18.3333-daily", "means of the days' hours", US_BASE, 2646.48},
      {"DD-SEAN-18.3333-UK", "four cases of daily extremes", US_BASE, 2637.86},
      {"DD-SEAN-18.3333-mean2", "middle of daily extremes", US_BASE, 2547.87},
      {"DD-SEAN-18.3333-Hitchin", "Hitchin 1983", US_BASE, 2751.61},
      {"DD-SEAN-20-hourly", "sum of the hours", 20.0, 3291.11},
      {"DD-SEAN-20-daily", "means of the days' hours", 20.0, 3238.69},
      {"DD-SEAN-20-mean2", "middle of daily extremes", 20.0, 3130.35},
  };
  const ebi_climate *climate = climate_help_seattle(arena);
  ck_assert_uint_eq(climate->n_hours, 8759); /* DD-SEAN-N */
  ck_assert_uint_eq(climate->n_days, 365);
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
    near(defined(climate, rows[i].rule, rows[i].base).heating_k_d, rows[i].want, 0.05, rows[i].id);
  near(eb_degree_days_hours(15.5, climate->hour_c, climate->n_hours), 1879.35, 0.05,
       "DD-SEAN-15.5-hourly");
}
END_TEST

/* DD-SF-15.5: San Francisco, python3-vega-datasets 0.9 (Debian), sf-temps.csv; R 4.2.2. */
START_TEST(san_francisco) {
  static double hours[8784];
  size_t n = climate_help_san_francisco(hours, 8784);
  ck_assert_uint_eq(n, 8759);
  near(eb_degree_days_hours(15.5, hours, n), 885.0625, 0.01, "DD-SF-15.5");
}
END_TEST

/* New York 2014: what lies below where a preheater sets in, by the means of the days' extremes.
 * 0.336 Wh/(m3 K) x 150 m3/h (own calculation on the same file, Python 3). */
START_TEST(below_a_preheaters_start) {
  static const struct {
    const char *of_days, *of_energy, *of_count;
    double start, degree_days, kwh, days;
  } rows[] = {{"FRO-NY-3-DD", "FRO-NY-3-E", "FRO-NY-3-N", -3.0, 79.45, 96.10272, 24},
              {NULL, "FRO-NY0-E", NULL, 0.0, NAN, 222.2035, NAN},
              {"FRO-NY2-DD", "FRO-NY2-E", "FRO-NY2-N", 2.0, 294.95, 356.7715, 62}};
  const ebi_climate *climate = climate_help_days(arena, "new-york", 2014);
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    double sum = defined(climate, "middle of daily extremes", rows[i].start).heating_k_d;
    double days = 0.0;
    for (size_t d = 0; d < climate->n_days; d++)
      days += climate->day_mean[d] < rows[i].start;
    near(0.336 * 150.0 * 24.0 * sum / 1000.0, rows[i].kwh, 0.01, rows[i].of_energy);
    if (rows[i].of_days != NULL) {
      near(sum, rows[i].degree_days, 0.005, rows[i].of_days);
      near(days, rows[i].days, 0.0, rows[i].of_count);
    }
    double cold = 0.0;
    for (int m = 0; m < 12; m++)
      cold += ebi_climate_cold_degree_days(climate, EBI_WEATHER_DAYS, m, rows[i].start);
    ck_assert_double_ge(cold, sum); /* the four cases see the cold nights too */
    ck_assert_double_le(cold, sum + 0.5 * days + 60.0);
  }
}
END_TEST

/* ---- What must hold ----------------------------------------------------- */

/* max(0, x) is convex (Jensen): the hours can only give more than the means of their days, and
 * those than the mean of the month. */
START_TEST(finer_is_never_less) {
  const ebi_climate *climate = climate_help_seattle(arena);
  for (double base = -2.3; base < 31.0; base += 0.713) {
    double hours = defined(climate, "sum of the hours", base).heating_k_d;
    double days = defined(climate, "means of the days' hours", base).heating_k_d;
    double plain = 0.0;
    for (int i = 0; i < 12; i++)
      plain += climate->days[i] * fmax(base - climate->mean_c[i], 0.0);
    double lacking = fmax(base - climate->day_mean[0], 0.0) / 24.0; /* its first hour */
    ck_assert_double_ge(hours + lacking, days - 1e-9);
    ck_assert_double_ge(days, plain - 0.5);
  }
}
END_TEST

/* Heating less cooling is the sum of base less mean, by each rule of base type. */
START_TEST(heating_less_cooling) {
  const ebi_climate *climates[] = {climate_help_days(arena, "new-york", 2014),
                                   climate_help_days(arena, "seattle", 2012)};
  for (size_t c = 0; c < 2; c++) {
    const eb_degree_day_row *rows;
    size_t n, jumps = 0;
    ck_assert_int_eq(ebi_climate_definitions(climates[c], 13.7, arena, &rows, &n), EB_OK);
    for (size_t i = 0; i < n; i++) {
      double plain = 0.0;
      for (size_t d = 0; d < climates[c]->n_days; d++)
        plain += rows[i].base_c - climates[c]->day_mean[d];
      jumps += rows[i].jump;
      if (rows[i].jump || strcmp(rows[i].rule, "15/15") == 0)
        ck_assert(isnan(rows[i].cooling_k_d));
      else
        near(rows[i].heating_k_d - rows[i].cooling_k_d, plain, 1e-8, rows[i].rule);
      ck_assert_double_ge(rows[i].heating_k_d, 0.0);
      ck_assert(rows[i].source[0] != '\0');
    }
    ck_assert_uint_eq(jumps, 3);
  }
}
END_TEST

/* Summed as they stand, and by one search in the sorted ones. */
START_TEST(sorted_hours_tell_the_same) {
  const ebi_climate *climate = climate_help_seattle(arena);
  for (double base = -3.91; base < 33.0; base += 0.377) {
    double below = 0.0, found = 0.0;
    for (size_t i = 0; i < climate->n_hours; i++)
      below += climate->hour_c[i] < base;
    for (int i = 0; i < 12; i++)
      found += ebi_climate_days_below(climate, EBI_WEATHER_HOURS, i, base);
    near(year(climate, EBI_WEATHER_HOURS, base),
         eb_degree_days_hours(base, climate->hour_c, climate->n_hours), 1e-9, "hours");
    near(found, below / 24.0, 1e-10, "days below");
  }
}
END_TEST

/* The slope by the base, against differences of the sums. */
START_TEST(days_below_is_the_slope) {
  ebi_climate *climates[] = {climate_help_seattle(arena),
                             climate_help_days(arena, "new-york", 2014)};
  const double step = 1e-5;
  for (size_t c = 0; c < 2; c++)
    for (int rule = EBI_MONTH_HITCHIN; rule <= EBI_MONTH_ERBS; rule++)
      for (ebi_weather weather = EBI_WEATHER_MONTHS; weather <= EBI_WEATHER_HOURS; weather++) {
        if (!ebi_climate_has(climates[c], weather))
          continue;
        climates[c]->month_rule = (ebi_month_rule)rule;
        for (int month = 0; month < 12; month += 2)
          for (double base = -5.003; base < 28.0; base += 1.0171) {
            double up = ebi_climate_degree_days(climates[c], weather, month, base + step);
            double down = ebi_climate_degree_days(climates[c], weather, month, base - step);
            double slope = ebi_climate_days_below(climates[c], weather, month, base);
            near((up - down) / (2.0 * step), slope, 1e-4, ebi_weather_rule(climates[c], weather));
            ck_assert(slope >= 0.0 && slope <= climates[c]->days[month]);
            up = ebi_climate_cold_degree_days(climates[c], weather, month, base + step);
            down = ebi_climate_cold_degree_days(climates[c], weather, month, base - step);
            near((up - down) / (2.0 * step),
                 ebi_climate_cold_days(climates[c], weather, month, base), 1e-4, "cold");
          }
      }
}
END_TEST

START_TEST(the_finest_there_is) {
  const ebi_climate *hours = climate_help_seattle(arena);
  const ebi_climate *days = climate_help_days(arena, "seattle", 2015);
  ebi_climate months = {.hitchin_k = 0.71, .month_rule = EBI_MONTH_NORMAL};
  ck_assert_int_eq(ebi_climate_finest(hours), EBI_WEATHER_HOURS);
  ck_assert_int_eq(ebi_climate_finest(days), EBI_WEATHER_DAYS);
  ck_assert_int_eq(ebi_climate_finest(&months), EBI_WEATHER_MONTHS);
  ck_assert(ebi_climate_has(hours, EBI_WEATHER_DAYS) && !ebi_climate_has(days, EBI_WEATHER_HOURS));
  ck_assert_str_eq(ebi_weather_rule(&months, EBI_WEATHER_MONTHS), "Schoenau and Kehrig 1990");
  ck_assert_str_eq(ebi_weather_rule(days, EBI_WEATHER_DAYS), "four cases of daily extremes");
  ck_assert_str_eq(ebi_weather_rule(hours, EBI_WEATHER_HOURS), "sum of the hours");
  ck_assert_str_eq(ebi_weather_name(EBI_WEATHER_DAYS), "days");
}
END_TEST

/* The house's base stands first, and once; without one the usual four. */
START_TEST(definitions_of_months_alone) {
  ebi_climate climate = {.hitchin_k = 0.71};
  for (int i = 0; i < 12; i++) {
    climate.days[i] = 30.0;
    climate.mean_c[i] = 3.1 + 1.37 * i;
  }
  const eb_degree_day_row *rows;
  size_t n;
  ck_assert_int_eq(ebi_climate_definitions(&climate, NAN, arena, &rows, &n), EB_OK);
  ck_assert_uint_eq(n, 4);
  ck_assert_int_eq(ebi_climate_definitions(&climate, 20.0001, arena, &rows, &n), EB_OK);
  ck_assert_uint_eq(n, 4);
  ck_assert_double_eq(rows[0].base_c, 20.0001);
  ck_assert_int_eq(ebi_climate_definitions(&climate, 16.4, arena, &rows, &n), EB_OK);
  ck_assert_uint_eq(n, 5);
}
END_TEST

/* Over water and over ice: at -10 C the one is 1.102 of the other (Hyland and Wexler 1983). */
START_TEST(humidity_over_ice) {
  ck_assert_double_eq(ebi_humidity_over_ice(7.3, 0.83), 0.83);
  near(ebi_humidity_over_ice(-10.0, 0.8), 0.8 * 1.102, 0.001, "-10 C");
  ck_assert_double_eq(ebi_humidity_over_ice(-20.0, 0.99), 1.0);
  ck_assert(isnan(ebi_humidity_over_ice(-3.0, NAN)) && isnan(ebi_humidity_over_ice(3.0, NAN)));
  ck_assert(isfinite(ebi_humidity_over_ice(-79.0, 0.61)));
}
END_TEST

Suite *suite_climate(void) {
  Suite *suite = suite_create("climate");
  TCase *cases = tcase_create("climate");
  tcase_add_checked_fixture(cases, setup, teardown);
  tcase_add_test(cases, sums_of_days);
  tcase_add_test(cases, sums_of_hours);
  tcase_add_test(cases, san_francisco);
  tcase_add_test(cases, below_a_preheaters_start);
  tcase_add_test(cases, finer_is_never_less);
  tcase_add_test(cases, heating_less_cooling);
  tcase_add_test(cases, sorted_hours_tell_the_same);
  tcase_add_test(cases, days_below_is_the_slope);
  tcase_add_test(cases, the_finest_there_is);
  tcase_add_test(cases, definitions_of_months_alone);
  tcase_add_test(cases, humidity_over_ice);
  suite_add_tcase(suite, cases);
  return suite;
}
