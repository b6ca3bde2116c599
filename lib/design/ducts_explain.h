/* ducts_explain.h - steps shared by the two files that explain ducts */

#ifndef EBI_DUCTS_EXPLAIN_H
#define EBI_DUCTS_EXPLAIN_H

#include "design/ducts.h"

/* Steps of one run at the level in hand. */
typedef struct ebi_run_steps {
  ebi_step flow, valve, total;
  ebi_step length;         /* at no level, like the next */
  ebi_step slack, crushed; /* EBI_NO_STEP where it is neither */
  ebi_step *fittings;      /* coefficient or drop, by the run's fittings */
} ebi_run_steps;

typedef struct ebi_explained {
  ebi_ducts_job *job;
  size_t level;
  ebi_run_steps *runs; /* by run of the house */
  ebi_step density[4]; /* by eb_air */
  ebi_step standby;
  ebi_step *rooms;        /* pressure of each at that level */
  ebi_step *path, *parts; /* room for the inputs of one step */
} ebi_explained;

/* Takes memory and records what holds at every level. */
eb_status ebi_explain_start(ebi_explained *e);

/* Flow, friction, fittings, valve and total of the runs of a side. */
void ebi_explain_runs(const ebi_explained *e, const ebi_side *side);

#endif
