#define _POSIX_C_SOURCE 200809L /* isatty */
#include "findings.h"

#include <stdlib.h>
#include <unistd.h>

#include "json.h"

static const char *const names[] = {"error", "warning", "note"};
static const char *const colours[] = {"\033[1;31m", "\033[1;33m", "\033[1m"};

const char *severity_name(eb_severity severity) {
  return names[severity];
}

/* They go to standard error in the end, wherever they are collected. */
static bool coloured(void) {
  const char *no = getenv("NO_COLOR");
  return !(no && *no) && isatty(STDERR_FILENO);
}

static void print_place(const eb_diagnostic *d, FILE *out) {
  if (!d->file)
    fputs("evenbreath: ", out);
  else if (d->line > 0)
    fprintf(out, "%s:%d:%d: ", d->file, d->line, d->column);
  else
    fprintf(out, "%s: ", d->file);
}

void findings_text(const eb_context *context, FILE *out) {
  size_t count;
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  bool colour = coloured();
  for (size_t i = 0; i < count; i++) {
    const eb_diagnostic *d = &list[i];
    print_place(d, out);
    fprintf(out, "%s%s%s: %s", colour ? colours[d->severity] : "", names[d->severity],
            colour ? "\033[0m" : "", d->message);
    if (d->source && *d->source)
      fprintf(out, " [%s]", d->source);
    fputc('\n', out);
  }
}

bool findings_matter(const eb_context *context) {
  size_t count;
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    if (list[i].severity != EB_NOTE)
      return true;
  return false;
}

json_t *findings_json(const eb_context *context) {
  size_t count;
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  json_t *array = json_array();
  for (size_t i = 0; i < count; i++) {
    const eb_diagnostic *d = &list[i];
    json_t *item = json_object();
    json_put_text(item, "severity", names[d->severity]);
    json_put_text(item, "code", d->code);
    json_put_text(item, "message", d->message);
    json_put_text(item, "source", d->source);
    json_put_text(item, "file", d->file);
    if (d->line > 0) {
      json_put(item, "line", json_integer(d->line));
      json_put(item, "column", json_integer(d->column));
    }
    json_add(array, item);
  }
  return array;
}

static void print_value(const eb_step *step, FILE *out) {
  fprintf(out, "%s = %.6g%s%s\n", step->what, step->value, *step->unit ? " " : "", step->unit);
}

/* "from [3] floor area 92 m2, [4] rate 0.3 l/(s.m2)" */
static void explain_inputs(const eb_ledger *ledger, const eb_step *step, FILE *out) {
  for (size_t i = 0; i < step->n_inputs; i++) {
    eb_step input = eb_ledger_step(ledger, step->inputs[i]);
    fprintf(out, "        from [%zu] ", step->inputs[i] + 1);
    print_value(&input, out);
  }
}

void explain_text(const eb_ledger *ledger, FILE *out) {
  size_t count = eb_ledger_count(ledger);
  fputs("\nWhy each number is what it is\n", out);
  for (size_t i = 0; i < count; i++) {
    eb_step step = eb_ledger_step(ledger, i);
    fprintf(out, "  [%zu] ", i + 1);
    print_value(&step, out);
    if (*step.formula)
      fprintf(out, "        %s: %s\n", step.id, step.formula);
    explain_inputs(ledger, &step, out);
    if (step.file)
      fprintf(out, "        given at %s:%d\n", step.file, step.line);
    else if (step.source && *step.source)
      fprintf(out, "        source: %s (%s)\n", step.source, step.known);
  }
}

static json_t *step_json(const eb_step *step) {
  json_t *item = json_object();
  json_put_text(item, "id", step->id);
  json_put_text(item, "what", step->what);
  json_put_number(item, "value", step->value);
  json_put_text(item, "unit", step->unit);
  json_put_text(item, "formula", step->formula);
  json_put_text(item, "source", step->source);
  json_put_text(item, "known", step->known);
  json_t *inputs = json_array();
  for (size_t i = 0; i < step->n_inputs; i++)
    json_add(inputs, json_integer((json_int_t)step->inputs[i]));
  json_put(item, "inputs", inputs);
  json_put_text(item, "file", step->file);
  if (step->file)
    json_put(item, "line", json_integer(step->line));
  return item;
}

json_t *explain_json(const eb_ledger *ledger) {
  json_t *array = json_array();
  for (size_t i = 0; i < eb_ledger_count(ledger); i++) {
    eb_step step = eb_ledger_step(ledger, i);
    json_add(array, step_json(&step));
  }
  return array;
}
