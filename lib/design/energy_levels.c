/* energy_levels.c - how long the unit runs at each level, and with which flows */

#include "design/energy.h"

#include <math.h>
#include <string.h>

static const ebi_level *level_of_house(const eb_house *house, const char *name) {
  for (size_t i = 0; i < house->n_levels; i++)
    if (strcmp(house->levels[i].name, name) == 0)
      return &house->levels[i];
  return NULL;
}

static const eb_level_state *level_of_ducts(const eb_ducts *ducts, const char *name) {
  for (size_t i = 0; ducts != NULL && i < ducts->n_levels; i++)
    if (strcmp(ducts->levels[i].name, name) == 0)
      return &ducts->levels[i];
  return NULL;
}

/* Delivered flows where there are ducts, else those aimed at. A power of 0 is
 * one the unit's sheet does not give. */
static void take_flows(const ebi_energy_inputs *in, size_t number, ebi_energy_level *level) {
  const eb_level_state *state = level_of_ducts(in->ducts, level->name);
  level->supply = state != NULL ? state->supply.flow_m3_s : in->rates->supply_total_m3_s[number];
  level->extract = state != NULL ? state->extract.flow_m3_s : in->rates->extract_total_m3_s[number];
  level->power_w = state != NULL && state->power_w > 0.0 ? state->power_w : (double)NAN;
  level->supply_fan_w = state != NULL ? state->supply.fan_power_w : 0.0;
}

/* Hours of the levels beside normal, and their sum. */
static double take_hours(ebi_energy_inputs *in) {
  double sum = 0.0;
  for (size_t i = 1; i < in->rates->n_levels; i++) {
    const char *name = in->rates->levels[i];
    const ebi_level *given = level_of_house(in->house, name);
    ebi_energy_level level = {.name = name, .where = in->house->where};
    if (given != NULL && given->hours_per_day.given) {
      level.hours = given->hours_per_day.value;
      level.where = given->hours_per_day.where;
    } else {
      ebi_diag(in->context, EB_NOTE, "level-hours", given != NULL ? given->where : in->house->where,
               NULL, "level \"%s\" has no `hours:`; the year is reckoned without it", name);
    }
    take_flows(in, i, &level);
    sum += level.hours;
    if (level.hours > 0.0)
      in->levels[in->n_levels++] = level;
  }
  return sum;
}

/* What is left of the day; hours given for normal itself must be just that. */
static void check_day(const ebi_energy_inputs *in, double others, double *normal) {
  const ebi_level *given = level_of_house(in->house, in->rates->levels[0]);
  bool stated = given != NULL && given->hours_per_day.given;
  *normal = 24.0 - others;
  if (*normal < -1e-9 || (stated && fabs(given->hours_per_day.value - *normal) > 0.01))
    ebi_diag(in->context, EB_ERROR, "level-hours",
             stated ? given->hours_per_day.where : in->house->where, NULL,
             "the hours of the levels add up to %g a day; a day has 24",
             others + (stated ? given->hours_per_day.value : 0.0));
  *normal = fmax(*normal, 0.0);
}

eb_status ebi_energy_levels(ebi_energy_inputs *in) {
  size_t errors = ebi_diag_errors(in->context);
  in->levels = EBI_NEW_ARRAY(in->arena, ebi_energy_level, in->rates->n_levels);
  if (in->levels == NULL)
    return EB_E_MEMORY;
  in->n_levels = 1; /* normal */
  double others = take_hours(in);
  ebi_energy_level normal = {.name = in->rates->levels[0], .where = in->house->where};
  check_day(in, others, &normal.hours);
  take_flows(in, 0, &normal);
  in->levels[0] = normal;
  for (size_t i = 0; i < in->n_levels; i++)
    if (!(in->levels[i].supply >= 0.0 && in->levels[i].extract >= 0.0))
      ebi_diag(in->context, EB_ERROR, "energy-range", in->house->where, NULL,
               "at level \"%s\" air flows backwards through the unit", in->levels[i].name);
  return ebi_diag_errors(in->context) > errors ? EB_E_INPUT : EB_OK;
}
