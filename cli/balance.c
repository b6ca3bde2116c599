/* balance.c - evenbreath balance: what to set, what readings mean, what to turn next */

#include "balance.h"

#include <math.h>

#include "controller.h"
#include "sheet.h"
#include "wrapped.h"

static eb_status calculate(cli_run *run) {
  const cli_options *options = run->options;
  eb_status status = calculate_rates(run);
  if (!status && options->n_files > 1)
    status = eb_readings_read_file(run->context, run->house, options->files[1], &run->readings);
  if (status)
    return status;
  return eb_balance_advise(run->context, run->house, run->rates, run->readings, NULL, run->ledger,
                           &run->balance);
}

const char *verdict_name(eb_verdict verdict) {
  static const char *const names[] = {"first settings", "adjust", "done", "not reachable",
                                      "cannot be declared"};
  return names[verdict];
}

/* ---- The verdict ---- */

static int turns_of(const eb_balance *balance) {
  int count = 0;
  for (size_t i = 0; i < balance->n_terminals; i++)
    count += balance->terminals[i].move;
  return count;
}

static void verdict_text(const eb_balance *balance, FILE *out) {
  const eb_balance_status *status = &balance->status;
  int turns = turns_of(balance);
  switch (status->verdict) {
  case EB_VERDICT_FIRST_SETTINGS:
    fputs("First settings: set these before the first reading\n", out);
    break;
  case EB_VERDICT_ADJUST:
    fprintf(out, "Not yet: turn %d valve%s, set the fans, then read again\n", turns,
            turns == 1 ? "" : "s");
    break;
  case EB_VERDICT_DONE:
    fputs("Done: lock the valves and write the record\n", out);
    break;
  case EB_VERDICT_NOT_REACHABLE:
    fprintf(out, "Not reachable: %s\n", status->limit);
    break;
  case EB_VERDICT_CANNOT_BE_DECLARED:
    fprintf(out, "Cannot be declared with this instrument alone. What would settle it:\n  %s\n",
            status->needs);
    break;
  }
}

static void chance_text(const eb_balance_status *status, FILE *out) {
  fprintf(out, "  rule: %s (%s)\n", status->rule, status->source);
  if (isfinite(status->probability)) {
    fprintf(out, "  as it stands it is truly within the rule with %.0f %%",
            100 * status->probability);
    if (status->verdict != EB_VERDICT_DONE)
      fprintf(out, "; once set as below with %.0f %%", 100 * status->reach_probability);
    fputc('\n', out);
  }
  if (status->over_supply > 0)
    fprintf(out, "  aimed at %.0f %% above the design, so that every reading is likely to pass\n",
            100 * status->over_supply);
}

static void read_text(const cli_units *units, const eb_balance_status *status, FILE *out) {
  if (status->n_readings == 0)
    return;
  fprintf(out, "  every reading passes as written: %s\n",
          !status->legal_known ? "not known, not all was read at this setting"
          : status->legal_pass ? "yes"
                               : "no");
  if (!status->legal_known)
    return;
  fprintf(out, "  read in all: supply %.*f, extract %.*f %s, imbalance %+.1f %%\n",
          units->flow.decimals, unit_value(&units->flow, status->supply_total_m3_s),
          units->flow.decimals, unit_value(&units->flow, status->extract_total_m3_s),
          units->flow.name, 100 * status->imbalance);
}

static void suspects_text(const eb_balance *balance, FILE *out) {
  if (balance->n_suspects == 0)
    return;
  fputs("\nLook at this first\n", out);
  for (size_t i = 0; i < balance->n_suspects; i++) {
    char sure[16];
    snprintf(sure, sizeof sure, "%.0f %%", 100 * balance->suspects[i].probability);
    const char *cells[] = {"", sure, balance->suspects[i].message};
    static const size_t widths[] = {0, 5, 88};
    wrapped_row(cells, widths, 3, out);
  }
}

/* ---- Terminals ---- */

static void with_error(cli_sheet *sheet, const cli_unit *flow, double value, double error) {
  if (!isfinite(value))
    sheet_cell(sheet, "-");
  else
    sheet_cell(sheet, "%.*f +-%.*f", flow->decimals, unit_value(flow, value), flow->decimals,
               unit_value(flow, error));
}

static void opening_cell(cli_sheet *sheet, const eb_balance_terminal *t, double opening) {
  if (t->has_opening)
    sheet_cell(sheet, "%.4g %s", opening, t->opening_unit);
  else
    sheet_cell(sheet, "-");
}

static void terminal_row(cli_sheet *sheet, const cli_units *units, const eb_balance_terminal *t,
                         bool read) {
  sheet_cell(sheet, "  %2zu %s", t->turn, t->run);
  sheet_cell(sheet, "%s", t->room);
  sheet_value(sheet, &units->flow, t->design_m3_s);
  if (read) {
    sheet_value(sheet, &units->flow, t->measured_m3_s);
    with_error(sheet, &units->flow, t->now_m3_s, t->now_error_m3_s);
    opening_cell(sheet, t, t->opening);
  }
  opening_cell(sheet, t, t->next_opening);
  with_error(sheet, &units->flow, t->predicted_m3_s, t->predicted_error_m3_s);
  sheet_cell(sheet, "%s", t->move ? "turn" : t->index && !read ? "stays open" : "");
}

