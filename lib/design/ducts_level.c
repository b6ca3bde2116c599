/* ducts_level.c - the house at one level
 *
 * Valves stand as the set level left them (two-position ones change over), so
 * a level has one freedom a side: the fan's speed. Both sides aim at the
 * level's design total. Where a room then falls short of what the rule
 * requires, both totals are raised by one factor until none does; so supply
 * and extract keep the ratio of the plan in mass, which is one unless the plan
 * says otherwise. The flows written down come from an operating solve. */

#include <math.h>

#include "design/ducts.h"

#define SHORT_SLACK 1e-8
#define RAISE_STEPS 40
#define RAISE_MOST 4.0

/* ---- Raising the totals ---- */

static void aim_at_totals(const ebi_ducts_job *job, size_t level, double factor,
                          ebi_aim aims[EBI_SIDES]) {
  for (int s = 0; s < EBI_SIDES; s++)
    aims[s] = (ebi_aim){EBI_AIM_TOTAL, factor * ebi_side_design(&job->side[s], level)};
}

/* Largest ratio of required to delivered flow. */
static double shortfall(const ebi_side *side, size_t level) {
  double worst = 0.0;
  for (size_t t = 0; t < side->n_terminals; t++) {
    size_t room = side->terminals[t].room;
    double required = ebi_room_required(side, room, level), flow = side->room_flow[room];
    if (required > 0.0)
      worst = fmax(worst, flow > 0.0 ? required / flow : HUGE_VAL);
  }
  return worst;
}

/* Raises *factor until no room falls short or the fans give no more; then the last solve is of
 * that factor, unless that was the most. Flows go nearly in proportion, so each step leaves a
 * small part of the last shortfall. */
static eb_status raise(ebi_ducts_job *job, size_t level, double *factor, bool *solved) {
  *solved = false;
  for (int step = 0; step < RAISE_STEPS && *factor < RAISE_MOST; step++) {
    ebi_aim aims[EBI_SIDES];
    double worst = 0.0;
    aim_at_totals(job, level, *factor, aims);
    eb_status status = ebi_ducts_solve(job, aims);
    if (status != EB_OK)
      return status;
    for (int s = 0; s < EBI_SIDES; s++) {
      const ebi_side *side = &job->side[s];
      if (side->network == NULL || aims[s].value <= 0.0)
        continue;
      double rise = ebi_side_asked(side);
      if (rise <= ebi_side_available(side, side->fan_flow))
        worst = fmax(worst, shortfall(side, level));
    }
    *solved = worst <= 1.0 + SHORT_SLACK;
    if (*solved)
      return EB_OK;
    *factor = fmin(*factor * worst, RAISE_MOST);
  }
  return EB_OK;
}

static void say_raised(const ebi_ducts_job *job, size_t level, double factor) {
  if (factor > job->least_factor + 1e-6)
    ebi_diag(job->context, EB_NOTE, "level-raised", job->house->where, NULL,
             "at %s both totals are %.1f %% above the plan's: with the valves set at %s a room "
             "would else fall short of what is required",
             job->rates->levels[level], 100.0 * (factor - 1.0), job->house->set_level);
}

/* ---- What the fans cannot do ---- */

static void say_too_weak(const ebi_side *side, const char *level, double total,
                         const ebi_duty *duty) {
  const ebi_ducts_job *job = side->job;
  double asked = side->total > 0.0 ? side->fan_flow * total / side->total : total;
  ebi_diag(job->context, EB_WARNING, "fan-limit", job->house->unit_where, NULL,
           "the %s fan cannot give %.1f l/s at %s: index run %s asks %.1f Pa, at full speed the "
           "fan has %.1f Pa there; it gives %.1f l/s",
           side->name, 1e3 * ebi_ducts_room_flow(job, total), level, ebi_side_index_run(side),
           duty->rise, ebi_side_available(side, asked),
           1e3 * ebi_ducts_room_flow(job, side->total));
}

static void say_too_strong(const ebi_side *side, const char *level, double total,
                           const ebi_duty *duty) {
  const ebi_ducts_job *job = side->job;
  ebi_diag(job->context, EB_WARNING, "fan-slowest", job->house->unit_where, NULL,
           "the %s fan cannot run slowly enough for %.1f l/s at %s (%.1f Pa): at its slowest it "
           "gives %.1f l/s",
           side->name, 1e3 * ebi_ducts_room_flow(job, total), level, duty->rise,
           1e3 * ebi_ducts_room_flow(job, side->total));
}

static void say_limits(const ebi_ducts_job *job, const char *level, const ebi_aim aims[EBI_SIDES],
                       const ebi_duty duties[EBI_SIDES]) {
  for (int s = 0; s < EBI_SIDES; s++) {
    if (duties[s].too_weak)
      say_too_weak(&job->side[s], level, aims[s].value, &duties[s]);
    if (duties[s].too_strong)
      say_too_strong(&job->side[s], level, aims[s].value, &duties[s]);
  }
}

