/* balance_sheet.c - a blank form for the ladder, in the order to go round */

#include "balance.h"
#include "controller.h"
#include "sheet.h"

#define ROUNDS 3
#define BLANK "________"

static bool terminals(const cli_units *units, const eb_balance *balance, FILE *out) {
  cli_sheet *sheet = sheet_new("llrrlll");
  const char *heads[] = {"", "room", "design", "set to", "round 1", "round 2", "round 3"};
  sheet_cell(sheet, "Terminals, %s", units->flow.name);
  for (size_t i = 1; i < 7; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < balance->n_terminals; i++) {
    const eb_balance_terminal *t = &balance->terminals[i];
    sheet_cell(sheet, "%2zu %s", t->turn, t->run);
    sheet_cell(sheet, "%s", t->room);
    sheet_value(sheet, &units->flow, t->design_m3_s);
    if (t->has_opening)
      sheet_cell(sheet, "%.4g %s", t->next_opening, t->opening_unit);
    else
      sheet_skip(sheet);
    for (int r = 0; r < ROUNDS; r++)
      sheet_cell(sheet, BLANK);
  }
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

static bool fans(const eb_balance *balance, FILE *out) {
  cli_sheet *sheet = sheet_new("lrrll");
  const char *heads[] = {"Fans", "supply", "extract", "total supply", "total extract"};
  for (size_t i = 0; i < 5; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < balance->n_levels; i++) {
    const eb_balance_level *level = &balance->levels[i];
    sheet_cell(sheet, "%s", level->name);
    sheet_cell(sheet, "%s", controller_text(&balance->controller, level->supply_signal).text);
    sheet_cell(sheet, "%s", controller_text(&balance->controller, level->extract_signal).text);
    sheet_cell(sheet, BLANK);
    sheet_cell(sheet, BLANK);
  }
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

bool balance_sheet(const cli_run *run, FILE *out) {
  const eb_balance *balance = run->balance;
  fprintf(out, "%s: readings at %s\n\n", run_title(run), balance->set_level);
  fputs("date " BLANK "  by " BLANK BLANK "  instrument " BLANK " no. " BLANK " calibrated " BLANK
        "\n"
        "outdoors " BLANK " C  indoors " BLANK " C  wind " BLANK " m/s  power " BLANK " W\n\n",
        out);
  for (size_t i = 0; i < balance->n_checks; i++)
    fprintf(out, "[ ] %s\n", balance->checks[i]);
  fputc('\n', out);
  if (!terminals(run->options->units, balance, out))
    return false;
  fputc('\n', out);
  return fans(balance, out);
}
