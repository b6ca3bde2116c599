/* read_rules.h - the parts of a rule file's reader (doc/rules.md is the format) */

#ifndef EBI_READ_RULES_H
#define EBI_READ_RULES_H

#include "input/fields.h"

/* What a term inherits from where it stands. */
typedef struct ebi_term_place {
  const char *id;           /* used where the term has none */
  const ebi_source *source; /* likewise */
  bool in_room;             /* of a room: may use its area, volume and sleepers; else of the
                             * dwelling: may sum over rooms */
} ebi_term_place;

/* A term: a flow alone ("13 l/s") or a mapping. NULL when memory ran out;
 * mistakes are recorded and reading goes on. */
const ebi_term *ebi_term_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place);

/* The kinds of quantity a driver is counted in and of a flow per unit of it. */
ebi_kind ebi_driver_kind(ebi_driver driver);
ebi_kind ebi_driver_rate_kind(ebi_driver driver);

/* Lists of the set, whose uses are read before. False when memory ran out. */
bool ebi_rules_read_sound(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set);
bool ebi_rules_read_combustion(ebi_reader *reader, const ebi_yaml *root, ebi_rule_set *set);

/* Names of levels a rule may speak of: "normal", "boost". */
extern const char *const ebi_rule_levels[];

#endif
