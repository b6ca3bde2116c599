/* energy_condensate.c - what drips in the unit, by month and by outdoor state, and its drain */

#include "design/energy_detail.h"

#include <math.h>

#include "physics/air.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])
#define SECONDS_PER_DAY 86400.0
#define WATER_DENSITY 1000.0 /* kg/m3 */
#define SIPHON_MARGIN 0.025  /* m, against gusts and drying: common practice */

static const double outdoor_c[] = {-15.0, -10.0, -5.0, 0.0, 5.0, 10.0};
static const double humidities[] = {0.7, 0.85, 1.0};

/* The rooms' humidity follows the outdoor air, as it does after some days. */
static eb_condensate_point point_at(const ebi_detail *d, double temperature_c, double humidity) {
  double indoor =
      ebi_detail_indoor_humidity(d, d->in->indoor_c, temperature_c, humidity, d->vapour_flow);
  double outdoor = eb_humidity_ratio(temperature_c, ebi_detail_over_ice(temperature_c, humidity),
                                     d->pressure_pa);
  double entering = temperature_c;
  if (d->in->protection.method == EBI_FROST_PREHEATER)
    entering = fmax(temperature_c, d->in->protection.below_c);
  const ebi_detail_airs airs = {.indoor_c = d->in->indoor_c,
                                .indoor_humidity = indoor,
                                .entering_c = entering,
                                .outdoor_ratio = outdoor,
                                .use = 1.0};
  ebi_detail_exchange air = ebi_detail_exchange_at(d, &airs);
  return (eb_condensate_point){.outdoor_c = temperature_c,
                               .outdoor_humidity = humidity,
                               .indoor_humidity = indoor,
                               .exhaust_c = air.exhaust_c,
                               .condensate_kg_day = air.condensate_kg_s * SECONDS_PER_DAY,
                               .frost_kg_day = air.frost_kg_s * SECONDS_PER_DAY};
}

static eb_status set_points(ebi_detail *d) {
  size_t n = 0, most = LENGTH(outdoor_c) * LENGTH(humidities);
  eb_condensate_point *points = EBI_NEW_ARRAY(d->in->arena, eb_condensate_point, most);
  if (points == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < LENGTH(outdoor_c); i++)
    for (size_t j = 0; j < LENGTH(humidities); j++)
      points[n++] = point_at(d, outdoor_c[i], humidities[j]);
  d->out->moisture.condensate = points;
  d->out->moisture.n_condensate = n;
  return EB_OK;
}

static void set_year(ebi_detail *d) {
  const ebi_climate *climate = d->in->house->climate;
  eb_moisture_detail *out = &d->out->moisture;
  for (int i = 0; i < EBI_MONTHS; i++) {
    double of_month = d->out->months[i].condensate_kg_day;
    out->condensate_kg += of_month * climate->days[i];
    if (of_month > out->peak_kg_day) {
      out->peak_kg_day = of_month;
      out->peak_month = i;
    }
  }
}

/* The drain can be at no deeper suction, and no higher pressure, than the fan makes. */
static void set_siphon(ebi_detail *d) {
  const eb_ducts *ducts = d->in->ducts;
  eb_moisture_detail *out = &d->out->moisture;
  out->drain_pa = ducts != NULL ? 0.0 : (double)NAN;
  for (size_t i = 0; ducts != NULL && i < ducts->n_levels; i++)
    out->drain_pa = fmax(out->drain_pa, ducts->levels[i].extract.pressure_pa);
  out->siphon_m = out->drain_pa / (WATER_DENSITY * EBI_GRAVITY) + SIPHON_MARGIN;
}

static void say_drain(const ebi_detail *d) {
  const eb_moisture_detail *out = &d->out->moisture;
  ebi_where where = d->in->house->unit_where;
  if (!(out->peak_kg_day > 0.0))
    return;
  if (isnan(out->siphon_m))
    ebi_detail_say(
        d, EB_NOTE, "condensate-drain", where, NULL,
        "up to %.2g kg of water a day drop in the unit (mean of %s): it needs a drain "
        "with a siphon deeper than the unit's pressure, 10 mm for each 100 Pa, plus 25 mm",
        out->peak_kg_day, ebi_month_name(out->peak_month));
  else
    ebi_detail_say(d, EB_NOTE, "condensate-drain", where, NULL,
                   "up to %.2g kg of water a day drop in the unit (mean of %s): it needs a drain "
                   "whose siphon holds %.0f mm of water, for %.0f Pa and 25 mm to spare, kept full "
                   "and free from frost",
                   out->peak_kg_day, ebi_month_name(out->peak_month), out->siphon_m * 1e3,
                   out->drain_pa);
}

static void explain(const ebi_detail *d) {
  const eb_moisture_detail *out = &d->out->moisture;
  const ebi_where nowhere = {NULL, 0, 0};
  for (size_t i = 0; i < out->n_condensate; i++) {
    const eb_condensate_point *p = &out->condensate[i];
    ebi_step inputs[] = {
        ebi_ledger_input(d->ledger, nowhere, p->outdoor_c, EBI_TEMPERATURE, "outdoor temperature"),
        ebi_ledger_input(d->ledger, nowhere, p->outdoor_humidity, EBI_RATIO, "outdoor humidity"),
        d->production, d->vapour, d->ratio};
    (void)ebi_ledger_step(d->ledger, EBI_F_CONDENSATE, NULL, p->condensate_kg_day,
                          EBI_WATER_PER_DAY, inputs, LENGTH(inputs),
                          "condensate at %g C and %g %% outdoors", p->outdoor_c,
                          p->outdoor_humidity * 100.0);
  }
  (void)ebi_ledger_step(d->ledger, EBI_F_YEAR_SUM, NULL, out->condensate_kg, EBI_MASS, NULL, 0,
                        "condensate of the year, by the means of its months");
  if (isnan(out->siphon_m))
    return;
  ebi_step pressure = ebi_ledger_input(d->ledger, nowhere, out->drain_pa, EBI_PRESSURE,
                                       "most that the extract fan raises");
  (void)ebi_ledger_step(d->ledger, EBI_F_SIPHON, NULL, out->siphon_m, EBI_LENGTH, &pressure, 1,
                        "depth of the siphon");
}

eb_status ebi_detail_condensate(ebi_detail *d) {
  eb_status status = set_points(d);
  if (status != EB_OK)
    return status;
  set_year(d);
  set_siphon(d);
  say_drain(d);
  explain(d);
  return EB_OK;
}
