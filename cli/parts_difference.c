/* parts_difference.c - what one house needs more or less than another */

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "csv.h"
#include "json.h"
#include "parts_show.h"

/* A part of either list; NULL where the other has none. */
typedef struct pair {
  const eb_part *first, *second;
} pair;

typedef struct pairs {
  pair *items;
  size_t count;
} pairs;

/* ---- Pairs ---- */

static bool same_part(const eb_part *a, const eb_part *b) {
  return strcmp(a->kind, b->kind) == 0 && strcmp(a->item, b->item) == 0;
}

static const eb_part *any_of(const pair *one) {
  return one->second ? one->second : one->first;
}

/* The place for a part that only the second list has: after the last of its kind. */
static size_t place_of(const pairs *list, const eb_part *part) {
  size_t place = list->count;
  while (place > 0 && strcmp(any_of(&list->items[place - 1])->kind, part->kind) != 0)
    place--;
  return place > 0 ? place : list->count;
}

static void add_second(pairs *list, const eb_part *part) {
  for (size_t i = 0; i < list->count; i++)
    if (list->items[i].first && same_part(list->items[i].first, part)) {
      list->items[i].second = part;
      return;
    }
  size_t place = place_of(list, part);
  memmove(&list->items[place + 1], &list->items[place],
          (list->count - place) * sizeof *list->items);
  list->items[place] = (pair){NULL, part};
  list->count++;
}

/* False when memory ran out. */
static bool pair_up(const eb_parts *first, const eb_parts *second, pairs *list) {
  list->count = 0;
  list->items = calloc(first->n_items + second->n_items + 1, sizeof *list->items);
  if (!list->items)
    return false;
  for (size_t i = 0; i < first->n_items; i++)
    list->items[list->count++].first = &first->items[i];
  for (size_t i = 0; i < second->n_items; i++)
    add_second(list, &second->items[i]);
  return true;
}

static double quantity(const eb_part *part) {
  return part ? part->quantity : 0;
}

static double cost(const eb_part *part) {
  return part ? part->quantity * part->price : 0;
}

static double more(const pair *one) {
  return quantity(one->second) - quantity(one->first);
}

/* ---- Text ---- */

static void totals_text(const eb_parts *first, const eb_parts *second, FILE *out) {
  fprintf(out, "\nDuct %+.1f m: %.1f m instead of %.1f m\n", second->duct_m - first->duct_m,
          second->duct_m, first->duct_m);
  if (strcmp(first->currency, second->currency) != 0)
    fprintf(out, "In all %.2f %s instead of %.2f %s\n", second->price, parts_currency(second),
            first->price, parts_currency(first));
  else
    fprintf(out, "In all %+.2f %s: %.2f instead of %.2f\n", second->price - first->price,
            parts_currency(second), second->price, first->price);
  if (first->n_unpriced + second->n_unpriced > 0)
    fprintf(out, "Without a price: %zu and %zu lines\n", first->n_unpriced, second->n_unpriced);
}

static void row_text(const pair *one, int width, FILE *out) {
  const eb_part *part = any_of(one);
  parts_row(out, part, more(one), part->price, cost(one->second) - cost(one->first), width, true);
  parts_where(out, more(one) > 0 ? one->second : one->first);
}

static void rows_text(const pairs *list, int width, FILE *out) {
  const char *kind = "";
  size_t same = 0;
  for (size_t i = 0; i < list->count; i++) {
    const eb_part *part = any_of(&list->items[i]);
    if (more(&list->items[i]) == 0) {
      same++;
      continue;
    }
    if (strcmp(kind, part->kind) != 0)
      parts_kind(out, part->kind, width);
    kind = part->kind;
    row_text(&list->items[i], width, out);
  }
  fprintf(out, "\n%zu of %zu lines are the same\n", same, list->count);
}

static void rows_csv(const pairs *list, FILE *out) {
  static const char *const heads[] = {"kind",        "item",        "difference", "unit",
                                      "first",       "second",      "first_cost", "second_cost",
                                      "first_where", "second_where"};
  cli_csv rows = {.out = out};
  csv_heads(&rows, heads, sizeof heads / sizeof heads[0]);
  for (size_t i = 0; i < list->count; i++) {
    const pair *one = &list->items[i];
    if (more(one) == 0)
      continue;
    csv_text(&rows, any_of(one)->kind);
    csv_text(&rows, any_of(one)->item);
    csv_number(&rows, more(one));
    csv_text(&rows, any_of(one)->unit);
    csv_number(&rows, quantity(one->first));
    csv_number(&rows, quantity(one->second));
    csv_number(&rows, cost(one->first));
    csv_number(&rows, cost(one->second));
    csv_texts(&rows, one->first ? one->first->where : NULL, one->first ? one->first->n_where : 0);
    csv_texts(&rows, one->second ? one->second->where : NULL,
              one->second ? one->second->n_where : 0);
    csv_end(&rows);
  }
}

bool parts_difference_text(const cli_run *runs, size_t count, FILE *out) {
  (void)count; /* two: the command takes no more */
  const eb_parts *first = runs[0].parts, *second = runs[1].parts;
  pairs list;
  if (!pair_up(first, second, &list))
    return false;
  if (runs[0].options->csv) {
    rows_csv(&list, out);
  } else {
    fprintf(out, "What %s needs more (+) or less (-) than %s\n", runs[1].path, runs[0].path);
    rows_text(&list, parts_item_width(second, parts_item_width(first, 0)), out);
    totals_text(first, second, out);
  }
  free(list.items);
  return true;
}

/* ---- JSON ---- */

static json_t *where_json(const eb_part *part) {
  json_t *where = json_array();
  for (size_t i = 0; part && i < part->n_where; i++)
    json_add(where, json_string(part->where[i]));
  return where;
}

static json_t *pair_json(const pair *one) {
  json_t *object = json_object();
  json_put_text(object, "kind", any_of(one)->kind);
  json_put_text(object, "item", any_of(one)->item);
  json_put_number(object, "quantity", more(one));
  json_put_text(object, "unit", any_of(one)->unit);
  json_put_number(object, "first", quantity(one->first));
  json_put_number(object, "second", quantity(one->second));
  json_put_number(object, "first_cost", cost(one->first));
  json_put_number(object, "second_cost", cost(one->second));
  json_put(object, "where", where_json(more(one) > 0 ? one->second : one->first));
  return object;
}

bool parts_difference_json(const cli_run *runs, size_t count, json_t *object) {
  pairs list;
  if (!pair_up(runs[0].parts, runs[1].parts, &list))
    return false;
  json_t *array = json_array(), *houses = json_array();
  for (size_t i = 0; i < list.count; i++)
    if (more(&list.items[i]) != 0)
      json_add(array, pair_json(&list.items[i]));
  for (size_t i = 0; i < count; i++) {
    json_t *house = json_object();
    json_put_text(house, "file", runs[i].path);
    json_put_number(house, "duct_m", runs[i].parts->duct_m);
    json_put_number(house, "price", runs[i].parts->price);
    json_put(house, "unpriced", json_integer((json_int_t)runs[i].parts->n_unpriced));
    json_put_text(house, "currency", runs[i].parts->currency);
    json_add(houses, house);
  }
  json_put(object, "parts", array);
  json_put(object, "houses", houses);
  free(list.items);
  return json_complete();
}
