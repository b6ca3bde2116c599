/* ducts_heat_findings.c - water on ducts, cold supply air, heat that is thrown away
 *
 * All of the normal level. 16.5 C is where the low-energy house standard sets the least
 * temperature of supply air (from memory); below it people near a valve complain of draught. */

#include <math.h>
#include <string.h>

#include "design/ducts_heat.h"

#define SUPPLY_LEAST_C 16.5
#define COLD_K 5.0 /* this much below the rooms a duct or a space is cold */
#define LOST_SHARE 0.05
#define USUAL_CONDUCTIVITY 0.04 /* W/(m K), of mineral wool (from memory) */
#define PRACTICE "common practice"

typedef struct findings {
  const ebi_ducts_job *job;
  ebi_site_air site;
  const eb_level_state *level;
} findings;

static const eb_run_state *state_of(const findings *f, const ebi_side_run *run) {
  return &f->level->runs[run->number];
}

static bool insulated(const ebi_run *run) {
  return run->insulation_thickness.given && run->insulation_thickness.value > 0.0;
}

/* ---- Water on ducts ---- */

static bool is_wet(const eb_run_state *state) {
  return state->surface_c < state->dew_point_c; /* false where one is not known */
}

/* Thickness that keeps the outside at the dew point, in whole mm upward. */
static double dry_mm(const findings *f, const ebi_side_run *run, double *conductivity) {
  const eb_run_state *state = state_of(f, run);
  ebi_duct_wall wall = ebi_heat_wall(run);
  wall.conductivity = insulated(run->run) && run->run->insulation_conductivity.given
                          ? run->run->insulation_conductivity.value
                          : USUAL_CONDUCTIVITY;
  *conductivity = wall.conductivity;
  double around = ebi_heat_around_c(&f->site, run->run);
  return ceil(1e3 * ebi_duct_thickness(&wall, state->start_c, around, state->dew_point_c));
}

static void say_wet(const findings *f, const ebi_side_run *run) {
  const eb_run_state *state = state_of(f, run);
  double conductivity, thickness;
  if (!is_wet(state))
    return;
  thickness = dry_mm(f, run, &conductivity);
  if (isfinite(thickness))
    ebi_diag(
        f->job->context, EB_WARNING, "condensation", run->run->where, NULL,
        "the outside of run %s is at %.1f C, below the dew point of the air around it, %.1f C: "
        "water will form on it; %.0f mm of insulation of %.3g W/(m.K), vapour-tight outside, "
        "would keep it dry",
        run->run->name, state->surface_c, state->dew_point_c, thickness, conductivity);
  else
    ebi_diag(f->job->context, EB_WARNING, "condensation", run->run->where, NULL,
             "the outside of run %s is at %.1f C in air that is saturated: water will form on it, "
             "however thick the insulation",
             run->run->name, state->surface_c);
}

/* Room air that meets a cold wall on its way to the unit. */
static void say_wet_inside(const findings *f, const ebi_side_run *run) {
  const ebi_given *humidity = &f->job->house->indoor_humidity;
  const eb_run_state *state = state_of(f, run);
  if (run->run->air != EB_EXTRACT || !humidity->given || !(state->flow_ref_m3_s > EBI_STILL))
    return;
  ebi_duct_wall wall = ebi_heat_wall(run);
  double around = ebi_heat_around_c(&f->site, run->run);
  double surface = ebi_duct_surface_inside(&wall, state->end_c, around);
  double dew_point = ebi_dew_point(f->site.indoor_c, humidity->value);
  if (surface < dew_point)
    ebi_diag(f->job->context, EB_WARNING, "condensation-inside", run->run->where, NULL,
             "the inside of run %s cools to %.1f C, below the dew point of the rooms' air, %.1f C: "
             "water will gather in it; insulate it, and let it fall towards the unit",
             run->run->name, surface, dew_point);
}

/* ---- Ducts without insulation ---- */

/* The first of several runs, and how many there are. */
typedef struct tally {
  size_t count;
  const ebi_side_run *first;
} tally;

static void count(tally *t, const ebi_side_run *run, bool counts) {
  if (counts && t->count++ == 0)
    t->first = run;
}

/* Outdoor or exhaust air that is cold, between warm rooms; where the humidity is known and
 * water forms, that has been said. */
static bool is_bare_cold(const findings *f, const ebi_side_run *run) {
  const eb_run_state *state = state_of(f, run);
  bool outer = run->run->air == EB_OUTDOOR || run->run->air == EB_EXHAUST;
  return outer && !run->run->space_temperature.given && !insulated(run->run) && !is_wet(state) &&
         state->start_c < f->site.indoor_c - COLD_K;
}

static bool is_bare_outside(const findings *f, const ebi_side_run *run) {
  const ebi_given *space = &run->run->space_temperature;
  bool inner = run->run->air == EB_SUPPLY || run->run->air == EB_EXTRACT;
  return inner && space->given && !insulated(run->run) && space->value < f->site.indoor_c - COLD_K;
}

