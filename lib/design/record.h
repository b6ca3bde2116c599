/* record.h - what the files of the record share */

#ifndef EBI_DESIGN_RECORD_H
#define EBI_DESIGN_RECORD_H

#include "design/balance.h"

/* A record while it is written: everything goes into the arena. */
typedef struct ebi_recording {
  ebi_balance_model *model; /* with its data: corrected readings */
  ebi_balance_rule rule;
  ebi_arena *arena;
  eb_record *record;
  bool failed;              /* memory ran out */
} ebi_recording;

/* The corrected reading of a terminal in a stand, or NULL. */
const ebi_datum *ebi_reading_in(const ebi_balance_model *model, const ebi_stand *stand, int side,
                                size_t terminal);

/* Rows and levels (record_levels.c); fields, cautions and the householder's page (record_words.c). */
void ebi_record_levels(ebi_recording *r);
void ebi_record_words(ebi_recording *r);

#endif
