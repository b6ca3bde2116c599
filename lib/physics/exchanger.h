/* exchanger.h - what of heat exchangers is not public */

#ifndef EBI_EXCHANGER_H
#define EBI_EXCHANGER_H

#include <stdbool.h>

#include "evenbreath.h"

/* Transfer units of a crossflow exchanger, both streams unmixed, by searching
 * eb_crossflow_effectiveness: an effectiveness from 0 to what 500 units give. */
double ebi_crossflow_ntu(double effectiveness, double capacity_ratio);

/* What 500 units give at balanced flows. */
double ebi_crossflow_most(void);

/* Transfer units times flow at a balanced flow: UA over the heat capacity of the air. */
double ebi_exchanger_size(bool crossflow, double ratio, double at);

/* Both ratios and the recovery of an exchanger of that size at two flows > 0; all NAN outside. */
eb_exchanger_ratios ebi_exchanger_ratios(bool crossflow, double size, double supply,
                                         double extract);

#endif
