/* main.c - evenbreath: which command, and whether it can take what it is given */

#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <string.h>

#include "command.h"
#include "help.h"
#include "json.h"
#include "output.h"

static const cli_command *const commands[] = {
    &command_check,   &command_rates,   &command_ducts,  &command_energy, &command_parts,
    &command_compare, &command_balance, &command_record, &command_report, &command_draw,
    &command_batch,   &command_tables,  &command_new,    &command_schema, &command_completion};
enum { COUNT = sizeof commands / sizeof commands[0] };

const cli_command *const *command_list(size_t *count) {
  *count = COUNT;
  return commands;
}

const cli_command *command_find(const char *name) {
  for (size_t i = 0; i < COUNT; i++)
    if (strcmp(commands[i]->name, name) == 0)
      return commands[i];
  return NULL;
}

/* Of a command that compares the one file stands for two. */
static bool reads_input_again(const cli_command *command, const cli_options *options) {
  int times = command->together && options->n_files == 1 ? 2 : 1;
  int count = options->readings && strcmp(options->readings, "-") == 0;
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
  if (command->most_files > 0 && options->n_files > command->most_files)
    return "takes one house file, or two for what differs";
  if (command->read_first && options->n_files < 2)
    return "name a house file and the file of its readings";
  if (command->readings && options->n_files > 1 + command->readings)
    return command->readings > 1 ? "takes a house file and one or two files of readings"
                                 : "takes a house file and one file of readings";
  return NULL;
}

static int run_parsed(const cli_command *command, const cli_options *options) {
  if (options->help)
    return help_of(command, options->output);
  if (!options_fit(options, command->name, command->name))
    return EXIT_USAGE;
  const char *why = command->run ? NULL : unfit_files(command, options);
  if (!why && reads_input_again(command, options))
    why = "standard input can be read once only";
  if (!why && command->unfit)
    why = command->unfit(options);
  if (why)
    fprintf(stderr, "evenbreath %s: %s\n", command->name, why);
  return why ? EXIT_USAGE : command->run ? command->run(options) : command_run(command, options);
}

static int run_named(const char *name, int argc, char **argv) {
  const cli_command *command = command_find(name);
  if (!command) {
    fprintf(stderr, "evenbreath: no command \"%s\"; see evenbreath --help\n", name);
    return EXIT_USAGE;
  }
  cli_options options;
  int result = EXIT_USAGE;
  if (options_parse(&options, name, argc, argv))
    result = run_parsed(command, &options);
  options_free(&options);
  return result;
}

int main(int argc, char **argv) {
  gsl_set_error_handler_off(); /* a full memory is reported, not died of */
  json_start();
  if (argc < 2) {
    help_text(stderr);
    return EXIT_USAGE;
  }
  if (options_word(argv[1], "--help -h help"))
    return help_run();
  if (strcmp(argv[1], "--version") == 0)
    return output_text("evenbreath " EB_VERSION "\n", NULL) ? EXIT_DONE : EXIT_FILE;
  return run_named(argv[1], argc - 1, argv + 1);
}
