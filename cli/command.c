#include "command.h"

#include <stdlib.h>
#include <string.h>

#include "findings.h"
#include "json.h"
#include "output.h"
#include "progress.h"
#include "run.h"

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
  eb_ducts_options options = {
      .size = sizeof options, .sizing = run->options->sizing, .curves = run->curves};
  return eb_ducts_design(run->context, run->house, run->rates, &options, run->ledger, &run->ducts);
}

static int run_one(const cli_command *command, const cli_options *options, const char *path,
                   FILE *out, FILE *said) {
  cli_run run = {.options = options, .path = path, .n_overrides = options->n_overrides};
  int result = run_house(command, &run, out, said);
  run_close(&run);
  return result;
}

/* ---- Several files as one question ---- */

/* The findings of a run; each names the column where there is one. */
static void add_findings(const cli_run *run, json_t *findings) {
  json_t *own = run->context ? findings_json(run->context) : json_array(), *item;
  size_t i;
  json_array_foreach(own, i, item) if (*run->label) json_put_text(item, "house", run->label);
  (void)!json_array_extend(findings, own);
  json_decref(own);
}

/* The last run may be of them all, without a file. */
static bool write_json_all(const cli_command *command, const cli_run *runs, size_t count,
                           bool calculated, FILE *out) {
  json_t *object = run_head_json(command, &runs[0]);
  json_t *files = json_array(), *findings = json_array(), *explain = json_array();
  bool good = !calculated || command->json_all(runs, count, object);
  for (size_t i = 0; i <= count; i++) {
    if (i < count)
      json_add(files, json_string(runs[i].path));
    if (runs[i].ledger && calculated)
      json_add(explain, explain_json(runs[i].ledger));
    add_findings(&runs[i], findings);
  }
  json_put(object, "files", files);
  if (runs[0].ledger && calculated)
    json_put(object, "explain", explain);
  else
    json_decref(explain);
  json_put(object, "findings", findings);
  good = json_write(object, out) && good;
  json_decref(object);
  return good;
}

static bool write_text_all(const cli_command *command, const cli_run *runs, size_t count,
                           FILE *out) {
  if (!command->text_all(runs, count, out))
    return false;
  for (size_t i = 0; i <= count; i++) {
    if (runs[i].ledger && *runs[i].label)
      fprintf(out, "\n%s %s", runs[i].label, runs[i].path);
    if (runs[i].ledger)
      explain_text(runs[i].ledger, out);
  }
  return true;
}

static int show_all(const cli_command *command, const cli_run *runs, size_t count, eb_status status,
                    FILE *out) {
  bool json = runs[0].options->json, good = true;
  if (json)
    good = write_json_all(command, runs, count, status == EB_OK, out);
  else if (status == EB_OK)
    good = write_text_all(command, runs, count, out);
  return good ? exit_of(status) : EXIT_FAULT;
}

/* Findings of each file, and what they mean for the exit status. */
static int say_all(const cli_run *runs, const eb_status *statuses, size_t count, bool failed,
                   FILE *said) {
  int result = EXIT_DONE;
  for (size_t i = 0; i <= count && runs[i].options; i++) {
    const cli_run *run = &runs[i];
    bool found = run->context && findings_matter(run->context);
    if (failed && !statuses[i])
      continue; /* what was found of a good file is for its result */
    if (!run->options->json && *run->label)
      fprintf(said, "%s %s%s%s:\n", run->label, run->path, run->setting ? ", " : "",
              run->setting ? run->setting : "");
    if (!run->options->json && run->context)
      findings_text(run->context, said);
    run_say_failure(run, statuses[i] ? statuses[i] : run->lacking, said);
    int status = exit_of(run->lacking);
    status = status == EXIT_DONE && run->options->strict && found ? EXIT_NOT_COMPLYING : status;
    result = status > result ? status : result;
  }
  return result;
}

static eb_status calculate_all(const cli_command *command, const cli_options *options,
                               cli_run *runs, eb_status *statuses, size_t count) {
  eb_status worst = EB_OK;
  bool itself = options->n_files == 1;
  cli_progress progress;
  progress_begin(&progress, true);
  for (size_t i = 0; i < count; i++) {
    progress_say(&progress, "house %zu of %zu", i + 1, count);
    runs[i] = (cli_run){.options = options,
                        .path = options->files[itself ? 0 : i],
                        .n_overrides = itself && i == 0 ? 0 : options->n_overrides,
                        .setting = !itself  ? NULL
                                   : i == 0 ? "as written"
                                            : "with --set"};
    if (command->together)
      run_set_label(&runs[i], i);
    statuses[i] = run_calculate(command, &runs[i]);
    worst = exit_of(statuses[i]) > exit_of(worst) ? statuses[i] : worst;
  }
  progress_end(&progress);
  if (!worst && command->finish)
    worst = statuses[0] = command->finish(runs, count);
  if (worst || !command->together)
    return worst;
  runs[count] = (cli_run){.options = options, .path = "evenbreath"};
  statuses[count] = run_open(&runs[count]);
  if (!statuses[count])
    statuses[count] = command->together(runs, count);
  return statuses[count];
}

static int run_together(const cli_command *command, const cli_options *options, FILE *out,
                        FILE *said) {
  size_t count = options->n_files == 1 ? 2 : (size_t)options->n_files;
  cli_run *runs = calloc(count + 1, sizeof *runs);
  eb_status *statuses = calloc(count + 1, sizeof *statuses);
  int result = EXIT_FAULT;
  if (runs && statuses) {
    eb_status worst = calculate_all(command, options, runs, statuses, count);
    result = show_all(command, runs, count, worst, out);
    int strict = say_all(runs, statuses, count, worst != EB_OK, said);
    result = result == EXIT_DONE ? strict : result;
  }
  if (result == EXIT_FAULT && !command->says_why)
    fputs("evenbreath: memory ran out\n", said);
  for (size_t i = 0; runs && i <= count; i++)
    eb_context_free(runs[i].context);
  free(runs);
  free(statuses);
  return result;
}

static int houses_of(const cli_command *command, const cli_options *options) {
  if (command->houses)
    return command->houses(options);
  return command->readings ? 1 : options->n_files;
}

/* All files; the worst exit status counts. */
static int run_all(const cli_command *command, const cli_options *options, FILE *out, FILE *said) {
  int worst = EXIT_DONE, houses = houses_of(command, options);
  if (command->text_all && (houses > 1 || command->together))
    return run_together(command, options, out, said);
  cli_progress progress;
  progress_begin(&progress, true);
  for (int i = 0; i < houses; i++) {
    progress_say(&progress, "house %d of %d", i + 1, houses);
    int result = run_one(command, options, options->files[i], out, said);
    worst = result > worst ? result : worst;
  }
  progress_end(&progress);
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
