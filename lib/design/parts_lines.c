/* parts_lines.c - equal parts are one line of the order */

#include <math.h>
#include <string.h>

#include "design/parts.h"

#define ROUNDING 1e-9 /* 7.0000000001 pieces are 7 */

double ebi_part_pieces(double length, double piece) {
  return ceil(length / piece - ROUNDING);
}

bool ebi_part_by_length(ebi_part_kind kind) {
  return kind == EBI_PART_DUCT || kind == EBI_PART_INSULATION;
}

static ebi_part_line *line_new(ebi_order *order, const ebi_wanted *wanted, const char *key) {
  ebi_arena *scratch = order->job.scratch;
  if (!ebi_arena_grow(scratch, &order->lines, &order->lines_capacity, order->n_lines,
                      sizeof *order->lines) ||
      !ebi_names_set(&order->names, scratch, key, order->n_lines))
    return NULL;
  ebi_part_line *line = &order->lines[order->n_lines++];
  *line = (ebi_part_line){.kind = wanted->kind,
                          .item = wanted->item,
                          .short_item = wanted->short_item,
                          .price = wanted->price,
                          .piece = wanted->piece};
  return line;
}

/* NULL when memory ran out. */
static ebi_part_line *line_of(ebi_order *order, const ebi_wanted *wanted) {
  const char *key = ebi_order_text(order, "%d %s", (int)wanted->kind, wanted->item);
  if (order->no_memory)
    return NULL;
  size_t number = ebi_names_find(&order->names, key);
  return number != EBI_NO_NAME ? &order->lines[number] : line_new(order, wanted, key);
}

/* What a run wants comes in one go, so that only the last place can be the same. */
static bool add_place(ebi_order *order, ebi_part_line *line, const ebi_wanted *wanted) {
  size_t n = line->n_places;
  if (n > 0 && strcmp(line->places[n - 1].name, wanted->where) == 0) {
    line->places[n - 1].amount += wanted->quantity;
    return true;
  }
  if (!ebi_arena_grow(order->job.scratch, &line->places, &line->places_capacity, n,
                      sizeof *line->places))
    return false;
  line->places[n] = (ebi_place){wanted->where, wanted->quantity, wanted->run};
  line->n_places++;
  return true;
}

void ebi_order_add(ebi_order *order, const ebi_wanted *wanted) {
  if (!(wanted->quantity > 0.0) || order->no_memory)
    return;
  ebi_part_line *line = line_of(order, wanted);
  if (line != NULL && add_place(order, line, wanted))
    line->quantity += wanted->quantity;
  else
    order->no_memory = true;
}
