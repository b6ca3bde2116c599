/* ducts_ranges.c - what is used outside the range of its source
 *
 * Beyond the ends of its table a coefficient stays level; beyond the velocity
 * of its source and the angles of the tee formulas it is carried on. Each kind
 * of breach is told once, with its first place and how often it happens. */

#include <math.h>

#include "design/ducts.h"
#include "physics/flexible.h"

#define SLACK 1e-6 /* relative, for figures that stand exactly at an end */

/* Idelchik 2006 gives tees and wyes with branches up to 90 degrees off the run; 15 degrees
 * is the least in its diagrams (from memory). */
#define LEAST_TEE_ANGLE 15.0
#define LARGEST_TEE_ANGLE 90.0

typedef enum breach_kind {
  BREACH_BORE,
  BREACH_RADIUS,
  BREACH_SHAPE,
  BREACH_ANGLE,
  BREACH_VELOCITY,
  BREACH_KINDS
} breach_kind;

typedef struct breach_text {
  const char *ranges, *figure, *unit, *taken;
  double scale;
} breach_text;

#define LEVEL "the figure at the nearest end of the table is taken"

static const breach_text texts[BREACH_KINDS] = {
    [BREACH_BORE] = {"bores", "a bore of ", " mm", LEVEL, 1e3},
    [BREACH_RADIUS] = {"radii", "r/D ", "", LEVEL, 1.0},
    [BREACH_SHAPE] = {"shapes", "height/width ", "", LEVEL, 1.0},
    [BREACH_ANGLE] = {"angles", "an angle of ", " degrees", LEVEL, 1.0},
    [BREACH_VELOCITY] = {"velocities", "", " m/s", "the coefficient is less certain there", 1.0}};

/* Where something first happened, and how often in all. */
typedef struct breach {
  size_t count;
  const char *part, *run;
  double value, least, most;
  ebi_where where;
} breach;

typedef struct slack_duct {
  size_t count;
  const char *run;
  double bore, stretched, factor;
  ebi_where where;
} slack_duct;

typedef struct breaches {
  breach fittings[BREACH_KINDS];
  breach tees;
  slack_duct extrapolated, assumed;
} breaches;

/* ---- Fittings ---- */

static void add_outside(breach *b, const ebi_side_run *run, const ebi_run_fitting *entry,
                        double value, double least, double most) {
  if (value >= least * (1.0 - SLACK) && value <= most * (1.0 + SLACK))
    return;
  if (b->count++ > 0)
    return;
  *b = (breach){.count = 1,
                .part = entry->fitting->entry.name,
                .run = run->run->name,
                .value = value,
                .least = least,
                .most = most,
                .where = entry->where};
}

static breach_kind looked_up_kind(ebi_fitting_kind kind) {
  if (kind == EBI_FITTING_BY_BORE)
    return BREACH_BORE;
  return kind == EBI_FITTING_BY_SHAPE ? BREACH_SHAPE : BREACH_RADIUS;
}

static void check_fitting(const ebi_side_run *run, const ebi_run_fitting *entry, double velocity,
                          breaches *all) {
  const ebi_fitting *fitting = entry->fitting;
  if (fitting == NULL)
    return;
  if (fitting->n_points > 1)
    add_outside(&all->fittings[looked_up_kind(fitting->kind)], run, entry,
                ebi_fitting_looked_up_by(run, entry), fitting->points[0].x,
                fitting->points[fitting->n_points - 1].x);
  if (fitting->n_angles > 1)
    add_outside(&all->fittings[BREACH_ANGLE], run, entry,
                entry->angle.given ? entry->angle.value : fitting->angle, fitting->angles[0].x,
                fitting->angles[fitting->n_angles - 1].x);
  if (fitting->velocity_to > 0.0)
    add_outside(&all->fittings[BREACH_VELOCITY], run, entry, velocity, 0.0, fitting->velocity_to);
}

static void say_fittings(const ebi_ducts_job *job, const breach *b, const breach_text *text) {
  if (b->count > 0)
    ebi_diag(job->context, EB_WARNING, "fitting-range", b->where, NULL,
             "%zu fitting%s used outside the %s of the source, the first %s in run %s with "
             "%s%.3g%s (%.3g to %.3g is given): %s",
             b->count, b->count == 1 ? " is" : "s are", text->ranges, b->part, b->run, text->figure,
             text->scale * b->value, text->unit, text->scale * b->least, text->scale * b->most,
             text->taken);
}

/* ---- Flexible ducts ---- */

