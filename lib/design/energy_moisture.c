/* energy_moisture.c - the rooms' and the unit's air month by month: temperatures, humidity, mould
 *
 * Steady states at the means of a month. Mould takes weeks, so that the mean is what counts; how
 * much drips on a cold day is told beside (energy_condensate.c). */

#include "design/energy_detail.h"

#include <math.h>

#include "physics/rooms_air.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])
#define SECONDS 3600.0
#define SECONDS_PER_DAY 86400.0
#define PER_PERSON 3.0      /* kg/day, cooking and washing counted; see EBI_F_MOISTURE_BY_PEOPLE */
#define SURFACE_FACTOR 0.75 /* usual limit of dwellings in the United Kingdom, from memory */
#define MOULD 0.8           /* ISO 13788:2012, from memory */
#define DRY 0.3             /* relative, below which air is felt as dry: common practice */
#define COLD_MONTH_C 10.0
#define COLD_HUMIDITY 0.85 /* western Europe: common practice, from memory */
#define WARM_HUMIDITY 0.75

/* ---- Air ---------------------------------------------------------------- */

/* Supersaturated air would be fog: no more than saturates it. */
double ebi_detail_over_ice(double temperature_c, double humidity) {
  double over = eb_vapour_saturation_water(temperature_c) / eb_vapour_saturation(temperature_c);
  return fmin(humidity, 1.0) * over;
}

static double outdoor_ratio(const ebi_detail *d, double outdoor_c, double humidity) {
  return eb_humidity_ratio(outdoor_c, ebi_detail_over_ice(outdoor_c, humidity), d->pressure_pa);
}

double ebi_detail_indoor_humidity(const ebi_detail *d, double indoor_c, double outdoor_c,
                                  double outdoor_humidity, double flow) {
  double outdoor = outdoor_ratio(d, outdoor_c, outdoor_humidity);
  double indoor =
      ebi_room_humidity_ratio(outdoor, d->production_kg_s, flow, indoor_c, d->pressure_pa);
  double humidity = eb_relative_humidity(indoor_c, indoor, d->pressure_pa);
  return isnan(humidity) ? 1.0 : fmin(humidity, 1.0);
}

/* Extract air of the rooms' state, without the vapour that the exchanger hands over. */
static double extract_humidity(const ebi_detail *d, const ebi_detail_airs *airs) {
  double indoor = eb_humidity_ratio(airs->indoor_c, airs->indoor_humidity, d->pressure_pa);
  double left = indoor - airs->use * d->moisture_ratio * (indoor - airs->outdoor_ratio);
  return fmin(eb_relative_humidity(airs->indoor_c, left, d->pressure_pa), 1.0);
}

/* Warmer air than the rooms' gives heat to the exhaust, and no water drops there. */
static ebi_detail_exchange dry_exchange(const ebi_detail *d, const ebi_detail_airs *airs) {
  double difference = airs->indoor_c - airs->entering_c;
  double exhaust = airs->indoor_c - airs->use * d->ratios.extract_ratio * difference;
  double supply = airs->entering_c + airs->use * d->ratios.supply_ratio * difference;
  return (ebi_detail_exchange){.supply_c = supply, .exhaust_c = exhaust, .dry_exhaust_c = exhaust};
}

/* The supply air after the exchanger, with what leaks inside the unit and the fan adds. */
static double behind_the_fan(const ebi_detail *d, double supply_c, double indoor_c) {
  const ebi_unit *unit = d->in->house->unit;
  double leak = unit->leak_inside.given ? unit->leak_inside.value : 0.0;
  double mixed = (1.0 - leak) * supply_c + leak * indoor_c, power = 0.0;
  for (size_t i = 0; i < d->in->n_levels; i++)
    power += d->in->levels[i].supply_fan_w * d->in->levels[i].hours / 24.0;
  if (!unit->fan_heat_apart || !(d->supply > 0.0))
    return mixed;
  return mixed + eb_fan_warming(power, d->supply, d->in->air_capacity);
}

ebi_detail_exchange ebi_detail_exchange_at(const ebi_detail *d, const ebi_detail_airs *airs) {
  ebi_detail_exchange result = dry_exchange(d, airs);
  double indoor_c = airs->indoor_c, entering_c = airs->entering_c;
  if (entering_c <= indoor_c && d->exhaust > 0.0) {
    double humidity = extract_humidity(d, airs);
    double entering = fmin(eb_relative_humidity(entering_c, airs->outdoor_ratio, d->pressure_pa),
                           ebi_detail_over_ice(entering_c, 1.0));
    double ratio = eb_humidity_ratio(indoor_c, humidity, d->pressure_pa);
    double dry_air = d->exhaust / eb_moist_volume(indoor_c, ratio, d->pressure_pa);
    eb_wet_exchange wet = eb_exchanger_wet(entering_c, entering, indoor_c, humidity, dry_air,
                                           airs->use * d->ratios.extract_ratio, d->pressure_pa);
    result.exhaust_c = wet.exhaust_c;
    result.dry_exhaust_c = wet.dry_exhaust_c;
    result.condensate_kg_s = wet.condensate_kg_s;
    result.frost_kg_s = wet.frost_kg_s;
  }
  result.supply_c = behind_the_fan(d, result.supply_c, indoor_c);
  return result;
}

