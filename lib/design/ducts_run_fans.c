/* ducts_run_fans.c - what is asked of the fans against what they can do
 *
 * A fan that cannot do what is asked of it turns as fast or as slowly as it can, and
 * that moves the pressures the other has to work against. So each pass solves the
 * house with the fans that are held at an end turning there and the others doing what
 * is asked; a fan joins those held, or is let go where it would do more than is asked. */

#include <math.h>

#include "design/ducts.h"

#define PASSES 10
#define SLACK 1e-9

static double fan_volume(const ebi_side *side, double flow_ref) {
  return ebi_ducts_actual(flow_ref, side->fan_air.density);
}

double ebi_side_available(const ebi_side *side, double flow_ref) {
  double density = side->fan_air.density;
  return fmax(ebi_fan_at(side->fan, fan_volume(side, flow_ref), side->drive.fastest, density).rise,
              0.0);
}

/* Speed for what the last solve asks of the fan. */
static eb_status find_speed(const ebi_side *side, ebi_duty *duty, double *wanted) {
  double rise = ebi_side_asked(side);
  eb_status status = ebi_fan_speed(side->fan, fan_volume(side, side->fan_flow), rise,
                                   side->fan_air.density, &duty->speed);
  if (status != EB_OK && status != EB_E_NO_SOLUTION)
    return status;
  bool outside = status != EB_OK;
  duty->rise = rise;
  duty->too_weak = duty->speed > side->drive.fastest || (outside && duty->speed >= 1.0);
  duty->too_strong = duty->speed < side->drive.slowest || (outside && duty->speed < 1.0);
  duty->speed = fmin(fmax(duty->speed, side->drive.slowest), side->drive.fastest);
  *wanted = duty->speed;
  return EB_OK;
}

double ebi_side_step_surplus(const ebi_side *side) {
  double volume = fan_volume(side, side->fan_flow), asked = ebi_side_asked(side), speed = 0.0;
  double density = side->fan_air.density;
  if (side->drive.steps == 0 || ebi_fan_speed(side->fan, volume, asked, density, &speed) != EB_OK)
    return 0.0;
  double step = ebi_drive_step_up(&side->drive, fmax(speed, side->drive.slowest));
  return fmax(ebi_fan_at(side->fan, volume, step, density).rise - asked, 0.0) * side->fan_factor;
}

static double done(const ebi_side *side, ebi_aim_kind kind) {
  if (kind == EBI_AIM_RISE)
    return ebi_side_rise(side);
  return kind == EBI_AIM_FLOW ? side->fan_flow : side->total;
}

/* True where a fan that is held at an end does what is asked, and more. */
static bool let_go(const ebi_side *side, const ebi_aim *aim, const ebi_duty *duty) {
  double over = done(side, aim->kind) - aim->value, slack = SLACK * fabs(aim->value);
  return (duty->too_weak && over > slack) || (duty->too_strong && over < -slack);
}

/* Takes a side on by one pass; *changed where what its fan is to do has changed. */
static eb_status take_on(const ebi_side *side, const ebi_aim *aim, ebi_duty *duty, ebi_aim *now,
                         bool *changed) {
  if (side->network == NULL || aim->kind == EBI_AIM_SPEED)
    return EB_OK;
  if (now->kind == EBI_AIM_SPEED) {
    if (let_go(side, aim, duty)) {
      duty->too_weak = duty->too_strong = false;
      *now = *aim;
      *changed = true;
    }
    return EB_OK;
  }
  double speed;
  eb_status status = find_speed(side, duty, &speed);
  if (status == EB_OK && (duty->too_weak || duty->too_strong)) {
    *now = (ebi_aim){EBI_AIM_SPEED, speed};
    *changed = true;
  }
  return status;
}

static eb_status in_circles(const ebi_ducts_job *job) {
  ebi_diag(job->context, EB_ERROR, "not-converged", job->house->unit_where, NULL,
           "what the two fans can do was not found in %d rounds: each one's limit changes the "
           "other's duty",
           PASSES);
  return EB_E_DIVERGED;
}

/* The flows at the speeds found are those of an operating solve. A switch has no speed between its
 * steps. */
static eb_status operate(ebi_ducts_job *job, const ebi_aim aims[EBI_SIDES],
                         ebi_duty duties[EBI_SIDES]) {
  ebi_aim speeds[EBI_SIDES];
  for (int s = 0; s < EBI_SIDES; s++) {
    if (aims[s].kind == EBI_AIM_SPEED)
      duties[s].speed = aims[s].value;
    else if (job->side[s].network != NULL)
      duties[s].speed = ebi_drive_step_up(&job->side[s].drive, duties[s].speed);
    speeds[s] = (ebi_aim){EBI_AIM_SPEED, duties[s].speed};
  }
  return ebi_ducts_solve(job, speeds);
}

eb_status ebi_ducts_run(ebi_ducts_job *job, const ebi_aim aims[EBI_SIDES], bool solved,
                        ebi_duty duties[EBI_SIDES]) {
  ebi_aim now[EBI_SIDES];
  bool free = false;
  for (int s = 0; s < EBI_SIDES; s++) {
    now[s] = aims[s];
    duties[s] = (ebi_duty){0};
    free = free || (job->side[s].network != NULL && aims[s].kind != EBI_AIM_SPEED);
  }
  bool changed = free;
  for (int pass = 0; changed && pass < PASSES; pass++) {
    eb_status status = solved && pass == 0 ? EB_OK : ebi_ducts_solve(job, now);
    changed = false;
    for (int s = 0; status == EB_OK && s < EBI_SIDES; s++)
      status = take_on(&job->side[s], &aims[s], &duties[s], &now[s], &changed);
    if (status != EB_OK)
      return status;
  }
  return changed ? in_circles(job) : operate(job, aims, duties);
}
