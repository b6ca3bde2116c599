/* sizing_money.c - what a pascal costs over the years, and what the fan can raise at boost
 *
 * A Pa more costs the watts that the fan then takes more, by the power column of its sheet
 * at the pressure in hand; without one, flow over an efficiency of 0.35 (own figure, usual
 * of small fans with their motors). The money of each year is brought to today:
 * (1 - (1 + i)^-n) / i of the yearly sum. */

#include <math.h>

#include "design/sizing.h"
#include "design/unit_fan.h"

#define EFFICIENCY 0.35
#define YEARS 25.0 /* the next three where the house does not say; own choice */
#define INTEREST 0.03
#define HOURS 24.0
#define PRICE_PER_KWH 0.25 /* invented */
#define JOULES_PER_KWH 3.6e6
#define SECONDS_PER_HOUR 3600.0
#define DAYS 365.0
#define STEP 0.05 /* of the pressure, to either side, for the slope of the power */

void ebi_sizing_money_start(ebi_sizer *sizer) {
  const eb_house *house = sizer->job->house;
  ebi_sizing_money *money = &sizer->money;
  money->price_assumed = !house->electricity.given || !(house->electricity.price > 0.0);
  money->per_joule =
      money->price_assumed ? PRICE_PER_KWH / JOULES_PER_KWH : house->electricity.price;
  money->years = house->parts.years.given ? house->parts.years.value : YEARS;
  money->interest = house->parts.interest.given ? house->parts.interest.value : INTEREST;
  money->hours = sizer->given->hours.given ? sizer->given->hours.value : HOURS;
  money->joules_per_watt =
      money->hours * DAYS * SECONDS_PER_HOUR * eb_annuity_factor(money->interest, money->years);
}

/* ---- The fan ---- */

static double outlet_area(const ebi_side *side) {
  double bore = side->job->house->unit->spigot[side->outlet], area = 0.0;
  for (size_t i = 0; i < side->n_runs; i++)
    area += side->runs[i].from.kind == EBI_END_UNIT ? side->runs[i].area : 0.0;
  return bore > 0.0 ? ebi_section_round(bore).area : area;
}

/* Of the clean filter where the fan's curve does not hold it. */
static double filter_drop(const ebi_side *side, double flow) {
  const ebi_unit *unit = side->job->house->unit;
  const ebi_filter *filter = side->supply ? &unit->filter_outdoor : &unit->filter_extract;
  if (filter->in_curve || !filter->clean.given || !filter->at.given)
    return 0.0;
  return filter->clean.value * pow(flow / filter->at.value, filter->exponent);
}

/* Electrical power at a rise; NAN where the sheet has none or the fan cannot. */
static double power_at(const ebi_fan *fan, double flow, double rise, double density) {
  double speed = 1.0;
  if (ebi_fan_speed(fan, flow, rise, density, &speed) != EB_OK)
    return NAN;
  return ebi_fan_power(fan, flow, speed, density);
}

/* Watts a Pa. */
static double slope_of(ebi_sizer *sizer, const ebi_sizing_side *s, const ebi_fan *fan,
                       double pressure) {
  const ebi_side *side = s->side;
  const ebi_unit *unit = side->job->house->unit;
  const ebi_fan_data *data = side->supply ? &unit->supply_fan : &unit->extract_fan;
  double density = side->fan_air.density;
  double flow = ebi_ducts_actual(s->flow[EBI_DESIGN_FLOW], density);
  double rise = pressure + filter_drop(side, flow), step = STEP * rise;
  double slope =
      (power_at(fan, flow, rise + step, density) - power_at(fan, flow, rise - step, density)) /
      (2.0 * step) * (data->power_both ? 0.5 : 1.0);
  if (isfinite(slope) && slope > flow) /* no fan is better than that */
    return slope;
  sizer->money.efficiency_assumed = true;
  return flow / EFFICIENCY;
}

static double fastest(const ebi_unit *unit) {
  return unit->n_signal_map > 0 ? fmin(unit->signal_map[unit->n_signal_map - 1].y, 1.0) : 1.0;
}

eb_status ebi_sizing_price_pa(ebi_sizer *sizer, ebi_sizing_side *s, double pressure) {
  const ebi_side *side = s->side;
  const ebi_unit *unit = side->job->house->unit;
  const ebi_fan_data *data = side->supply ? &unit->supply_fan : &unit->extract_fan;
  const ebi_fan *fan =
      ebi_unit_fan(side->job->scratch, data, data->static_basis ? outlet_area(side) : 0.0);
  if (fan == NULL)
    return EB_E_MEMORY;
  double watts = slope_of(sizer, s, fan, pressure), density = side->fan_air.density;
  double boost = ebi_ducts_actual(s->flow[EBI_BOOST_FLOW], density);
  s->per_pa = watts * sizer->money.joules_per_watt * sizer->money.per_joule;
  s->available_pa = ebi_fan_at(fan, boost, fastest(unit), density).rise - filter_drop(side, boost);
  return EB_OK;
}
