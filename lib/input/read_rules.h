/* read_rules.h - the parts of a rule file's reader (doc/rules.md is the format)
 *
 * Mistakes are recorded and reading goes on; so is memory that ran out, with
 * the code "memory". */

#ifndef EBI_READ_RULES_H
#define EBI_READ_RULES_H

#include "input/load.h"

/* What a reader's record points at while a rule file is read. */
typedef struct ebi_rules_reading {
  ebi_rule_set *set;
  const ebi_term **named; /* terms of the dwelling so far, for `same_as` */
  size_t n_named, named_capacity;
} ebi_rules_reading;

static inline ebi_rules_reading *ebi_rules_of(const ebi_reader *reader) {
  return reader->record;
}

/* What a term inherits from where it stands. */
typedef struct ebi_term_place {
  const char *id;           /* used where the term has none */
  const ebi_source *source; /* likewise */
  ebi_kind value;           /* EBI_FLOW, EBI_AREA or EBI_NUMBER: what it gives */
  bool in_room;             /* of a room: may use its area, volume, ...; else of the dwelling */
  bool in_transfer;         /* of a door of a room: may use the air that passes it */
  bool in_people;           /* counts people, so it may not use them */
  bool named;               /* later terms may say `same_as` by the id of the place */
} ebi_term_place;

/* A term: a figure alone ("13 l/s") or a mapping. NULL when memory ran out. */
const ebi_term *ebi_term_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place);

/* A term or a list of them; ids end in the number where there are several. */
void ebi_terms_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                    ebi_term_list *list);

/* `steps`, `polynomial` and `table` of a term. */
void ebi_term_read_by(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                      ebi_term *term);
void ebi_term_read_bins(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                        ebi_term *term);

/* The range in which a figure of a kind may stand; in a rule file, from 0. */
double ebi_rule_figure_most(ebi_kind kind);

/* A figure of a kind, not below 0. */
bool ebi_rule_figure(ebi_reader *reader, const ebi_yaml *node, ebi_kind kind, double *value);

/* ---- counts, bounds, conditions ---- */

/* A count or size as files write it. */
typedef struct ebi_driver_row {
  ebi_driver driver;
  const char *word;
  ebi_kind kind;
  ebi_kind rate_kind;   /* of a flow per unit of it; EBI_KIND_COUNT: only with `every` */
  bool of_room, listed; /* listed: may be of the rooms of some uses */
} ebi_driver_row;

/* The row a word names; an error at the node where there is none, or where the
 * place does not know it. */
const ebi_driver_row *ebi_driver_read(ebi_reader *reader, const ebi_yaml *word,
                                      ebi_term_place place);
const ebi_driver_row *ebi_driver_row_of(ebi_driver driver);

/* `of`, `without`, `counted` and `valid` beside a count in a mapping. */
void ebi_count_read(ebi_reader *reader, const ebi_yaml *mapping, const ebi_driver_row *row,
                    ebi_count *count);

/* `of` and `without` alone. */
void ebi_count_read_uses(ebi_reader *reader, const ebi_yaml *mapping, const ebi_driver_row *row,
                         ebi_count *count);

/* The kind of the rate beside a count, for a term that gives `value`; EBI_KIND_COUNT
 * where only `every` makes one. */
ebi_kind ebi_driver_rate_kind(const ebi_driver_row *row, ebi_kind value);

#define EBI_OPEN_BOUNDS ((ebi_bounds){.least = -HUGE_VAL, .most = HUGE_VAL})

/* `at_least`, `at_most`, `above` and `below` in a mapping of those and `others`
 * (which end in NULL); an error where nothing can ever lie within. */
void ebi_bounds_read(ebi_reader *reader, const ebi_yaml *mapping, ebi_kind kind,
                     const char *const *others, ebi_bounds *bounds);

/* `when:`; NULL: none. */
void ebi_conditions_read(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                         ebi_conditions *conditions);

/* Uses that the set declares. */
void ebi_uses_read(ebi_reader *reader, const ebi_yaml *node, ebi_use_list *uses);

/* A use the set does not declare is an error with the nearest one. */
bool ebi_rules_use_known(ebi_reader *reader, const ebi_yaml *node, const char *use);

/* ---- sections, each from the value of its key ---- */

void ebi_rules_read_sound(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_combustion(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_advice(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_levels(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_transfer(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_purge(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_intermittent(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_background(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_co2(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_limits(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_imbalance(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_rules_read_commissioning(ebi_reader *reader, const ebi_yaml *value, void *record);

/* A list of mappings, or NULL with an error. */
const ebi_yaml *ebi_rules_list(ebi_reader *reader, const ebi_yaml *value);

/* Names of levels a rule may speak of: "normal", "boost". */
extern const char *const ebi_rule_levels[];

#define EBI_COUNT_FIELDS(table) (sizeof(table) / sizeof((table)[0]))

#endif
