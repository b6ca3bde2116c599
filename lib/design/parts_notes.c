/* parts_notes.c - what is to be known about a finished order list */

#include <math.h>
#include <string.h>

#include "design/parts.h"

#if defined __GNUC__
__attribute__((format(printf, 3, 4)))
#endif
static void
note(const ebi_order *order, const char *code, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const char *text = ebi_arena_format_list(order->job.scratch, format, arguments);
  va_end(arguments);
  /* Where even the text has no room, the empty one fails too and is remembered. */
  ebi_diag(order->job.context, EB_NOTE, code, order->job.house->where, NULL, "%s",
           text != NULL ? text : "");
}

static void note_rules(const ebi_order *order) {
  note(order, "parts-rules",
       "counted by rule: couplings where two stock lengths or two runs of one size meet, none at "
       "fittings, tees and spigots; a bracket or strap each 1.2 m, and each 3 m of what rises%s; "
       "screws, tape and sealing are not listed",
       order->bends_left_out ? "; bends of coiled and flexible tube are bent from it" : "");
  if (!order->job.house->parts.waste.given)
    note(order, "parts-waste",
         "%.12g %% of duct and insulation is added for waste: give your own as costs: {parts: "
         "{waste: %.12g %%}}",
         1e2 * order->waste, 1e2 * order->waste);
}

static void note_unit(const ebi_order *order) {
  if (order->job.house->unit == NULL)
    note(order, "unit-missing",
         "the house names no unit: neither it nor what its spigots need is listed");
  else if (order->spigot_unknown)
    note(order, "spigot-unknown",
         "the sheet of the unit has no bore for each of its spigots: reducers there are not "
         "listed");
}

/* ---- Prices ---- */

static void note_invented(const ebi_order *order, const eb_parts *parts) {
  size_t invented = 0;
  const eb_part *dearest = NULL;
  double most = 0.0;
  for (size_t i = 0; i < parts->n_items; i++) {
    const eb_part *part = &parts->items[i];
    if (strcmp(part->known, "invented") != 0)
      continue;
    invented++;
    if (dearest == NULL || part->quantity * part->price > most)
      dearest = part;
    most = fmax(most, part->quantity * part->price);
  }
  if (dearest == NULL)
    return;
  bool by_m = strcmp(dearest->unit, "m") == 0 || dearest->piece_m > 0.0;
  note(order, "prices-invented",
       "%zu of %zu prices are invented, to compare layouts with: give those of your merchant as "
       "costs: {parts: {prices: {\"%s\": %.2f %s}}}",
       invented, parts->n_items - parts->n_unpriced, dearest->item,
       dearest->price / (dearest->piece_m > 0.0 ? dearest->piece_m : 1.0), by_m ? "per m" : "each");
}

static bool is_used(const ebi_order *order, const ebi_own_price *own) {
  for (size_t i = 0; i < order->n_lines; i++) {
    const ebi_part_line *line = &order->lines[i];
    if (strcmp(own->item, line->item) == 0 ||
        (line->short_item != NULL && strcmp(own->item, line->short_item) == 0))
      return true;
  }
  return false;
}

/* A list of prices serves many houses, so that one note says it of all. */
static void note_unused(const ebi_order *order) {
  const ebi_part_costs *costs = &order->job.house->parts;
  size_t unused = 0;
  const ebi_own_price *first = NULL;
  for (size_t i = 0; i < costs->n_prices; i++)
    if (!is_used(order, &costs->prices[i])) {
      first = first == NULL ? &costs->prices[i] : first;
      unused++;
    }
  if (first == NULL)
    return;
  const char *text =
      ebi_arena_format(order->job.scratch,
                       "%zu of the prices given %s of no part in this order, the first of \"%s\"",
                       unused, unused == 1 ? "is" : "are", first->item);
  ebi_diag(order->job.context, EB_NOTE, "price-unused", first->where, NULL, "%s",
           text != NULL ? text : "");
}

/* ---- What is left open ---- */

static bool is_open(const ebi_side_run *own) {
  bool outdoors = own->from.kind == EBI_END_OUTDOORS || own->to.kind == EBI_END_OUTDOORS;
  bool room = own->from.kind == EBI_END_ROOM || own->to.kind == EBI_END_ROOM;
  return (outdoors && !ebi_run_has_end(own->run)) || (room && own->run->valve.type == NULL);
}

static void note_open_ends(const ebi_order *order) {
  size_t open = 0;
  const ebi_side_run *first = NULL;
  for (int s = 0; s < EBI_SIDES; s++)
    for (size_t i = 0; i < order->job.side[s].n_runs; i++)
      if (is_open(&order->job.side[s].runs[i])) {
        first = first == NULL ? &order->job.side[s].runs[i] : first;
        open++;
      }
  if (first != NULL)
    note(order, "open-end",
         "%zu %s no valve, louvre or cowl, so that none is listed; the first is %s", open,
         open == 1 ? "run ends with" : "runs end with", first->run->name);
}

void ebi_order_notes(ebi_order *order, const eb_parts *parts) {
  note_rules(order);
  note_unit(order);
  note_open_ends(order);
  note_invented(order, parts);
  note_unused(order);
}
