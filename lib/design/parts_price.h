/* parts_price.h - what a part costs: the house's own price, a table's, or an invented one */

#ifndef EBI_PARTS_PRICE_H
#define EBI_PARTS_PRICE_H

#include "model/house.h"

/* Of one piece or metre. */
typedef struct ebi_price {
  double value;      /* NAN: not known */
  const char *known; /* "user", "invented"; "" where it is not known */
} ebi_price;

/* The house's own price that goes by one of two names (either may be NULL), or NULL. */
const ebi_own_price *ebi_price_own(const eb_house *house, const char *item, const char *short_item);

/* Of a metre of duct, by its table. */
ebi_price ebi_price_duct(const ebi_duct_size *duct);

/* As much as so many metres of a duct; not known where the duct's is not. */
ebi_price ebi_price_like(double metres, const ebi_duct_size *duct);

/* Of a table's entry. */
ebi_price ebi_price_entry(double value, const ebi_entry *entry);

/* Made up for the want of a table. */
ebi_price ebi_price_invented(double value);

/* A distribution box; a box behind a valve. */
ebi_price ebi_price_box(const eb_house *house, int ports);
ebi_price ebi_price_valve_box(const eb_house *house, int ports);

/* A metre of insulation of a thickness around a duct. */
ebi_price ebi_price_insulation(double perimeter, double thickness);

/* Metres of its duct that a part costs as much as; a frame, restrictor and so on in money.
 * All invented, of the size usual in a merchant's list. */
#define EBI_LIKE_COUPLING 0.4
#define EBI_LIKE_REDUCER 0.9
#define EBI_LIKE_TEE 2.2
#define EBI_PRICE_FRAME 3.0
#define EBI_PRICE_RESTRICTOR 8.0
#define EBI_PRICE_BRACKET 2.0
#define EBI_PRICE_STRAP 0.5

#endif
