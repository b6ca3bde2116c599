/* main.c - evenbreath: which command, with which cli_options */

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <string.h>

#include "batch.h"
#include "command.h"
#include "json.h"
#include "new.h"

static const cli_command *const commands[] = {&command_check,   &command_rates,  &command_ducts,
                                              &command_energy,  &command_parts,  &command_compare,
                                              &command_balance, &command_record, &command_draw};
enum { COUNT = sizeof commands / sizeof commands[0] };

static const char intro[] =
    "evenbreath - whole-house supply-and-extract ventilation with heat recovery\n\n"
    "  evenbreath COMMAND [options] FILE...    FILE is a house in YAML, - standard input\n\n";

static void print_help(FILE *out) {
  fputs(intro, out);
  for (size_t i = 0; i < COUNT; i++)
    fprintf(out, "  %-10s %s\n", commands[i]->name, commands[i]->summary);
  fprintf(out, "  %-10s %s\n", "batch",
          "one of these for any number of houses, a line of JSON each");
  fprintf(out, "  %-10s %s\n", "tables", "what is built in: rules, ducts, fittings, climates ...");
  fprintf(out, "  %-10s %s\n", "new", "write a house file to begin with");
  fputs("\nOptions of every command\n", out);
  options_help(out);
  fputs("\n  evenbreath COMMAND --help says more; evenbreath --version names this version.\n\n"
        "Results are design aids: local codes and licensed people decide.\n",
        out);
}

static int help_of(const char *name, const char *files, const char *help, void (*more)(FILE *out)) {
  printf("evenbreath %s [options] %s\n\n%s", name, files, help);
  if (more)
    more(stdout);
  fputs("\nOptions\n", stdout);
  options_help(stdout);
  return fflush(stdout) == 0 ? EXIT_DONE : EXIT_FILE;
}

/* Of a command that compares. */
static bool reads_input_again(const cli_options *options) {
  int times = options->n_files == 1 ? 2 : 1, count = 0;
  for (int i = 0; i < options->n_files; i++)
    count += strcmp(options->files[i], "-") == 0 ? times : 0;
  return count > 1;
}

/* Why a command cannot take these files; NULL where it can. */
static const char *unfit_files(const cli_command *command, const cli_options *options) {
  if (options->n_files == 0)
    return "name a house file (or - for standard input)";
  if (command->together && options->n_files == 1 && !options->n_overrides)
    return "name two house files or more, or one with --set to compare it with itself";
  if (command->together && reads_input_again(options))
    return "standard input can be read once only";
  if (command->most_files > 0 && options->n_files > command->most_files)
    return "takes one house file, or two for what differs";
  if (command->read_first && options->n_files < 2)
    return "name a house file and the file of its readings";
  if (command->readings && options->n_files > 1 + command->readings)
    return command->readings > 1 ? "takes a house file and one or two files of readings"
                                 : "takes a house file and one file of readings";
  return options->jobs ? "--jobs is for batch" : NULL;
}

/* Why it cannot take these options. */
static const char *unfit_options(const cli_command *command, const cli_options *options) {
  if ((options->show || strcmp(options->paper->name, "a4") != 0) && !command->pictures)
    return "--show and --paper are for draw";
  if (command->pictures && (options->json || options->explain))
    return "pictures go neither with --json nor with --explain";
  if (options->blank && (command != &command_balance || options->n_files > 1 || options->json))
    return "--sheet is for balance, without readings and --json";
  if (options->rules && strcmp(options->rules, "all") == 0 && command != &command_rates)
    return "--rules all is for rates";
  if ((options->write || options->sizing || options->sketch) && command != &command_ducts)
    return "--method, --write and --sketch are for ducts";
  if (options->readings && (command != &command_energy || options->n_files > 1))
    return "--readings is for energy, of one house file";
  if (options->detail && command != &command_energy)
    return "--detail is for energy";
  if (options->sketch &&
      (options->write || options->sizing || options->json || options->n_files > 1))
    return "--sketch prints one house file: without --write, --method and --json";
  if (options->write && options->n_files > 1)
    return "--write takes one house file";
  if (options->csv && !command->csv)
    return "--csv is for parts and record";
  if (options->csv && (options->json || options->explain))
    return "--csv goes neither with --json nor with --explain";
  return NULL;
}

static int refuse(const char *name, const char *why) {
  fprintf(stderr, "evenbreath %s: %s\n", name, why);
  return EXIT_USAGE;
}

static int run_house_command(const cli_command *command, const cli_options *options) {
  if (options->help)
    return help_of(command->name,
                   command->files      ? command->files
                   : command->readings ? "FILE [READINGS]"
                                       : "FILE...",
                   command->help, command->help_more);
  const char *why = unfit_files(command, options);
  why = why ? why : unfit_options(command, options);
  why = !why && command->unfit ? command->unfit(options) : why;
  return why ? refuse(command->name, why) : command_run(command, options);
}

static const cli_command *find_command(const char *name) {
  for (size_t i = 0; i < COUNT; i++)
    if (strcmp(commands[i]->name, name) == 0)
      return commands[i];
  return NULL;
}

/* batch COMMAND FILE... */
static int run_batch(cli_options *options) {
  if (options->help)
    return help_of("batch", "COMMAND FILE...", batch_help, NULL);
  const cli_command *command = NULL;
  if (options->n_files > 0) {
    command = find_command(options->files[0]);
    options->files++;
    options->n_files--;
  }
  options->json = true;
  const char *why = batch_unfit(command, options);
  why = why ? why : unfit_options(command, options);
  return why ? refuse("batch", why) : batch_run(command, options);
}

static int run_named(const char *name, int argc, char **argv) {
  const cli_command *command = find_command(name);
  bool tables = strcmp(name, "tables") == 0, batch = strcmp(name, "batch") == 0;
  if (!command && !tables && !batch) {
    fprintf(stderr, "evenbreath: no command \"%s\"; see evenbreath --help\n", name);
    return EXIT_USAGE;
  }
  cli_options options;
  int result = EXIT_USAGE;
  if (options_parse(&options, name, argc, argv)) {
    if (command)
      result = run_house_command(command, &options);
    else if (batch)
      result = run_batch(&options);
    else
      result =
          options.help ? help_of(name, "[KIND [NAME]]", tables_help, NULL) : tables_run(&options);
  }
  options_free(&options);
  return result;
}

static int finish(FILE *out) {
  return fflush(out) == 0 ? EXIT_DONE : EXIT_FILE;
}

int main(int argc, char **argv) {
  gsl_set_error_handler_off(); /* a full memory is reported, not died of */
  json_start();
  if (argc < 2) {
    print_help(stderr);
    return EXIT_USAGE;
  }
  if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 ||
      strcmp(argv[1], "help") == 0) {
    print_help(stdout);
    return finish(stdout);
  }
  if (strcmp(argv[1], "--version") == 0) {
    puts("evenbreath " EB_VERSION);
    return finish(stdout);
  }
  if (strcmp(argv[1], "new") == 0)
    return new_run(argc - 1, argv + 1);
  return run_named(argv[1], argc - 1, argv + 1);
}
