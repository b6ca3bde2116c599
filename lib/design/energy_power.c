/* energy_power.c - electricity of the fans where no ducts tell it */

#include "design/energy.h"

#include <math.h>

#include "design/unit_fan.h"

/* Pressure each fan is taken to raise: the reference pressure of Regulation
 * (EU) 1254/2014 (from memory). */
#define ASSUMED_PA 50.0

/* Power of one fan at a flow; NAN where its curves have none. */
static eb_status fan_power(ebi_energy_inputs *in, const ebi_fan_data *data, double flow,
                           double *power) {
  *power = data->n_curves == 0 ? (double)NAN : 0.0;
  if (data->n_curves == 0 || !(flow > 0.0))
    return EB_OK;
  ebi_fan *fan = ebi_unit_fan(in->arena, data, 0.0);
  if (fan == NULL)
    return EB_E_MEMORY;
  double density = eb_air_density(in->indoor_c, eb_air_pressure(in->altitude_m)), speed = 1.0;
  eb_status status = ebi_fan_speed(fan, flow, ASSUMED_PA, density, &speed);
  if (status == EB_E_NO_SOLUTION && speed >= 1.0)
    ebi_diag(in->context, EB_WARNING, "fan-too-small", in->house->unit_where, NULL,
             "at %g l/s a fan of the unit does not reach %g Pa at full speed", flow * 1e3,
             ASSUMED_PA);
  else if (status != EB_OK && status != EB_E_NO_SOLUTION)
    return status;
  *power = ebi_fan_power(fan, flow, speed, density);
  return EB_OK;
}

/* Both fans of the unit at a level, and its standby once. */
static eb_status unit_power(ebi_energy_inputs *in, ebi_energy_level *level) {
  const ebi_unit *unit = in->house->unit;
  double supply, extract = 0.0;
  eb_status status = fan_power(in, &unit->supply_fan, level->supply, &supply);
  if (status == EB_OK && !unit->supply_fan.power_both)
    status = fan_power(in, &unit->extract_fan, level->extract, &extract);
  level->supply_fan_w = unit->supply_fan.power_both ? 0.5 * supply : supply;
  level->power_w = supply + extract + unit->standby;
  return status;
}

/* The rule's limit stands in where the unit says nothing. */
static bool take_limit(ebi_energy_inputs *in) {
  const ebi_rule_set *rules = in->house->rules;
  if (rules == NULL || !rules->fan_power.given)
    return false;
  for (size_t i = 0; i < in->n_levels; i++) {
    ebi_energy_level *level = &in->levels[i];
    level->power_w = rules->fan_power.value * fmax(level->supply, level->extract);
    level->supply_fan_w = 0.5 * level->power_w;
  }
  in->power_basis = EBI_POWER_OF_RULE;
  ebi_diag(
      in->context, EB_WARNING, "fan-power-assumed", in->house->unit_where,
      rules->fan_power_source.text,
      "neither ducts nor a power column in the unit's fan curves are given: the fans are taken "
      "to use just what the rule allows, %g W/(l/s)",
      rules->fan_power.value / 1000.0);
  return true;
}

static bool power_known(const ebi_energy_inputs *in) {
  for (size_t i = 0; i < in->n_levels; i++)
    if (isnan(in->levels[i].power_w))
      return false;
  return true;
}

static void say_assumed(const ebi_energy_inputs *in, size_t levels) {
  if (in->ducts == NULL)
    ebi_diag(in->context, EB_WARNING, "fan-power-assumed", in->house->unit_where, NULL,
             "no ducts are given: the fans' power is the unit's at %g Pa a side; give `ducts:` for "
             "the real one",
             ASSUMED_PA);
  else
    ebi_diag(in->context, EB_WARNING, "fan-power-assumed", in->house->unit_where, NULL,
             "at %zu of %zu levels the unit's power column does not reach what the ducts ask of "
             "the fans: there it is taken at %g Pa a side",
             levels, in->n_levels, ASSUMED_PA);
}

static eb_status find_power(ebi_energy_inputs *in) {
  if (power_known(in)) /* of the ducts */
    return EB_OK;
  in->power_basis = EBI_POWER_OF_UNIT;
  size_t assumed = 0;
  for (size_t i = 0; i < in->n_levels; i++) {
    if (!isnan(in->levels[i].power_w))
      continue;
    assumed++;
    eb_status status = unit_power(in, &in->levels[i]);
    if (status != EB_OK)
      return status;
  }
  if (power_known(in)) {
    say_assumed(in, assumed);
    return EB_OK;
  }
  if (take_limit(in))
    return EB_OK;
  ebi_diag(in->context, EB_ERROR, "energy-missing", in->house->unit_where, NULL,
           "the fans' electricity cannot be known: give the unit's fan curves a third column, W");
  return EB_E_INPUT;
}

/* A supply fan after the exchanger warms the air by all that it takes. Most ratios are measured
 * with that warmth in them, and nothing is added then. */
static void take_fan_heat(ebi_energy_inputs *in) {
  in->fan_heat_w = 0.0;
  for (size_t i = 0; in->house->unit->fan_heat_apart && i < in->n_levels; i++)
    in->fan_heat_w += in->levels[i].supply_fan_w * in->levels[i].hours / 24.0;
}

eb_status ebi_energy_power(ebi_energy_inputs *in) {
  eb_status status = find_power(in);
  if (status == EB_OK)
    take_fan_heat(in);
  return status;
}
