/* parts_finish.c - lengths become pieces, quantities cost money, and why */

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "design/parts.h"

static const char *const kind_words[] = {
#define ROW(name, word) word,
    EBI_PART_KINDS(ROW)
#undef ROW
};

/* ---- Order of the lines ---- */

static bool both_digits(const char *a, const char *b) {
  return *a >= '0' && *a <= '9' && *b >= '0' && *b <= '9';
}

/* By letters, and numbers by their size: steel-80 before steel-100. */
static int compare_items(const char *a, const char *b) {
  while (*a != '\0' && *b != '\0') {
    if (!both_digits(a, b)) {
      if (*a != *b)
        return (unsigned char)*a < (unsigned char)*b ? -1 : 1;
      a++;
      b++;
      continue;
    }
    size_t digits_a = strspn(a, "0123456789"), digits_b = strspn(b, "0123456789");
    if (digits_a != digits_b)
      return digits_a < digits_b ? -1 : 1;
    int order = strncmp(a, b, digits_a);
    if (order != 0)
      return order;
    a += digits_a;
    b += digits_b;
  }
  return (*a != '\0') - (*b != '\0');
}

static int compare_lines(const void *one, const void *two) {
  const ebi_part_line *a = one, *b = two;
  if (a->kind != b->kind)
    return a->kind < b->kind ? -1 : 1;
  return compare_items(a->item, b->item);
}

/* ---- Quantity and price ---- */

static double bought(const ebi_order *order, const ebi_part_line *line) {
  if (!ebi_part_by_length(line->kind))
    return line->quantity;
  double length = line->quantity * (1.0 + order->waste);
  return ebi_part_pieces(length, line->piece > 0.0 ? line->piece : 1.0);
}

static bool by_metre(const ebi_part_line *line) {
  return ebi_part_by_length(line->kind) && !(line->piece > 0.0);
}

static void wrong_unit(const ebi_order *order, const ebi_part_line *line,
                       const ebi_own_price *own) {
  ebi_diag(order->job.context, EB_ERROR, "price-unit", own->where, NULL,
           "%s is sold %s: write its price as \"%.12g %s\"", line->item,
           own->per_m ? "by the piece" : "by the metre", own->price, own->per_m ? "each" : "per m");
}

/* Of one piece or metre as it is sold. */
static ebi_price price_of(const ebi_order *order, const ebi_part_line *line,
                          const ebi_own_price *own) {
  bool piece_of_duct = line->kind == EBI_PART_DUCT && line->piece > 0.0;
  if (own == NULL) {
    ebi_price price = line->price;
    price.value *= piece_of_duct ? line->piece : 1.0;
    return price;
  }
  if (own->per_m ? !ebi_part_by_length(line->kind) : by_metre(line))
    wrong_unit(order, line, own);
  return (ebi_price){own->price * (own->per_m && piece_of_duct ? line->piece : 1.0), "user"};
}

/* ---- Account ---- */

static ebi_step record_length(const ebi_order *order, const ebi_part_line *line,
                              const eb_part *part) {
  eb_ledger *ledger = order->job.ledger;
  const ebi_part_costs *costs = &order->job.house->parts;
  ebi_step *steps = EBI_NEW_ARRAY(order->job.scratch, ebi_step, line->n_places + 1);
  if (steps == NULL)
    return EBI_NO_STEP;
  for (size_t i = 0; i < line->n_places; i++) {
    const ebi_place *place = &line->places[i];
    ebi_step length = ebi_ledger_input(ledger, place->run->where, place->run->length, EBI_LENGTH,
                                       "length of run %s", place->name);
    steps[i] = ebi_ledger_step(ledger, EBI_F_PART_NEED, NULL, place->amount, EBI_LENGTH, &length, 1,
                               "%s of run %s", line->item, place->name);
  }
  steps[line->n_places] = ebi_ledger_input(ledger, costs->waste.where, order->waste, EBI_RATIO,
                                           "waste%s", costs->waste.given ? "" : ", not said");
  return ebi_ledger_step(ledger, EBI_F_PART_LENGTH, NULL, part->quantity, EBI_NUMBER, steps,
                         line->n_places + 1, "%s, %s", part->item, part->unit);
}

