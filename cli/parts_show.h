/* parts_show.h - what the list and the difference of two lists are printed with */

#ifndef CLI_PARTS_SHOW_H
#define CLI_PARTS_SHOW_H

#include <stdbool.h>

#include "command.h"

/* Columns of item names: as wide as the widest, as far as a page goes. */
int parts_item_width(const eb_parts *parts, int width);

/* "  8 x 3 m   steel-125    21.75   174.00"; `more` writes the sign of a difference. */
void parts_row(FILE *out, const eb_part *part, double quantity, double price, double cost,
               int width, bool sign);

/* Where it goes, wrapped below its row. */
void parts_where(FILE *out, const eb_part *part);

/* A kind begins: its name and the heads over the money. */
void parts_kind(FILE *out, const char *kind, int width);

/* "GBP", or "money" where the house names no currency. */
const char *parts_currency(const eb_parts *parts);

/* Text, CSV and JSON of what the second of two houses needs more or less than the first. */
bool parts_difference_text(const cli_run *runs, size_t count, FILE *out);
bool parts_difference_json(const cli_run *runs, size_t count, json_t *object);

#endif
