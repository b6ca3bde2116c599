/* compare_text.c - evenbreath compare as text: rows in blocks of columns that
 * fit */

#include <math.h>
#include <string.h>

#include "compare.h"
#include "sheet.h"

enum { WIDE = 100, LABEL = 44, MOST_COLUMNS = 16 };

static const struct {
  const char *group, *title;
} groups[] = {{"air", "Air"},       {"fans", "Fans"},   {"sound", "Sound in rooms"},
              {"ducts", "Ducts"},   {"year", "A year"}, {"money", "Money"},
              {"findings", "Found"}};

const char *compare_group_title(const char *group) {
  for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++)
    if (strcmp(groups[g].group, group) == 0)
      return groups[g].title;
  return group;
}

cli_unit compare_unit(const cli_units *units, const char *unit, const char *currency, double step) {
  const struct {
    const char *name;
    cli_unit unit;
  } known[] = {{"m3/s", units->flow},
               {"Pa", units->pressure},
               {"W/(m3/s)", units->fan_power},
               {"m", units->length},
               {"m2", units->area},
               {"C", units->temperature},
               {"1", {"%", 100, 0, step < 0.01}},
               {"dB", {"dB(A)", 1, 0, 0}},
               {"money", {*currency ? currency : "money", 1, 0, 0}},
               {"number", {"", 1, 0, 0}}};
  for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
    if (strcmp(unit, known[i].name) == 0)
      return known[i].unit;
  return (cli_unit){unit, 1, 0, 0};
}

/* ---- Cells ---- */

cli_unit compare_unit_of(const cli_run *run, const eb_compare_row *row) {
  return compare_unit(run->options->units, row->unit, row->currency, row->step);
}

void compare_value(const cli_unit *unit, const eb_compare_row *row, size_t house,
                   char text[COMPARE_CELL]) {
  const char *mark = row->better == house ? "*" : "";
  if (isnan(row->values[house])) {
    strcpy(text, "-");
  } else if (row->of) {
    snprintf(text, COMPARE_CELL, "%s%.0f of %.0f", mark, row->values[house], row->of[house]);
  } else {
    double value = unit_value(unit, row->values[house]);
    if (fabs(value) < 0.5 * pow(10, -unit->decimals))
      value = 0; /* no "-0.0" on paper */
    snprintf(text, COMPARE_CELL, "%s%s%.*f", mark,
             row->at_least && row->at_least[house] ? ">= " : "", unit->decimals, value);
  }
}

/* All that are known look the same. */
static bool all_same(const eb_compare_row *row, size_t count) {
  double first = NAN;
  for (size_t i = 0; i < count; i++) {
    if (isnan(row->values[i]))
      continue;
    double value = row->of ? row->of[i] - row->values[i] : row->values[i];
    double steps = round(value / row->step);
    first = isnan(first) ? steps : first;
    if (steps != first)
      return false;
  }
  return true;
}

static size_t count_known(const eb_compare_row *row, size_t count) {
  size_t known = 0;
  for (size_t i = 0; i < count; i++)
    known += isnan(row->values[i]) ? 0 : 1;
  return known;
}

static bool is_bound(const eb_compare_row *row, size_t count) {
  for (size_t i = 0; row->at_least && i < count; i++)
    if (row->at_least[i])
      return true;
  return false;
}

/* Who wins, and by how much. */
void compare_better(const cli_run *runs, size_t count, const eb_compare_row *row,
                    char text[COMPARE_CELL]) {
  cli_unit unit = compare_unit_of(runs, row);
  *text = '\0';
  if (row->better != EB_NO_HOUSE)
    snprintf(text, COMPARE_CELL, "%s by %.*f", runs[row->better].label, unit.decimals,
             fabs(row->ahead * unit.factor));
  else if (row->sense == EB_SENSE_NONE || count_known(row, count) < 2)
    return;
  else if (all_same(row, count))
    strcpy(text, "same");
  else
    strcpy(text, is_bound(row, count) ? "not known" : "tie");
}

/* "  " and what the row is about, cut where it is too long. */
static void print_label(const eb_compare_row *row, char text[COMPARE_CELL]) {
  size_t columns = 0, bytes = 0;
  while (row->what[bytes] && columns < LABEL && bytes < COMPARE_CELL - 8) {
    for (bytes++; ((unsigned char)row->what[bytes] & 0xC0) == 0x80;)
      bytes++;
    columns++;
  }
  snprintf(text, COMPARE_CELL, "  %.*s%s", (int)bytes, row->what, row->what[bytes] ? ".." : "");
}

/* ---- Blocks ---- */

static const eb_comparison *comparison_of(const cli_run *runs, size_t count) {
  return runs[count].comparison;
}

static void widen(size_t *width, const char *text) {
  size_t wide = sheet_width(text);
  *width = wide > *width ? wide : *width;
}

