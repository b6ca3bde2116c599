/* ducts_findings_house.c - what is worth saying of leaks, house pressure and states
 *
 * That fires which draw the air of their room stand no more than 4 Pa below outdoors is
 * common practice of those who fit them. At most 5 % of a system's flow may leak:
 * ASHRAE HoF 2021 ch. 21. */

#include <math.h>

#include "design/ducts.h"

#define PRACTICE "common practice"
#define LEAKAGE_SOURCE "ASHRAE HoF 2021 ch. 21"
#define LEAKAGE_MOST 0.05
#define UNBALANCE_MOST 0.1

/* ---- Fires ---- */

static void say_draught(const ebi_ducts_job *job, const ebi_burning *burning) {
  const ebi_appliance *appliance = burning->appliance;
  if (burning->level == NULL)
    return;
  ebi_diag(job->context, EB_WARNING, "combustion-draught", appliance->where, PRACTICE,
           "%s stands %.1f Pa below outdoors at %s%s%s, more than the %.0f Pa that an %s "
           "appliance can stand: %.0f cm2 of free opening would bring it there; a competent, "
           "registered person must do a spillage test with every fan on and off",
           burning->room, -burning->worst, burning->level, burning->state != NULL ? " with " : "",
           burning->state != NULL ? burning->state : "", EBI_DRAUGHT_PA, appliance->kind,
           1e4 * burning->area);
}

/* ---- States ---- */

static void say_stalled(const ebi_ducts_job *job, const eb_level_state *level,
                        const eb_house_state *state) {
  if (state->stalled)
    ebi_diag(job->context, EB_WARNING, "appliance-stalled", job->house->where, NULL,
             "with %s at %s a fan moves nothing outward against %.1f Pa in %s: its flap is taken "
             "as shut",
             state->name, level->name, state->pressure_pa, state->room);
}

static double unbalance(const eb_house_state *state) {
  double larger = fmax(state->supply_m3_s, state->extract_m3_s);
  return larger > 0.0 ? fabs(state->supply_m3_s - state->extract_m3_s) / larger : 0.0;
}

static double level_unbalance(const eb_level_state *level) {
  double supply = level->supply.flow_m3_s, extract = level->extract.flow_m3_s;
  double larger = fmax(supply, extract);
  return larger > 0.0 ? fabs(supply - extract) / larger : 0.0;
}

/* Filters are the first state where the unit's sheet says what loaded ones drop. */
static void say_filters(const ebi_ducts_job *job) {
  const eb_level_state *at = NULL;
  for (size_t l = 0; l < job->result->n_levels && ebi_states_load(job); l++) {
    const eb_level_state *level = &job->levels[l];
    double found = unbalance(&level->states[0]);
    if (found > UNBALANCE_MOST && level_unbalance(level) <= UNBALANCE_MOST &&
        (at == NULL || found > unbalance(&at->states[0])))
      at = level;
  }
  if (at == NULL)
    return;
  const eb_house_state *state = &at->states[0];
  ebi_diag(job->context, EB_WARNING, "filters-unbalance", job->house->unit_where, PRACTICE,
           "with loaded filters supply is %.1f l/s and extract %.1f l/s at %s: %.0f %% apart, of "
           "the larger; change them before",
           1e3 * state->supply_m3_s, 1e3 * state->extract_m3_s, at->name, 100.0 * unbalance(state));
}

static void say_fixed_flows(const ebi_ducts_job *job) {
  for (size_t i = 0; i < job->house_air.n_drawings; i++) {
    const ebi_drawing *drawing = &job->house_air.drawings[i];
    if (drawing->part == EBI_NONE)
      ebi_diag(job->context, EB_NOTE, "appliance-flow", drawing->appliance->where, NULL,
               "%s has no fan curve: its %.1f l/s are taken whatever the pressure; a real fan "
               "would give less against one",
               drawing->name, 1e3 * drawing->appliance->flow.value);
  }
}

/* ---- Ducts ---- */

static void say_leakage(const ebi_ducts_job *job, const eb_level_state *level, const char *side,
                        const eb_side_state *state) {
  if (state->leakage_m3_s > LEAKAGE_MOST * state->flow_m3_s)
    ebi_diag(job->context, EB_WARNING, "duct-leakage", job->house->where, LEAKAGE_SOURCE,
             "the %s ducts leak %.1f l/s at %s, %.1f %% of the %.1f l/s that they bring: at most "
             "%.0f %% are good",
             side, 1e3 * state->leakage_m3_s, level->name,
             100.0 * state->leakage_m3_s / fmax(state->flow_m3_s, 1e-9), 1e3 * state->flow_m3_s,
             100.0 * LEAKAGE_MOST);
}

void ebi_house_findings(const ebi_ducts_job *job) {
  for (size_t i = 0; i < job->house_air.n_burnings; i++)
    say_draught(job, &job->house_air.burnings[i]);
  for (size_t l = 0; l < job->result->n_levels; l++) {
    const eb_level_state *level = &job->levels[l];
    for (size_t i = 0; i < level->n_states; i++)
      say_stalled(job, level, &level->states[i]);
    if (level->name != job->result->set_level)
      continue;
    say_leakage(job, level, "supply", &level->supply);
    say_leakage(job, level, "extract", &level->extract);
  }
  say_filters(job);
  say_fixed_flows(job);
}