static bool terminals_text(const cli_units *units, const eb_balance *balance, FILE *out) {
  bool read = balance->status.n_readings > 0;
  cli_sheet *sheet = sheet_new(read ? "llrrrrrrl" : "llrrrl");
  sheet_cell(sheet, "Go round, %s", units->flow.name);
  sheet_cell(sheet, "room");
  sheet_cell(sheet, "design");
  if (read) {
    sheet_cell(sheet, "read");
    sheet_cell(sheet, "it is");
    sheet_cell(sheet, "stands");
  }
  sheet_cell(sheet, "set to");
  sheet_cell(sheet, "it will be");
  sheet_skip(sheet);
  for (size_t i = 0; i < balance->n_terminals; i++)
    terminal_row(sheet, units, &balance->terminals[i], read);
  fputc('\n', out);
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

/* With an instrument that repeats poorly the mean of a few is as good as a better one. */
static void times_text(const eb_balance *balance, FILE *out) {
  if (balance->readings_each > 1 && balance->status.verdict == EB_VERDICT_ADJUST)
    fprintf(
        out,
        "\nRead each terminal %zu times, the hood set down anew each time, and write them all:\n"
        "this instrument repeats too poorly for one reading to judge the tolerance.\n",
        balance->readings_each);
}

static void again_text(const eb_balance *balance, FILE *out) {
  bool head = false;
  for (size_t i = 0; i < balance->n_terminals; i++) {
    const eb_balance_terminal *t = &balance->terminals[i];
    if (!t->read_again)
      continue;
    if (!head)
      fputs("\nRead again\n", out);
    head = true;
    fprintf(out, "  %s (%s): %s\n", t->run, t->room, t->why);
  }
}

/* ---- Fans ---- */

static void level_row(cli_sheet *sheet, const cli_units *units, const eb_controller *controller,
                      const eb_balance_level *level) {
  sheet_cell(sheet, "  %s", level->name);
  sheet_cell(sheet, "%s", controller_text(controller, level->supply_signal).text);
  sheet_cell(sheet, "%s", controller_text(controller, level->extract_signal).text);
  with_error(sheet, &units->flow, level->supply_m3_s, level->supply_error_m3_s);
  with_error(sheet, &units->flow, level->extract_m3_s, level->extract_error_m3_s);
  sheet_cell(sheet, "%+.1f %%", 100 * level->imbalance);
  sheet_cell(sheet, "%s",
             level->limited  ? "a fan is at its end"
             : level->beyond ? "further than was read"
                             : "");
}

static bool levels_text(const cli_units *units, const eb_balance *balance, FILE *out) {
  cli_sheet *sheet = sheet_new("lrrrrrl");
  const char *heads[] = {"Fans", "supply", "extract", "supply", "extract", "imbalance"};
  for (size_t i = 0; i < 6; i++)
    sheet_cell(sheet, i == 3 || i == 4 ? "%s %s" : "%s", heads[i], units->flow.name);
  sheet_skip(sheet);
  for (size_t i = 0; i < balance->n_levels; i++)
    level_row(sheet, units, &balance->controller, &balance->levels[i]);
  fputc('\n', out);
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  return good;
}

static void checks_text(const eb_balance *balance, FILE *out) {
  if (balance->status.verdict != EB_VERDICT_FIRST_SETTINGS)
    return;
  fputs("\nBefore the first reading\n", out);
  for (size_t i = 0; i < balance->n_checks; i++)
    fprintf(out, "  [ ] %s\n", balance->checks[i]);
}

static bool text(const cli_run *run, FILE *out) {
  const cli_units *units = run->options->units;
  const eb_balance *balance = run->balance;
  if (run->options->blank)
    return balance_sheet(run, out);
  fprintf(out, "%s: balance, valves set at %s\n\n", run_title(run), balance->set_level);
  verdict_text(balance, out);
  chance_text(&balance->status, out);
  read_text(units, &balance->status, out);
  suspects_text(balance, out);
  if (!terminals_text(units, balance, out) || !levels_text(units, balance, out))
    return false;
  times_text(balance, out);
  again_text(balance, out);
  checks_text(balance, out);
  return true;
}

const cli_command command_balance = {
    .name = "balance",
    .files = "FILE [READINGS]",
    .summary = "on site: first settings, then from readings what to turn next",
    .help = "Without READINGS the first settings: valve openings, fan signals for every level,\n"
            "the flows to expect and a checklist; --sheet prints a blank form to fill in.\n"
            "With READINGS (YAML, or CSV as typed on a phone) the likeliest house behind all\n"
            "rounds, what to turn next, whether the rule is met and how sure that is, and\n"
            "what looks wrong: a crushed tube, a cap left on, readings exchanged.\n",
    .examples = "evenbreath balance --sheet alder-row.yaml\n"
                "evenbreath balance alder-row.yaml alder-row-balance.yaml\n",
    .calculate = calculate,
    .text = text,
    .json = balance_json,
    .readings = 1,
};
