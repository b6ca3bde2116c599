/* energy_frost.c - what keeps ice from the exchanger, what it takes and what it costs in air
 *
 * Ice forms where the exhaust air is cooled below 0 C: below some -3 to -5 C outdoors in a unit
 * that recovers 85 % (from memory). A preheater warms the outdoor air to the temperature where it
 * begins, the ground warms it in an exchanger of its own. Or the supply is cut for a while and
 * extract air thaws the ice; or room air is sent round, and nothing comes from outdoors. */

#include "design/energy.h"

#include <math.h>

#include "design/combustion.h"
#include "physics/degree_days_normal.h"

#define HOURS_PER_DAY 24.0
#define SECONDS_PER_HOUR 3600.0

/* What stands where a key is not given: common practice, from memory. */
#define BELOW_C (-3.0)
#define CUT 0.5
#define TIME 0.3
#define GROUND_RATIO 0.6
#define PUMP_W 20.0

static const char *const names[] = {[EBI_FROST_NONE] = "none",
                                    [EBI_FROST_PREHEATER] = "preheater",
                                    [EBI_FROST_REDUCE_SUPPLY] = "reduce-supply",
                                    [EBI_FROST_RECIRCULATE] = "recirculate",
                                    [EBI_FROST_GROUND] = "ground"};

/* ---- What the unit gives ------------------------------------------------ */

static double taken(const ebi_energy_inputs *in, const ebi_given *given, double value,
                    const char *key, const char *text) {
  if (given->given)
    return given->value;
  ebi_diag(in->context, EB_NOTE, "frost-default", in->house->unit_where,
           "common practice, from memory", "`frost.%s` is not given: %s is taken", key, text);
  return value;
}

/* Some metres down the ground keeps the year's mean. */
static double mean_c(const ebi_climate *climate) {
  double sum = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++)
    sum += climate->mean_c[i] * climate->days[i];
  return sum / ebi_energy_sum(climate->days);
}

static void gather_ground(ebi_energy_inputs *in, ebi_protection *p) {
  const ebi_unit *unit = in->house->unit;
  p->ground_c = taken(in, &unit->ground_temperature, mean_c(in->house->climate),
                      "ground.temperature", "the year's mean outdoors");
  p->ground_ratio = taken(in, &unit->ground_ratio, GROUND_RATIO, "ground.ratio", "60 %");
  p->pump_w = taken(in, &unit->ground_pump, PUMP_W, "ground.pump", "20 W");
  p->below_c = fmin(p->below_c, p->ground_c); /* the ground shall warm, not cool */
}

void ebi_energy_frost_gather(ebi_energy_inputs *in) {
  const ebi_unit *unit = in->house->unit;
  ebi_protection p = {.method = unit->frost, .below_c = NAN, .power_w = HUGE_VAL};
  if (p.method != EBI_FROST_NONE)
    p.below_c = taken(in, &unit->frost_below, BELOW_C, "below", "-3 C outdoors");
  if (p.method == EBI_FROST_PREHEATER && unit->frost_power.given)
    p.power_w = unit->frost_power.value;
  if (p.method == EBI_FROST_REDUCE_SUPPLY)
    p.cut = taken(in, &unit->frost_cut, CUT, "cut", "a supply cut by 50 %");
  if (p.method == EBI_FROST_REDUCE_SUPPLY || p.method == EBI_FROST_RECIRCULATE)
    p.time = taken(in, &unit->frost_time, TIME, "time", "30 % of the hours below");
  if (p.method == EBI_FROST_GROUND)
    gather_ground(in, &p);
  in->protection = p;
}

/* ---- A month ------------------------------------------------------------ */

/* The cold of a month: days below a limit, and the kelvin-days from them up to a temperature. */
typedef struct cold {
  const ebi_climate *climate;
  ebi_weather weather;
  int month;
} cold;

static double days_below(const cold *c, double limit_c) {
  return ebi_climate_cold_days(c->climate, c->weather, c->month, limit_c);
}

