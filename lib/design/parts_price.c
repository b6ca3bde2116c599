/* parts_price.c - what a part costs: the house's own price, a table's, or an invented one
 *
 * Prices of shipped tables and those made up here are invented, so that layouts can be
 * compared before a merchant has been asked. A figure that the user's own house file or
 * table brings counts as the user's. */

#include "design/parts_price.h"

#include <math.h>
#include <string.h>

#define BOX 60.0
#define PORT 9.0
#define VALVE_BOX 12.0
#define INSULATION_PER_M3 300.0

static const ebi_price unknown = {(double)NAN, ""};

const ebi_own_price *ebi_price_own(const eb_house *house, const char *item,
                                   const char *short_item) {
  const ebi_own_price *second = NULL;
  for (size_t i = 0; i < house->parts.n_prices; i++) {
    const ebi_own_price *own = &house->parts.prices[i];
    if (item != NULL && strcmp(own->item, item) == 0)
      return own;
    if (short_item != NULL && strcmp(own->item, short_item) == 0)
      second = own;
  }
  return second;
}

ebi_price ebi_price_duct(const ebi_duct_size *duct) {
  if (duct == NULL || !(duct->price > 0.0))
    return unknown;
  bool own = duct->family == NULL || duct->family[0] == '\0';
  return (ebi_price){duct->price, own ? "user" : "invented"};
}

ebi_price ebi_price_like(double metres, const ebi_duct_size *duct) {
  ebi_price price = ebi_price_duct(duct);
  if (isnan(price.value) || !(metres > 0.0))
    return unknown;
  return (ebi_price){metres * price.value, "invented"};
}

ebi_price ebi_price_entry(double value, const ebi_entry *entry) {
  const char *known = entry->source.known;
  if (!(value > 0.0))
    return unknown;
  return (ebi_price){value, known != NULL && strcmp(known, "invented") != 0 ? "user" : "invented"};
}

ebi_price ebi_price_invented(double value) {
  return (ebi_price){value, "invented"};
}

static ebi_price box(const eb_house *house, ebi_given body, double body_default, int ports) {
  const ebi_part_costs *costs = &house->parts;
  double each = costs->port.given ? costs->port.value : PORT;
  double bare = body.given ? body.value : body_default;
  return (ebi_price){bare + each * ports, body.given && costs->port.given ? "user" : "invented"};
}

ebi_price ebi_price_box(const eb_house *house, int ports) {
  return box(house, house->parts.box, BOX, ports);
}

ebi_price ebi_price_valve_box(const eb_house *house, int ports) {
  return box(house, (ebi_given){0}, VALVE_BOX, ports);
}

ebi_price ebi_price_insulation(double perimeter, double thickness) {
  const double pi = 3.14159265358979323846;
  double volume = thickness * perimeter + pi * thickness * thickness; /* m3 per m */
  return ebi_price_invented(INSULATION_PER_M3 * volume);
}
