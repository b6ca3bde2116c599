/* diagnose.h - what readings of a running unit say, after its year */

#ifndef CLI_DIAGNOSE_H
#define CLI_DIAGNOSE_H

#include "command.h"

/* Reads what --readings names, if anything, into the run. */
eb_status readings_of_run(cli_run *run);

/* The diagnosis into the run, where there are readings. */
eb_status diagnosis_of_run(cli_run *run);

/* Nothing where there is no diagnosis. False when memory ran out. */
bool diagnosis_text(const cli_run *run, FILE *out);

/* The list `diagnosis`, NULL where nothing was read. */
json_t *diagnosis_json(const cli_run *run);

#endif