/* ---- A month ------------------------------------------------------------ */

/* After frost protection that warms the outdoor air. */
static double entering_c(const ebi_detail *d, int month) {
  const ebi_climate *climate = d->in->house->climate;
  double heat_flow = SECONDS * d->in->air_capacity * d->needs->air.flow * 24.0; /* Wh/K a day */
  double warmed = d->needs->frost[month].warmed_kwh * 1000.0;
  double rise = heat_flow > 0.0 ? warmed / (heat_flow * climate->days[month]) : 0.0;
  return climate->mean_c[month] + rise;
}

/* Heat [W/K] that the supply runs lose on the difference of indoors and the house's outdoor
 * temperature; NAN where that is not known. */
static double supply_duct_loss(const ebi_detail *d) {
  const eb_ducts *ducts = d->in->ducts;
  const eb_house *house = d->in->house;
  if (ducts == NULL || ducts->n_levels == 0 || !house->outdoor.given ||
      !(d->in->indoor_c - house->outdoor.value > 1.0))
    return NAN;
  double heat = 0.0;
  for (size_t i = 0; i < ducts->n_runs; i++)
    if (ducts->runs[i].air == EB_SUPPLY)
      heat += ducts->levels[0].runs[i].heat_w;
  return heat / (d->in->indoor_c - house->outdoor.value);
}

/* A house that is not heated floats as far above outdoors as the base temperature lies below. */
static double floating_c(const ebi_detail *d, int month) {
  double above = d->in->indoor_c - ebi_detail_base(d, month);
  return fmax(d->in->indoor_c, d->in->house->climate->mean_c[month] + above);
}

static bool bypass_is_open(const ebi_detail *d, int month) {
  double mean = d->in->house->climate->mean_c[month];
  return mean > ebi_energy_bypass_c(d->in, d->needs, month) && mean < d->in->indoor_c;
}

static void set_surface(const ebi_detail *d, eb_air_month *m) {
  double factor = d->out->moisture.surface_factor, indoor = m->indoor_c;
  m->surface_c = m->outdoor_c + factor * (indoor - m->outdoor_c);
  m->surface_humidity = eb_surface_humidity(indoor, m->indoor_humidity, m->outdoor_c, factor);
  m->safe_humidity = MOULD * eb_vapour_saturation(m->surface_c) / eb_vapour_saturation(indoor);
}

static double at_rooms(const ebi_detail *d, const eb_air_month *m) {
  double flow = SECONDS * d->in->air_capacity * d->supply;
  double lost = supply_duct_loss(d) * (m->indoor_c - m->outdoor_c);
  return flow > 0.0 ? m->supply_c - lost / flow : (double)NAN;
}

static void set_month(ebi_detail *d, int month) {
  const ebi_climate *climate = d->in->house->climate;
  eb_air_month *m = &d->out->months[month];
  double leaks = d->needs->air.infiltration * d->in->volume_m3 / SECONDS;
  m->outdoor_c = climate->mean_c[month];
  m->outdoor_humidity = climate->humidity[month].given ? climate->humidity[month].value
                        : m->outdoor_c < COLD_MONTH_C  ? COLD_HUMIDITY
                                                       : WARM_HUMIDITY;
  m->entering_c = entering_c(d, month);
  m->indoor_c = floating_c(d, month);
  m->bypass = bypass_is_open(d, month);
  double outdoor = outdoor_ratio(d, m->outdoor_c, m->outdoor_humidity);
  m->indoor_humidity =
      ebi_detail_indoor_humidity(d, m->indoor_c, m->outdoor_c, m->outdoor_humidity,
                                 m->bypass ? d->needs->air.flow + leaks : d->vapour_flow);
  m->least_humidity = fmin(eb_relative_humidity(m->indoor_c, outdoor, d->pressure_pa), 1.0);
  const ebi_detail_airs airs = {.indoor_c = m->indoor_c,
                                .indoor_humidity = m->indoor_humidity,
                                .entering_c = m->entering_c,
                                .outdoor_ratio = outdoor,
                                .use = m->bypass ? d->in->bypass_residual : 1.0};
  ebi_detail_exchange air = ebi_detail_exchange_at(d, &airs);
  m->supply_c = air.supply_c;
  m->exhaust_c = air.exhaust_c;
  m->dry_exhaust_c = air.dry_exhaust_c;
  m->condensate_kg_day = air.condensate_kg_s * SECONDS_PER_DAY;
  m->rooms_c = at_rooms(d, m);
  set_surface(d, m);
}

