/* write_sketch.h - proposed ducts added to the house's own text */

#ifndef EBI_WRITE_SKETCH_H
#define EBI_WRITE_SKETCH_H

#include "model/house.h"
#include "model/sketch.h"

/* The text of the house's file with `ducts:` and `junctions:` after it; the bytes are the house's.
 * EB_E_INPUT where the text has one of them already or leaves no place for them. */
EB_MUST_USE eb_status ebi_sketch_write(eb_context *context, const eb_house *house,
                                       const ebi_sketch *sketch, const char **bytes,
                                       size_t *length);

#endif
