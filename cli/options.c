#define _GNU_SOURCE /* getopt_long */
#include "options.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>

typedef struct described {
  struct option option;
  const char *argument, *about;
} described;

static const described list[] = {
    {{"json", no_argument, NULL, 'j'}, "", "results and findings as one JSON object"},
    {{"csv", no_argument, NULL, 'c'}, "", "parts: the list as comma-separated values"},
    {{"explain", no_argument, NULL, 'e'}, "", "show for each number its rule, inputs and source"},
    {{"units", required_argument, NULL, 'u'}, "si|metric|imperial", "l/s (default), m3/h or cfm"},
    {{"rules", required_argument, NULL, 'r'},
     "SET",
     "plan by this rule set; rates: all, one line each"},
    {{"set", required_argument, NULL, 's'}, "PATH=VALUE", "override a value of the file"},
    {{"tables", required_argument, NULL, 't'}, "DIR", "look for tables here first"},
    {{"output", required_argument, NULL, 'o'}, "FILE", "write here, whole or not at all"},
    {{"method", required_argument, NULL, 'm'},
     "NAME",
     "ducts: sizes by life-cycle, equal-friction, velocity or static-regain"},
    {{"write", required_argument, NULL, 'w'}, "FILE", "ducts: the house with its sizes filled in"},
    {{"sketch", required_argument, NULL, 'k'},
     "radial|branched",
     "ducts: propose runs from positions, as a house file"},
    {{"detail", no_argument, NULL, 'd'},
     "",
     "energy: the air by month, moisture, summer, hot water too"},
    {{"readings", required_argument, NULL, 'g'},
     "FILE",
     "energy: readings on site; the unit is diagnosed from them"},
    {{"jobs", required_argument, NULL, 'n'}, "N", "batch: so many houses at a time, 1 to 64"},
    {{"sheet", no_argument, NULL, 'b'}, "", "balance: a blank form, in the order to go round"},
    {{"show", required_argument, NULL, 'p'},
     "PICTURE",
     "draw: this picture; all: a page each, PDF"},
    {{"paper", required_argument, NULL, 'a'}, "a4|letter", "draw: what it is to be printed on"},
    {{"strict", no_argument, NULL, 'x'}, "", "exit 1 where something does not comply"},
    {{"timings", no_argument, NULL, 'i'}, "", "say on standard error how long it took"},
    {{"help", no_argument, NULL, 'h'}, "", "say what this command does"},
};
enum { COUNT = sizeof list / sizeof list[0] };

void options_help(FILE *out) {
  for (size_t i = 0; i < COUNT; i++) {
    char left[48];
    const char *letter = strchr("oh", list[i].option.val)
                             ? (char[]){'-', (char)list[i].option.val, ',', ' ', 0}
                             : "    ";
    snprintf(left, sizeof left, "%s--%s %s", letter, list[i].option.name, list[i].argument);
    fprintf(out, "  %-34s %s\n", left, list[i].about);
  }
}

static bool set_units(cli_options *options, const char *name) {
  options->units = units_find(name);
  if (!options->units)
    fprintf(stderr, "evenbreath: --units takes si, metric or imperial, not \"%s\"\n", name);
  return options->units != NULL;
}

static bool set_method(cli_options *options, const char *name) {
  static const char *const methods[] = {"life-cycle", "equal-friction", "velocity",
                                        "static-regain"};
  for (int i = 0; i < 4; i++)
    if (strcmp(methods[i], name) == 0) {
      options->sizing = (eb_sizing)(i + EB_SIZING_LIFE_CYCLE);
      return true;
    }
  fprintf(stderr,
          "evenbreath: --method takes life-cycle, equal-friction, velocity or static-regain, not "
          "\"%s\"\n",
          name);
  return false;
}

static bool set_layout(cli_options *options, const char *name) {
  options->layout = strcmp(name, "branched") == 0 ? EB_LAYOUT_BRANCHED : EB_LAYOUT_RADIAL;
  options->sketch = options->layout == EB_LAYOUT_BRANCHED || strcmp(name, "radial") == 0;
  if (!options->sketch)
    fprintf(stderr, "evenbreath: --sketch takes radial or branched, not \"%s\"\n", name);
  return options->sketch;
}

/* ISO 216 and ANSI Y14.1 */
static const cli_paper papers[] = {{"a4", 595.28, 841.89}, {"letter", 612, 792}};

static bool set_paper(cli_options *options, const char *name) {
  for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i++)
    if (strcmp(papers[i].name, name) == 0) {
      options->paper = &papers[i];
      return true;
    }
  fprintf(stderr, "evenbreath: --paper takes a4 or letter, not \"%s\"\n", name);
  return false;
}

static bool set_jobs(cli_options *options, const char *text) {
  char *end;
  long jobs = strtol(text, &end, 10);
  if (end == text || *end || jobs < 1 || jobs > OPTIONS_MOST_JOBS) {
    fprintf(stderr, "evenbreath: --jobs takes a number from 1 to %d, not \"%s\"\n",
            OPTIONS_MOST_JOBS, text);
    return false;
  }
  options->jobs = (int)jobs;
  return true;
}

static bool add_override(cli_options *options, const char *text) {
  const char *equals = strchr(text, '=');
  if (!equals || equals == text) {
    fprintf(stderr, "evenbreath: --set takes PATH=VALUE, for example levels.low=60%%, not \"%s\"\n",
            text);
    return false;
  }
  options->overrides[options->n_overrides++] = text;
  return true;
}

static bool take(cli_options *options, int letter, const char *argument) {
  switch (letter) {
  case 'j':
    return options->json = true;
  case 'c':
    return options->csv = true;
  case 'e':
    return options->explain = true;
  case 'b':
    return options->blank = true;
  case 'd':
    return options->detail = true;
  case 'x':
    return options->strict = true;
  case 'i':
    return options->timings = true;
  case 'h':
    return options->help = true;
  case 'u':
    return set_units(options, argument);
  case 's':
    return add_override(options, argument);
  case 't':
    options->tables[options->n_tables++] = argument;
    return true;
  case 'r':
    options->rules = argument;
    return true;
  case 'm':
    return set_method(options, argument);
  case 'n':
    return set_jobs(options, argument);
  case 'k':
    return set_layout(options, argument);
  case 'a':
    return set_paper(options, argument);
  case 'p':
    options->show = argument;
    return true;
  case 'w':
    options->write = argument;
    return true;
  case 'g':
    options->readings = argument;
    return true;
  case 'o':
    options->output = argument;
    return true;
  default:
    return false; /* getopt_long has said why */
  }
}

bool options_parse(cli_options *options, const char *command, int argc, char **argv) {
  memset(options, 0, sizeof *options);
  options->units = units_find("si");
  options->paper = &papers[0];
  options->overrides = calloc((size_t)argc + 1, sizeof(char *));
  options->tables = calloc((size_t)argc + 1, sizeof(char *));
  if (!options->overrides || !options->tables) {
    fputs("evenbreath: memory ran out\n", stderr);
    return false;
  }
  struct option known[COUNT + 1] = {0};
  for (size_t i = 0; i < COUNT; i++)
    known[i] = list[i].option;
  for (int letter; (letter = getopt_long(argc, argv, "o:h", known, NULL)) != -1;)
    if (!take(options, letter, optarg)) {
      fprintf(stderr, "Try: evenbreath %s --help\n", command);
      return false;
    }
  options->files = argv + optind;
  options->n_files = argc - optind;
  return true;
}

void options_free(cli_options *options) {
  free(options->overrides);
  free(options->tables);
}