/* ---- What the months rest on -------------------------------------------- */

static void set_production(ebi_detail *d) {
  const ebi_moisture *given = &d->in->house->moisture;
  eb_moisture_detail *out = &d->out->moisture;
  out->people = d->in->house->people.given ? d->in->house->people.value : d->in->rates->people;
  out->production_given = given->production.given;
  out->production_kg_day =
      given->production.given ? given->production.value : PER_PERSON * out->people;
  if (!given->production.given && out->people > 0.0)
    ebi_detail_say(d, EB_NOTE, "moisture-by-people", given->where,
                   ebi_formula_get(EBI_F_MOISTURE_BY_PEOPLE)->source,
                   "`moisture: {production: ...}` is not given: %.3g kg of vapour a day are taken "
                   "for %.3g people, right to about 50 %%",
                   out->production_kg_day, out->people);
  else if (!given->production.given)
    ebi_detail_say(d, EB_WARNING, "moisture-missing", given->where, NULL,
                   "the house gives neither `people:` nor `moisture: {production: 8 kg/day}`: no "
                   "vapour is made in it, so that its air is told too dry, and no water drops");
  d->production_kg_s = out->production_kg_day / SECONDS_PER_DAY;
}

static void set_basis(ebi_detail *d) {
  const ebi_moisture *given = &d->in->house->moisture;
  const ebi_climate *climate = d->in->house->climate;
  eb_moisture_detail *out = &d->out->moisture;
  out->surface_factor_given = given->surface_factor.given;
  out->surface_factor = given->surface_factor.given ? given->surface_factor.value : SURFACE_FACTOR;
  out->moisture_ratio = d->moisture_ratio;
  out->flow_m3_s = d->needs->air.flow * (1.0 - d->moisture_ratio) +
                   d->needs->air.infiltration * d->in->volume_m3 / SECONDS;
  d->vapour_flow = out->flow_m3_s;
  out->humidity_given = true;
  for (int i = 0; i < EBI_MONTHS; i++)
    out->humidity_given = out->humidity_given && climate->humidity[i].given;
  if (!out->humidity_given)
    ebi_detail_say(d, EB_NOTE, "humidity-assumed", climate->entry.where, NULL,
                   "the climate has no outdoor humidity for each month: where it is missing, 85 %% "
                   "is taken in months below 10 C and 75 %% in the others, common practice for "
                   "western Europe");
  if (!out->surface_factor_given)
    ebi_detail_say(d, EB_NOTE, "surface-assumed", given->where, NULL,
                   "`moisture: {surface_factor: ...}` is not given: 75 %%, the usual least of "
                   "dwellings in the United Kingdom (from memory), stands for the coldest place");
}

/* ---- Findings ----------------------------------------------------------- */

/* In warmer months windows stand open and rooms are drier than is reckoned here: by measurements in
 * 171 Finnish houses the excess of vapour falls from 3.4..4.9 g/m3 up to 5 C outdoors to 0.3..2.6
 * from 15 C on (Vinha et al., quoted); the limit is half-way. */
static bool windows_are_shut(const eb_air_month *m) {
  return m->outdoor_c < COLD_MONTH_C;
}

static void say_dry(const ebi_detail *d) {
  bool dry[EBI_MONTHS];
  double least = 1.0;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const eb_air_month *m = &d->out->months[i];
    dry[i] = windows_are_shut(m) && m->indoor_humidity < DRY;
    least = dry[i] ? fmin(least, m->indoor_humidity) : least;
  }
  const char *months = ebi_detail_months(d, dry);
  if (least < DRY && d->production_kg_s > 0.0)
    ebi_detail_say(d, EB_WARNING, "air-dry", d->in->house->moisture.where, NULL,
                   "the rooms' air is drier than 30 %% in %s, down to %.2g %%: less air while few "
                   "are at home, or an exchanger that hands moisture back",
                   months, least * 100.0);
}

static void say_mould(const ebi_detail *d) {
  bool mould[EBI_MONTHS];
  const eb_air_month *worst = NULL;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const eb_air_month *m = &d->out->months[i];
    mould[i] = windows_are_shut(m) && m->surface_humidity > MOULD;
    if (mould[i] && (worst == NULL || m->surface_humidity > worst->surface_humidity))
      worst = m;
  }
  const char *months = ebi_detail_months(d, mould);
  if (worst != NULL)
    ebi_detail_say(
        d, EB_WARNING, "mould", d->in->house->moisture.where,
        ebi_formula_get(EBI_F_SURFACE_HUMIDITY)->source,
        "at the coldest place (fRsi %.3g) the air is damper than 80 %% in %s, up to %.2g "
        "%%: mould may grow; with the rooms at no more than %.2g %% it would not",
        d->out->moisture.surface_factor, months, worst->surface_humidity * 100.0,
        worst->safe_humidity * 100.0);
}