/* How many houses stand in a block. */
static size_t columns_of_block(const cli_run *runs, size_t count) {
  const eb_comparison *all = comparison_of(runs, count);
  size_t label = 0, unit_width = 0, value = 4, better = 6;
  char text[COMPARE_CELL];
  for (size_t r = 0; r < all->n_rows; r++) {
    const eb_compare_row *row = &all->rows[r];
    cli_unit unit = compare_unit_of(runs, row);
    print_label(row, text);
    widen(&label, text);
    widen(&unit_width, unit.name);
    compare_better(runs, count, row, text);
    widen(&better, text);
    for (size_t h = 0; h < count; h++) {
      compare_value(&unit, row, h, text);
      widen(&value, text);
    }
  }
  size_t taken = label + 2 + unit_width + 2 + better;
  size_t fit = taken + value + 2 < WIDE ? (WIDE - taken) / (value + 2) : 1;
  return fit < MOST_COLUMNS ? fit : MOST_COLUMNS;
}

static void add_row(cli_sheet *sheet, const cli_run *runs, size_t count, const eb_compare_row *row,
                    size_t from, size_t to) {
  cli_unit unit = compare_unit_of(runs, row);
  char text[COMPARE_CELL];
  print_label(row, text);
  sheet_cell(sheet, "%s", text);
  sheet_cell(sheet, "%s", unit.name);
  for (size_t h = from; h < to; h++) {
    compare_value(&unit, row, h, text);
    sheet_cell(sheet, "%s", text);
  }
  compare_better(runs, count, row, text);
  sheet_cell(sheet, "%s", text);
}

static void add_group(cli_sheet *sheet, const cli_run *runs, size_t count, size_t group,
                      size_t from, size_t to) {
  const eb_comparison *all = comparison_of(runs, count);
  bool titled = false;
  for (size_t r = 0; r < all->n_rows; r++) {
    const eb_compare_row *row = &all->rows[r];
    if (strcmp(row->group, groups[group].group) != 0 || !count_known(row, count))
      continue;
    if (!titled) {
      sheet_cell(sheet, "%s", groups[group].title);
      for (size_t c = from; c < to + 2; c++)
        sheet_skip(sheet);
    }
    titled = true;
    add_row(sheet, runs, count, row, from, to);
  }
}

static bool block_text(const cli_run *runs, size_t count, size_t from, size_t to, FILE *out) {
  char align[MOST_COLUMNS + 4] = "ll";
  for (size_t h = from; h < to; h++)
    align[2 + h - from] = 'r';
  align[2 + to - from] = 'l';
  cli_sheet *sheet = sheet_new(align);
  sheet_cell(sheet, "(* wins its row)");
  sheet_skip(sheet);
  for (size_t h = from; h < to; h++)
    sheet_cell(sheet, "%s", runs[h].label);
  sheet_cell(sheet, "better");
  for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++)
    add_group(sheet, runs, count, g, from, to);
  fputc('\n', out);
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

/* ---- The whole ---- */

static void legend_text(const cli_run *runs, size_t count, FILE *out) {
  for (size_t i = 0; i < count; i++) {
    const cli_run *run = &runs[i];
    const char *dwelling = eb_house_dwelling(run->house);
    fprintf(out, "%-2s %s", run->label, run->path);
    if (*dwelling)
      fprintf(out, ": %s", dwelling);
    if (run->setting)
      fprintf(out, ", %s", run->setting);
    for (size_t s = 0; run->setting && s < run->n_overrides; s++)
      fprintf(out, " %s", run->options->overrides[s]);
    fputc('\n', out);
  }
}

/* A list of names that goes on in the next line where it must. */
typedef struct name_list {
  FILE *out;
  size_t column;
} name_list;

static void add_name(name_list *list, const char *name) {
  size_t width = sheet_width(name) + 2;
  bool first = list->column == 0, full = list->column + width > WIDE - 1;
  fprintf(list->out, "%s%s", first ? "\nNothing to compare in\n  " : full ? ",\n  " : ", ", name);
  list->column = (full || first ? 2 : list->column) + width;
}

static bool known_at_all(const eb_comparison *all, const char *group) {
  for (size_t r = 0; r < all->n_rows; r++)
    if (strcmp(all->rows[r].group, group) == 0 && count_known(&all->rows[r], all->n_houses))
      return true;
  return false;
}

/* Rows that no file gives are named, so that nobody thinks they were forgotten; a group none of
 * whose rows is given by its title. */
static void unknown_text(const cli_run *runs, size_t count, FILE *out) {
  const eb_comparison *all = comparison_of(runs, count);
  name_list list = {.out = out};
  for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++) {
    bool known = known_at_all(all, groups[g].group);
    if (!known)
      add_name(&list, groups[g].title);
    for (size_t r = 0; known && r < all->n_rows; r++)
      if (strcmp(all->rows[r].group, groups[g].group) == 0 && !count_known(&all->rows[r], count))
        add_name(&list, all->rows[r].what);
  }
  if (list.column)
    fputc('\n', out);
}

bool compare_text(const cli_run *runs, size_t count, FILE *out) {
  size_t columns = columns_of_block(runs, count);
  legend_text(runs, count, out);
  for (size_t from = 0; from < count; from += columns) {
    size_t to = from + columns < count ? from + columns : count;
    if (!block_text(runs, count, from, to, out))
      return false;
  }
  unknown_text(runs, count, out);
  differences_text(runs, count, out);
  return true;
}