static void say_bare(const findings *f, const tally *cold, const tally *outside) {
  eb_context *context = f->job->context;
  if (cold->count > 0)
    ebi_diag(context, EB_NOTE, "duct-cold", cold->first->run->where, PRACTICE,
             "%zu run%s without insulation carr%s cold air through the house, the first %s with "
             "%.1f C: the house loses heat to it and water may form on it; insulate, vapour-tight "
             "outside",
             cold->count, cold->count == 1 ? "" : "s", cold->count == 1 ? "ies" : "y",
             cold->first->run->name, state_of(f, cold->first)->start_c);
  if (outside->count > 0)
    ebi_diag(context, EB_WARNING, "duct-outside", outside->first->run->where, PRACTICE,
             "%zu run%s of supply or extract air lie%s without insulation in a cold space, the "
             "first %s in %.1f C: much of the recovered heat is lost there and water may gather "
             "in the duct; insulate as the local code asks of ducts outside the warm house",
             outside->count, outside->count == 1 ? "" : "s", outside->count == 1 ? "s" : "",
             outside->first->run->name, outside->first->run->space_temperature.value);
}

/* ---- Supply air ---- */

static void say_supply(const findings *f) {
  size_t cold = 0, coldest = 0;
  for (size_t r = 0; r < f->job->result->n_rooms; r++) {
    const eb_room_state *room = &f->level->rooms[r];
    if (!room->supply.served || !(room->supply_c < SUPPLY_LEAST_C))
      continue;
    if (cold++ == 0 || room->supply_c < f->level->rooms[coldest].supply_c)
      coldest = r;
  }
  if (cold > 0)
    ebi_diag(f->job->context, EB_NOTE, "supply-cold", f->job->house->rooms[coldest].where, PRACTICE,
             "supply air comes into %zu room%s below %.1f C, into %s at %.1f C: it may be felt as "
             "a draught",
             cold, cold == 1 ? "" : "s", SUPPLY_LEAST_C, f->level->rooms[coldest].name,
             f->level->rooms[coldest].supply_c);
}

/* ---- Heat thrown away ---- */

/* Heat that ventilation takes from the house [W]: what its supply air lacks in warmth, less
 * what ducts between the rooms give to them. *capacity is W/K of the supply air. */
static double heat_taken(const findings *f, double *capacity) {
  const ebi_side *supply = &f->job->side[EBI_SUPPLY_SIDE];
  double taken = 0.0;
  *capacity = 0.0;
  for (size_t t = 0; t < supply->n_terminals; t++) {
    const eb_run_state *state = state_of(f, &supply->runs[supply->terminals[t].run]);
    double own = EB_REFERENCE_DENSITY * EBI_AIR_CP * fmax(state->flow_ref_m3_s, 0.0);
    *capacity += own;
    taken += own * (f->site.indoor_c - state->end_c);
  }
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t i = 0; i < f->job->side[s].n_runs; i++) {
      const ebi_side_run *run = &f->job->side[s].runs[i];
      if (!run->run->space_temperature.given)
        taken -= state_of(f, run)->heat_w;
    }
  return taken;
}

static void say_lost(const findings *f) {
  double capacity, taken = heat_taken(f, &capacity);
  double difference = f->site.indoor_c - f->site.outdoor_c, ratio = f->site.temperature_ratio;
  double supply = f->level->supply.flow_ref_m3_s, extract = f->level->extract.flow_ref_m3_s;
  if (supply > extract && extract > 0.0)
    ratio = fmin(ratio, extract / supply);
  double ideal = ratio * capacity * difference, kept = capacity * difference - taken;
  if (!(difference > COLD_K) || !(ideal > 0.0) || ideal - kept <= LOST_SHARE * ideal)
    return;
  ebi_diag(f->job->context, EB_NOTE, "heat-lost", f->job->house->where, NULL,
           "the ducts throw away %.0f %% of what the exchanger recovers at %s (%.0f of %.0f W at "
           "%.4g C outside): with them its temperature ratio of %.0f %% is worth %.0f %%",
           100.0 * (1.0 - kept / ideal), f->level->name, ideal - kept, ideal, f->site.outdoor_c,
           100.0 * ratio, 100.0 * kept / (capacity * difference));
}

/* ---- The whole ---- */

static const eb_level_state *normal_level(const ebi_ducts_job *job) {
  for (size_t l = 0; l < job->result->n_levels; l++)
    if (strcmp(job->levels[l].name, "normal") == 0)
      return &job->levels[l];
  return &job->levels[0];
}

eb_status ebi_ducts_heat_findings(const ebi_ducts_job *job) {
  findings f = {.job = job, .site = ebi_ducts_site(job), .level = normal_level(job)};
  tally cold = {0}, outside = {0};
  bool heated = false;
  for (int s = 0; s < EBI_SIDES; s++) {
    const ebi_side *side = &job->side[s];
    heated = heated || side->heat != NULL;
    for (size_t i = 0; side->heat != NULL && i < side->n_runs; i++) {
      say_wet(&f, &side->runs[i]);
      say_wet_inside(&f, &side->runs[i]);
      count(&cold, &side->runs[i], is_bare_cold(&f, &side->runs[i]));
      count(&outside, &side->runs[i], is_bare_outside(&f, &side->runs[i]));
    }
  }
  if (!heated)
    return EB_OK;
  say_bare(&f, &cold, &outside);
  say_supply(&f);
  say_lost(&f);
  return ebi_diags_failed(job->context) ? EB_E_MEMORY : EB_OK;
}
