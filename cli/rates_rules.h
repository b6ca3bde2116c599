/* rates_rules.h - what the rules ask beside the flows of the plan: openings to
 * purge by, the baseline's fans and ventilators, carbon dioxide */

#ifndef CLI_RATES_RULES_H
#define CLI_RATES_RULES_H

#include "command.h"

bool rules_text(const cli_units *units, const eb_rates *rates, FILE *out);

/* Members of a room, and of the whole. */
void room_rules_json(const eb_rates *rates, const eb_room_rates *room, json_t *object);
void rules_json(const eb_rates *rates, json_t *object);

#endif
