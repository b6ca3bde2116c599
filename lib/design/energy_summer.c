/* energy_summer.c - what air can cool, and how warm the house gets with the bypass and without
 *
 * The house is one store of heat, stepped exactly through the hours of the climate. Gains are the
 * same by day and night, walls do not delay: kelvin-hours compare ways to run one house, they
 * do not foretell its warmest room. */

#include "design/energy_detail.h"

#include <math.h>
#include <string.h>

#include "physics/rooms_air.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])
#define SECONDS 3600.0
#define JOULES_PER_KWH 3.6e6
#define LIMIT_C 25.0        /* comfort in summer: common practice */
#define CAPACITY 165e3      /* J/(m2 K) of floor, medium weight: EN ISO 13790:2008, from memory */
#define HEIGHT 2.5          /* m, where the floor is not known */
#define OPENS_ABOVE_C 22.0  /* rooms; 22 to 24 is usual, from memory */
#define CLOSES_BELOW_C 12.0 /* outdoors; 12 to 14 is usual, from memory */
#define HYSTERESIS 1.0      /* K */
#define RESIDUAL 0.1        /* of the ratio, past a bypass that the unit does not have yet */
#define SUPPLY_FAN 0.5      /* share of the fans' power that warms the supply air */
#define SENSIBLE_K 4.0      /* K below the rooms, a mild summer evening */
#define NIGHT_K 6.0
#define NIGHT_HOURS 8.0

/* One way to run the house. */
typedef struct running {
  double closed_w_k, open_w_k; /* all of the house's heat loss */
  double cooling_w_k;          /* of the air alone, bypass open */
  double closed_w, open_w;     /* both fans and controls */
  bool bypass;
  double opens_above, closes_below;
} running;

static double mean_power(const ebi_energy_inputs *in) {
  double power = 0.0;
  for (size_t i = 0; i < in->n_levels; i++)
    power += in->levels[i].power_w * in->levels[i].hours / 24.0;
  return power;
}

static running running_of(const ebi_detail *d, bool bypass, double flow, double power) {
  const ebi_energy_inputs *in = d->in;
  const ebi_unit *unit = in->house->unit;
  const ebi_energy_air *air = &d->needs->air;
  double per_flow = ebi_sensible_power(in->air_capacity, 1.0, 1.0);
  double still = in->fabric_w_k + in->air_capacity * in->volume_m3 * air->infiltration;
  double left = unit->bypass_opens_above.given ? in->bypass_residual : RESIDUAL;
  double cooling = per_flow * flow * (1.0 - left * air->ratio);
  return (running){.closed_w_k = still + per_flow * air->flow * (1.0 - air->ratio),
                   .open_w_k = still + cooling,
                   .cooling_w_k = cooling,
                   .closed_w = mean_power(in),
                   .open_w = power,
                   .bypass = bypass,
                   .opens_above = unit->bypass_opens_above.given ? unit->bypass_opens_above.value
                                                                 : OPENS_ABOVE_C,
                   .closes_below = unit->bypass_closes_below.given ? unit->bypass_closes_below.value
                                                                   : CLOSES_BELOW_C};
}

/* Whether the bypass stands open for an hour. */
static bool opens(const running *r, bool was_open, double rooms_c, double outdoor_c) {
  double above = r->opens_above - (was_open ? HYSTERESIS : 0.0);
  return r->bypass && rooms_c > above && rooms_c > outdoor_c && outdoor_c > r->closes_below;
}

static void add_hour(eb_summer_run *run, const running *r, bool open, double rooms_c,
                     double outdoor_c, double limit) {
  run->highest_c = fmax(run->highest_c, rooms_c);
  run->kelvin_hours += fmax(rooms_c - limit, 0.0);
  run->hours += rooms_c > limit ? 1.0 : 0.0;
  if (!open)
    return;
  run->open_hours += 1.0;
  run->removed_kwh += r->cooling_w_k * (rooms_c - outdoor_c) / 1000.0;
  run->fan_kwh += r->open_w / 1000.0;
  run->fan_heat_kwh += SUPPLY_FAN * r->open_w / 1000.0;
}

/* The heating keeps the rooms from falling below the indoor temperature. */
static eb_summer_run run_of(const ebi_detail *d, const char *name, const running *r) {
  const ebi_climate *climate = d->in->house->climate;
  const eb_summer_detail *summer = &d->out->summer;
  eb_summer_run run = {.name = name, .highest_c = d->in->indoor_c};
  double rooms = d->in->indoor_c;
  bool open = false;
  for (size_t i = 0; i < climate->n_hours; i++) {
    double outdoor = climate->hour_c[i];
    open = opens(r, open, rooms, outdoor);
    const ebi_heat_store store = {.capacity = summer->capacity_j_k,
                                  .heat_loss = open ? r->open_w_k : r->closed_w_k,
                                  .gains = summer->gains_w +
                                           SUPPLY_FAN * (open ? r->open_w : r->closed_w)};
    ebi_store_state state = ebi_heat_store_step(&store, rooms, outdoor, SECONDS);
    rooms = fmax(state.end_c, d->in->indoor_c);
    add_hour(&run, r, open, fmax(state.mean_c, d->in->indoor_c), outdoor, summer->limit_c);
  }
  return run;
}

