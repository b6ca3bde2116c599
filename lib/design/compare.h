/* compare.h - how a comparison is put together: rows of cells, then differences
 */

#ifndef EBI_COMPARE_H
#define EBI_COMPARE_H

#include "base/context.h"
#include "base/ledger.h"
#include "input/names.h"
#include "model/house.h"

typedef struct ebi_comparing {
  eb_context *context;
  eb_ledger *ledger;
  const eb_compare_input *inputs;
  size_t n; /* of them */
  ebi_arena *arena, *scratch;
  bool failed;          /* memory ran out */
  bool gaps_alike;      /* what has no price is the same in all */
  const char *currency; /* "" where none is given or it is not the same in all */
  bool currencies_differ;
  const char **levels; /* of all houses, in the order they are met */
  size_t n_levels;
  double *bill; /* money a year, one a house; NAN: not known */
  eb_compare_row *rows;
  size_t n_rows, rows_capacity;
  eb_difference *differences;
  size_t n_differences, differences_capacity;
} ebi_comparing;

/* ---- Rows ---- */

/* What a house has in a row. */
typedef struct ebi_compare_cell {
  double value;
  double of;         /* with EB_SENSE_ALL_MET */
  bool at_least;     /* no less than the value */
  const char *where; /* or NULL */
} ebi_compare_cell;

extern const ebi_compare_cell ebi_compare_unknown;
ebi_compare_cell ebi_compare_known(double value);

/* The cell of house number `house`; `key` as the row says. */
typedef ebi_compare_cell ebi_compare_cell_of(const ebi_comparing *c, size_t house, const void *key);

typedef enum ebi_compare_unit {
  EBI_COMPARE_FLOW,
  EBI_COMPARE_PRESSURE,
  EBI_COMPARE_FAN_POWER,
  EBI_COMPARE_RATIO,      /* in whole percent */
  EBI_COMPARE_FINE_RATIO, /* in tenths of a percent */
  EBI_COMPARE_SOUND,
  EBI_COMPARE_LENGTH,
  EBI_COMPARE_ENERGY,
  EBI_COMPARE_PIECES,
  EBI_COMPARE_MONEY
} ebi_compare_unit;

typedef struct ebi_compare_kind {
  const char *group;
  ebi_compare_unit unit;
  eb_sense sense;
  ebi_compare_cell_of *cell;
} ebi_compare_kind;

/* Adds a row and finds who wins it. */
void ebi_compare_row(ebi_comparing *c, const ebi_compare_kind *kind, const void *key,
                     const char *format, ...)
#if defined __GNUC__
    __attribute__((format(printf, 4, 5)))
#endif
    ;

/* A level of a house by its name; NULL where it has none or there is no result.
 */
const eb_level_state *ebi_compare_level(const eb_compare_input *input, const char *name);

/* Names in the order they are met, each once. */
typedef struct ebi_compare_names {
  ebi_names known;
  const char **items;
  size_t count, capacity;
} ebi_compare_names;

void ebi_compare_name(ebi_comparing *c, ebi_compare_names *names, const char *name);

/* The groups of rows, in this order. */
void ebi_compare_air(ebi_comparing *c);
void ebi_compare_fans(ebi_comparing *c);
void ebi_compare_sound(ebi_comparing *c);
void ebi_compare_ducts(ebi_comparing *c);
void ebi_compare_year(ebi_comparing *c);
void ebi_compare_money(ebi_comparing *c);
void ebi_compare_findings(ebi_comparing *c);

/* ---- Differences ---- */

/* What an item of a house has in a field. */
typedef struct ebi_compare_value {
  const char *text; /* NULL: a number */
  double number;    /* NAN: none */
} ebi_compare_value;

typedef enum ebi_compare_type {
  EBI_COMPARE_GIVEN,  /* ebi_given */
  EBI_COMPARE_DOUBLE, /* double, NAN: none */
  EBI_COMPARE_COUNT,  /* int */
  EBI_COMPARE_YES_NO, /* bool */
  EBI_COMPARE_TEXT,   /* const char *, NULL or "": none */
  EBI_COMPARE_MADE    /* by `make` */
} ebi_compare_type;

typedef struct ebi_compare_field {
  const char *what, *unit; /* unit "" of texts */
  ebi_compare_type type;
  size_t offset; /* in the item */
  /* Text of house number `house`; NULL: none, or memory ran out. */
  const char *(*make)(ebi_comparing *c, size_t house, const void *item);
  bool always; /* shown too where only some houses have the item */
} ebi_compare_field;

/* One part of the files: a list of items that are known by their names. */
typedef struct ebi_compare_section {
  const char *part;
  const void *(*items)(const eb_house *house, size_t *count); /* the first of them */
  size_t size;                                                /* of one */
  size_t name; /* offset of its name, (size_t)-1: it has none */
  const ebi_compare_field *fields;
  size_t n_fields;
} ebi_compare_section;

extern const ebi_compare_section ebi_compare_sections[];
extern const size_t ebi_compare_n_sections;

void ebi_compare_differences(ebi_comparing *c);

/* Texts of fields that are put together: a run's. */
const char *ebi_compare_duct_text(ebi_comparing *c, size_t house, const void *item);
const char *ebi_compare_tubes_text(ebi_comparing *c, size_t house, const void *item);
const char *ebi_compare_fittings_text(ebi_comparing *c, size_t house, const void *item);
const char *ebi_compare_valve_text(ebi_comparing *c, size_t house, const void *item);

/* Tubes of a run: as chosen where the file leaves that open. */
int ebi_compare_tubes(const eb_compare_input *input, size_t run);

#endif