/* What a curve does not show is not made up. */
static void say_beyond(const ebi_side *side, const char *level, double speed) {
  const eb_house *house = side->job->house;
  if (!ebi_side_beyond(side, speed))
    return;
  double first, last;
  ebi_fan_range(side->fan, speed, &first, &last);
  double flow = ebi_ducts_actual(side->fan_flow, side->fan_air.density);
  if (flow < first)
    ebi_diag(side->job->context, EB_WARNING, "fan-beyond", house->unit_where, NULL,
             "the %s fan has %.1f l/s at %s, but at that speed its curve begins at %.1f l/s: the "
             "pressure there is taken; its power is not known",
             side->name, 1e3 * flow, level, 1e3 * first);
  else
    ebi_diag(side->job->context, EB_WARNING, "fan-beyond", house->unit_where, NULL,
             "the %s fan could move more at %s, but at that speed its curve ends at %.1f l/s: "
             "that is taken as the most it gives; its power there is not known",
             side->name, level, 1e3 * last);
}

/* ---- One level ---- */

/* Operating: the terminal that gets least of its share. */
static void find_least_served(ebi_side *side, size_t rate_level) {
  double least = HUGE_VAL;
  for (size_t t = 0; t < side->n_terminals; t++) {
    double design = ebi_terminal_design(side, &side->terminals[t], rate_level);
    double ratio = ebi_terminal_flow(side, &side->terminals[t]) / design;
    if (design > 0.0 && ratio < least) {
      least = ratio;
      side->index = t;
    }
  }
}

/* Flows of both sides with both fans at their fastest. */
static eb_status find_most(ebi_ducts_job *job, eb_level_state *level) {
  ebi_aim aims[EBI_SIDES];
  for (int s = 0; s < EBI_SIDES; s++)
    aims[s] = (ebi_aim){EBI_AIM_SPEED, job->side[s].drive.fastest};
  eb_status status = ebi_ducts_solve(job, aims);
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
    if (job->side[s].network != NULL)
      (s == EBI_SUPPLY_SIDE ? &level->supply : &level->extract)->most_m3_s =
          ebi_ducts_room_flow(job, job->side[s].total);
  return status;
}

/* From what the fans are asked to what is written down, and what could be beside. */
static eb_status run_level(ebi_ducts_job *job, size_t level, const ebi_aim aims[EBI_SIDES],
                           bool solved) {
  const char *name = job->levels[level].name;
  ebi_duty duties[EBI_SIDES];
  double speeds[EBI_SIDES];
  eb_status status = ebi_ducts_run(job, aims, solved, duties);
  if (status != EB_OK)
    return status;
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    speeds[s] = duties[s].speed;
    if (side->network == NULL)
      continue;
    if (side->index == EBI_NONE)
      find_least_served(side, job->rate_level[level]);
    say_beyond(side, name, speeds[s]);
  }
  say_limits(job, name, aims, duties);
  ebi_ducts_record(job, level, duties);
  status = ebi_states_run(job, level, duties);
  if (status == EB_OK)
    status = ebi_ducts_crossings(job, name, speeds);
  if (status == EB_OK)
    status = find_most(job, &job->levels[level]);
  return status == EB_OK && job->curves ? ebi_ducts_curves(job, level) : status;
}

eb_status ebi_ducts_run_level(ebi_ducts_job *job, size_t level) {
  double factor = job->least_factor;
  ebi_aim aims[EBI_SIDES];
  for (int s = 0; s < EBI_SIDES; s++)
    if (job->side[s].network != NULL)
      ebi_side_set_valves(&job->side[s], job->levels[level].name);
  bool solved;
  eb_status status = raise(job, level, &factor, &solved);
  if (status != EB_OK)
    return status;
  aim_at_totals(job, level, factor, aims);
  status = run_level(job, level, aims, solved);
  if (status == EB_OK)
    say_raised(job, level, factor);
  return status;
}

/* ---- Openings and signals given ---- */

static bool usable(double value, double low, double high) {
  return isfinite(value) && value >= low && value <= high;
}

static eb_status take_setting(ebi_side *side, const eb_setting *setting) {
  for (size_t t = 0; t < side->n_terminals; t++) {
    ebi_terminal *terminal = &side->terminals[t];
    if (terminal->loss == NULL)
      continue;
    terminal->opening = setting->openings[terminal->order];
    if (!isfinite(terminal->opening))
      return EB_E_ARGUMENT;
  }
  ebi_side_set_valves(side, setting->name);
  return EB_OK;
}

eb_status ebi_ducts_run_setting(ebi_ducts_job *job, size_t level, const eb_setting *setting) {
  ebi_aim aims[EBI_SIDES] = {{EBI_AIM_SPEED, 0.0}, {EBI_AIM_SPEED, 0.0}};
  for (int s = 0; s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    double signal = side->supply ? setting->supply_signal : setting->extract_signal;
    if (side->network == NULL)
      continue;
    if (!usable(signal, 0.0, side->drive.flow ? 10.0 : 1.0))
      return EB_E_ARGUMENT;
    side->index = EBI_NONE;
    eb_status status = take_setting(side, setting);
    if (status != EB_OK)
      return status;
    aims[s] = ebi_side_told(side, signal);
  }
  return run_level(job, level, aims, false);
}
