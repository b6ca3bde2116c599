/* ducts_fan.c - the fan of a side, its filter and its controller
 *
 * The curve of the unit's sheet is total pressure from spigot to spigot at
 * 1.2 kg/m3; where the sheet says static, the velocity pressure in the outlet
 * spigot is added. Power columns are of the fans alone: standby is added once
 * for the whole unit. A filter that is not in the curve, and what a loaded one adds,
 * are elements in front of the fan. */

#include <math.h>

#include "base/text.h"
#include "design/ducts.h"
#include "design/unit_fan.h"

#define LEAST_SPEED 1e-3

/* ---- Curve ---- */

/* Area of the fan's outlet: its spigot, else the ducts that leave it. */
static double outlet_area(const ebi_side *side) {
  double bore = side->job->house->unit->spigot[side->outlet], area = 0.0;
  if (bore > 0.0)
    return ebi_section_round(bore).area;
  for (size_t i = 0; i < side->n_runs; i++)
    if (side->runs[i].from.kind == EBI_END_UNIT)
      area += side->runs[i].area;
  return area;
}

bool ebi_side_beyond(const ebi_side *side, double speed) {
  double flow = ebi_ducts_actual(side->fan_flow, side->fan_air.density);
  return ebi_fan_at(side->fan, flow, speed, side->fan_air.density).beyond;
}

/* ---- Controller ---- */

static bool make_drive(ebi_side *side) {
  const ebi_unit *unit = side->job->house->unit;
  side->drive = (ebi_drive){.slowest = LEAST_SPEED, .fastest = 1.0, .flow = unit->controller.flow};
  if (unit->n_signal_map == 0)
    return true;
  double *signal = EBI_NEW_ARRAY(side->job->scratch, double, unit->n_signal_map);
  double *speed = EBI_NEW_ARRAY(side->job->scratch, double, unit->n_signal_map);
  if (signal == NULL || speed == NULL)
    return false;
  for (size_t i = 0; i < unit->n_signal_map; i++) {
    signal[i] = unit->signal_map[i].x;
    speed[i] = unit->signal_map[i].y;
  }
  side->drive.map = ebi_curve_new(side->job->scratch, signal, speed, unit->n_signal_map);
  side->drive.steps = ebi_text_equal(unit->controller.unit, "step") ? unit->n_signal_map : 0;
  side->drive.slowest = fmax(speed[0], LEAST_SPEED);
  side->drive.fastest = fmin(fmax(speed[unit->n_signal_map - 1], LEAST_SPEED), 1.0);
  return side->drive.map != NULL;
}

double ebi_drive_speed(const ebi_drive *drive, double signal) {
  double speed = signal;
  if (drive->map != NULL)
    speed = ebi_curve_held(drive->map, signal).y;
  speed = (speed - drive->offset) / (1.0 - drive->offset);
  return fmin(fmax(speed, drive->slowest), drive->fastest);
}

ebi_aim ebi_side_told(const ebi_side *side, double signal) {
  if (side->drive.flow)
    return (ebi_aim){EBI_AIM_FLOW, ebi_ducts_ref(side->job, signal)};
  return (ebi_aim){EBI_AIM_SPEED, ebi_drive_speed(&side->drive, signal)};
}

double ebi_side_signal(const ebi_side *side, double speed) {
  return side->drive.flow ? ebi_ducts_room_flow(side->job, side->fan_flow)
                          : ebi_drive_signal(&side->drive, speed);
}

double ebi_drive_step_up(const ebi_drive *drive, double speed) {
  for (size_t i = 1; i <= drive->steps; i++) {
    double step = ebi_drive_speed(drive, (double)i / (double)drive->steps);
    if (step >= speed * (1.0 - 1e-9))
      return step;
  }
  return drive->steps > 0 ? drive->fastest : speed;
}

double ebi_drive_signal(const ebi_drive *drive, double speed) {
  bool clipped;
  speed = drive->offset + (1.0 - drive->offset) * speed;
  return drive->map == NULL ? speed : ebi_curve_inverse(drive->map, speed, &clipped);
}

/* ---- The fan's part ---- */

/* Pa at m3/s by a power; without a drop nothing. */
static ebi_element filter_element(const ebi_filter *filter, double drop) {
  ebi_element element = {.kind = EBI_ELEMENT_POWER, .parallel = 1.0};
  element.as.power.drop = drop;
  element.as.power.at = filter->at.given ? filter->at.value : 1.0;
  element.as.power.exponent = filter->at.given ? filter->exponent : 1.0;
  return element;
}

/* A clean filter in the curve is not counted again; what it gathers is. Where the sheet has no
 * clean figure there is none to take off, unless the curve holds an unknown one. */
static void make_filters(ebi_side *side, const ebi_filter *filter) {
  double clean = filter->clean.given && filter->at.given ? filter->clean.value : 0.0;
  bool known = filter->clean.given || !filter->in_curve;
  side->can_load = filter->loaded.given && filter->at.given && known;
  double gathered = side->can_load ? fmax(filter->loaded.value - clean, 0.0) : 0.0;
  side->filter = filter_element(filter, filter->in_curve ? 0.0 : clean);
  side->loading = filter_element(filter, gathered);
}

eb_status ebi_side_fan(ebi_side *side) {
  const ebi_unit *unit = side->job->house->unit;
  const ebi_fan_data *data = side->supply ? &unit->supply_fan : &unit->extract_fan;
  ebi_element elements[EBI_FAN_ELEMENTS] = {{.kind = EBI_ELEMENT_LOSS, .parallel = 1.0}};
  side->fan = ebi_unit_fan(side->job->scratch, data, data->static_basis ? outlet_area(side) : 0.0);
  if (side->fan == NULL || !make_drive(side))
    return EB_E_MEMORY;
  side->mode = data->mode;
  make_filters(side, side->supply ? &unit->filter_outdoor : &unit->filter_extract);
  side->fan_part =
      ebi_network_part(side->network, side->supply ? "supply fan" : "extract fan", side->unit_in,
                       side->unit_out, side->fan_air, elements, EBI_FAN_ELEMENTS);
  return side->fan_part == EBI_NONE ? EB_E_MEMORY : EB_OK;
}
