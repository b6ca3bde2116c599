/* year_bench.c - how long a year of hours takes
 *
 *   year_bench [HOUSE.yaml]      (default tests/houses/seattle-hours.yaml; needs EVENBREATH_TABLES
 *                                 where the tables are not found by themselves)
 *
 * Reading the house with its 8760 hours, then medians over many runs: all of eb_energy_year (the
 * year by each weather, its band of 95 % by quasi-random years, findings), the same with a ledger,
 * and one evaluation of the needs by months and by hours. Not part of make check: times are not
 * tests. */

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "design/energy.h"

#define RUNS 301

static double now_us(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e6 * (double)t.tv_sec + 1e-3 * (double)t.tv_nsec;
}

static int by_size(const void *left, const void *right) {
  double a = *(const double *)left, b = *(const double *)right;
  return (a > b) - (a < b);
}

static void tell(const char *what, double *times) {
  qsort(times, RUNS, sizeof *times, by_size);
  printf("%-34s %9.1f us median, %9.1f to %9.1f (95 %%)\n", what, times[RUNS / 2], times[RUNS / 40],
         times[RUNS - 1 - RUNS / 40]);
}

typedef struct bench {
  eb_context *context;
  eb_house *house;
  const eb_rates *rates;
} bench;

static void give_up(const bench *b, const char *what, eb_status status) {
  size_t count;
  const eb_diagnostic *list = eb_diagnostics(b->context, &count);
  fprintf(stderr, "%s: status %d\n", what, (int)status);
  for (size_t i = 0; i < count; i++)
    fprintf(stderr, "  %s\n", list[i].message);
  exit(1);
}

static void whole(const bench *b, bool with_ledger) {
  double times[RUNS];
  for (int i = 0; i < RUNS; i++) {
    const eb_energy *energy;
    eb_ledger *ledger = with_ledger ? eb_ledger_new(b->context) : NULL;
    double start = now_us();
    eb_status status = eb_energy_year(b->context, b->house, b->rates, NULL, NULL, ledger, &energy);
    times[i] = now_us() - start;
    if (status != EB_OK)
      give_up(b, "the year", status);
    eb_energy_free(energy);
    eb_ledger_free(ledger);
    eb_diagnostics_clear(b->context);
  }
  tell(with_ledger ? "eb_energy_year with a ledger" : "eb_energy_year", times);
}

/* Twenty at a time, since one is near what the clock tells. */
static void needs(const bench *b, ebi_weather weather) {
  const ebi_energy_shift none = EBI_NO_SHIFT;
  ebi_energy_inputs in = {.context = b->context,
                          .house = b->house,
                          .rates = b->rates,
                          .arena = ebi_context_arena(b->context)};
  double times[RUNS], sum = 0.0;
  char what[40];
  eb_status status = in.arena == NULL ? EB_E_MEMORY : ebi_energy_gather(&in);
  if (status != EB_OK)
    give_up(b, "the inputs", status);
  for (int i = 0; i < RUNS; i++) {
    ebi_energy_needs found;
    double start = now_us();
    for (int j = 0; j < 20; j++) {
      ebi_energy_needs_of(&in, weather, &none, &found);
      sum += found.recovery.heat_kwh[j % EBI_MONTHS];
    }
    times[i] = (now_us() - start) / 20.0;
  }
  if (!(sum > 0.0))
    give_up(b, "the needs", EB_E_RANGE);
  snprintf(what, sizeof what, "needs of a year by %s", ebi_weather_name(weather));
  tell(what, times);
  ebi_context_release(b->context, in.arena);
}

int main(int argc, char **argv) {
  const char *path = argc > 1 ? argv[1] : "tests/houses/seattle-hours.yaml";
  bench b = {.context = eb_context_new(NULL)};
  double start = now_us();
  eb_status status = eb_house_read_file(b.context, path, NULL, &b.house);
  if (status == EB_OK)
    status = eb_rates_plan(b.context, b.house, NULL, NULL, &b.rates);
  if (status != EB_OK)
    give_up(&b, path, status);
  printf("%-34s %9.1f us, once\n", "reading house and climate, rates", now_us() - start);
  whole(&b, false);
  whole(&b, true);
  for (int w = EBI_WEATHER_MONTHS; w <= EBI_WEATHER_HOURS; w++)
    if (ebi_climate_has(b.house->climate, (ebi_weather)w))
      needs(&b, (ebi_weather)w);
  eb_context_free(b.context);
  return 0;
}
