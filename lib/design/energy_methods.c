/* energy_methods.c - the same year by months, days and hours, and why they differ */

#include "design/energy.h"

#include <math.h>

#define MOST_METHODS 3
#define YEAR_TO_YEAR 6 /* %: standard deviation of the yearly sums of the R data set nottem */

typedef struct method {
  ebi_weather weather;
  double degree_days[EBI_MONTHS]; /* with recovery */
} method;

static eb_energy_method figures_of(const ebi_energy_inputs *in, method *m) {
  const ebi_energy_shift none = EBI_NO_SHIFT;
  const ebi_climate *climate = in->house->climate;
  ebi_energy_needs needs;
  ebi_energy_needs_of(in, m->weather, &none, &needs);
  ebi_energy_recovered recovered = ebi_energy_recovered_of(in, m->weather, &needs);
  for (int i = 0; i < EBI_MONTHS; i++)
    m->degree_days[i] = needs.recovery.degree_days[i];
  eb_energy_method f = {.name = ebi_weather_name(m->weather),
                        .rule = ebi_weather_rule(climate, m->weather),
                        .heating_degree_days = ebi_energy_sum(needs.recovery.degree_days),
                        .no_recovery_kwh = ebi_energy_sum(needs.no_recovery.heat_kwh),
                        .net_heat_kwh = ebi_energy_sum(needs.recovery.heat_kwh),
                        .gross_recovered_kwh = ebi_energy_sum(recovered.gross),
                        .recovered_heating_kwh = ebi_energy_sum(recovered.heating),
                        .baseline_heat_kwh = ebi_energy_sum(needs.baseline.heat_kwh)};
  f.recovered_heat_kwh = f.no_recovery_kwh - f.net_heat_kwh;
  f.saving_heat_kwh = f.baseline_heat_kwh - f.net_heat_kwh;
  return f;
}

/* The month whose degree-days two ways differ most in. */
static int widest(const method *a, const method *b) {
  int month = 0;
  for (int i = 1; i < EBI_MONTHS; i++)
    if (fabs(a->degree_days[i] - b->degree_days[i]) >
        fabs(a->degree_days[month] - b->degree_days[month]))
      month = i;
  return month;
}

static const char *assumption(ebi_weather weather) {
  return weather == EBI_WEATHER_MONTHS
             ? "a month's mean does not tell how its hours lie about it, so a rule assumes that; "
               "this weighs most in mild months, whose hours lie on both sides of the base, and "
               "where the weather is smoothed"
             : "the rule takes a day's hours to lie evenly between its extremes and knows no "
               "weather within the day";
}

static void explain(const ebi_energy_inputs *in, const method *finest, const eb_energy_method *best,
                    const method *coarse, const eb_energy_method *other) {
  int month = widest(finest, coarse);
  double more = best->net_heat_kwh > 0.0 ? other->net_heat_kwh / best->net_heat_kwh - 1.0 : 0.0;
  ebi_diag(in->context, EB_NOTE, "method-difference", in->house->climate->entry.where,
           "year to year: own calculation with the R data set nottem, 1920-39",
           "by %s (%s) the house needs %.1f %% %s heat than by %s, and %.0f K day instead of "
           "%.0f in %s: %s. The figures shown are by %s. One year differs from the next by about "
           "%d %% anyway",
           other->name, other->rule, fabs(more) * 100.0, more < 0.0 ? "less" : "more", best->name,
           coarse->degree_days[month], finest->degree_days[month], ebi_month_name(month),
           assumption(coarse->weather), best->name, YEAR_TO_YEAR);
}

eb_status ebi_energy_methods(const ebi_energy_inputs *in, eb_energy *energy) {
  const ebi_climate *climate = in->house->climate;
  eb_energy_method *figures = EBI_NEW_ARRAY(in->arena, eb_energy_method, MOST_METHODS);
  method ways[MOST_METHODS];
  size_t n = 0;
  if (figures == NULL)
    return EB_E_MEMORY;
  for (int w = EBI_WEATHER_MONTHS; w <= EBI_WEATHER_HOURS; w++) {
    if (!ebi_climate_has(climate, (ebi_weather)w))
      continue;
    ways[n].weather = (ebi_weather)w;
    figures[n] = figures_of(in, &ways[n]);
    n++;
  }
  energy->method = figures[n - 1].name;
  energy->methods = figures;
  energy->n_methods = n;
  for (size_t i = 0; i + 1 < n; i++)
    explain(in, &ways[n - 1], &figures[n - 1], &ways[i], &figures[i]);
  return EB_OK;
}
