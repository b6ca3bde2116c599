/* ducts_findings.c - what is worth saying of a finished result
 *
 * Limits of the rule set are warnings with its source. Figures of common
 * practice have no source and are notes: valves above 50 Pa begin to be heard,
 * mains above 3 m/s and branches above 2.5 m/s too. */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "design/ducts.h"

#define SHORT 1e-6
#define LOUD_VALVE_PA 50.0
#define MAIN_SPEED 3.0   /* m/s */
#define BRANCH_SPEED 2.5 /* m/s */
#define IMBALANCE_NOTE 1e-3
#define IMBALANCE_WARNING 0.1
#define PRACTICE "common practice"

static bool is_normal(const eb_level_state *level) {
  return strcmp(level->name, "normal") == 0;
}

/* ---- Levels ---- */

static void say_short(const ebi_ducts_job *job, size_t room, const char *side, const char *level,
                      const eb_delivered *got) {
  if (got->delivered_m3_s >= got->required_m3_s * (1.0 - SHORT) || got->required_m3_s <= 0.0)
    return;
  ebi_diag(job->context, EB_WARNING, "below-required", job->house->rooms[room].where,
           job->house->rules != NULL ? job->house->rules->entry.source.text : NULL,
           "%s gets %.2f l/s of %s air at %s, less than the %.2f l/s required",
           job->house->rooms[room].name, 1e3 * got->delivered_m3_s, side, level,
           1e3 * got->required_m3_s);
}

static void say_rooms(const ebi_ducts_job *job, const eb_level_state *level) {
  for (size_t r = 0; r < job->result->n_rooms; r++) {
    if (level->rooms[r].supply.served)
      say_short(job, r, "supply", level->name, &level->rooms[r].supply);
    if (level->rooms[r].extract.served)
      say_short(job, r, "extract", level->name, &level->rooms[r].extract);
  }
}

/* What a side delivers in all, against what the rules ask of the whole dwelling; a plan that
 * asks for less has been told of already. */
static void say_whole(const ebi_side *side, const eb_level_state *level) {
  const ebi_ducts_job *job = side->job;
  const ebi_rule_set *rules = job->house->rules;
  const double *plan =
      side->supply ? job->rates->supply_total_m3_s : job->rates->extract_total_m3_s;
  double got = (side->supply ? &level->supply : &level->extract)->flow_m3_s;
  double required = job->rates->required_m3_s;
  if (!is_normal(level) || required <= 0.0 || got >= required * (1.0 - SHORT) ||
      (plan != NULL && plan[0] < required * (1.0 - SHORT)))
    return;
  ebi_diag(
      job->context, EB_WARNING, "below-required", job->house->where,
      rules != NULL && rules->whole_dwelling != NULL ? rules->whole_dwelling->source.text : NULL,
      "%s is %.2f l/s in all at normal, less than the %.2f l/s required for the whole dwelling",
      side->name, 1e3 * got, 1e3 * required);
}

static void say_imbalance(const ebi_ducts_job *job, const eb_level_state *level) {
  double supply = level->supply.flow_ref_m3_s, extract = level->extract.flow_ref_m3_s;
  double share = (supply - extract) / fmax(fmax(supply, extract), 1e-9);
  if (fabs(share) <= IMBALANCE_NOTE)
    return;
  ebi_diag(job->context, fabs(share) > IMBALANCE_WARNING ? EB_WARNING : EB_NOTE, "imbalance",
           job->house->where, PRACTICE,
           "at %s supply is %.1f l/s and extract %.1f l/s: %.1f %% apart, of the larger, on mass",
           level->name, 1e3 * level->supply.flow_m3_s, 1e3 * level->extract.flow_m3_s,
           100.0 * fabs(share));
}

static void say_fan_power(const ebi_ducts_job *job, const eb_level_state *level) {
  const ebi_rule_set *rules = job->house->rules;
  if (rules == NULL || !rules->fan_power.given || !is_normal(level) ||
      level->specific_fan_power <= rules->fan_power.value)
    return;
  ebi_diag(job->context, EB_WARNING, "fan-power", job->house->unit_where,
           rules->fan_power_source.text,
           "specific fan power at normal is %.2f W/(l/s), above the %.2f W/(l/s) allowed",
           1e-3 * level->specific_fan_power, 1e-3 * rules->fan_power.value);
}

static bool has_power(const ebi_fan_data *fan) {
  for (size_t i = 0; i < fan->n_curves; i++)
    for (size_t j = 0; j < fan->curves[i].n_points; j++)
      if (!isfinite(fan->curves[i].points[j].power))
        return false;
  return true;
}

static void say_power_unknown(const ebi_ducts_job *job) {
  const ebi_unit *unit = job->house->unit;
  if (job->levels[0].power_w <= 0.0 &&
      !(has_power(&unit->supply_fan) && has_power(&unit->extract_fan)))
    ebi_diag(job->context, EB_WARNING, "fan-power-unknown", job->house->unit_where, NULL,
             "the unit gives no power with its fan curves: power and specific fan power are not "
             "known and are given as 0");
}

/* ---- Terminals ---- */

