/* sketch.h - ducts proposed from the places of rooms and unit: shared by sketch*.c */

#ifndef EBI_DESIGN_SKETCH_H
#define EBI_DESIGN_SKETCH_H

#include "input/names.h"
#include "model/house.h"
#include "model/sketch.h"

/* Common practice in dwellings, from memory: what a tube of 75 mm takes, and speeds that stay
 * quiet. */
#define EBI_SKETCH_TUBE_FLOW (30.0 / 3600.0) /* m3/s */
#define EBI_SKETCH_TRUNK_VELOCITY 3.0        /* m/s */
#define EBI_SKETCH_BRANCH_VELOCITY 2.0

/* What positions do not tell, assumed. */
#define EBI_SKETCH_MAIN_LENGTH 1.5 /* m from the unit, with a silencer of 0.9 m and two bends */
#define EBI_SKETCH_MAIN_BENDS 2
#define EBI_SKETCH_LEAST_BRANCH 0.5 /* m to a valve */
#define EBI_SKETCH_VALVES_APART 1.0 /* m, of one room */

/* A valve that air is to be brought to, or taken from. */
typedef struct ebi_sketch_terminal {
  size_t room;
  const char *name; /* of the run to it */
  double flow;      /* m3/s, the larger of normal and boost */
  double at[3];
} ebi_sketch_terminal;

typedef struct ebi_sketch_side {
  eb_air air;         /* EB_SUPPLY or EB_EXTRACT */
  const char *prefix; /* of its names */
  ebi_sketch_terminal *terminals;
  size_t n_terminals, capacity;
  double flow;
} ebi_sketch_side;

typedef struct ebi_sketching {
  eb_context *context;
  const eb_house *house;
  const eb_rates *rates;
  ebi_arena *scratch;
  ebi_names taken; /* names of rooms, runs and junctions */
  size_t trunk;    /* axis along the longer side of the house: 0 x, 1 y */
  ebi_sketch_side side[2];
  ebi_sketched_run *runs;
  size_t n_runs, run_capacity;
  ebi_sketched_junction *junctions;
  size_t n_junctions, junction_capacity;
  bool unsilenced; /* a duct is wider than any silencer of the tables */
  bool failed;     /* memory ran out */
} ebi_sketching;

/* Fills in both sides; EB_E_INPUT where a place is missing. */
eb_status ebi_sketch_gather(ebi_sketching *sketching);

/* Runs from the unit to every terminal of a side. */
void ebi_sketch_radial(ebi_sketching *sketching, const ebi_sketch_side *side);
void ebi_sketch_branched(ebi_sketching *sketching, const ebi_sketch_side *side);

/* A way along x, y and z, in any order. */
typedef struct ebi_sketch_path {
  double length, rise; /* m */
  int bends;           /* at each change of direction, and one at its end */
} ebi_sketch_path;
ebi_sketch_path ebi_sketch_path_between(const double from[3], const double to[3]);

/* The run of a kind of air between the unit and outdoors. */
void ebi_sketch_outside(ebi_sketching *sketching, eb_air air, double flow);

/* A name nobody has yet, of these two parts; NULL where memory ran out. */
const char *ebi_sketch_name(ebi_sketching *sketching, const char *prefix, const char *rest);

/* Adds a run that leads from `near` (the unit or nearer to it) to `far`: turned round where the
 * air goes to the unit. Its length and its rise, from near to far, are rounded to 0.1 m. */
void ebi_sketch_run(ebi_sketching *sketching, const char *near, const char *far,
                    ebi_sketched_run run);
void ebi_sketch_junction(ebi_sketching *sketching, ebi_sketched_junction junction);

/* The run that ends in a terminal's valve, but for its duct. */
ebi_sketched_run ebi_sketch_to_valve(const ebi_sketch_side *side,
                                     const ebi_sketch_terminal *terminal);

/* The number of a steel duct in which the flow is no faster, and its name. */
size_t ebi_sketch_size(double flow, double velocity);
const char *ebi_sketch_steel(size_t size);

/* A silencer of that size; NULL with a finding later where there is none. */
const char *ebi_sketch_silencer(ebi_sketching *sketching, size_t size);

#endif
