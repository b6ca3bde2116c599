/* parts.c - evenbreath parts: what to order and where it goes */

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "csv.h"
#include "json.h"
#include "parts_show.h"
#include "sheet.h"

enum { PAGE = 100, INDENT = 13, MONEY = 10, LEAST_ITEM = 24 };
enum { WIDEST_ITEM = PAGE - INDENT - 2 * (MONEY + 1) };

static eb_status calculate(cli_run *run) {
  return eb_parts_list(run->context, run->house, NULL, run->ledger, &run->parts);
}

/* ---- Rows ---- */

int parts_item_width(const eb_parts *parts, int width) {
  for (size_t i = 0; i < parts->n_items; i++) {
    int own = (int)sheet_width(parts->items[i].item);
    width = own > width ? own : width;
  }
  return width < LEAST_ITEM ? LEAST_ITEM : width > WIDEST_ITEM ? WIDEST_ITEM : width;
}

void parts_kind(FILE *out, const char *kind, int width) {
  int used = (int)strlen(kind);
  fprintf(out, "\n%c%s%*s %*s %*s\n", toupper((unsigned char)kind[0]), kind + 1,
          INDENT + width - used, "", MONEY, "each", MONEY, "in all");
}

static void money(FILE *out, double value, bool sign) {
  char text[40] = "-";
  if (isfinite(value))
    snprintf(text, sizeof text, sign ? "%+.2f" : "%.2f", value);
  fprintf(out, " %*s", MONEY, text);
}

void parts_row(FILE *out, const eb_part *part, double quantity, double price, double cost,
               int width, bool sign) {
  char unit[24] = "x";
  if (part->piece_m > 0)
    snprintf(unit, sizeof unit, "x %.3g m", part->piece_m);
  else if (strcmp(part->unit, "m") == 0)
    snprintf(unit, sizeof unit, "m");
  int item = (int)sheet_width(part->item);
  fprintf(out, sign ? "%+5.0f %-6s %s" : "%5.0f %-6s %s", quantity, unit, part->item);
  if (item > width)
    fprintf(out, "\n%*s", INDENT + width, "");
  else
    fprintf(out, "%*s", width - item, "");
  money(out, price, false);
  money(out, cost, sign);
  fputc('\n', out);
}

/* "e-riser", "e-main (2)" for two pieces there, "e-kitchen 4.5 m" of what is sold by length. */
static int place_text(char *text, size_t size, const eb_part *part, size_t i) {
  double amount = part->where_amount[i];
  bool length = part->length_m > 0 || strcmp(part->unit, "m") == 0;
  int wrote = length        ? snprintf(text, size, "%s %.4g m", part->where[i], amount)
              : amount != 1 ? snprintf(text, size, "%s (%.0f)", part->where[i], amount)
                            : snprintf(text, size, "%s", part->where[i]);
  return wrote;
}

void parts_where(FILE *out, const eb_part *part) {
  int column = PAGE;
  for (size_t i = 0; i < part->n_where; i++) {
    char text[256]; /* a name has at most 200 bytes */
    place_text(text, sizeof text, part, i);
    int width = (int)sheet_width(text) + 2;
    bool fits = column + width <= PAGE;
    if (i)
      fputs(fits ? ", " : ",\n", out);
    fprintf(out, "%*s%s", fits ? 0 : INDENT, "", text);
    column = fits ? column + width : INDENT + width;
  }
  fputc('\n', out);
}

const char *parts_currency(const eb_parts *parts) {
  return *parts->currency ? parts->currency : "money";
}

/* ---- The list ---- */

static void rows_text(const eb_parts *parts, FILE *out) {
  int width = parts_item_width(parts, 0);
  for (size_t i = 0; i < parts->n_items; i++) {
    const eb_part *part = &parts->items[i];
    if (i == 0 || strcmp(part->kind, parts->items[i - 1].kind) != 0)
      parts_kind(out, part->kind, width);
    parts_row(out, part, part->quantity, part->price, part->quantity * part->price, width, false);
    parts_where(out, part);
  }
}

static size_t count_known(const eb_parts *parts, const char *known) {
  size_t count = 0;
  for (size_t i = 0; i < parts->n_items; i++)
    count += strcmp(parts->items[i].known, known) == 0;
  return count;
}