static void say_valve(const ebi_side *side, const ebi_terminal *terminal) {
  const ebi_ducts_job *job = side->job;
  const ebi_run *run = side->runs[terminal->run].run;
  const eb_terminal *out = &job->terminals[terminal->order];
  if (terminal->loss == NULL || terminal->idle)
    return;
  if (out->valve_pa > LOUD_VALVE_PA)
    ebi_diag(job->context, EB_NOTE, "valve-loud", run->where, PRACTICE,
             "the valve of run %s takes %.0f Pa at %s: above about %.0f Pa it may be heard",
             run->name, out->valve_pa, job->result->set_level, LOUD_VALVE_PA);
  double first = ebi_curve_first(terminal->loss), last = ebi_curve_last(terminal->loss);
  if (first < last && terminal->opening <= first)
    ebi_diag(job->context, EB_NOTE, "valve-at-end", run->where, PRACTICE,
             "the valve of run %s stands at the closed end of its curve, %.4g %s: small errors of "
             "setting matter there",
             run->name, first, run->valve.type->opening_unit);
}

/* ---- Runs ---- */

static bool is_branch(const ebi_side_run *run) {
  return run->from.kind == EBI_END_ROOM || run->to.kind == EBI_END_ROOM;
}

static void say_velocity(const ebi_side *side, const ebi_side_run *run, size_t level) {
  double limit = is_branch(run) ? BRANCH_SPEED : MAIN_SPEED;
  double velocity = fabs(side->job->run_states[level][run->number].velocity_m_s);
  if (velocity > limit)
    ebi_diag(side->job->context, EB_NOTE, "velocity", run->run->where, PRACTICE,
             "run %s has %.1f m/s at normal: above %.1f m/s a %s may be heard", run->run->name,
             velocity, limit, is_branch(run) ? "branch" : "main");
}

static void say_open_end(const ebi_side *side, const ebi_side_run *run) {
  bool outdoors = run->from.kind == EBI_END_OUTDOORS || run->to.kind == EBI_END_OUTDOORS;
  if (outdoors && !ebi_run_has_end(run->run))
    ebi_diag(side->job->context, EB_NOTE, "open-end", run->run->where, NULL,
             "run %s has no fitting that ends it outdoors (a louvre or cowl): %s is taken there",
             run->run->name,
             run->from.kind == EBI_END_OUTDOORS ? "a sharp entry (0.5)" : "an open exit (1.0)");
}

/* Fittings beyond the Reynolds numbers of their source, counted; one note for all. */
typedef struct beyond {
  size_t count;
  const char *fitting, *run;
  double reynolds;
} beyond;

static void count_beyond(const ebi_side_run *run, double reynolds, beyond *b) {
  for (size_t i = 0; i < run->run->n_fittings; i++) {
    const ebi_fitting *fitting = run->run->fittings[i].fitting;
    if (fitting == NULL || (reynolds >= fitting->reynolds_from && reynolds <= fitting->reynolds_to))
      continue;
    if (b->count++ == 0)
      *b = (beyond){1, fitting->entry.name, run->run->name, reynolds};
  }
}

static void say_beyond(const ebi_ducts_job *job, const beyond *b) {
  if (b->count > 0)
    ebi_diag(job->context, EB_WARNING, "fitting-range", job->house->where, NULL,
             "%zu fitting%s used outside the Reynolds numbers of the source, the first %s in run "
             "%s at Re %.0f: the coefficient is less certain there",
             b->count, b->count == 1 ? " is" : "s are", b->fitting, b->run, b->reynolds);
}

static void say_side(const ebi_side *side, size_t normal, beyond *b) {
  for (size_t t = 0; t < side->n_terminals; t++)
    say_valve(side, &side->terminals[t]);
  for (size_t i = 0; i < side->n_runs; i++) {
    const ebi_side_run *run = &side->runs[i];
    say_velocity(side, run, normal);
    say_open_end(side, run);
    count_beyond(run, side->job->run_states[normal][run->number].reynolds, b);
  }
  if (side->outside == side->unit_in || side->outside == side->unit_out)
    ebi_diag(side->job->context, EB_NOTE, "no-outdoor-run", side->job->house->where, NULL,
             "there is no %s run: the unit's spigot is taken to be outdoors",
             side->supply ? "outdoor" : "exhaust");
}

/* ---- The whole ---- */

static void say_signal(const ebi_ducts_job *job) {
  if (job->house->unit->n_signal_map == 0)
    ebi_diag(job->context, EB_NOTE, "signal-map", job->house->unit_where, NULL,
             "the unit has no map from signal to speed (signal: map): the two are taken as equal");
}

static size_t normal_level(const ebi_ducts_job *job) {
  for (size_t l = 0; l < job->result->n_levels; l++)
    if (is_normal(&job->levels[l]))
      return l;
  return 0;
}

eb_status ebi_ducts_findings(ebi_ducts_job *job) {
  beyond b = {0};
  for (size_t l = 0; l < job->result->n_levels; l++) {
    say_rooms(job, &job->levels[l]);
    for (int s = 0; s < EBI_SIDES; s++)
      if (job->side[s].network != NULL)
        say_whole(&job->side[s], &job->levels[l]);
    say_fan_power(job, &job->levels[l]);
    say_imbalance(job, &job->levels[l]);
  }
  for (int s = 0; s < EBI_SIDES; s++)
    if (job->side[s].network != NULL)
      say_side(&job->side[s], normal_level(job), &b);
  say_beyond(job, &b);
  ebi_house_findings(job);
  ebi_ducts_check_ranges(job, normal_level(job));
  say_power_unknown(job);
  say_signal(job);
  return EB_OK;
}
