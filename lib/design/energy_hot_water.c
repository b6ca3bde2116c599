/* energy_hot_water.c - a heat pump on the supply air, its tank of hot water and the electric
 * back-up
 *
 * In summer it cools the supply air and heats the tank until that is full; in winter it takes heat
 * from the exhaust air behind the exchanger, for hot water and rooms. */

#include "design/energy_detail.h"

#include <math.h>

#include "physics/tank.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])
#define SECONDS 3600.0
#define DAY 86400.0
#define JOULES_PER_KWH 3.6e6
#define WEEKS 52.0
/* What stands where a key is not given: common practice. */
#define COMPRESSOR 600.0
#define RATIO 3.0
#define START_C 45.0
#define LIMIT_C 65.0
#define WEEKLY_C EBI_STORE_C
#define COLD_C 10.0 /* of the water main */

static const char hse[] =
    "Health and Safety Executive (United Kingdom), hot and cold water systems; "
    "HSG274 part 2 (2014)";

/* What is being reckoned. */
typedef struct water {
  ebi_detail *d;
  eb_hot_water_detail *out;
  ebi_ratio_point *ratios;
  size_t n_ratios;
  double mean_c; /* of the tank over a cycle */
  ebi_step pump, tank, ratio;
} water;

static ebi_tank tank_of(const water *w, double loss, double draw) {
  return (ebi_tank){.volume = w->out->tank_m3,
                    .power = w->out->compressor_w,
                    .loss = loss,
                    .draw = draw,
                    .cold_c = w->out->cold_c,
                    .ratios = w->ratios,
                    .n_ratios = w->n_ratios};
}

static double ratio_at(const water *w, double tank_c) {
  ebi_tank tank = tank_of(w, 0.0, 0.0);
  return ebi_tank_ratio(&tank, tank_c);
}

/* ---- What is given ------------------------------------------------------ */

static double given_or(const ebi_given *given, double value) {
  return given->given ? given->value : value;
}

static eb_status set_basis(water *w) {
  const ebi_heat_pump *given = &w->d->in->house->heat_pump;
  eb_hot_water_detail *out = w->out;
  w->n_ratios = given->n_ratios > 0 ? given->n_ratios : 1;
  w->ratios = EBI_NEW_ARRAY(w->d->in->arena, ebi_ratio_point, w->n_ratios);
  if (w->ratios == NULL)
    return EB_E_MEMORY;
  w->ratios[0] = (ebi_ratio_point){START_C, RATIO};
  for (size_t i = 0; i < given->n_ratios; i++)
    w->ratios[i] = (ebi_ratio_point){given->ratios[i].x, given->ratios[i].y};
  out->compressor_given = given->compressor > 0.0;
  out->compressor_w = out->compressor_given ? given->compressor : COMPRESSOR;
  out->ratio_given = given->n_ratios > 0;
  out->tank_m3 = given->tank.value;
  out->limit_given = given->limit.given;
  out->limit_c = given_or(&given->limit, fmax(LIMIT_C, given_or(&given->start, 0.0)));
  out->start_c = given_or(&given->start, fmin(START_C, out->limit_c));
  out->loss_w = given_or(&given->loss, 0.0);
  out->draw_m3_day = given_or(&given->draw, 0.0);
  out->weekly_c = given_or(&given->weekly, WEEKLY_C);
  out->heater_w = given_or(&given->heater, NAN);
  out->cold_c = COLD_C;
  w->mean_c = 0.5 * (out->start_c + out->limit_c);
  return EB_OK;
}

/* ---- Cooling until the tank is full ------------------------------------- */

static eb_coil_state coil_at(const water *w, double tank_c) {
  const eb_hot_water_detail *out = w->out;
  double pressure = w->d->pressure_pa, ratio = ratio_at(w, tank_c);
  double inlet = eb_humidity_ratio(out->inlet_c, out->inlet_humidity, pressure);
  double cooling = out->compressor_w * (ratio - 1.0);
  double dry_air = out->flow_m3_s / eb_moist_volume(out->inlet_c, inlet, pressure);
  eb_coil end = eb_cooling_coil(out->inlet_c, out->inlet_humidity, dry_air, cooling, pressure);
  return (eb_coil_state){
      .tank_c = tank_c,
      .ratio = ratio,
      .cooling_w = cooling,
      .outlet_c = end.outlet_c,
      .outlet_humidity = eb_relative_humidity(end.outlet_c, end.outlet_humidity_ratio, pressure),
      .condensate_kg_h = end.condensate_kg_s * SECONDS,
      .sensible_share = end.sensible_share};
}

