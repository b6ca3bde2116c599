/* duct.h - what follows from how a duct and its run are described */

#ifndef EBI_MODEL_DUCT_H
#define EBI_MODEL_DUCT_H

#include "model/house.h"
#include "physics/section.h"

ebi_section ebi_duct_section(const ebi_duct_size *duct);

/* Length of a run less that of its fittings, as it lies [m]. */
double ebi_run_plain_length(const ebi_run *run);

/* The same of duct as it is bought: a flexible one is longer than it lies. */
double ebi_run_bought_length(const ebi_run *run, const ebi_duct_size *duct);

#endif
