#include "command.h"

#include <stdlib.h>
#include <string.h>

#include "findings.h"
#include "json.h"
#include "output.h"

int exit_of(eb_status status) {
  if (status == EB_OK)
    return EXIT_DONE;
  if (status >= EB_E_SYNTAX && status < EB_E_DIVERGED)
    return EXIT_INPUT;
  if (status >= EB_E_DIVERGED && status < EB_E_MEMORY)
    return EXIT_NO_SOLUTION;
  return status == EB_E_FILE ? EXIT_FILE : EXIT_FAULT;
}

const char *run_title(const cli_run *run) {
  const char *dwelling = eb_house_dwelling(run->house);
  return *dwelling ? dwelling : run->path;
}

eb_status calculate_rates(cli_run *run) {
  return eb_rates_plan(run->context, run->house, NULL, run->ledger, &run->rates);
}

eb_status calculate_ducts(cli_run *run) {
  eb_status status = calculate_rates(run);
  if (status)
    return status;
  return eb_ducts_design(run->context, run->house, run->rates, NULL, run->ledger, &run->ducts);
}

static eb_status open_run(cli_run *run) {
  const cli_options *options = run->options;
  run->context = eb_context_new(NULL);
  if (!run->context)
    return EB_E_MEMORY;
  for (size_t i = options->n_tables; i-- > 0;) {
    eb_status status = eb_tables_search(run->context, options->tables[i]);
    if (status)
      return status;
  }
  if (options->explain && !(run->ledger = eb_ledger_new(run->context)))
    return EB_E_MEMORY;
  return EB_OK;
}

static eb_status calculate(const cli_command *command, cli_run *run) {
  eb_status status = open_run(run);
  if (status)
    return status;
  eb_read_options read = {.size = sizeof read,
                          .overrides = run->options->overrides,
                          .n_overrides = run->options->n_overrides};
  status = eb_house_read_file(run->context, run->path, &read, &run->house);
  const char *rules = run->options->rules;
  if (!status && rules && strcmp(rules, "all") != 0)
    status = eb_house_set_rules(run->context, run->house, rules);
  return status ? status : command->calculate(run);
}

static bool write_json(const cli_command *command, const cli_run *run, eb_status status,
                       FILE *out) {
  json_t *object = json_object();
  json_put_text(object, "program", "evenbreath");
  json_put_text(object, "version", EB_VERSION);
  json_put_text(object, "command", command->name);
  json_put_text(object, "file", run->path);
  json_put_text(object, "dwelling", run->house ? eb_house_dwelling(run->house) : NULL);
  bool good = true;
  if (status == EB_OK && command->json)
    good = command->json(run, object);
  if (run->ledger && status == EB_OK)
    json_put(object, "explain", explain_json(run->ledger));
  json_put(object, "findings", run->context ? findings_json(run->context) : json_array());
  good = json_write(object, out) && good;
  json_decref(object);
  return good;
}

static bool write_text(const cli_command *command, const cli_run *run, FILE *out) {
  if (!command->text(run, out))
    return false;
  if (run->ledger)
    explain_text(run->ledger, out);
  return true;
}

/* Something must be said on every failure, if only the sentence of its status. */
static void say_failure(const cli_run *run, eb_status status, FILE *said) {
  size_t count = 0;
  if (run->context)
    eb_diagnostics(run->context, &count);
  if (status && (!count || exit_of(status) == EXIT_FAULT))
    fprintf(said, "%s: error: %s\n", run->path, eb_status_text(status));
}

static int show(const cli_command *command, const cli_run *run, eb_status status, FILE *out,
                FILE *said) {
  bool good = true;
  if (run->options->json)
    good = write_json(command, run, status, out);
  else if (status == EB_OK)
    good = write_text(command, run, out);
  if (!run->options->json && run->context)
    findings_text(run->context, said);
  say_failure(run, status, said);
  if (!good) {
    fputs("evenbreath: memory ran out\n", said);
    return EXIT_FAULT;
  }
  if (status)
    return exit_of(status);
  bool complies = !findings_matter(run->context);
  return run->options->strict && !complies ? EXIT_NOT_COMPLYING : EXIT_DONE;
}

static int run_one(const cli_command *command, const cli_options *options, const char *path,
                   FILE *out, FILE *said) {
  cli_run run = {.options = options, .path = path};
  eb_status status = calculate(command, &run);
  int result = show(command, &run, status, out, said);
  eb_context_free(run.context);
  free(run.rule_rows);
  return result;
}

/* All files; the worst exit status counts. */
static int run_all(const cli_command *command, const cli_options *options, FILE *out, FILE *said) {
  int worst = EXIT_DONE;
  for (int i = 0; i < options->n_files; i++) {
    int result = run_one(command, options, options->files[i], out, said);
    worst = result > worst ? result : worst;
  }
  return worst;
}

/* A failed command leaves an earlier output file as it was. */
static int deliver(cli_output *result, const cli_options *options, int status) {
  if (status > EXIT_NOT_COMPLYING && options->output && !options->json) {
    output_drop(result);
    return status;
  }
  return output_close(result, options->output) ? status : EXIT_FILE;
}

int command_run(const cli_command *command, const cli_options *options) {
  cli_output result = {0}, said = {0};
  int status = EXIT_FAULT;
  if (output_open(&result) && output_open(&said)) {
    status = run_all(command, options, result.stream, said.stream);
    /* The result first, so that what was found stands below it on a terminal. */
    status = deliver(&result, options, status);
    output_say(&said);
    return status;
  }
  fputs("evenbreath: memory ran out\n", stderr);
  output_drop(&result);
  output_drop(&said);
  return status;
}
