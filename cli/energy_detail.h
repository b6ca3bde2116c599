/* energy_detail.h - the rest of the air's work, as energy --detail shows it */

#ifndef CLI_ENERGY_DETAIL_H
#define CLI_ENERGY_DETAIL_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

#include "evenbreath.h"
#include "units.h"

/* False when memory ran out. Nothing where the detail was not asked for. */
bool energy_detail_text(const eb_energy *energy, const cli_units *units, FILE *out);

/* Adds `detail`. */
void energy_detail_json(const eb_energy *energy, json_t *object);

#endif
