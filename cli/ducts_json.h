/* ducts_json.h - the JSON part of evenbreath ducts */

#ifndef CLI_DUCTS_JSON_H
#define CLI_DUCTS_JSON_H

#include "command.h"

bool ducts_json(const cli_run *run, json_t *object);

#endif