static double degree_days(const cold *c, double limit_c) {
  return ebi_climate_cold_degree_days(c->climate, c->weather, c->month, limit_c);
}

static double up_to(const cold *c, double limit_c, double to_c) {
  return degree_days(c, limit_c) + (to_c - limit_c) * days_below(c, limit_c);
}

/* min(P, V (b - T)) is V ((b - T)+ - (b - P/V - T)+). */
static double preheated(const cold *c, const ebi_protection *p, double flow_w_k) {
  double sum = degree_days(c, p->below_c);
  if (p->power_w < HUGE_VAL && flow_w_k > 0.0)
    sum -= degree_days(c, p->below_c - p->power_w / flow_w_k);
  return sum;
}

/* Where the supply is cut by x, x of the outdoor air comes cold through the envelope: the ratio
 * of what still passes stays (that it rises in a starved exchanger is left out, since ice takes
 * it), so ratio x V (Ti - T) is lost. Where room air is sent round the heat of the air that does
 * not come is taken to go into the ice: the heating is as without a pause, fresh air is not. */
ebi_energy_frost ebi_energy_frost_of(const ebi_energy_inputs *in, ebi_weather weather,
                                     const ebi_energy_air *air, int month) {
  const ebi_protection *p = &in->protection;
  const cold c = {in->house->climate, weather, month};
  ebi_energy_frost f = {0};
  if (p->method == EBI_FROST_NONE)
    return f;
  double flow_w_k = in->air_capacity * air->flow * SECONDS_PER_HOUR;
  double per_day = HOURS_PER_DAY * flow_w_k / 1000.0; /* kWh for each kelvin-day */
  f.hours = HOURS_PER_DAY * days_below(&c, p->below_c);
  switch (p->method) {
  case EBI_FROST_PREHEATER:
    f.electricity_kwh = f.warmed_kwh = per_day * preheated(&c, p, flow_w_k);
    f.uncrossed_kwh = air->ratio * f.warmed_kwh;
    break;
  case EBI_FROST_GROUND:
    f.electricity_kwh = p->pump_w * f.hours / 1000.0;
    f.warmed_kwh = per_day * p->ground_ratio * up_to(&c, p->below_c, p->ground_c);
    f.uncrossed_kwh = air->ratio * f.warmed_kwh;
    break;
  case EBI_FROST_REDUCE_SUPPLY:
    f.lost_kwh = per_day * air->ratio * p->cut * p->time * up_to(&c, p->below_c, in->indoor_c);
    f.uncrossed_kwh = f.lost_kwh;
    f.lost_air_m3 = air->flow * SECONDS_PER_HOUR * p->cut * p->time * f.hours;
    break;
  default: /* recirculate */
    f.uncrossed_kwh = per_day * air->ratio * p->time * up_to(&c, p->below_c, in->indoor_c);
    f.lost_air_m3 = air->flow * SECONDS_PER_HOUR * p->time * f.hours;
    break;
  }
  return f;
}

eb_frost ebi_energy_frost_year(const ebi_energy_inputs *in, const ebi_energy_needs *needs) {
  eb_frost year = {.method = names[in->protection.method], .below_c = in->protection.below_c};
  for (int i = 0; i < EBI_MONTHS; i++) {
    const ebi_energy_frost *month = &needs->frost[i];
    year.hours += month->hours;
    year.electricity_kwh += month->electricity_kwh;
    year.useful_kwh += (1.0 - needs->air.ratio) * month->warmed_kwh;
    year.lost_recovery_kwh += month->lost_kwh;
    year.lost_air_m3 += month->lost_air_m3;
  }
  return year;
}

/* ---- Findings ----------------------------------------------------------- */

