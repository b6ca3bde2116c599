/* sketch.h - runs proposed from positions alone, as they are to be written into a house */

#ifndef EBI_SKETCH_H
#define EBI_SKETCH_H

#include "evenbreath.h"

typedef struct ebi_sketched_run {
  eb_air air;
  const char *name, *from, *to;
  const char *duct; /* name of a size */
  int parallel;
  double length, rise; /* m, rounded as estimates are */
  int bends;           /* of 90 degrees */
  const char *fitting; /* beside the bends, as written under `fittings:`, or NULL */
  const char *valve;   /* or NULL */
  bool insulated;
} ebi_sketched_run;

typedef struct ebi_sketched_junction {
  const char *name;
  bool box;             /* else a tee */
  const char *straight; /* of a tee; NULL: a bull-head */
} ebi_sketched_junction;

typedef struct ebi_sketch {
  const char *const *notes; /* what the reader of the file must know, a line each */
  size_t n_notes;
  const ebi_sketched_run *runs;
  size_t n_runs;
  const ebi_sketched_junction *junctions;
  size_t n_junctions;
} ebi_sketch;

#endif
