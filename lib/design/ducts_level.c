/* ducts_level.c - both fans at one level
 *
 * Valves stand as the set level left them (two-position ones change over), so
 * a level has one freedom a side: the fan's speed. Both sides aim at the
 * level's design total. Where a room then falls short of what the rule
 * requires, both totals are raised by one factor until none does; so supply
 * and extract keep the ratio of the plan in mass, which is one unless the plan
 * says otherwise. The flows written down come from an operating solve. */

#include <math.h>

#include "design/ducts.h"

#define SHORT_SLACK 1e-9
#define RAISE_STEPS 40
#define RAISE_MOST 4.0
#define SETTLE_ROUNDS 30
#define SETTLE_SAME 1e-13 /* m3/s */

/* ---- Raising the totals ---- */

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

static double available(const ebi_side *side, double total_ref) {
  double flow = ebi_ducts_actual(total_ref, side->fan_air.density);
  return ebi_fan_at(side->fan, flow, side->drive.fastest, side->fan_air.density).rise;
}

/* Raises *factor until no room of the side falls short or the fan gives no more. Flows go
 * nearly in proportion, so each step leaves a small part of the last shortfall. */
static eb_status raise(ebi_side *side, size_t level, double *factor) {
  double design = ebi_side_design(side, level);
  for (int step = 0; step < RAISE_STEPS && *factor < RAISE_MOST && design > 0.0; step++) {
    double rise;
    eb_status status = ebi_side_impose(side, *factor * design, &rise);
    if (status != EB_OK)
      return status;
    double worst = shortfall(side, level);
    if (worst <= 1.0 + SHORT_SLACK || rise > available(side, *factor * design))
      return EB_OK;
    *factor = fmin(*factor * worst, RAISE_MOST);
  }
  return EB_OK;
}

static void say_raised(const ebi_ducts_job *job, size_t level, double factor) {
  if (factor > 1.0 + 1e-6)
    ebi_diag(job->context, EB_NOTE, "level-raised", job->house->where, NULL,
             "at %s both totals are %.1f %% above the plan's: with the valves set at %s a room "
             "would else fall short of what is required",
             job->rates->levels[level], 100.0 * (factor - 1.0), job->house->set_level);
}

/* ---- Speed ---- */

typedef struct duty {
  double total, rise; /* ref; Pa asked of the fan */
  double speed;
  bool too_weak, too_strong;
} duty;

static eb_status find_speed(const ebi_side *side, duty *d) {
  double flow = ebi_ducts_actual(d->total, side->fan_air.density);
  eb_status status = ebi_fan_speed(side->fan, flow, d->rise, side->fan_air.density, &d->speed);
  if (status != EB_OK && status != EB_E_NO_SOLUTION)
    return status;
  bool outside = status != EB_OK;
  d->too_weak = d->speed > side->drive.fastest || (outside && d->speed >= 1.0);
  d->too_strong = d->speed < side->drive.slowest || (outside && d->speed < 1.0);
  d->speed = fmin(fmax(d->speed, side->drive.slowest), side->drive.fastest);
  return EB_OK;
}

static void say_too_weak(const ebi_side *side, const char *level, const duty *d) {
  const ebi_ducts_job *job = side->job;
  /* Beyond the end of its curve a fan has less than nothing: nobody wants that figure. */
  double has = fmax(available(side, d->total), 0.0);
  ebi_diag(job->context, EB_WARNING, "fan-limit", job->house->unit_where, NULL,
           "the %s fan cannot give %.1f l/s at %s: index run %s asks %.1f Pa, at full speed the "
           "fan has %.1f Pa there; it gives %.1f l/s",
           side->name, 1e3 * ebi_ducts_room_flow(job, d->total), level, ebi_side_index_run(side),
           d->rise, has, 1e3 * ebi_ducts_room_flow(job, side->total));
}

static void say_too_strong(const ebi_side *side, const char *level, const duty *d) {
  const ebi_ducts_job *job = side->job;
  ebi_diag(job->context, EB_WARNING, "fan-slowest", job->house->unit_where, NULL,
           "the %s fan cannot run slowly enough for %.1f l/s at %s (%.1f Pa): at its slowest it "
           "gives %.1f l/s",
           side->name, 1e3 * ebi_ducts_room_flow(job, d->total), level, d->rise,
           1e3 * ebi_ducts_room_flow(job, side->total));
}