/* ---- The account -------------------------------------------------------- */

static void explain_basis(ebi_detail *d) {
  const eb_house *house = d->in->house;
  const eb_moisture_detail *out = &d->out->moisture;
  const ebi_where nowhere = {NULL, 0, 0};
  if (out->production_given) {
    d->production = ebi_ledger_input(d->ledger, house->moisture.production.where,
                                     out->production_kg_day, EBI_WATER_PER_DAY, "vapour produced");
  } else {
    ebi_step people = ebi_ledger_input(d->ledger, nowhere, out->people, EBI_NUMBER, "people");
    d->production =
        ebi_ledger_step(d->ledger, EBI_F_MOISTURE_BY_PEOPLE, NULL, out->production_kg_day,
                        EBI_WATER_PER_DAY, &people, 1, "vapour produced");
  }
  d->ratio = ebi_ledger_input(d->ledger, house->unit_where, d->ratios.supply_ratio, EBI_RATIO,
                              "temperature ratio of the supply side at the year's mean flows");
  d->vapour = ebi_ledger_input(d->ledger, house->unit_where, out->flow_m3_s, EBI_FLOW,
                               "outdoor air that carries vapour off, leaks included");
}

/* Steps of a month that rest on others of it. */
static void explain_month(const ebi_detail *d, int month, ebi_step surface) {
  const eb_air_month *m = &d->out->months[month];
  const char *name = ebi_month_name(month);
  eb_ledger *ledger = d->ledger;
  ebi_step outdoor = ebi_ledger_input(ledger, d->in->house->climate->entry.where, m->outdoor_c,
                                      EBI_TEMPERATURE, "mean outdoor temperature of %s", name);
  ebi_step damp = ebi_ledger_input(ledger, d->in->house->climate->entry.where, m->outdoor_humidity,
                                   EBI_RATIO, "outdoor humidity of %s", name);
  ebi_step entering = ebi_ledger_step(ledger, EBI_F_ENTERING, NULL, m->entering_c, EBI_TEMPERATURE,
                                      &outdoor, 1, "air that enters the exchanger, %s", name);
  ebi_step of_supply[] = {entering, d->ratio};
  ebi_step supply = ebi_ledger_step(ledger, EBI_F_SUPPLY_AIR, NULL, m->supply_c, EBI_TEMPERATURE,
                                    of_supply, 2, "supply air, %s", name);
  if (!isnan(m->rooms_c))
    (void)ebi_ledger_step(ledger, EBI_F_ROOM_AIR_SUPPLY, NULL, m->rooms_c, EBI_TEMPERATURE, &supply,
                          1, "supply air as it comes into the rooms, %s", name);
  ebi_step of_rooms[] = {outdoor, damp, d->production, d->vapour};
  ebi_step rooms = ebi_ledger_step(ledger, EBI_F_ROOM_HUMIDITY, NULL, m->indoor_humidity, EBI_RATIO,
                                   of_rooms, LENGTH(of_rooms), "humidity indoors, %s", name);
  ebi_step of_exhaust[] = {entering, rooms, d->ratio};
  ebi_step exhaust = ebi_ledger_step(ledger, EBI_F_EXHAUST_AIR, NULL, m->exhaust_c, EBI_TEMPERATURE,
                                     of_exhaust, LENGTH(of_exhaust), "exhaust air, %s", name);
  (void)ebi_ledger_step(ledger, EBI_F_CONDENSATE, NULL, m->condensate_kg_day, EBI_WATER_PER_DAY,
                        &exhaust, 1, "condensate, %s", name);
  ebi_step of_surface[] = {outdoor, rooms, surface};
  (void)ebi_ledger_step(ledger, EBI_F_SURFACE_HUMIDITY, NULL, m->surface_humidity, EBI_RATIO,
                        of_surface, LENGTH(of_surface), "humidity at the coldest place, %s", name);
  (void)ebi_ledger_step(ledger, EBI_F_SAFE_HUMIDITY, NULL, m->safe_humidity, EBI_RATIO, of_surface,
                        LENGTH(of_surface), "humidity indoors that is still safe, %s", name);
}

eb_status ebi_detail_moisture(ebi_detail *d) {
  set_production(d);
  set_basis(d);
  explain_basis(d);
  ebi_step surface =
      ebi_ledger_input(d->ledger, d->in->house->moisture.surface_factor.where,
                       d->out->moisture.surface_factor, EBI_RATIO, "fRsi of the coldest place");
  for (int i = 0; i < EBI_MONTHS; i++) {
    set_month(d, i);
    explain_month(d, i, surface);
  }
  say_dry(d);
  say_mould(d);
  return EB_OK;
}
