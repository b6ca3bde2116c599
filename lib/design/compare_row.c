/* compare_row.c - one row of a comparison, and who wins it
 *
 * Values are compared as they are shown, rounded to the row's step: what looks
 * the same is a tie. A value that is not known wins and loses nothing. Where a
 * value is only known to be no less than a figure, the row is won only if that
 * holds whatever the rest may be. */

#include "design/compare.h"

#include <math.h>

const ebi_compare_cell ebi_compare_unknown = {.value = NAN, .of = NAN};

ebi_compare_cell ebi_compare_known(double value) {
  return (ebi_compare_cell){.value = value, .of = NAN};
}

static const struct {
  const char *name;
  double step;
} units[] = {
    [EBI_COMPARE_FLOW] = {"m3/s", 1e-4},        [EBI_COMPARE_PRESSURE] = {"Pa", 0.1},
    [EBI_COMPARE_FAN_POWER] = {"W/(m3/s)", 10}, [EBI_COMPARE_RATIO] = {"1", 0.01},
    [EBI_COMPARE_FINE_RATIO] = {"1", 1e-3},     [EBI_COMPARE_SOUND] = {"dB", 1},
    [EBI_COMPARE_LENGTH] = {"m", 0.1},          [EBI_COMPARE_ENERGY] = {"kWh", 1},
    [EBI_COMPARE_PIECES] = {"number", 1},       [EBI_COMPARE_MONEY] = {"money", 1},
};

/* How far from the best there could be, in steps; the least wins. */
static double badness(const eb_compare_row *row, size_t house) {
  double value = row->values[house];
  if (row->sense == EB_SENSE_ALL_MET)
    value -= row->of[house];
  double steps = round(value / row->step);
  if (row->sense == EB_SENSE_NEAR_ZERO)
    return fabs(steps);
  return row->sense == EB_SENSE_LESS ? steps : -steps;
}

/* The two houses with the least badness, the first of them first among equals.
 */
static void find_two(const eb_compare_row *row, size_t n, size_t two[2]) {
  two[0] = two[1] = EB_NO_HOUSE;
  for (size_t i = 0; i < n; i++) {
    if (isnan(row->values[i]))
      continue;
    double bad = badness(row, i);
    if (two[0] == EB_NO_HOUSE || bad < badness(row, two[0])) {
      two[1] = two[0];
      two[0] = i;
    } else if (two[1] == EB_NO_HOUSE || bad < badness(row, two[1])) {
      two[1] = i;
    }
  }
}

static void find_winner(eb_compare_row *row, size_t n, bool gaps_alike) {
  size_t two[2];
  row->better = EB_NO_HOUSE;
  if (row->sense == EB_SENSE_NONE)
    return;
  find_two(row, n, two);
  if (two[1] == EB_NO_HOUSE || (row->at_least != NULL && row->at_least[two[0]] && !gaps_alike))
    return;
  double ahead = badness(row, two[1]) - badness(row, two[0]);
  if (!(ahead > 0))
    return;
  row->better = two[0];
  row->ahead = ahead * row->step;
}

/* A column of a row, made when the first house needs it. */
#define COLUMN(c, row, type, member)                                                               \
  ((row)->member != NULL ? (row)->member                                                           \
                         : ((row)->member = EBI_NEW_ARRAY((c)->arena, type, (c)->n)))

typedef struct columns {
  double *values, *of;
  bool *at_least;
  const char **where;
} columns;

static bool set_cell(ebi_comparing *c, columns *to, size_t house, const ebi_compare_cell *cell) {
  to->values[house] = cell->value;
  if (to->of != NULL)
    to->of[house] = cell->of;
  if (cell->at_least) {
    bool *at_least = COLUMN(c, to, bool, at_least);
    if (at_least == NULL)
      return false;
    at_least[house] = true;
  }
  if (cell->where == NULL)
    return true;
  const char **where = COLUMN(c, to, const char *, where);
  return where != NULL && (where[house] = ebi_arena_text(c->arena, cell->where)) != NULL;
}

static bool fill(ebi_comparing *c, const ebi_compare_kind *kind, const void *key, columns *to) {
  to->values = EBI_NEW_ARRAY(c->arena, double, c->n);
  if (kind->sense == EB_SENSE_ALL_MET)
    to->of = EBI_NEW_ARRAY(c->arena, double, c->n);
  if (to->values == NULL || (kind->sense == EB_SENSE_ALL_MET && to->of == NULL))
    return false;
  for (size_t i = 0; i < c->n; i++) {
    ebi_compare_cell cell = kind->cell(c, i, key);
    if (!set_cell(c, to, i, &cell))
      return false;
  }
  for (size_t i = 0; to->where != NULL && i < c->n; i++)
    if (to->where[i] == NULL)
      to->where[i] = "";
  return true;
}

void ebi_compare_row(ebi_comparing *c, const ebi_compare_kind *kind, const void *key,
                     const char *format, ...) {
  columns made = {0};
  va_list arguments;
  va_start(arguments, format);
  const char *what = ebi_arena_format_list(c->arena, format, arguments);
  va_end(arguments);
  bool money = kind->unit == EBI_COMPARE_MONEY;
  const char *currency = ebi_arena_text(c->arena, money ? c->currency : "");
  if (what == NULL || currency == NULL || !fill(c, kind, key, &made) ||
      !ebi_arena_grow(c->arena, &c->rows, &c->rows_capacity, c->n_rows, sizeof *c->rows)) {
    c->failed = true;
    return;
  }
  eb_compare_row row = {.group = kind->group,
                        .what = what,
                        .unit = units[kind->unit].name,
                        .currency = currency,
                        .step = units[kind->unit].step,
                        .sense = money && c->currencies_differ ? EB_SENSE_NONE : kind->sense,
                        .values = made.values,
                        .of = made.of,
                        .at_least = made.at_least,
                        .where = made.where};
  find_winner(&row, c->n, c->gaps_alike);
  c->rows[c->n_rows++] = row;
}
