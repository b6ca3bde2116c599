/* ducts_heat_record.c - stack pressure, and what of the heat is written down
 *
 * Stack: a column of air that weighs less than what is around it is driven upward. What is
 * around counts for how the pressures at its ends are told. Rooms are told as if all at the
 * height of the unit: the house's own column of air, at the rooms' temperature, takes the
 * difference, so supply and extract runs are weighed against room air wherever they run.
 * Outdoors is told likewise by the outdoor column: outdoor and exhaust runs are weighed
 * against outdoor air. Pressures of fan and runs are differences against those columns. */

#include <math.h>

#include "design/ducts_heat.h"

bool ebi_run_stack(const ebi_ducts_job *job, const ebi_side_run *run, ebi_element *element) {
  const ebi_given *rise = &run->run->rise;
  if (!rise->given)
    return false;
  bool outer = run->run->air == EB_OUTDOOR || run->run->air == EB_EXHAUST;
  double around = outer ? job->air[EB_OUTDOOR].density : job->room_density;
  *element = (ebi_element){.kind = EBI_ELEMENT_SOURCE, .parallel = 1.0};
  element->as.source.rise = ebi_stack_pressure(around, run->air.density, rise->value);
  return true;
}

ebi_air_state ebi_terminal_air(const ebi_side *side, const ebi_terminal *terminal) {
  const ebi_side_run *run = &side->runs[terminal->run];
  ebi_site_air site = ebi_ducts_site(side->job);
  bool forward =
      side->job->solution.flow_ref == NULL || side->job->solution.flow_ref[run->part] >= 0.0;
  bool from_run = forward == side->supply;
  return from_run ? ebi_site_air_at(&site, run->run->air, run->end_c)
                  : ebi_site_air_at(&site, EB_EXTRACT, site.indoor_c);
}

/* Of the air around a run, where its humidity is known. */
static double dew_point(const ebi_ducts_job *job, const ebi_run *run, double around_c) {
  const ebi_given *humidity = &run->space_humidity;
  if (!humidity->given && !run->space_temperature.given)
    humidity = &job->house->indoor_humidity;
  return humidity->given ? ebi_dew_point(around_c, humidity->value) : (double)NAN;
}

void ebi_ducts_record_heat(const ebi_side *side, const ebi_side_run *run, eb_run_state *state) {
  ebi_site_air site = ebi_ducts_site(side->job);
  double around = ebi_heat_around_c(&site, run->run);
  ebi_duct_wall wall = ebi_heat_wall(run);
  ebi_element stack;
  state->start_c = run->start_c;
  state->end_c = run->end_c;
  state->heat_w = ebi_heat_capacity(side, run) * (run->start_c - run->end_c);
  state->surface_c = ebi_duct_surface_outside(&wall, run->start_c, around);
  state->dew_point_c = dew_point(side->job, run->run, around);
  state->stack_pa = 0.0;
  if (ebi_run_stack(side->job, run, &stack))
    state->stack_pa = 0.0 - ebi_element_drop(&stack, run->air, state->flow_m3_s).pa;
}

/* Air that goes backward through a terminal is no supply. */
void ebi_ducts_record_supply(const ebi_side *side, eb_room_state *rooms) {
  double *flow = side->heat != NULL ? side->heat->room_flow : NULL;
  if (!side->supply)
    return;
  for (size_t r = 0; flow != NULL && r < side->job->house->n_rooms; r++)
    flow[r] = 0.0;
  for (size_t t = 0; t < side->n_terminals; t++) {
    const ebi_terminal *terminal = &side->terminals[t];
    double *supply_c = &rooms[terminal->room].supply_c, end_c = side->runs[terminal->run].end_c;
    double own = fmax(ebi_terminal_flow(side, terminal), 0.0);
    if (flow == NULL) /* all air has one temperature */
      *supply_c = end_c;
    else if (own > 0.0) {
      double before = flow[terminal->room];
      flow[terminal->room] += own;
      *supply_c = before > 0.0 ? *supply_c + (end_c - *supply_c) * own / (before + own) : end_c;
    }
  }
}