static void totals_text(const eb_parts *parts, FILE *out) {
  size_t invented = count_known(parts, "invented");
  fprintf(out, "\nIn all %.2f %s", parts->price, parts_currency(parts));
  if (invented > 0)
    fprintf(out, ", %zu of %zu prices invented", invented, parts->n_items - parts->n_unpriced);
  if (parts->n_unpriced > 0)
    fprintf(out, "; %zu %s no price", parts->n_unpriced,
            parts->n_unpriced == 1 ? "line has" : "lines have");
  fputc('\n', out);
}

static bool csv(const eb_parts *parts, FILE *out) {
  static const char *const heads[] = {"kind",     "item",  "quantity", "unit", "piece_m",
                                      "length_m", "price", "known",    "cost", "where"};
  cli_csv rows = {.out = out};
  csv_heads(&rows, heads, sizeof heads / sizeof heads[0]);
  for (size_t i = 0; i < parts->n_items; i++) {
    const eb_part *part = &parts->items[i];
    csv_text(&rows, part->kind);
    csv_text(&rows, part->item);
    csv_number(&rows, part->quantity);
    csv_text(&rows, part->unit);
    csv_number(&rows, if_any(part->piece_m));
    csv_number(&rows, if_any(part->length_m));
    csv_number(&rows, part->price);
    csv_text(&rows, part->known);
    csv_number(&rows, part->quantity * part->price);
    csv_texts(&rows, part->where, part->n_where);
    csv_end(&rows);
  }
  return true;
}

static bool text(const cli_run *run, FILE *out) {
  const eb_parts *parts = run->parts;
  if (run->options->csv)
    return csv(parts, out);
  fprintf(out, "%s: parts to order, for %.1f m of duct and %.3g %% waste\n", run_title(run),
          parts->duct_m, parts->waste * 100);
  rows_text(parts, out);
  totals_text(parts, out);
  return true;
}

static json_t *part_json(const eb_part *part) {
  json_t *object = json_object(), *where = json_array(), *amounts = json_array();
  json_put_text(object, "kind", part->kind);
  json_put_text(object, "item", part->item);
  json_put_number(object, "quantity", part->quantity);
  json_put_text(object, "unit", part->unit);
  json_put_number(object, "piece_m", part->piece_m);
  json_put_number(object, "length_m", part->length_m);
  json_put_number(object, "price", part->price);
  json_put_text(object, "known", part->known);
  for (size_t i = 0; i < part->n_where; i++) {
    json_add(where, json_string(part->where[i]));
    json_add(amounts, json_real(part->where_amount[i]));
  }
  json_put(object, "where", where);
  json_put(object, "where_amount", amounts);
  return object;
}

static bool json(const cli_run *run, json_t *object) {
  const eb_parts *parts = run->parts;
  json_t *array = json_array();
  for (size_t i = 0; i < parts->n_items; i++)
    json_add(array, part_json(&parts->items[i]));
  json_put(object, "parts", array);
  json_put_number(object, "duct_m", parts->duct_m);
  json_put_number(object, "waste_percent", parts->waste * 100);
  json_put_number(object, "price", parts->price);
  json_put(object, "unpriced", json_integer((json_int_t)parts->n_unpriced));
  json_put_text(object, "currency", parts->currency);
  return json_complete();
}

const cli_command command_parts = {
    .name = "parts",
    .summary = "what to order: ducts, fittings, valves, boxes, insulation, and where each goes",
    .help = "Lists what the ducts are made of, with the couplings, reducers, tees and boxes that\n"
            "the layout implies, in the lengths that ducts are sold in. With two files: what the\n"
            "second needs more (+) or less (-) than the first. Prices are invented unless the\n"
            "house gives them: costs: {parts: {prices: {steel-125: 8.20 per m}}}, by the names\n"
            "of the list. With --csv for a spreadsheet.\n",
    .examples = "evenbreath parts --csv -o order.csv alder-row.yaml\n"
                "evenbreath parts alder-row.yaml alder-row-branched.yaml\n",
    .calculate = calculate,
    .text = text,
    .json = json,
    .text_all = parts_difference_text,
    .json_all = parts_difference_json,
    .most_files = 2,
};