static void say_estimate(const ebi_energy_inputs *in, const eb_frost *frost) {
  const ebi_climate *climate = in->house->climate;
  ebi_weather weather = ebi_climate_finest(climate);
  const char *source = ebi_formula_get(EBI_F_FROST)->source;
  if (weather == EBI_WEATHER_MONTHS)
    ebi_diag(in->context, EB_NOTE, "frost-estimate", in->house->unit_where, source,
             "frost protection, %.0f kWh a year in %.0f hours below %g C, is estimated: daily "
             "means are taken to spread normally about the month's, with a standard deviation of "
             "%.2f K",
             ebi_energy_two_figures(frost->electricity_kwh), ebi_energy_two_figures(frost->hours),
             frost->below_c,
             climate->deviation[0] > 0.0 ? climate->deviation[0]
                                         : ebi_degree_days_spread(climate->hitchin_k));
  else
    ebi_diag(in->context, EB_NOTE, "frost-estimate", in->house->unit_where, source,
             "frost protection takes %.0f kWh a year in %.0f hours below %g C, by the %s of the "
             "climate; a cold winter takes more than a mean one",
             ebi_energy_two_figures(frost->electricity_kwh), ebi_energy_two_figures(frost->hours),
             frost->below_c, ebi_weather_name(weather));
}

/* Colder air than the heater can warm comes in colder than meant. */
static void check_power(const ebi_energy_inputs *in, const eb_energy *energy) {
  const ebi_protection *p = &in->protection;
  double flow_w_k = energy->air_constant_wh_m3_k * energy->ventilation_flow_m3_s * SECONDS_PER_HOUR;
  if (p->method != EBI_FROST_PREHEATER || !(p->power_w < HUGE_VAL) || !(flow_w_k > 0.0))
    return;
  double limit = p->below_c - p->power_w / flow_w_k, hours = 0.0;
  for (int i = 0; i < EBI_MONTHS; i++) {
    const cold c = {in->house->climate, ebi_climate_finest(in->house->climate), i};
    hours += HOURS_PER_DAY * days_below(&c, limit);
  }
  if (hours >= 0.5)
    ebi_diag(in->context, EB_WARNING, "frost-power", in->house->unit_where, NULL,
             "the preheater's %g W hold %g C down to %.1f C outdoors; it is colder for %.0f hours "
             "a year",
             p->power_w, p->below_c, limit, ebi_energy_two_figures(hours));
}

static void say_air(const ebi_energy_inputs *in, const eb_frost *frost) {
  if (!(frost->lost_air_m3 > 0.0))
    return;
  if (in->protection.method == EBI_FROST_RECIRCULATE)
    ebi_diag(in->context, EB_NOTE, "frost-air", in->house->unit_where, NULL,
             "while room air is sent round against frost, %.0f m3 of outdoor air a year do not "
             "come; the heat that this air would have needed is not counted as saved: it thaws "
             "the ice",
             ebi_energy_two_figures(frost->lost_air_m3));
  else
    ebi_diag(in->context, EB_NOTE, "frost-air", in->house->unit_where, NULL,
             "while the supply is cut against frost, %.0f m3 of outdoor air a year do not come "
             "through the unit but cold through the envelope: %.0f kWh are not recovered",
             ebi_energy_two_figures(frost->lost_air_m3),
             ebi_energy_two_figures(frost->lost_recovery_kwh));
}

static void check_flues(const ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  if (in->protection.method != EBI_FROST_REDUCE_SUPPLY)
    return;
  for (size_t i = 0; i < house->n_appliances; i++)
    if (ebi_burns_room_air(&house->appliances[i]))
      ebi_diag(in->context, EB_WARNING, "frost-flue", house->appliances[i].where, NULL,
               "the unit cuts its supply against frost while it goes on extracting: the house is "
               "drawn below the pressure outdoors just when this appliance burns, and fumes can "
               "come into the room; take another frost protection or a room-sealed appliance");
}

void ebi_energy_frost_findings(const ebi_energy_inputs *in, const eb_energy *energy) {
  if (in->protection.method == EBI_FROST_NONE) {
    ebi_diag(in->context, EB_NOTE, "frost-not-counted", in->house->unit_where, NULL,
             "the unit names no frost protection; nothing is counted for it");
    return;
  }
  say_estimate(in, &energy->frost);
  check_power(in, energy);
  say_air(in, &energy->frost);
  check_flues(in);
}