/* Supply air on a hot day: as warm as the rooms may be, as damp as the warmest month. */
static void set_coil(water *w) {
  const ebi_detail *d = w->d;
  eb_hot_water_detail *out = w->out;
  const eb_air_month *warmest = &d->out->months[0];
  for (int i = 1; i < EBI_MONTHS; i++)
    if (d->out->months[i].outdoor_c > warmest->outdoor_c)
      warmest = &d->out->months[i];
  double outdoor = eb_humidity_ratio(
      warmest->outdoor_c, ebi_detail_over_ice(warmest->outdoor_c, warmest->outdoor_humidity),
      d->pressure_pa);
  out->inlet_c = d->out->summer.limit_c;
  out->inlet_humidity = fmin(eb_relative_humidity(out->inlet_c, outdoor, d->pressure_pa), 1.0);
  out->flow_m3_s = d->out->summer.flow_m3_s;
  out->coil[0] = coil_at(w, out->start_c);
  out->coil[1] = coil_at(w, out->limit_c);
}

static void set_full(water *w) {
  eb_hot_water_detail *out = w->out;
  ebi_tank tank = tank_of(w, out->loss_w, out->draw_m3_day / DAY);
  ebi_tank_run run = ebi_tank_heat(&tank, out->start_c, out->limit_c);
  out->full_s = run.seconds;
  out->stands_c = run.stands_c;
  out->full_electricity_kwh = run.electricity_j / JOULES_PER_KWH;
  out->full_heat_kwh = run.heat_j / JOULES_PER_KWH;
  out->mean_ratio = run.electricity_j > 0.0 ? run.heat_j / run.electricity_j
                                            : ratio_at(w, fmax(run.stands_c, out->start_c));
  out->cooling_once_kwh = out->full_heat_kwh - out->full_electricity_kwh;
  double most = out->compressor_w * (out->mean_ratio - 1.0) * 24.0 / 1000.0;
  double room = out->loss_w * 24.0 / 1000.0 +
                ebi_tank_content(out->draw_m3_day, out->cold_c, w->mean_c) / JOULES_PER_KWH;
  out->cooling_day_kwh = fmin(room * (1.0 - 1.0 / out->mean_ratio), most);
}

/* ---- The weekly cycle --------------------------------------------------- */

static void set_weekly(water *w) {
  eb_hot_water_detail *out = w->out;
  double by_pump = fmax(fmin(out->weekly_c, out->limit_c), out->start_c);
  double all = fmax(ebi_tank_content(out->tank_m3, out->start_c, out->weekly_c), 0.0);
  double by_heater = fmax(ebi_tank_content(out->tank_m3, by_pump, out->weekly_c), 0.0);
  ebi_tank tank = tank_of(w, 0.0, 0.0);
  ebi_tank_run run = ebi_tank_heat(&tank, out->start_c, by_pump);
  out->weekly_kwh = all / JOULES_PER_KWH;
  out->weekly_year_kwh = WEEKS * out->weekly_kwh;
  out->weekly_electricity_kwh = WEEKS * (run.electricity_j + by_heater) / JOULES_PER_KWH;
}

/* ---- The year ----------------------------------------------------------- */

/* Exhaust air, already cooled by the exchanger, behind the coil while the compressor runs. */
static double source_c(const water *w, int month) {
  const ebi_detail *d = w->d;
  const eb_air_month *m = &d->out->months[month];
  double indoor = eb_humidity_ratio(m->indoor_c, m->indoor_humidity, d->pressure_pa);
  double humidity = fmin(eb_relative_humidity(m->exhaust_c, indoor, d->pressure_pa), 1.0);
  if (!(d->exhaust > 0.0))
    return NAN;
  double dry_air = d->exhaust / eb_moist_volume(m->indoor_c, indoor, d->pressure_pa);
  double cooling = w->out->compressor_w * (ratio_at(w, w->mean_c) - 1.0);
  return eb_cooling_coil(m->exhaust_c, humidity, dry_air, cooling, d->pressure_pa).outlet_c;
}

