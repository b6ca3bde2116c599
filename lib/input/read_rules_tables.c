/* read_rules_tables.c - terms that look a flow up: steps, polynomials, bins */

#include "input/read_rules.h"

#include <math.h>
#include <string.h>

/* ---- Steps ---- */

/* Rows that fall would let more of the driver ask for less air. */
static void check_steps(ebi_reader *reader, const ebi_yaml *node, const ebi_term *term) {
  for (size_t i = 0; i < term->n_steps; i++) {
    if (term->steps[i].flow < 0.0 || (i > 0 && term->steps[i].flow < term->steps[i - 1].flow)) {
      ebi_read_error(reader, node, "steps-fall",
                     "the flow of row %zu is below 0 or below that of the row before it", i + 1);
      return;
    }
  }
}

static void read_steps(ebi_reader *reader, const ebi_yaml *node, const ebi_driver_row *row,
                       ebi_term *term) {
  const ebi_kind kinds[] = {row->kind, term->value};
  const double *cells = NULL;
  size_t n = 0;
  if (!ebi_read_columns(reader, node, kinds, 2, &cells, &n, NULL))
    return;
  ebi_step_row *steps = ebi_read_array(reader, node, n, sizeof *steps);
  for (size_t i = 0; steps && i < n; i++)
    steps[i] = (ebi_step_row){cells[2 * i], cells[2 * i + 1]};
  term->steps = steps;
  term->n_steps = steps ? n : 0;
  check_steps(reader, node, term);
}

static void read_further(ebi_reader *reader, const ebi_yaml *node, const ebi_driver_row *row,
                         ebi_term *term) {
  ebi_kind kind = ebi_driver_rate_kind(row, term->value);
  if (kind == EBI_KIND_COUNT)
    ebi_read_error(reader, node, "key-place",
                   "each_further cannot be of \"%s\" here; add a term with per, every and counted: "
                   "{beyond: ...}",
                   row->word);
  else
    ebi_rule_figure(reader, node, kind, &term->each_further);
}

/* ---- Polynomials ---- */

typedef struct polynomial_keys {
  const char *in, *unit;
} polynomial_keys;

static const ebi_field polynomial_fields[] = {
    {.key = "in", .type = EBI_FIELD_TEXT, .offset = offsetof(polynomial_keys, in)},
    {.key = "unit", .type = EBI_FIELD_TEXT, .offset = offsetof(polynomial_keys, unit)},
    {.key = "coefficients", .type = EBI_FIELD_IGNORED, .required = true}};

/* The unit written under `key`, in SI; a bare number has none. */
static double read_unit(ebi_reader *reader, const ebi_yaml *node, const char *key, const char *unit,
                        ebi_kind kind) {
  double si = 1.0;
  const ebi_yaml *at = ebi_yaml_get(node, key);
  if (!ebi_unit_to_si(1.0, unit ? unit : "", kind, &si))
    ebi_read_error(reader, at ? at : node, "unit-wrong", "\"%s:\" is the unit of %s: %s", key,
                   ebi_kind_name(kind), ebi_kind_units(kind));
  return si;
}

static void read_polynomial(ebi_reader *reader, const ebi_yaml *node, const ebi_driver_row *row,
                            ebi_term *term) {
  polynomial_keys keys = {NULL, NULL};
  const ebi_yaml *list = ebi_yaml_get(node, "coefficients");
  term->kind = EBI_TERM_POLYNOMIAL;
  ebi_fields_read(reader, node, "a polynomial", polynomial_fields, 3, &keys);
  term->x_unit = read_unit(reader, node, "in", keys.in, row->kind);
  term->y_unit = read_unit(reader, node, "unit", keys.unit, term->value);
  if (!list)
    return;
  if (list->kind != EBI_YAML_SEQUENCE || !list->count) {
    ebi_read_error(reader, list, "not-a-list",
                   "coefficients: is a list of numbers, the constant first");
    return;
  }
  double *numbers = ebi_read_array(reader, list, list->count, sizeof *numbers);
  for (size_t i = 0; numbers && i < list->count; i++) {
    ebi_given given = {0};
    if (ebi_read_given(reader, list->items[i], EBI_NUMBER, -1e9, 1e9, &given))
      numbers[i] = given.value;
  }
  term->coefficients = numbers;
  term->n_coefficients = numbers ? list->count : 0;
}

void ebi_term_read_by(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                      ebi_term *term) {
  const ebi_yaml *steps = ebi_yaml_get(node, "steps");
  const ebi_yaml *polynomial = ebi_yaml_get(node, "polynomial");
  const ebi_yaml *further = ebi_yaml_get(node, "each_further");
  const ebi_driver_row *row = ebi_driver_read(reader, ebi_yaml_get(node, "by"), place);
  term->kind = EBI_TERM_STEPS;
  if (!steps == !polynomial)
    ebi_read_error(reader, node, "key-missing",
                   "a term with \"by\" needs \"steps\" or \"polynomial\" too");
  if (!row)
    return;
  ebi_count_read(reader, node, row, &term->count);
  if (polynomial)
    read_polynomial(reader, polynomial, row, term);
  else if (steps)
    read_steps(reader, steps, row, term);
  if (further)
    read_further(reader, further, row, term);
}

/* ---- Bins ---- */

