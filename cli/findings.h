/* findings.h - diagnostics as lines for people and as JSON */

#ifndef CLI_FINDINGS_H
#define CLI_FINDINGS_H

#include <jansson.h>
#include <stdio.h>

#include "evenbreath.h"

const char *severity_name(eb_severity severity);

/* One line each: file:line:column: severity: message (source). */
void findings_text(const eb_context *context, FILE *out);

/* The list `findings`; NULL when memory ran out. */
json_t *findings_json(const eb_context *context);

/* True where a warning or an error stands among them. */
bool findings_matter(const eb_context *context);

/* Steps of the ledger for people and as the list `explain`. */
void explain_text(const eb_ledger *ledger, FILE *out);
json_t *explain_json(const eb_ledger *ledger);

#endif
