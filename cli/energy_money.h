/* energy_money.h - what the year's saving costs and pays, and how sure it is */

#ifndef CLI_ENERGY_MONEY_H
#define CLI_ENERGY_MONEY_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

#include "evenbreath.h"
#include "units.h"

/* What most of the doubt comes from, prices with their date and source, whether it pays. False
 * when memory ran out. */
bool energy_money_text(const eb_energy *energy, const cli_units *units, FILE *out);

/* Adds `range`, `prices`, `cost_per_day` and `investment`. */
void energy_money_json(const eb_energy *energy, json_t *object);

#endif