static void set_month(water *w, int month) {
  eb_hot_water_detail *out = w->out;
  eb_hot_water_month *m = &out->months[month];
  double days = w->d->in->house->climate->days[month], ratio = ratio_at(w, w->mean_c);
  double hours = 24.0 * days;
  m->rooms_kwh = w->d->energy->months[month].net_heat_kwh;
  m->water_kwh = out->loss_w * hours / 1000.0 +
                 days * ebi_tank_content(out->draw_m3_day, out->cold_c, w->mean_c) / JOULES_PER_KWH;
  double asked = m->rooms_kwh + m->water_kwh;
  m->pump_kwh = fmin(asked, out->compressor_w * ratio * hours / 1000.0);
  m->pump_electricity_kwh = m->pump_kwh / ratio;
  double rest = asked - m->pump_kwh;
  m->heater_kwh = isnan(out->heater_w) ? rest : fmin(rest, out->heater_w * hours / 1000.0);
  m->short_kwh = rest - m->heater_kwh;
  m->source_c = source_c(w, month);
  out->asked_kwh += asked;
  out->pump_kwh += m->pump_kwh;
  out->pump_electricity_kwh += m->pump_electricity_kwh;
  out->heater_kwh += m->heater_kwh;
  out->short_kwh += m->short_kwh;
}

/* ---- Findings ----------------------------------------------------------- */

static void say_assumed(const water *w) {
  const eb_hot_water_detail *out = w->out;
  if (!out->compressor_given || !out->ratio_given || !out->limit_given)
    ebi_detail_say(w->d, EB_NOTE, "heat-pump-assumed", w->d->in->house->heat_pump.where, NULL,
                   "common practice stands for what `heat_pump:` does not give: compressor %.4g W, "
                   "ratio %.3g at %.3g C, limit of the tank %.3g C",
                   out->compressor_w, ratio_at(w, out->start_c), out->start_c, out->limit_c);
}

static void say_short(const water *w) {
  const eb_hot_water_detail *out = w->out;
  ebi_where where = w->d->in->house->heat_pump.where;
  bool frosts[EBI_MONTHS], any = false;
  for (int i = 0; i < EBI_MONTHS; i++) {
    frosts[i] = ebi_detail_heats(w->d, i) && !(out->months[i].source_c > 0.0);
    any = any || frosts[i];
  }
  const char *months = ebi_detail_months(w->d, frosts);
  if (any)
    ebi_detail_say(w->d, EB_WARNING, "coil-frost", where, NULL,
                   "behind the exchanger the exhaust air is cooled below 0 C in %s while the "
                   "compressor runs: the coil frosts, and less heat comes than is reckoned here",
                   months);
  if (out->short_kwh > 0.0)
    ebi_detail_say(w->d, EB_WARNING, "heater-short", where, NULL,
                   "heat pump and heater together lack %.2g kWh a year on the means of months: the "
                   "house needs more heating than these",
                   out->short_kwh);
}

/* HSE: store at 60 C, 50 C at the outlet within a minute, cold below 20 C. */
static void say_cautions(const water *w) {
  const eb_hot_water_detail *out = w->out;
  ebi_where where = w->d->in->house->heat_pump.where;
  bool cool = out->start_c < EBI_STORE_C;
  ebi_detail_say(w->d, cool ? EB_WARNING : EB_NOTE, "legionella", where, hse,
                 "hot water is to be stored at 60 C or more and to reach the taps at 50 C within a "
                 "minute, cold water to stay below 20 C%s; local codes and licensed people decide",
                 cool ? ": this tank is kept cooler, and a weekly cycle is common practice but no "
                        "figure of that guidance"
                      : "");
  ebi_detail_say(
      w->d, EB_NOTE, "scald", where, hse,
      "water hotter than about 44 C scalds (from memory): taps that people wash at need "
      "a thermostatic mixing valve, and a tank with a heater its safety valve, fitted by "
      "licensed people to the local code");
}

/* ---- The account -------------------------------------------------------- */