static void say_beyond(const ebi_side *side, const char *level, double speed) {
  double flow = ebi_ducts_actual(side->total, side->fan_air.density);
  if (ebi_fan_at(side->fan, flow, speed, side->fan_air.density).beyond)
    ebi_diag(side->job->context, EB_NOTE, "fan-beyond", side->job->house->unit_where, NULL,
             "the %s fan's duty at %s (%.1f l/s) lies outside the points of its curve: the curve "
             "is carried on straight",
             side->name, level, 1e3 * flow);
}

/* ---- One side ---- */

static eb_status run_side(ebi_side *side, size_t level, size_t rate_level, double speed) {
  const char *name = side->job->levels[level].name;
  eb_status status = ebi_side_operate(side, speed);
  if (status != EB_OK)
    return status;
  if (side->index == EBI_NONE) { /* operating: the one that gets least of its share */
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
  ebi_ducts_record(side, level, speed);
  say_beyond(side, name, speed);
  return EB_OK;
}

static eb_status run_total(ebi_side *side, size_t level, double total_ref) {
  const char *name = side->job->levels[level].name;
  duty d = {.total = total_ref};
  eb_status status = ebi_side_impose(side, total_ref, &d.rise);
  if (status != EB_OK)
    return status;
  status = find_speed(side, &d);
  if (status == EB_OK)
    status = run_side(side, level, level, d.speed);
  if (status != EB_OK)
    return status;
  if (d.too_weak)
    say_too_weak(side, name, &d);
  if (d.too_strong)
    say_too_strong(side, name, &d);
  return ebi_side_crossings(side, name, d.speed);
}

/* ---- Both sides ---- */

eb_status ebi_ducts_run_level(ebi_ducts_job *job, size_t level) {
  double factor = 1.0;
  eb_status status = EB_OK;
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    if (side->network == NULL)
      continue;
    ebi_side_set_valves(side, job->levels[level].name);
    status = raise(side, level, &factor);
  }
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    if (side->network != NULL)
      status = run_total(side, level, factor * ebi_side_design(side, level));
  }
  if (status == EB_OK)
    say_raised(job, level, factor);
  return status;
}

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

static double set_speed(const ebi_side *side, const eb_setting *setting) {
  return ebi_drive_speed(&side->drive,
                         side->supply ? setting->supply_signal : setting->extract_signal);
}

/* With several temperatures each side's flow goes with the other's, through the exchanger: both
 * in turn, until nothing changes. */
static eb_status settle(ebi_ducts_job *job, const eb_setting *setting) {
  double change = HUGE_VAL;
  for (int round = 0; round < SETTLE_ROUNDS && change > SETTLE_SAME; round++) {
    change = 0.0;
    for (int s = 0; s < EBI_SIDES; s++) {
      ebi_side *side = &job->side[s];
      double before = side->total;
      eb_status status =
          side->network == NULL ? EB_OK : ebi_side_operate(side, set_speed(side, setting));
      if (status != EB_OK)
        return status;
      change = fmax(change, fabs(side->total - before));
    }
  }
  if (change <= SETTLE_SAME)
    return EB_OK;
  ebi_diag(job->context, EB_ERROR, "heat-unsettled", job->house->where, NULL,
           "flows and temperatures of the two sides do not settle at %s", setting->name);
  return EB_E_DIVERGED;
}

eb_status ebi_ducts_run_setting(ebi_ducts_job *job, size_t level, const eb_setting *setting) {
  eb_status status = EB_OK;
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    double signal = side->supply ? setting->supply_signal : setting->extract_signal;
    if (side->network == NULL)
      continue;
    if (!usable(signal, 0.0, 1.0))
      return EB_E_ARGUMENT;
    side->index = EBI_NONE;
    status = take_setting(side, setting);
  }
  if (status == EB_OK && ebi_ducts_heated(job))
    status = settle(job, setting);
  for (int s = 0; status == EB_OK && s < EBI_SIDES; s++) {
    ebi_side *side = &job->side[s];
    if (side->network == NULL)
      continue;
    status = run_side(side, level, job->rate_level[level], set_speed(side, setting));
    if (status == EB_OK)
      status = ebi_side_crossings(side, setting->name, set_speed(side, setting));
  }
  return status;
}
