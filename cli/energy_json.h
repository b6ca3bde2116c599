/* energy_json.h - a year as JSON */

#ifndef CLI_ENERGY_JSON_H
#define CLI_ENERGY_JSON_H

#include <jansson.h>

#include "evenbreath.h"

/* Adds all members but those of money and of the rest of the air's work. */
void energy_json(const eb_energy *energy, json_t *object);

#endif