static ebi_step record_price(const ebi_order *order, const eb_part *part,
                             const ebi_own_price *own) {
  static const ebi_cite invented = {"parts.price", "the part's table, or made up", "invented"};
  eb_ledger *ledger = order->job.ledger;
  if (own != NULL)
    return ebi_ledger_input(ledger, own->where, own->price, EBI_NUMBER, "price of %s, %s",
                            part->item, own->per_m ? "per m" : "each");
  return ebi_ledger_step(ledger, EBI_F_INPUT, &invented, part->price, EBI_NUMBER, NULL, 0,
                         "price of %s", part->item);
}

/* The step of what the line costs; EBI_NO_STEP where that is not known. */
static ebi_step record_line(const ebi_order *order, const ebi_part_line *line, const eb_part *part,
                            const ebi_own_price *own) {
  eb_ledger *ledger = order->job.ledger;
  if (ledger == NULL)
    return EBI_NO_STEP;
  ebi_step inputs[2];
  inputs[0] = ebi_part_by_length(line->kind)
                  ? record_length(order, line, part)
                  : ebi_ledger_step(ledger, EBI_F_PART_COUNT, NULL, part->quantity, EBI_NUMBER,
                                    NULL, 0, "%s, pieces", part->item);
  if (isnan(part->price))
    return EBI_NO_STEP;
  inputs[1] = record_price(order, part, own);
  return ebi_ledger_step(ledger, EBI_F_PART_COST, NULL, part->quantity * part->price, EBI_NUMBER,
                         inputs, 2, "cost of %s", part->item);
}

/* ---- Result ---- */

static bool copy_places(const ebi_order *order, const ebi_part_line *line, eb_part *part) {
  ebi_arena *arena = order->job.arena;
  const char **where = EBI_NEW_ARRAY(arena, const char *, line->n_places);
  double *amount = EBI_NEW_ARRAY(arena, double, line->n_places);
  if (where == NULL || amount == NULL)
    return false;
  for (size_t i = 0; i < line->n_places; i++) {
    where[i] = ebi_arena_text(arena, line->places[i].name);
    amount[i] = line->places[i].amount;
    if (where[i] == NULL)
      return false;
  }
  part->where = where;
  part->where_amount = amount;
  part->n_where = line->n_places;
  return true;
}

static bool fill_part(const ebi_order *order, const ebi_part_line *line, const ebi_own_price *own,
                      eb_part *part) {
  ebi_price price = price_of(order, line, own);
  *part = (eb_part){.kind = kind_words[line->kind],
                    .item = ebi_arena_text(order->job.arena, line->item),
                    .quantity = bought(order, line),
                    .unit = by_metre(line) ? "m" : "pieces",
                    .length_m = line->kind == EBI_PART_DUCT ? line->quantity : 0.0,
                    .price = price.value,
                    .known = price.known,
                    .piece_m = line->kind == EBI_PART_DUCT ? line->piece : 0.0};
  return part->item != NULL && copy_places(order, line, part);
}

static void add_up(eb_parts *parts, const eb_part *part) {
  parts->duct_m += part->length_m;
  if (isnan(part->price))
    parts->n_unpriced++;
  else
    parts->price += part->quantity * part->price;
}

eb_status ebi_order_finish(ebi_order *order, eb_parts *parts) {
  const eb_house *house = order->job.house;
  eb_ledger *ledger = order->job.ledger;
  qsort(order->lines, order->n_lines, sizeof *order->lines, compare_lines);
  eb_part *items = EBI_NEW_ARRAY(order->job.arena, eb_part, order->n_lines);
  ebi_step *steps = EBI_NEW_ARRAY(order->job.scratch, ebi_step, order->n_lines);
  parts->currency = ebi_arena_text(order->job.arena, house->currency ? house->currency : "");
  if (items == NULL || steps == NULL || parts->currency == NULL)
    return EB_E_MEMORY;
  for (size_t i = 0; i < order->n_lines; i++) {
    const ebi_part_line *line = &order->lines[i];
    const ebi_own_price *own = ebi_price_own(house, line->item, line->short_item);
    if (!fill_part(order, line, own, &items[i]))
      return EB_E_MEMORY;
    add_up(parts, &items[i]);
    steps[i] = record_line(order, line, &items[i], own);
  }
  parts->items = items;
  parts->n_items = order->n_lines;
  parts->waste = order->waste;
  ebi_ledger_step(ledger, EBI_F_PART_TOTAL, NULL, parts->price, EBI_NUMBER, steps, order->n_lines,
                  "price of all parts%s%s", *parts->currency ? ", " : "", parts->currency);
  return ebi_ledger_status(ledger);
}