/* ---- Cooling ------------------------------------------------------------ */

/* By the means of months, at the flow of the year: nights are cooler than that. */
static void estimate_by_months(ebi_detail *d) {
  const ebi_climate *climate = d->in->house->climate;
  eb_summer_detail *summer = &d->out->summer;
  running r = running_of(d, true, d->needs->air.flow, mean_power(d->in));
  for (int i = 0; i < EBI_MONTHS; i++) {
    double below = d->in->indoor_c - climate->mean_c[i], hours = 24.0 * climate->days[i];
    if (summer->heating[i] || !(below > 0.0))
      continue;
    summer->free_cooling_kwh += (r.cooling_w_k * below - SUPPLY_FAN * r.open_w) * hours / 1000.0;
    summer->free_fan_kwh += r.open_w * hours / 1000.0;
  }
}

static void run_hours(ebi_detail *d, const ebi_detail_level *level) {
  eb_summer_detail *summer = &d->out->summer;
  double normal_w = mean_power(d->in);
  const struct {
    const char *name;
    bool bypass;
    double flow, power;
  } ways[EB_SUMMER_RUNS] = {
      {"exchanger", false, d->needs->air.flow, normal_w},
      {"bypass", true, d->needs->air.flow, normal_w},
      {"bypass and cooling level", true, fmax(level->supply, level->extract), level->power_w}};
  for (size_t i = 0; i < EB_SUMMER_RUNS; i++) {
    running r = running_of(d, ways[i].bypass, ways[i].flow, ways[i].power);
    summer->runs[i] = run_of(d, ways[i].name, &r);
  }
  const eb_summer_run *most = &summer->runs[EB_SUMMER_RUNS - 1];
  summer->free_cooling_kwh = most->removed_kwh - most->fan_heat_kwh;
  summer->free_fan_kwh = most->fan_kwh;
}

static void set_seasons(ebi_detail *d) {
  eb_summer_detail *summer = &d->out->summer;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const eb_energy_month *month = &d->energy->months[i];
    summer->heating[i] = ebi_detail_heats(d, i);
    *(summer->heating[i] ? &summer->heating_recovered_kwh : &summer->other_recovered_kwh) +=
        month->recovered_heat_kwh;
    *(summer->heating[i] ? &summer->heating_fan_kwh : &summer->other_fan_kwh) += month->fan_kwh;
  }
}

/* ---- What it rests on --------------------------------------------------- */

static const char *level_name(const eb_house *house) {
  if (house->summer.level != NULL && house->summer.level[0] != '\0')
    return house->summer.level;
  for (size_t i = 0; i < house->n_levels; i++)
    if (strcmp(house->levels[i].name, "cooling") == 0)
      return "cooling";
  return "boost";
}

static void set_basis(ebi_detail *d, const ebi_detail_level *level) {
  const ebi_summer *given = &d->in->house->summer;
  const eb_rates *rates = d->in->rates;
  eb_summer_detail *summer = &d->out->summer;
  double floor = rates->floor_area_m2 > 0.0 ? rates->floor_area_m2 : d->in->volume_m3 / HEIGHT;
  summer->limit_given = given->limit.given;
  summer->limit_c = given->limit.given ? given->limit.value : LIMIT_C;
  summer->gains_given = given->gains.given;
  summer->gains_w = given->gains.given ? given->gains.value : d->in->gains_w;
  summer->capacity_given = given->capacity.given;
  summer->capacity_j_k = given->capacity.given ? given->capacity.value : CAPACITY * floor;
  summer->flow_m3_s = fmax(level->supply, level->extract);
  summer->normal_m3_s = fmax(d->in->levels[0].supply, d->in->levels[0].extract);
  summer->normal_w = ebi_sensible_power(d->in->air_capacity, summer->normal_m3_s, SENSIBLE_K);
  summer->level_w = ebi_sensible_power(d->in->air_capacity, summer->flow_m3_s, SENSIBLE_K);
  summer->night_kwh =
      ebi_sensible_power(d->in->air_capacity, summer->flow_m3_s, NIGHT_K) * NIGHT_HOURS / 1000.0;
  summer->hourly = ebi_climate_has(d->in->house->climate, EBI_WEATHER_HOURS);
}

