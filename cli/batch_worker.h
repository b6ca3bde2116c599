/* batch_worker.h - one house after another in one context, which keeps its tables */

#ifndef CLI_BATCH_WORKER_H
#define CLI_BATCH_WORKER_H

#include "batch_ring.h"
#include "command.h"

typedef struct batch_worker {
  const cli_command *command;
  const cli_options *options;
  eb_context *context;
  size_t held;    /* bytes the context has */
  size_t settled; /* the same after its first house */
} batch_worker;

/* Makes line, status and reason of the slot's document. */
void batch_worker_do(batch_worker *worker, batch_slot *slot);

void batch_worker_end(batch_worker *worker);

#endif
