/* energy_boost.c - boost that humidity calls: what it carries off, what it costs, where it cannot
 *
 * Vapour by volume, since it is over within the hour. What has settled on tiles is why the fan
 * runs on at all: it must evaporate first. */

#include "design/energy_detail.h"

#include <math.h>
#include <string.h>

#include "physics/rooms_air.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])
#define SECONDS 3600.0
#define DAY 86400.0
#define JOULES_PER_KWH 3.6e6
#define RUN 1200.0                  /* s: 20 min, common practice without a source */
#define PER_DAY 4.0                 /* showers and meals of a family: common practice */
#define VAPOUR_GAS 461.5            /* J/(kg K) */
#define STEAMY_C 22.0               /* of a bathroom in use */
#define ENTERING_HUMIDITY 0.5       /* at the rooms' temperature where the month is not told */
#define SHOWER_KG_S (2.5 / SECONDS) /* table of an IEA volume on solar housing, quoted */
#define SHOWER_S 600.0

static double concentration(double temperature_c, double humidity) {
  return humidity * eb_vapour_saturation(temperature_c) / (VAPOUR_GAS * (temperature_c + 273.15));
}

/* ---- Rooms -------------------------------------------------------------- */

static double extract_of(const ebi_detail *d, size_t room, size_t level) {
  const eb_ducts *ducts = d->in->ducts;
  const eb_room_rates *rates = &d->in->rates->rooms[room];
  for (size_t i = 0; ducts != NULL && i < ducts->n_levels; i++)
    if (strcmp(ducts->levels[i].name, d->in->rates->levels[level]) == 0)
      return ducts->levels[i].rooms[room].extract.delivered_m3_s;
  return rates->extract[level].design_m3_s;
}

/* Where people wash. */
static bool has_shower(const eb_room_rates *room) {
  return strstr(room->use, "bath") != NULL || strstr(room->use, "shower") != NULL;
}

/* The air that makes up for it comes from the other rooms. */
static eb_boost_room room_of(const ebi_detail *d, size_t index, double flow) {
  const eb_room_rates *rates = &d->in->rates->rooms[index];
  double run = d->out->boost.run_s, changes = flow / rates->volume_m3; /* 1/s */
  const ebi_steam_room shower = {.volume = rates->volume_m3,
                                 .flow = flow,
                                 .entering = concentration(d->in->indoor_c, ENTERING_HUMIDITY),
                                 .saturation = concentration(STEAMY_C, 1.0),
                                 .production = SHOWER_KG_S,
                                 .seconds = SHOWER_S};
  ebi_steam steam = has_shower(rates) ? ebi_steam_of(&shower) : (ebi_steam){NAN, NAN, NAN};
  return (eb_boost_room){.name = rates->name,
                         .flow_m3_s = flow,
                         .air_changes_per_h = changes * SECONDS,
                         .removed = ebi_vapour_removed(changes, run),
                         .nine_tenths_s = ebi_vapour_time(changes, 0.9),
                         .settled_kg = steam.settled_kg,
                         .drying_s = steam.drying_s,
                         .after_humidity =
                             ebi_vapour_after(shower.saturation, shower.entering, changes, run) /
                             shower.saturation};
}

static eb_status set_rooms(ebi_detail *d) {
  const eb_rates *rates = d->in->rates;
  eb_boost_room *rooms = EBI_NEW_ARRAY(d->in->arena, eb_boost_room, rates->n_rooms);
  if (rooms == NULL)
    return EB_E_MEMORY;
  size_t n = 0;
  for (size_t i = 0; i < rates->n_rooms; i++) {
    if (rates->rooms[i].extract == NULL || rates->n_levels < 2 ||
        !(rates->rooms[i].volume_m3 > 0.0))
      continue;
    double flow = extract_of(d, i, 1);
    if (flow > 0.0)
      rooms[n++] = room_of(d, i, flow);
  }
  d->out->boost.rooms = rooms;
  d->out->boost.n_rooms = n;
  return EB_OK;
}

/* ---- A year ------------------------------------------------------------- */

double ebi_detail_heat_of(const ebi_detail *d, const double losses[EBI_MONTHS], double added) {
  double sum = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++) {
    double gains = d->in->gains_of[i] + d->in->fan_heat_w, indoor = d->in->indoor_c;
    double before = losses[i], after = losses[i] + added;
    const ebi_climate *climate = d->in->house->climate;
    sum += after * ebi_climate_degree_days(climate, d->weather, i,
                                           eb_base_temperature(indoor, gains, after)) -
           before * ebi_climate_degree_days(climate, d->weather, i,
                                            eb_base_temperature(indoor, gains, before));
  }
  return 24.0 * sum / 1000.0;
}

static void set_energy(ebi_detail *d) {
  eb_boost_detail *out = &d->out->boost;
  ebi_detail_level normal, boost;
  out->electricity_kwh = NAN;
  if (!ebi_detail_level_of(d, "normal", &normal) || !ebi_detail_level_of(d, "boost", &boost))
    return;
  double share = fmin(out->run_s * out->per_day / DAY, 1.0);
  double high = fmax(boost.supply, boost.extract), low = fmax(normal.supply, normal.extract);
  out->added_m3_s = fmax(high - low, 0.0);
  double recovery = 0.0;
  if (boost.supply > 0.0 && boost.extract > 0.0)
    recovery = ebi_energy_exchanger(d->in, 0.0, boost.supply, boost.extract).recovery;
  double added = SECONDS * d->in->air_capacity * out->added_m3_s * share;
  out->heat_kwh = ebi_detail_heat_of(d, d->needs->recovery.heat_loss, added * (1.0 - recovery));
  out->no_recovery_kwh = ebi_detail_heat_of(d, d->needs->no_recovery.heat_loss, added);
  out->electricity_kwh = fmax(boost.power_w - normal.power_w, 0.0) * share * 24.0 *
                         ebi_energy_sum(d->in->house->climate->days) / 1000.0;
  for (size_t i = 0; i < d->in->n_levels; i++)
    out->in_year = out->in_year || strcmp(d->in->levels[i].name, "boost") == 0;
}