static void add_slack(slack_duct *slack, const ebi_run *run, double bore, double stretched) {
  if (slack->count++ > 0)
    return;
  *slack = (slack_duct){.count = 1,
                        .run = run->name,
                        .bore = bore,
                        .stretched = stretched,
                        .factor = ebi_flexible_factor(stretched, bore),
                        .where = run->where};
}

static void check_flexible(const ebi_side_run *own, breaches *all) {
  const ebi_run *run = own->run;
  double bore = own->section.hydraulic;
  double stretched = run->stretched.given ? run->stretched.value : run->duct.stretched;
  if (!run->duct.flexible)
    return;
  if (!run->stretched.given && stretched < 1.0)
    add_slack(&all->assumed, run, bore, stretched);
  if (!ebi_flexible_measured(stretched, bore))
    add_slack(&all->extrapolated, run, bore, stretched);
}

static void say_assumed(const ebi_ducts_job *job, const slack_duct *slack) {
  bool one = slack->count == 1;
  if (slack->count > 0)
    ebi_diag(job->context, EB_NOTE, "flexible-stretched", slack->where, NULL,
             "%zu run%s flexible duct %s not say how far %s stretched, the first %s: %.3g %% of "
             "its full length is taken, as a length lies that is let go, and so %.3g times the "
             "friction of a stretched one; say it with \"stretched:\"",
             slack->count, one ? " of" : "s of", one ? "does" : "do", one ? "it is" : "they are",
             slack->run, 100.0 * slack->stretched, slack->factor);
}

static void say_extrapolated(const ebi_ducts_job *job, const slack_duct *slack) {
  if (slack->count > 0)
    ebi_diag(job->context, EB_WARNING, "flexible-range", slack->where,
             "ASHRAE Handbook Fundamentals 2021 ch. 21 eqs. 22-23",
             "%zu run%s flexible duct outside what the factor for slack was measured on (150 to "
             "400 mm, to 30 %% shorter than stretched), the first %s with %.4g mm at %.3g %%: the "
             "factor of %.3g is carried on from there",
             slack->count, slack->count == 1 ? " is of" : "s are of", slack->run, 1e3 * slack->bore,
             100.0 * slack->stretched, slack->factor);
}

/* ---- Tees ---- */

static void check_tee(const ebi_meeting *meeting, breach *tees) {
  const ebi_junction *given = meeting->given;
  if (meeting->kind != EBI_MEETING_TEE || given == NULL || given->bull_head ||
      !(given->angle > 0.0) ||
      (given->angle >= LEAST_TEE_ANGLE && given->angle <= LARGEST_TEE_ANGLE))
    return;
  if (tees->count++ == 0)
    *tees = (breach){1, meeting->name, "", given->angle, 0.0, 0.0, given->where};
}

static void say_tees(const ebi_ducts_job *job, const breach *tees) {
  if (tees->count > 0)
    ebi_diag(job->context, EB_WARNING, "tee-range", tees->where,
             "Idelchik, Handbook of Hydraulic Resistance, 2006, sec. 7-15 and 7-16",
             "%zu tee%s branch outside the %g to %g degrees of the formulas, the first %s with "
             "%.4g: they are carried on",
             tees->count, tees->count == 1 ? " has its" : "s have their", LEAST_TEE_ANGLE,
             LARGEST_TEE_ANGLE, tees->part, tees->value);
}

/* ---- The whole ---- */

static void check_side(const ebi_side *side, size_t level, breaches *all) {
  for (size_t i = 0; i < side->n_runs; i++) {
    const ebi_side_run *run = &side->runs[i];
    double velocity = fabs(side->job->run_states[level][run->number].velocity_m_s);
    for (size_t f = 0; f < run->run->n_fittings; f++)
      check_fitting(run, &run->run->fittings[f], velocity, all);
    check_flexible(run, all);
  }
  for (size_t m = 0; m < side->n_meetings; m++)
    check_tee(&side->meetings[m], &all->tees);
}

void ebi_ducts_check_ranges(const ebi_ducts_job *job, size_t level) {
  breaches all = {0};
  for (int s = 0; s < EBI_SIDES; s++)
    if (job->side[s].network != NULL)
      check_side(&job->side[s], level, &all);
  for (int k = 0; k < BREACH_KINDS; k++)
    say_fittings(job, &all.fittings[k], &texts[k]);
  say_assumed(job, &all.assumed);
  say_extrapolated(job, &all.extrapolated);
  say_tees(job, &all.tees);
}
