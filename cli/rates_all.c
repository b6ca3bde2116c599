#include "rates_all.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "json.h"
#include "sheet.h"

/* What one set asks of the house, or why it cannot say. */
typedef struct rule_row {
  const eb_table_info *table;
  const eb_rates *rates; /* NULL where it cannot say */
  size_t warnings;
  char problem[200];
} rule_row;

struct cli_rule_rows {
  size_t count;
  rule_row rows[];
};

bool rates_all_wanted(const cli_run *run) {
  return run->options->rules && strcmp(run->options->rules, "all") == 0;
}

/* Keeps what the row needs of the findings, which are then forgotten: a house
 * planned by thirty sets is not to be blamed thirty times. */
static void take_findings(eb_context *context, rule_row *row) {
  size_t count;
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++) {
    row->warnings += list[i].severity == EB_WARNING;
    if (list[i].severity == EB_ERROR && !*row->problem)
      snprintf(row->problem, sizeof row->problem, "%s", list[i].message);
  }
  eb_diagnostics_clear(context);
}

static eb_status plan_by(cli_run *run, rule_row *row) {
  eb_status status = eb_house_set_rules(run->context, run->house, row->table->name);
  if (!status)
    status = eb_rates_plan(run->context, run->house, NULL, NULL, &row->rates);
  if (status)
    row->rates = NULL;
  take_findings(run->context, row);
  return status >= EB_E_MEMORY ? status : EB_OK;
}

eb_status rates_all_calculate(cli_run *run) {
  const eb_table_info *tables;
  size_t count;
  eb_status status = eb_tables_list(run->context, "rules", &tables, &count);
  if (status)
    return status;
  run->rule_rows = calloc(1, sizeof(cli_rule_rows) + count * sizeof(rule_row));
  if (!run->rule_rows)
    return EB_E_MEMORY;
  run->rule_rows->count = count;
  for (size_t i = 0; i < count && !status; i++) {
    run->rule_rows->rows[i].table = &tables[i];
    status = plan_by(run, &run->rule_rows->rows[i]);
  }
  return status;
}

static void text_row(cli_sheet *sheet, const cli_units *units, const rule_row *row) {
  sheet_cell(sheet, "  %s", row->table->name);
  if (!row->rates) {
    sheet_cell(sheet, "-");
    sheet_cell(sheet, "-");
    sheet_cell(sheet, "see below");
  } else {
    sheet_value(sheet, &units->flow, row->rates->required_m3_s);
    sheet_value(sheet, &units->flow, row->rates->boost_required_m3_s);
    sheet_cell(sheet, "%s", row->rates->governed_by);
  }
  sheet_cell(sheet, "%s", row->table->known);
}

bool rates_all_text(const cli_run *run, FILE *out) {
  const cli_units *units = run->options->units;
  const cli_rule_rows *all = run->rule_rows;
  cli_sheet *sheet = sheet_new("lrrll");
  const char *heads[] = {"", "always", "boost", "governed by", "known"};
  sheet_cell(sheet, "Rule set, %s", units->flow.name);
  for (size_t i = 1; i < 5; i++)
    sheet_cell(sheet, "%s", heads[i]);
  for (size_t i = 0; i < all->count; i++)
    text_row(sheet, units, &all->rows[i]);
  fprintf(out, "%s under every rule set\n\n", run_title(run));
  bool good = sheet_print(sheet, out);
  sheet_free(sheet);
  for (size_t i = 0; i < all->count; i++)
    if (!all->rows[i].rates)
      fprintf(out, "\n%s: %s\n", all->rows[i].table->name, all->rows[i].problem);
  return good;
}

static json_t *row_json(const rule_row *row) {
  json_t *object = json_object();
  json_put_text(object, "rules", row->table->name);
  json_put_text(object, "known", row->table->known);
  if (row->rates) {
    json_put_number(object, "required_l_s", row->rates->required_m3_s * 1e3);
    json_put_number(object, "boost_required_l_s", row->rates->boost_required_m3_s * 1e3);
    json_put_text(object, "governed_by", row->rates->governed_by);
    json_put(object, "warnings", json_integer((json_int_t)row->warnings));
  } else {
    json_put_text(object, "problem", row->problem);
  }
  return object;
}

bool rates_all_json(const cli_run *run, json_t *object) {
  json_t *rows = json_array();
  for (size_t i = 0; i < run->rule_rows->count; i++)
    json_add(rows, row_json(&run->rule_rows->rows[i]));
  json_put(object, "rule_sets", rows);
  return json_complete();
}