/* ---- Whether the set-point can be had ----------------------------------- */

static void check_set_point(ebi_detail *d) {
  eb_boost_detail *out = &d->out->boost;
  bool any_refused = false, any_endless = false;
  if (isnan(out->humidity))
    return;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const eb_air_month *m = &d->out->months[i];
    out->refused[i] = m->least_humidity >= out->humidity;
    out->endless[i] = !out->refused[i] && m->indoor_humidity >= out->humidity;
    any_refused = any_refused || out->refused[i];
    any_endless = any_endless || out->endless[i];
  }
  ebi_where where = d->in->house->moisture.boost_humidity.where;
  const char *refused = ebi_detail_months(d, out->refused);
  const char *endless = ebi_detail_months(d, out->endless);
  if (any_refused)
    ebi_detail_say(
        d, EB_WARNING, "boost-humidity", where, NULL,
        "%.2g %% indoors cannot be reached in %s, since the outdoor air itself brings as "
        "much: a boost called at it would never end; set it higher, or let a rise call",
        out->humidity * 100.0, refused);
  if (any_endless)
    ebi_detail_say(d, EB_WARNING, "boost-endless", where, NULL,
                   "the rooms are above %.2g %% on the mean of %s: boost would be called all the "
                   "time; set it higher, or let a rise call",
                   out->humidity * 100.0, endless);
}

/* ---- The account -------------------------------------------------------- */

static void explain_room(const ebi_detail *d, const eb_boost_room *room, ebi_step run) {
  const ebi_where nowhere = {NULL, 0, 0};
  ebi_step inputs[] = {ebi_ledger_input(d->ledger, nowhere, room->flow_m3_s, EBI_FLOW,
                                        "extract of %s at boost", room->name),
                       run};
  (void)ebi_ledger_step(d->ledger, EBI_F_VAPOUR_REMOVED, NULL, room->removed, EBI_RATIO, inputs, 2,
                        "vapour carried off in one run, %s", room->name);
  (void)ebi_ledger_step(d->ledger, EBI_F_VAPOUR_REMOVED, NULL, room->nine_tenths_s, EBI_TIME,
                        inputs, 1, "until nine tenths are gone, %s", room->name);
  if (isnan(room->settled_kg))
    return;
  ebi_step settled =
      ebi_ledger_step(d->ledger, EBI_F_STEAM_SETTLED, NULL, room->settled_kg, EBI_MASS, inputs, 1,
                      "water on surfaces after a shower, %s", room->name);
  (void)ebi_ledger_step(d->ledger, EBI_F_DRYING, NULL, room->drying_s, EBI_TIME, &settled, 1,
                        "until that has gone at the least, %s", room->name);
}

static void explain(const ebi_detail *d) {
  const eb_boost_detail *out = &d->out->boost;
  const ebi_moisture *given = &d->in->house->moisture;
  ebi_step run = ebi_ledger_input(d->ledger, given->boost_minutes.where, out->run_s, EBI_TIME,
                                  "run of boost after each call");
  for (size_t i = 0; i < out->n_rooms; i++)
    explain_room(d, &out->rooms[i], run);
  ebi_step inputs[] = {run,
                       ebi_ledger_input(d->ledger, given->boosts_per_day.where, out->per_day,
                                        EBI_NUMBER, "calls a day"),
                       ebi_ledger_input(d->ledger, (ebi_where){NULL, 0, 0}, out->added_m3_s,
                                        EBI_FLOW, "flow at boost beyond normal")};
  (void)ebi_ledger_step(d->ledger, EBI_F_BOOST_HEAT, NULL, out->heat_kwh * JOULES_PER_KWH,
                        EBI_ENERGY, inputs, LENGTH(inputs), "heat that boost adds, the year");
  (void)ebi_ledger_step(d->ledger, EBI_F_BOOST_HEAT, NULL, out->no_recovery_kwh * JOULES_PER_KWH,
                        EBI_ENERGY, inputs, LENGTH(inputs),
                        "heat that boost would add without recovery, the year");
  if (!isnan(out->electricity_kwh))
    (void)ebi_ledger_step(d->ledger, EBI_F_FAN_ENERGY, NULL, out->electricity_kwh * JOULES_PER_KWH,
                          EBI_ENERGY, inputs, LENGTH(inputs),
                          "electricity that boost adds, the year");
}

eb_status ebi_detail_boost(ebi_detail *d) {
  const ebi_moisture *given = &d->in->house->moisture;
  eb_boost_detail *out = &d->out->boost;
  out->run_given = given->boost_minutes.given;
  out->run_s = given->boost_minutes.given ? given->boost_minutes.value : RUN;
  out->per_day = given->boosts_per_day.given ? given->boosts_per_day.value : PER_DAY;
  out->humidity = given->boost_humidity.given ? given->boost_humidity.value : (double)NAN;
  eb_status status = set_rooms(d);
  if (status != EB_OK)
    return status;
  set_energy(d);
  check_set_point(d);
  explain(d);
  return EB_OK;
}
