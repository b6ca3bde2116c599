#include "run.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "findings.h"
#include "json.h"

/* ---- Calculating ---- */

static eb_status open_ledger(cli_run *run) {
  if (run->options->explain && !run->ledger)
    run->ledger = eb_ledger_new(run->context);
  return run->options->explain && !run->ledger ? EB_E_MEMORY : EB_OK;
}

eb_status run_open(cli_run *run) {
  const cli_options *options = run->options;
  run->context = eb_context_new(run->allocator);
  if (!run->context)
    return EB_E_MEMORY;
  for (size_t i = options->n_tables; i-- > 0;) {
    eb_status status = eb_tables_search(run->context, options->tables[i]);
    if (status)
      return status;
  }
  return open_ledger(run);
}

static double now_ms(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

/* On standard error only: times never enter results. */
static void say_timings(const cli_run *run, double start, double read, double end) {
  if (run->options->timings && !run->line)
    fprintf(stderr, "%s: read in %.1f ms, calculated in %.1f ms\n", run->path, read - start,
            end - read);
}

static eb_status read_bytes(cli_run *run) {
  eb_read_options read = {.size = sizeof read,
                          .overrides = run->options->overrides,
                          .n_overrides = run->n_overrides,
                          .first_line = run->first_line};
  if (!run->bytes)
    return eb_house_read_file(run->context, run->path, &read, &run->house);
  const char *name = strcmp(run->path, "-") == 0 ? "standard input" : run->path;
  return eb_house_read(run->context, name, run->bytes, run->length, &read, &run->house);
}

static eb_status read_house(cli_run *run) {
  eb_status status = run->context ? open_ledger(run) : run_open(run);
  if (!status)
    status = read_bytes(run);
  const char *rules = run->options->rules;
  if (!status && rules && strcmp(rules, "all") != 0)
    status = eb_house_set_rules(run->context, run->house, rules);
  return status;
}

eb_status run_calculate(const cli_command *command, cli_run *run) {
  double start = now_ms();
  eb_status status = read_house(run);
  double read = now_ms();
  if (!status)
    status = command->calculate(run);
  say_timings(run, start, read, now_ms());
  run->status = status;
  return status;
}

/* ---- Showing ---- */

json_t *run_head_json(const cli_command *command, const cli_run *run) {
  json_t *object = json_object();
  json_put_text(object, "program", "evenbreath");
  json_put_text(object, "version", EB_VERSION);
  json_put_text(object, "command", command->name);
  json_put_text(object, "file", run->path);
  if (run->document > 0)
    json_put(object, "document", json_integer(run->document));
  json_put_text(object, "dwelling", run->house ? eb_house_dwelling(run->house) : NULL);
  return object;
}

static int exit_of_run(const cli_run *run, eb_status status) {
  if (status)
    return exit_of(status);
  bool complies = !findings_matter(run->context);
  return run->options->strict && !complies ? EXIT_NOT_COMPLYING : EXIT_DONE;
}

static bool write_json(const cli_command *command, const cli_run *run, eb_status status,
                       FILE *out) {
  json_t *object = run_head_json(command, run);
  bool good = true;
  if (status == EB_OK && command->json)
    good = command->json(run, object);
  if (run->ledger && status == EB_OK)
    json_put(object, "explain", explain_json(run->ledger));
  json_put(object, "findings", run->context ? findings_json(run->context) : json_array());
  if (run->line)
    json_put(object, "status", json_integer(exit_of_run(run, status)));
  good = (run->line ? json_write_line(object, out) : json_write(object, out)) && good;
  json_decref(object);
  return good;
}

static bool write_text(const cli_command *command, const cli_run *run, FILE *out) {
  if (!command->text(run, out))
    return false;
  if (run->ledger && run->options->explain)
    explain_text(run->ledger, out);
  return true;
}

void run_say_failure(const cli_run *run, eb_status status, FILE *said) {
  size_t count = 0;
  if (said && run->failure) {
    fprintf(said, "%s: error: %s\n", run->path, run->failure);
    return;
  }
  if (run->context)
    eb_diagnostics(run->context, &count);
  if (said && status && (!count || exit_of(status) == EXIT_FAULT))
    fprintf(said, "%s: error: %s\n", run->path, eb_status_text(status));
}

int run_house(const cli_command *command, cli_run *run, FILE *out, FILE *said) {
  bool json = run->options->json, good = true;
  eb_status status = run_calculate(command, run);
  if (!status && command->finish)
    status = command->finish(run, 1);
  if (json)
    good = write_json(command, run, status, out);
  else if (status == EB_OK)
    good = write_text(command, run, out);
  if (!json && run->context)
    findings_text(run->context, said);
  run_say_failure(run, status, said);
  if (!good && said && !command->says_why)
    fputs("evenbreath: memory ran out\n", said);
  return good ? exit_of_run(run, status) : EXIT_FAULT;
}

/* ---- Several of them ---- */

void run_set_label(cli_run *run, size_t number) {
  char reversed[sizeof run->label] = "";
  size_t length = 0;
  for (size_t rest = number + 1; rest > 0 && length + 1 < sizeof reversed; rest = (rest - 1) / 26)
    reversed[length++] = (char)('A' + (rest - 1) % 26);
  for (size_t i = 0; i < length; i++)
    run->label[i] = reversed[length - 1 - i];
  run->label[length] = '\0';
}

/* ---- Leaving ---- */

void run_close(cli_run *run) {
  eb_context_free(run->context);
  free(run->rule_rows);
}

void run_clear(cli_run *run) {
  eb_unit_diagnosis_free(run->diagnosis);
  eb_readings_free(run->readings);
  eb_parts_free(run->parts);
  eb_energy_free(run->energy);
  eb_ducts_free(run->ducts);
  eb_rates_free(run->rates);
  eb_ledger_free(run->ledger);
  eb_house_free(run->house);
  free(run->rule_rows);
  if (run->context)
    eb_diagnostics_clear(run->context);
}
