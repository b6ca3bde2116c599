/* compare_differences.c - what differs between the files, run by run, as text
 */

#include <math.h>
#include <string.h>

#include "compare.h"
#include "sheet.h"
#include "wrapped.h"

enum { WIDE = 100, NAME = 24, NARROWEST = 18, WIDEST = 36, TEXT = 96 };

static void item_name(const eb_difference *difference, char text[TEXT]) {
  snprintf(text, TEXT, "  %s%s%s", difference->part, *difference->name ? " " : "",
           difference->name);
}

static bool same_item(const eb_difference *a, const eb_difference *b) {
  return strcmp(a->part, b->part) == 0 && strcmp(a->name, b->name) == 0;
}

static const char *value_text(const cli_run *run, const eb_difference *difference, size_t house,
                              char text[TEXT]) {
  if (difference->texts)
    return difference->texts[house] ? difference->texts[house] : "-";
  if (isnan(difference->numbers[house]))
    return "-";
  cli_unit unit = compare_unit(run->options->units, difference->unit, "", 1);
  snprintf(text, TEXT, "%.4g%s%s", unit_value(&unit, difference->numbers[house]),
           *unit.name ? " " : "", unit.name);
  return text;
}

/* Widths of the columns of a block: the item, the field, then as many houses as fit. Returns how
 * many those are. */
static size_t set_widths(const eb_comparison *all, size_t count, size_t *widths) {
  char text[TEXT];
  widths[0] = sheet_width("What differs");
  widths[1] = 0;
  for (size_t d = 0; d < all->n_differences; d++) {
    item_name(&all->differences[d], text);
    size_t name = sheet_width(text), what = sheet_width(all->differences[d].what);
    widths[0] = name > widths[0] ? name : widths[0];
    widths[1] = what > widths[1] ? what : widths[1];
  }
  widths[0] = widths[0] < NAME ? widths[0] : NAME;
  widths[1] = widths[1] < NAME ? widths[1] : NAME;
  size_t left = WIDE - widths[0] - 2 - widths[1], columns = left / (NARROWEST + 2);
  columns = columns < count ? columns : count;
  size_t width = left / columns - 2;
  for (size_t i = 0; i < columns; i++)
    widths[2 + i] = width < WIDEST ? width : WIDEST;
  return columns;
}

static void block_text(const cli_run *runs, const eb_comparison *all, const size_t *widths,
                       size_t from, size_t to, FILE *out) {
  size_t columns = to - from;
  const char *cells[WRAPPED_COLUMNS];
  char name[TEXT], values[WRAPPED_COLUMNS][TEXT];
  cells[0] = "What differs";
  cells[1] = "";
  for (size_t i = 0; i < columns; i++)
    cells[2 + i] = runs[from + i].label;
  fputc('\n', out);
  wrapped_row(cells, widths, columns + 2, out);
  for (size_t d = 0; d < all->n_differences; d++) {
    const eb_difference *difference = &all->differences[d];
    bool again = d > 0 && same_item(difference, difference - 1);
    item_name(difference, name);
    cells[0] = again ? "" : name;
    cells[1] = difference->what;
    for (size_t i = 0; i < columns; i++)
      cells[2 + i] = value_text(runs, difference, from + i, values[i]);
    wrapped_row(cells, widths, columns + 2, out);
  }
}

void differences_text(const cli_run *runs, size_t count, FILE *out) {
  const eb_comparison *all = runs[count].comparison;
  size_t widths[WRAPPED_COLUMNS], columns = set_widths(all, count, widths);
  if (all->n_differences == 0)
    fputs("\nThe files describe the same house in all that is compared.\n", out);
  for (size_t from = 0; all->n_differences > 0 && from < count; from += columns)
    block_text(runs, all, widths, from, from + columns < count ? from + columns : count, out);
}