/* "140 m2", "under 140 m2" or "more"; false after an error. */
static bool read_bound(ebi_reader *reader, const ebi_yaml *node, ebi_kind kind, double *up_to,
                       bool *under) {
  static const char word[] = "under ";
  ebi_yaml bare = *node;
  ebi_given given = {0};
  if (node->kind == EBI_YAML_SCALAR && strcmp(node->text, "more") == 0) {
    *up_to = HUGE_VAL;
    return true;
  }
  *under = node->kind == EBI_YAML_SCALAR && strncmp(node->text, word, sizeof word - 1) == 0;
  if (*under) {
    bare.text += sizeof word - 1;
    bare.length -= sizeof word - 1;
  }
  if (!ebi_read_given(reader, &bare, kind, 0.0, 1e6, &given))
    return false;
  *up_to = given.value;
  return true;
}

static void read_bounds(ebi_reader *reader, const ebi_yaml *list, ebi_kind kind, ebi_bins *bins) {
  if (list->kind != EBI_YAML_SEQUENCE || !list->count) {
    ebi_read_error(reader, list, "not-a-list", "up_to: is a list of bounds, the last may be more");
    return;
  }
  double *up_to = ebi_read_array(reader, list, list->count, sizeof *up_to);
  bool *under = ebi_read_array(reader, list, list->count, sizeof *under);
  for (size_t i = 0; up_to && under && i < list->count; i++)
    if (read_bound(reader, list->items[i], kind, &up_to[i], &under[i]) && i > 0 &&
        up_to[i] <= up_to[i - 1])
      ebi_read_error(reader, list->items[i], "not-rising",
                     "each bound must be larger than the one before");
  bins->up_to = up_to;
  bins->under = under;
  bins->n = up_to && under ? list->count : 0;
}

static const ebi_field direction_fields[] = {
    {.key = "by", .type = EBI_FIELD_IGNORED, .required = true},
    {.key = "up_to", .type = EBI_FIELD_IGNORED, .required = true},
    {.key = "of", .type = EBI_FIELD_IGNORED},
    {.key = "without", .type = EBI_FIELD_IGNORED},
    {.key = "counted", .type = EBI_FIELD_IGNORED},
    {.key = "valid", .type = EBI_FIELD_IGNORED}};

static void read_direction(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                           ebi_bins *bins) {
  if (!node)
    return;
  ebi_fields_read(reader, node, "a direction of a table", direction_fields, 6, NULL);
  const ebi_yaml *by = ebi_yaml_get(node, "by"), *up_to = ebi_yaml_get(node, "up_to");
  const ebi_driver_row *row = by ? ebi_driver_read(reader, by, place) : NULL;
  if (!row || !up_to)
    return;
  ebi_count_read(reader, node, row, &bins->count);
  read_bounds(reader, up_to, row->kind, bins);
}

/* One list of `n` numbers in the table's unit. */
static void read_cells(ebi_reader *reader, const ebi_yaml *list, size_t n, const ebi_term *term,
                       const char *unit, double *cells) {
  if (list->kind != EBI_YAML_SEQUENCE || list->count != n) {
    ebi_read_error(reader, list, "columns", "a list of %zu numbers is due here, one for each bound",
                   n);
    return;
  }
  for (size_t i = 0; i < n; i++) {
    ebi_given given = {0};
    if (ebi_read_given(reader, list->items[i], EBI_NUMBER, 0.0, 1e9, &given))
      ebi_unit_to_si(given.value, unit, term->value, &cells[i]);
  }
}

static void read_rows(ebi_reader *reader, const ebi_yaml *rows, const char *unit, ebi_term *term) {
  size_t down = term->down.n, across = term->across.n;
  double *cells =
      ebi_read_array(reader, rows, (down ? down : 1) * (across ? across : 1), sizeof *cells);
  term->cells = cells;
  if (!cells)
    return;
  if (!down || !across) {
    read_cells(reader, rows, down ? down : across, term, unit, cells);
  } else if (rows->kind != EBI_YAML_SEQUENCE || rows->count != down) {
    ebi_read_error(reader, rows, "columns", "rows: is a list of %zu lists, one for each bound down",
                   down);
  } else {
    for (size_t i = 0; i < down; i++)
      read_cells(reader, rows->items[i], across, term, unit, cells + i * across);
  }
}

typedef struct bins_keys {
  const char *unit;
} bins_keys;

static const ebi_field bins_fields[] = {
    {.key = "down", .type = EBI_FIELD_IGNORED},
    {.key = "across", .type = EBI_FIELD_IGNORED},
    {.key = "unit", .type = EBI_FIELD_TEXT, .offset = offsetof(bins_keys, unit)},
    {.key = "rows", .type = EBI_FIELD_IGNORED, .required = true}};

void ebi_term_read_bins(ebi_reader *reader, const ebi_yaml *node, ebi_term_place place,
                        ebi_term *term) {
  bins_keys keys = {NULL};
  const ebi_yaml *down = ebi_yaml_get(node, "down"), *across = ebi_yaml_get(node, "across");
  const ebi_yaml *rows = ebi_yaml_get(node, "rows");
  term->kind = EBI_TERM_BINS;
  ebi_fields_read(reader, node, "a table", bins_fields, 4, &keys);
  if (node->kind == EBI_YAML_MAPPING && !down && !across)
    ebi_read_error(reader, node, "key-missing", "a table needs \"down\", \"across\" or both");
  read_direction(reader, down, place, &term->down);
  read_direction(reader, across, place, &term->across);
  read_unit(reader, node, "unit", keys.unit, term->value);
  if (rows && (term->down.n || !down) && (term->across.n || !across) && (down || across))
    read_rows(reader, rows, keys.unit ? keys.unit : "", term);
}
