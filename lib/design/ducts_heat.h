/* ducts_heat.h - what the files of the ducts' heat share */

#ifndef EBI_DUCTS_HEAT_H
#define EBI_DUCTS_HEAT_H

#include "design/ducts.h"
#include "physics/duct_heat.h"

#define EBI_STILL 1e-9 /* m3/s: less is no flow */

/* What of a side does not change between calls, and room for the walk. */
struct ebi_side_heat {
  double *conductance;      /* W/K between a run and its space, by run */
  double *around_c;         /* by run */
  double *mean_c;           /* that its air is taken at, by run */
  double *miss, *last_miss; /* K that the flow's mean is off it, now and the pass before */
  double *meeting_c;        /* by meeting */
  double *capacity, *heat;  /* W/K and W that came in so far, by meeting */
  size_t *waiting, *queue;  /* runs still to bring air; meetings to go on from */
  double *room_flow;        /* by room, while a level is written down */
  double unit_in_c, unit_out_c;
  double step; /* of the last pass: share of the miss taken; 0 before the first */
};

/* Flow of a run in the last solve (ref, positive from -> to), 0 where there is none to speak of. */
double ebi_heat_flow(const ebi_side *side, const ebi_side_run *run);

/* Mass flow x cp of a run in the last solve [W/K]. */
double ebi_heat_capacity(const ebi_side *side, const ebi_side_run *run);

/* Conductance over capacity; infinite for still air. */
double ebi_heat_units(const ebi_side *side, size_t number);

/* The end that air flows to. */
const ebi_end *ebi_heat_downstream(const ebi_side_run *run, double flow);

/* Start and end temperatures of all runs of a side from those outdoors, in the rooms and at
 * the unit. */
eb_status ebi_heat_carry(ebi_side *side, const ebi_site_air *site);

/* Temperature around a run, and its wall. */
double ebi_heat_around_c(const ebi_site_air *site, const ebi_run *run);
ebi_duct_wall ebi_heat_wall(const ebi_side_run *run);

#endif
