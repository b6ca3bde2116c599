/* report_sources.c - where the figures are from: tables with their hashes, and every step */

#include <stdlib.h>
#include <string.h>

#include <pango/pango.h>

#include "drawing/report.h"

/* ---- Tables ---- */

/* SHA-256 of the file's bytes into `text`, "" where it cannot be read again. */
static void hash_file(const char *path, char text[65]) {
  FILE *file = strcmp(path, "-") == 0 ? NULL : fopen(path, "rb");
  GChecksum *sum = file ? g_checksum_new(G_CHECKSUM_SHA256) : NULL;
  unsigned char bytes[4096];
  *text = '\0';
  for (size_t got; sum && (got = fread(bytes, 1, sizeof bytes, file)) > 0;)
    g_checksum_update(sum, bytes, (gssize)got);
  if (sum && !ferror(file))
    snprintf(text, 65, "%s", g_checksum_get_string(sum));
  if (sum)
    g_checksum_free(sum);
  if (file)
    fclose(file);
}

static void hash_cells(cli_sheet *sheet, const char *path) {
  char hash[65];
  const char *name = strrchr(path, '/');
  hash_file(path, hash);
  sheet_cell(sheet, "%s", name ? name + 1 : path);
  sheet_cell(sheet, "%s", *hash ? hash : "not to be read again");
}

static void table_rows(cli_sheet *sheet, const eb_table_info *tables, size_t count) {
  for (size_t i = 0; i < count; i++) {
    sheet_cell(sheet, "  %s", tables[i].kind);
    sheet_cell(sheet, "%s", tables[i].title);
    sheet_cell(sheet, "%s", tables[i].source);
    sheet_cell(sheet, "%s", tables[i].known);
    hash_cells(sheet, tables[i].path);
  }
}

void report_sources(flow *pages, const cli_run *run) {
  const eb_table_info *tables;
  size_t count;
  flow_section(pages, "Sources used", true);
  flow_text(pages, FLOW_PLAIN,
            "The house file and the tables that were read for it. The hash (SHA-256 of the file's "
            "bytes) tells whether a table is the same one as here; a figure is read in its "
            "source, quoted by another, from memory, or invented as an example.");
  cli_sheet *sheet = sheet_new("llllll");
  report_heads(sheet,
               (const char *const[]){"Kind", "title", "source", "known", "file", "SHA-256", NULL});
  report_heads(sheet, (const char *const[]){"  house", run_title(run), "", "", NULL});
  hash_cells(sheet, run->path);
  if (eb_tables_used(run->context, &tables, &count) == EB_OK)
    table_rows(sheet, tables, count);
  else {
    sheet_free(sheet);
    sheet = NULL;
  }
  flow_table(pages, sheet, 1);
}

/* ---- Steps ---- */

typedef struct formula {
  const char *id, *formula, *source, *known;
} formula;

static int by_id(const void *a, const void *b) {
  const formula *left = a, *right = b;
  int order = strcmp(left->id, right->id);
  order = order ? order : strcmp(left->formula, right->formula);
  return order ? order : strcmp(left->source, right->source);
}

/* Each once, sorted. NULL when memory ran out. */
static formula *formulas_of(const eb_ledger *ledger, size_t *count) {
  size_t steps = eb_ledger_count(ledger), kept = 0;
  formula *list = calloc(steps + 1, sizeof *list);
  for (size_t i = 0; list && i < steps; i++) {
    eb_step step = eb_ledger_step(ledger, i);
    if (!step.file)
      list[kept++] = (formula){step.id, step.formula ? step.formula : "",
                               step.source ? step.source : "", step.known ? step.known : ""};
  }
  if (list)
    qsort(list, kept, sizeof *list, by_id);
  *count = 0;
  for (size_t i = 0; list && i < kept; i++)
    if (*count == 0 || by_id(&list[*count - 1], &list[i]) != 0)
      list[(*count)++] = list[i];
  return list;
}

static void formulas(flow *pages, const eb_ledger *ledger) {
  size_t count;
  formula *list = formulas_of(ledger, &count);
  cli_sheet *sheet = list ? sheet_new("llll") : NULL;
  report_heads(sheet, (const char *const[]){"Rule", "formula", "source", "known", NULL});
  for (size_t i = 0; list && i < count; i++) {
    sheet_cell(sheet, "  %s", list[i].id);
    sheet_cell(sheet, "%s", list[i].formula);
    sheet_cell(sheet, "%s", list[i].source);
    sheet_cell(sheet, "%s", list[i].known);
  }
  free(list);
  flow_heading(pages, "Rules and formulas that the steps name");
  flow_table(pages, sheet, 1);
}

/* "3, 17, 204": the steps that went into it. False when memory ran out. */
static bool from_cell(cli_sheet *sheet, const eb_step *step) {
  size_t size = step->n_inputs * 22 + 1, used = 0;
  char *text = malloc(size);
  if (!text)
    return false;
  *text = '\0';
  for (size_t i = 0; i < step->n_inputs; i++)
    used += (size_t)snprintf(text + used, size - used, "%s%zu", i ? ", " : "", step->inputs[i] + 1);
  sheet_cell(sheet, "%s", text);
  free(text);
  return true;
}

static bool step_row(cli_sheet *sheet, size_t number, const eb_step *step) {
  const char *name = step->file ? strrchr(step->file, '/') : NULL;
  sheet_cell(sheet, "  %zu", number);
  sheet_cell(sheet, "%s", step->what);
  sheet_cell(sheet, "%.6g", step->value);
  sheet_cell(sheet, "%s", step->unit);
  if (step->file)
    sheet_cell(sheet, "%s:%d", name ? name + 1 : step->file, step->line);
  else
    sheet_cell(sheet, "%s", step->id);
  return from_cell(sheet, step);
}

void report_steps(flow *pages, const cli_run *run) {
  const eb_ledger *ledger = run->ledger;
  bool good = true;
  cli_sheet *sheet = sheet_new("llrlll");
  report_heads(sheet, (const char *const[]){"Step", "what", "value", "", "rule, or where given",
                                            "from steps", NULL});
  for (size_t i = 0; good && i < eb_ledger_count(ledger); i++) {
    eb_step step = eb_ledger_step(ledger, i);
    good = step_row(sheet, i + 1, &step);
  }
  if (!good) {
    sheet_free(sheet);
    sheet = NULL;
  }
  flow_section(pages, "Calculation sheets", true);
  flow_text(pages, FLOW_PLAIN,
            "Every step that the program took, with the rule or formula it rests on and the steps "
            "that went into it. Values are in the units beside them, whatever the rest of this "
            "report is in.");
  formulas(pages, ledger);
  flow_heading(pages, "Steps");
  flow_table(pages, sheet, 1);
}
