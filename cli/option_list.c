/* option_list.c - every option: its argument, the commands that take it, what it does */

#include <stdlib.h>
#include <string.h>

#include "options.h"

/* ---- Taking an argument ---- */

static bool take_flag(cli_options *options, size_t place, const char *argument) {
  (void)argument;
  *(bool *)((char *)options + place) = true;
  return true;
}

static bool take_text(cli_options *options, size_t place, const char *argument) {
  *(const char **)((char *)options + place) = argument;
  return true;
}

static bool take_output(cli_options *options, size_t place, const char *argument) {
  return take_text(options, place, strcmp(argument, "-") == 0 ? NULL : argument);
}

static bool take_units(cli_options *options, size_t place, const char *name) {
  (void)place;
  options->units = units_find(name);
  if (!options->units)
    fprintf(stderr, "evenbreath: --units takes si, metric or imperial, not \"%s\"\n", name);
  return options->units != NULL;
}

static bool take_method(cli_options *options, size_t place, const char *name) {
  static const char *const methods[] = {"life-cycle", "equal-friction", "velocity",
                                        "static-regain"};
  (void)place;
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

static bool take_layout(cli_options *options, size_t place, const char *name) {
  (void)place;
  options->layout = strcmp(name, "branched") == 0 ? EB_LAYOUT_BRANCHED : EB_LAYOUT_RADIAL;
  options->sketch = options->layout == EB_LAYOUT_BRANCHED || strcmp(name, "radial") == 0;
  if (!options->sketch)
    fprintf(stderr, "evenbreath: --sketch takes radial or branched, not \"%s\"\n", name);
  return options->sketch;
}

/* ISO 216 and ANSI Y14.1 */
static const cli_paper papers[] = {{"a4", 595.28, 841.89}, {"letter", 612, 792}};

const cli_paper *options_paper(const char *name) {
  for (size_t i = 0; i < sizeof papers / sizeof papers[0]; i++)
    if (strcmp(papers[i].name, name) == 0)
      return &papers[i];
  return NULL;
}

static bool take_paper(cli_options *options, size_t place, const char *name) {
  (void)place;
  options->paper = options_paper(name);
  if (!options->paper)
    fprintf(stderr, "evenbreath: --paper takes a4 or letter, not \"%s\"\n", name);
  return options->paper != NULL;
}

static bool whole_number(const char *name, const char *text, long least, long most, int *number) {
  char *end;
  long value = strtol(text, &end, 10);
  *number = (int)value;
  if (end != text && !*end && value >= least && value <= most)
    return true;
  fprintf(stderr, "evenbreath: --%s takes a number from %ld to %ld, not \"%s\"\n", name, least,
          most, text);
  return false;
}

static bool take_jobs(cli_options *options, size_t place, const char *text) {
  (void)place;
  return whole_number("jobs", text, 1, OPTIONS_MOST_JOBS, &options->jobs);
}

static bool take_bedrooms(cli_options *options, size_t place, const char *text) {
  (void)place;
  return whole_number("bedrooms", text, 0, 20, &options->bedrooms);
}

static bool take_storeys(cli_options *options, size_t place, const char *text) {
  (void)place;
  return whole_number("storeys", text, 1, 20, &options->storeys);
}

static bool take_override(cli_options *options, size_t place, const char *text) {
  const char *equals = strchr(text, '=');
  (void)place;
  if (!equals || equals == text) {
    fprintf(stderr, "evenbreath: --set takes PATH=VALUE, for example levels.low=60%%, not \"%s\"\n",
            text);
    return false;
  }
  options->overrides[options->n_overrides++] = text;
  return true;
}

static bool take_tables(cli_options *options, size_t place, const char *folder) {
  (void)place;
  options->tables[options->n_tables++] = folder;
  return true;
}

static bool take_room(cli_options *options, size_t place, const char *text) {
  (void)place;
  options->rooms[options->n_rooms++] = text;
  return true;
}

/* ---- The list ---- */

/* Commands on houses: a new one is named here. */
#define PRINTED "check rates ducts energy parts compare balance record batch "
#define HOUSES PRINTED "report draw "
#define FLAG(field) .take = take_flag, .place = offsetof(cli_options, field)
#define TEXT(field) .take = take_text, .place = offsetof(cli_options, field)

static const cli_option list[] = {
    {.name = "json",
     .commands = PRINTED "tables",
     FLAG(json),
     .about = "results and findings as one JSON object"},
    {.name = "csv",
     .commands = "parts record",
     .without = "json explain",
     FLAG(csv),
     .about = "the list as comma-separated values"},
    {.name = "explain",
     .commands = PRINTED,
     FLAG(explain),
     .about = "show for each number its rule, inputs and source"},
    {.name = "units",
     .argument = "si|metric|imperial",
     .commands = HOUSES,
     .take = take_units,
     .about = "l/s (default), m3/h or cfm"},
    {.name = "rules",
     .argument = "SET",
     .commands = HOUSES "new",
     TEXT(rules),
     .about = "plan by this rule set; for rates also all: a line for each"},
    {.name = "set",
     .argument = "PATH=VALUE",
     .commands = HOUSES,
     .take = take_override,
     .about = "override a value of the file"},
    {.name = "method",
     .argument = "NAME",
     .commands = "ducts batch",
     .words = "life-cycle equal-friction velocity static-regain",
     .take = take_method,
     .about = "sizes by life-cycle, equal-friction, velocity or static-regain"},
    {.name = "write",
     .argument = "FILE",
     .commands = "ducts",
     .one_file = true,
     TEXT(write),
     .about = "the house with its sizes filled in"},
    {.name = "sketch",
     .argument = "radial|branched",
     .commands = "ducts",
     .without = "write method json",
     .one_file = true,
     .take = take_layout,
     .about = "propose runs from positions, as a house file"},
    {.name = "detail",
     .commands = "energy batch",
     FLAG(detail),
     .about = "the air by month, moisture, summer and hot water too"},
    {.name = "readings",
     .argument = "FILE",
     .commands = "energy",
     .one_file = true,
     TEXT(readings),
     .about = "readings on site; the unit is diagnosed from them"},
    {.name = "sheet",
     .commands = "balance",
     .without = "json",
     .one_file = true,
     FLAG(blank),
     .about = "a blank form, in the order to go round"},
    {.name = "show",
     .argument = "PICTURE",
     .commands = "draw",
     TEXT(show),
     .about = "this picture; all: a page each, PDF"},
    {.name = "paper",
     .argument = "a4|letter",
     .commands = "report record draw",
     .take = take_paper,
     .about = "the sheet that a PDF is for"},
    {.name = "jobs",
     .argument = "N",
     .commands = "batch",
     .take = take_jobs,
     .about = "so many houses at a time, 1 to 64"},
    {.name = "name",
     .argument = "TEXT",
     .commands = "new",
     TEXT(name),
     .about = "what the dwelling is called"},
    {.name = "bedrooms",
     .argument = "N",
     .commands = "new",
     .take = take_bedrooms,
     .about = "how many bedrooms (3)"},
    {.name = "storeys",
     .argument = "N",
     .commands = "new",
     .take = take_storeys,
     .about = "how many floors (2)"},
    {.name = "room",
     .argument = "NAME=AREA",
     .commands = "new",
     .take = take_room,
     .about = "a room, as in kitchen=13.5m2 or snug:living=9m2; may be given again, and then only "
              "these rooms are written"},
    {.name = "tables",
     .argument = "DIR",
     .commands = HOUSES "tables",
     .take = take_tables,
     .about = "look for tables here first"},
    {.name = "output",
     .letter = 'o',
     .argument = "FILE",
     .take = take_output,
     .place = offsetof(cli_options, output),
     .about = "write here, whole or not at all"},
    {.name = "strict",
     .commands = HOUSES,
     FLAG(strict),
     .about = "exit 1 where something does not comply"},
    {.name = "timings",
     .commands = HOUSES,
     FLAG(timings),
     .about = "say on standard error how long it took"},
    {.name = "help", .letter = 'h', FLAG(help), .about = "say what this command does"},
};
enum { COUNT = sizeof list / sizeof list[0] };
_Static_assert((int)COUNT <= (int)OPTIONS_AT_MOST, "a bit of `given` for each");

const cli_option *options_list(size_t *count) {
  *count = COUNT;
  return list;
}

bool option_is_of(const cli_option *option, const char *command) {
  return !option->commands || options_word(command, option->commands);
}

bool options_word(const char *word, const char *words) {
  size_t length = strlen(word);
  for (const char *at = words; *at; at += strspn(at, " ")) {
    size_t here = strcspn(at, " ");
    if (here == length && strncmp(at, word, here) == 0)
      return true;
    at += here;
  }
  return false;
}
