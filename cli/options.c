/* options.c - reads the command line, and says what does not go together */

#define _GNU_SOURCE /* getopt_long */
#include "options.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>

/* ---- What does not go together ---- */

static bool is_given(const cli_options *options, size_t row) {
  return options->given >> row & 1;
}

/* The first given of the options that this one does not go with. */
static const cli_option *clash(const cli_options *options, const cli_option *option) {
  size_t count;
  const cli_option *list = options_list(&count);
  for (size_t i = 0; option->without && i < count; i++)
    if (is_given(options, i) && options_word(list[i].name, option->without))
      return &list[i];
  return NULL;
}

/* "--csv is for parts and record"; of many commands the one without is named. Where batch takes an
 * option, it is because of the others. */
static void say_whose(const cli_option *option) {
  enum { MOST_NAMED = 3 };
  const char *names[MOST_NAMED + 1];
  int lengths[MOST_NAMED + 1], count = 0;
  bool batch_alone = strcmp(option->commands, "batch") == 0;
  for (const char *at = option->commands; *at && count <= MOST_NAMED; at += strspn(at, " ")) {
    names[count] = at;
    at += lengths[count] = (int)strcspn(at, " ");
    count += batch_alone || strncmp(names[count], "batch", 5) != 0;
  }
  if (count > MOST_NAMED) {
    fprintf(stderr, "takes no --%s\n", option->name);
    return;
  }
  fprintf(stderr, "--%s is for ", option->name);
  for (int i = 0; i < count; i++)
    fprintf(stderr, "%s%.*s", i == 0 ? "" : i + 1 == count ? " and " : ", ", lengths[i], names[i]);
  fputc('\n', stderr);
}

bool options_fit(const cli_options *options, const char *speaker, const char *command) {
  size_t n_options;
  const cli_option *list = options_list(&n_options);
  for (size_t i = 0; i < n_options; i++) {
    const cli_option *option = &list[i], *other = clash(options, option);
    if (!is_given(options, i))
      continue;
    bool own = option_is_of(option, command) ||
               (option->commands && strcmp(option->commands, speaker) == 0);
    if (own && !other && !(option->one_file && options->n_files > 1))
      continue;
    fprintf(stderr, "evenbreath %s: ", speaker);
    if (!own)
      say_whose(option);
    else if (other)
      fprintf(stderr, "--%s goes without --%s\n", option->name, other->name);
    else
      fprintf(stderr, "--%s takes one file only\n", option->name);
    return false;
  }
  if (options->rules && strcmp(options->rules, "all") == 0 &&
      !options_word(command, "rates batch")) {
    fprintf(stderr, "evenbreath %s: --rules all is for rates\n", speaker);
    return false;
  }
  return true;
}

/* ---- Parsing ---- */

enum { FIRST_ROW = 256 }; /* above every letter */

/* The row of what getopt_long has found; NULL where it has said what is wrong. */
static const cli_option *found(int value) {
  size_t count;
  const cli_option *list = options_list(&count);
  for (size_t i = 0; i < count; i++)
    if (value == FIRST_ROW + (int)i || (list[i].letter && value == list[i].letter))
      return &list[i];
  return NULL;
}

static bool parse(cli_options *options, int argc, char **argv) {
  struct option known[OPTIONS_AT_MOST + 1] = {0};
  size_t count;
  const cli_option *list = options_list(&count);
  for (size_t i = 0; i < count; i++)
    known[i] = (struct option){list[i].name, list[i].argument ? required_argument : no_argument,
                               NULL, FIRST_ROW + (int)i};
  for (int value; (value = getopt_long(argc, argv, "o:h", known, NULL)) != -1;) {
    const cli_option *option = found(value);
    if (!option || !option->take(options, option->place, optarg))
      return false;
    options->given |= 1ull << (option - list);
  }
  options->files = argv + optind;
  options->n_files = argc - optind;
  return true;
}

bool options_parse(cli_options *options, const char *command, int argc, char **argv) {
  char name[64]; /* as getopt_long is to call us */
  *options = (cli_options){
      .units = units_find("si"), .paper = options_paper("a4"), .bedrooms = 3, .storeys = 2};
  options->overrides = calloc((size_t)argc + 1, sizeof(char *));
  options->tables = calloc((size_t)argc + 1, sizeof(char *));
  options->rooms = calloc((size_t)argc + 1, sizeof(char *));
  if (!options->overrides || !options->tables || !options->rooms) {
    fputs("evenbreath: memory ran out\n", stderr);
    return false;
  }
  snprintf(name, sizeof name, "evenbreath %s", command);
  char *own = argv[0];
  argv[0] = name;
  bool good = parse(options, argc, argv);
  if (!good)
    fprintf(stderr, "Try: evenbreath %s --help\n", command);
  argv[0] = own;
  return good;
}

void options_free(cli_options *options) {
  free(options->overrides);
  free(options->tables);
  free(options->rooms);
}
