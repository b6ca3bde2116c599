/* write_back.h - what the files that write values back into a house's text share */

#ifndef EBI_WRITE_BACK_H
#define EBI_WRITE_BACK_H

#include "input/names.h"
#include "input/splice.h"
#include "model/house.h"

/* A change with what it means, to be found again in the text that was written. */
typedef struct ebi_write {
  const eb_written *asked;
  const ebi_run *run;           /* of the house */
  const ebi_yaml *mapping;      /* of the file */
  const ebi_yaml *duct, *tubes; /* what must stand there afterwards; NULL: unchanged */
} ebi_write;

typedef struct ebi_writing {
  eb_context *context;
  const eb_house *house;
  ebi_arena *scratch;
  ebi_document document; /* the house's own text, without overrides */
  ebi_write *writes;
  size_t n_writes;
  ebi_names by_name; /* of the runs that are written to: their write */
  ebi_splices splices;
} ebi_writing;

/* An alias elsewhere would change with a value that is replaced: an error. The splices are
 * sorted. */
eb_status ebi_write_check_aliases(ebi_writing *writing);

/* The text that was written must be the house's but for the changes. */
eb_status ebi_write_check_text(ebi_writing *writing, const char *bytes, size_t length);

#endif