static void explain_cooling(water *w) {
  const eb_hot_water_detail *out = w->out;
  eb_ledger *ledger = w->d->ledger;
  const ebi_heat_pump *given = &w->d->in->house->heat_pump;
  w->pump = ebi_ledger_input(ledger, given->where, out->compressor_w, EBI_POWER, "compressor");
  w->tank = ebi_ledger_input(ledger, given->tank.where, out->tank_m3, EBI_VOLUME, "tank");
  w->ratio = ebi_ledger_input(ledger, given->where, ratio_at(w, w->mean_c), EBI_NUMBER,
                              "ratio at the middle of the tank's lift");
  ebi_step inputs[] = {w->pump, w->ratio, w->tank};
  for (size_t i = 0; i < LENGTH(out->coil); i++)
    if (!isnan(out->coil[i].outlet_c))
      (void)ebi_ledger_step(ledger, EBI_F_COIL, NULL, out->coil[i].outlet_c, EBI_TEMPERATURE,
                            inputs, 2, "air behind the coil with the tank at %g C",
                            out->coil[i].tank_c);
  if (!isnan(out->full_s)) {
    ebi_step full = ebi_ledger_step(ledger, EBI_F_TANK_TIME, NULL, out->full_s, EBI_TIME, inputs,
                                    LENGTH(inputs), "until the tank is full");
    (void)ebi_ledger_step(ledger, EBI_F_TANK_COOLING, NULL, out->cooling_once_kwh * JOULES_PER_KWH,
                          EBI_ENERGY, &full, 1, "cooling until the tank is full");
  }
  (void)ebi_ledger_step(ledger, EBI_F_TANK_COOLING, NULL, out->cooling_day_kwh * JOULES_PER_KWH,
                        EBI_ENERGY, inputs, LENGTH(inputs),
                        "cooling that a day's hot water makes room for");
}

static void explain_year(const water *w) {
  const eb_hot_water_detail *out = w->out;
  eb_ledger *ledger = w->d->ledger;
  ebi_step inputs[] = {w->pump, w->ratio};
  ebi_step weekly =
      ebi_ledger_step(ledger, EBI_F_WEEKLY_CYCLE, NULL, out->weekly_year_kwh * JOULES_PER_KWH,
                      EBI_ENERGY, &w->tank, 1, "heat of the weekly cycle, the year");
  (void)ebi_ledger_step(ledger, EBI_F_WEEKLY_CYCLE, NULL,
                        out->weekly_electricity_kwh * JOULES_PER_KWH, EBI_ENERGY, &weekly, 1,
                        "electricity of the weekly cycle, the year");
  ebi_step given = ebi_ledger_step(ledger, EBI_F_PUMP_HEAT, NULL, out->pump_kwh * JOULES_PER_KWH,
                                   EBI_ENERGY, inputs, 2, "heat of the heat pump, the year");
  ebi_step heater =
      ebi_ledger_step(ledger, EBI_F_BACK_UP, NULL, out->heater_kwh * JOULES_PER_KWH, EBI_ENERGY,
                      &given, 1, "heat of the electric back-up, the year");
  (void)ebi_ledger_step(ledger, EBI_F_BACK_UP, NULL, out->heater_share, EBI_RATIO, &heater, 1,
                        "share of the back-up in the heat asked for");
}

eb_status ebi_detail_hot_water(ebi_detail *d) {
  if (!d->in->house->heat_pump.given)
    return EB_OK;
  water w = {.d = d, .out = EBI_NEW(d->in->arena, eb_hot_water_detail)};
  eb_status status = w.out != NULL ? set_basis(&w) : EB_E_MEMORY;
  if (status != EB_OK)
    return status;
  set_coil(&w);
  set_full(&w);
  set_weekly(&w);
  for (int i = 0; i < EBI_MONTHS; i++)
    set_month(&w, i);
  w.out->heater_share = w.out->asked_kwh > 0.0 ? w.out->heater_kwh / w.out->asked_kwh : 0.0;
  d->out->hot_water = w.out;
  say_assumed(&w);
  say_short(&w);
  say_cautions(&w);
  explain_cooling(&w);
  explain_year(&w);
  return EB_OK;
}
