/* house_costs.c - `costs: parts:`, what ordering and choosing ducts go by, and `costs:
 * investment:`, what the system costs beside energy
 *
 *   parts:
 *     date: 2026-11
 *     source: merchant's list
 *     waste: 10 %
 *     box: 60 each
 *     port: 9 each
 *     years: 25
 *     interest: 3 %
 *     prices: {steel-125: 8.20 per m, bend-90-125: 6.10 each}
 *
 * A price goes by the name that the order list shows, and is each or per m. */

#include "input/house_read.h"
#include "input/quote.h"

#define DEAREST 1e6 /* of one piece or metre, in whatever money */
#define DEAREST_SYSTEM 1e9

/* ---- Prices ------------------------------------------------------------ */

/* Which price it is; EBI_KIND_COUNT where its unit says neither. */
static ebi_kind kind_of(const ebi_yaml *value) {
  static const ebi_kind kinds[] = {EBI_PRICE_EACH, EBI_PRICE_PER_LENGTH};
  bool unit_wrong = false;
  for (size_t i = 0; i < 2 && value->kind == EBI_YAML_SCALAR; i++) {
    ebi_quantity_fault fault = ebi_quantity_read(value->text, value->length, kinds[i]).fault;
    if (fault == EBI_QUANTITY_OK)
      return kinds[i];
    unit_wrong = fault != EBI_QUANTITY_NUMBER;
  }
  return unit_wrong ? EBI_KIND_COUNT : EBI_PRICE_EACH;
}

/* "6.10 each" or "8.20 per m": the unit tells which. False after an error. */
static bool read_price(ebi_reader *reader, const ebi_yaml *value, ebi_own_price *price) {
  ebi_given given = {0};
  ebi_kind kind = kind_of(value);
  if (kind == EBI_KIND_COUNT) {
    ebi_read_error(
        reader, value, "price-unit",
        "the price \"%s\" is neither each nor per m: write for example \"6.10 each\", or "
        "\"8.20 per m\" for what is sold by length",
        ebi_quote(value->text).text);
    return false;
  }
  if (!ebi_read_given(reader, value, kind, 0, DEAREST, &given))
    return false;
  price->per_m = kind == EBI_PRICE_PER_LENGTH;
  price->price = given.value;
  price->where = value->where;
  return true;
}

static void read_prices(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_part_costs *costs = record;
  if (!ebi_read_kind(reader, value, EBI_YAML_MAPPING, "{steel-125: 8.20 per m}"))
    return;
  ebi_own_price *prices = ebi_read_array(reader, value, value->count, sizeof *prices);
  size_t count = 0;
  for (size_t i = 0; prices && i < value->count; i++) {
    prices[count].item = value->pairs[i].key->text;
    count += read_price(reader, value->pairs[i].value, &prices[count]);
  }
  costs->prices = prices;
  costs->n_prices = count;
}

/* ---- The sections ------------------------------------------------------ */

static const ebi_field part_fields[] = {
    {.key = "date",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(ebi_part_costs, date),
     .about = "when the prices held"},
    {.key = "source",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(ebi_part_costs, source),
     .about = "where they are from"},
    {.key = "waste",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = 1,
     .offset = offsetof(ebi_part_costs, waste),
     .about = "share of duct cut off and thrown away"},
    {.key = "box",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_PRICE_EACH,
     .high = DEAREST,
     .offset = offsetof(ebi_part_costs, box),
     .about = "price of a distribution box without its ports"},
    {.key = "port",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_PRICE_EACH,
     .high = DEAREST,
     .offset = offsetof(ebi_part_costs, port),
     .about = "price of each port of a box"},
    {.key = "years",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .low = 1,
     .high = 100,
     .offset = offsetof(ebi_part_costs, years),
     .about = "over which costs are summed"},
    {.key = "interest",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .high = 0.5,
     .offset = offsetof(ebi_part_costs, interest),
     .about = "a year, above inflation"},
    {.key = "prices",
     .type = EBI_FIELD_CUSTOM,
     .read = read_prices,
     EBI_HOLDS(.type = EBI_FIELD_NAMED,
               EBI_ONE(.type = EBI_FIELD_EITHER, EBI_SEVERAL({.type = EBI_FIELD_QUANTITY,
                                                              .kind = EBI_PRICE_EACH,
                                                              .low = 0,
                                                              .high = DEAREST},
                                                             {.type = EBI_FIELD_QUANTITY,
                                                              .kind = EBI_PRICE_PER_LENGTH,
                                                              .low = 0,
                                                              .high = DEAREST}))),
     .about = "of parts by name: {steel-125: 8.20 per m, bend-90-125: 6.10 each}"},
};

const ebi_field ebi_part_costs_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(part_fields)};

void ebi_house_read_part_costs(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_part_costs *costs = &((eb_house *)record)->parts;
  ebi_fields_read(reader, value, "the costs of parts", part_fields, EBI_COUNT_OF(part_fields),
                  costs);
  costs->given = true;
  costs->where = value->where;
}

/* The required price is kept without its place. */
typedef struct investment_keys {
  ebi_given price;
  ebi_investment rest;
} investment_keys;

static const ebi_field investment_fields[] = {
    {.key = "price",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_NUMBER,
     .high = DEAREST_SYSTEM,
     .offset = offsetof(investment_keys, price),
     .about = "of the system, built, in the house's currency"},
    {.key = "avoided",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .high = DEAREST_SYSTEM,
     .offset = offsetof(investment_keys, rest.avoided),
     .about = "money that the baseline would have cost, such as extract fans"},
    {.key = "filters",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_MONEY_PER_YEAR,
     .high = DEAREST_SYSTEM,
     .offset = offsetof(investment_keys, rest.filters),
     .about = "e.g. 48 per year"},
    {.key = "service",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_MONEY_PER_YEAR,
     .high = DEAREST_SYSTEM,
     .offset = offsetof(investment_keys, rest.service),
     .about = "e.g. 60 per year, replaced fans included"},
    {.key = "avoided_service",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_MONEY_PER_YEAR,
     .high = DEAREST_SYSTEM,
     .offset = offsetof(investment_keys, rest.avoided_service),
     .about = "upkeep of the baseline"},
    {.key = "years",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_NUMBER,
     .low = 1,
     .high = 100,
     .offset = offsetof(investment_keys, rest.years),
     .about = "over which it is judged"},
    {.key = "interest",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = -0.1,
     .high = 0.5,
     .offset = offsetof(investment_keys, rest.interest),
     .about = "a year; of one kind with growth, above inflation or with it"},
    {.key = "growth",
     .type = EBI_FIELD_QUANTITY,
     .kind = EBI_RATIO,
     .low = -0.1,
     .high = 0.5,
     .offset = offsetof(investment_keys, rest.growth),
     .about = "of prices and upkeep, a year"},
    {.key = "date",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(investment_keys, rest.date),
     .about = "when these held"},
    {.key = "source",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(investment_keys, rest.source),
     .about = "where they are from"},
};

const ebi_field ebi_investment_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(investment_fields)};

void ebi_house_read_investment(ebi_reader *reader, const ebi_yaml *value, void *record) {
  investment_keys keys = {.rest = {.date = "", .source = ""}};
  ebi_fields_read(reader, value, "the investment", investment_fields,
                  EBI_COUNT_OF(investment_fields), &keys);
  keys.rest.given = keys.price.given;
  keys.rest.price = keys.price.value;
  keys.rest.where = value->where;
  ((eb_house *)record)->investment = keys.rest;
}