static void say(const ebi_detail *d) {
  const eb_house *house = d->in->house;
  const eb_summer_detail *summer = &d->out->summer;
  if (!summer->hourly)
    ebi_detail_say(d, EB_NOTE, "summer-by-months", house->climate->entry.where, NULL,
                   "the climate has no hours: cooling by air is an estimate from the means of "
                   "months, and hours above %.3g C are not told; give a climate of hours for them",
                   summer->limit_c);
  if (!house->unit->bypass_opens_above.given)
    ebi_detail_say(d, EB_NOTE, "no-bypass", house->unit_where, NULL,
                   "the unit names no bypass: on a summer evening its exchanger keeps the heat in; "
                   "open windows then, or switch the supply off");
  if (summer->hourly && (!summer->gains_given || !summer->capacity_given))
    ebi_detail_say(
        d, EB_NOTE, "summer-assumed", house->summer.where, NULL,
        "`summer:` does not give %s: %.3g W of gains and %.2g kWh/K of storage are taken",
        summer->gains_given      ? "capacity"
        : summer->capacity_given ? "gains"
                                 : "gains and capacity",
        summer->gains_w, summer->capacity_j_k / JOULES_PER_KWH);
}

/* ---- The account -------------------------------------------------------- */

static void explain_hours(const ebi_detail *d, ebi_step flow) {
  const ebi_summer *given = &d->in->house->summer;
  const eb_summer_detail *summer = &d->out->summer;
  ebi_step inputs[] = {ebi_ledger_input(d->ledger, given->limit.where, summer->limit_c,
                                        EBI_TEMPERATURE, "limit indoors in summer"),
                       ebi_ledger_input(d->ledger, given->gains.where, summer->gains_w, EBI_POWER,
                                        "gains in summer"),
                       ebi_ledger_input(d->ledger, given->capacity.where, summer->capacity_j_k,
                                        EBI_HEAT_CAPACITY, "heat that the house stores"),
                       flow};
  for (size_t i = 0; i < EB_SUMMER_RUNS; i++)
    (void)ebi_ledger_step(d->ledger, EBI_F_KELVIN_HOURS, NULL, summer->runs[i].kelvin_hours,
                          EBI_KELVIN_HOURS, inputs, LENGTH(inputs), "above the limit, by %s",
                          summer->runs[i].name);
}

static void explain(const ebi_detail *d) {
  const eb_summer_detail *summer = &d->out->summer;
  const ebi_where nowhere = {NULL, 0, 0};
  ebi_step flows[] = {
      ebi_ledger_input(d->ledger, nowhere, summer->normal_m3_s, EBI_FLOW, "flow at normal"),
      ebi_ledger_input(d->ledger, nowhere, summer->flow_m3_s, EBI_FLOW, "flow at %s",
                       summer->level)};
  (void)ebi_ledger_step(d->ledger, EBI_F_SENSIBLE_COOLING, NULL, summer->normal_w, EBI_POWER,
                        &flows[0], 1, "cooling 4 K below the rooms at normal");
  (void)ebi_ledger_step(d->ledger, EBI_F_SENSIBLE_COOLING, NULL, summer->level_w, EBI_POWER,
                        &flows[1], 1, "cooling 4 K below the rooms at %s", summer->level);
  (void)ebi_ledger_step(d->ledger, EBI_F_SENSIBLE_COOLING, NULL, summer->night_kwh * JOULES_PER_KWH,
                        EBI_ENERGY, &flows[1], 1, "cooling in a night of 8 hours, 6 K below, at %s",
                        summer->level);
  (void)ebi_ledger_step(d->ledger, EBI_F_FREE_COOLING, NULL,
                        summer->free_cooling_kwh * JOULES_PER_KWH, EBI_ENERGY, flows, 2,
                        "free cooling of the year, the fan's heat taken off");
  if (summer->hourly)
    explain_hours(d, flows[1]);
  (void)ebi_ledger_step(d->ledger, EBI_F_YEAR_SUM, NULL,
                        summer->heating_recovered_kwh * JOULES_PER_KWH, EBI_ENERGY, NULL, 0,
                        "useful heat recovered in months that need heating");
  (void)ebi_ledger_step(d->ledger, EBI_F_YEAR_SUM, NULL, summer->other_fan_kwh * JOULES_PER_KWH,
                        EBI_ENERGY, NULL, 0, "electricity of the fans in the other months");
}

eb_status ebi_detail_summer(ebi_detail *d) {
  eb_summer_detail *summer = &d->out->summer;
  ebi_detail_level level;
  summer->level = level_name(d->in->house);
  if (!ebi_detail_level_of(d, summer->level, &level)) {
    summer->level = "normal";
    const ebi_energy_level *normal = &d->in->levels[0];
    level = (ebi_detail_level){normal->supply, normal->extract, normal->power_w};
  }
  set_basis(d, &level);
  set_seasons(d);
  if (summer->hourly)
    run_hours(d, &level);
  else
    estimate_by_months(d);
  say(d);
  explain(d);
  return EB_OK;
}
