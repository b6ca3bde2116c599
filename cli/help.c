/* help.c - --help from the lists of commands and options, within 80 columns */

#include "help.h"

#include <string.h>

#include "output.h"
#include "wrapped.h"

enum { WIDTH = 80 };

static const char intro[] =
    "evenbreath - whole-house supply-and-extract ventilation with heat recovery\n\n"
    "  evenbreath COMMAND [options] FILE...\n\n"
    "FILE is a house in YAML, - standard input.\n\n";

/* Words of a text one after the other; an empty line stays one. */
static void fill(const char *text, FILE *out) {
  size_t column = 0;
  for (const char *at = text; *at; at += strspn(at, " ")) {
    if (*at == '\n') {
      at++;
      if (*at == '\n' && column > 0)
        fputs("\n\n", out);
      column = *at == '\n' ? 0 : column;
      continue;
    }
    size_t length = strcspn(at, " \n");
    bool fits = column + 1 + length <= WIDTH;
    fprintf(out, "%s%.*s", column == 0 ? "" : fits ? " " : "\n", (int)length, at);
    column = length + (column > 0 && fits ? column + 1 : 0);
    at += length;
  }
  fputc('\n', out);
}

/* "ducts: " before what few commands take, where all options stand together. */
static void write_option(const cli_option *option, bool whose, FILE *out) {
  static const size_t widths[] = {0, 30, 46};
  char left[64], about[256];
  snprintf(left, sizeof left, "%s%c%s --%s %s", option->letter ? "-" : " ",
           option->letter ? option->letter : ' ', option->letter ? "," : " ", option->name,
           option->argument ? option->argument : "");
  bool named = whose && option->commands && strlen(option->commands) < 24;
  snprintf(about, sizeof about, "%s%s%s", named ? option->commands : "", named ? ": " : "",
           option->about);
  const char *cells[] = {"", left, about};
  wrapped_row(cells, widths, 3, out);
}

/* Of one command, or NULL: of all. */
static void write_options(const char *command, FILE *out) {
  size_t count;
  const cli_option *list = options_list(&count);
  for (size_t i = 0; i < count; i++)
    if (!command || option_is_of(&list[i], command))
      write_option(&list[i], !command, out);
}

void help_text(FILE *out) {
  static const size_t widths[] = {0, 10, 66};
  size_t count;
  const cli_command *const *list = command_list(&count);
  fputs(intro, out);
  for (size_t i = 0; i < count; i++) {
    const char *cells[] = {"", list[i]->name, list[i]->summary};
    wrapped_row(cells, widths, 3, out);
  }
  fputs("\nOptions\n", out);
  write_options(NULL, out);
  fputs("\n  evenbreath COMMAND --help says more, with examples; evenbreath --version\n"
        "  names this version.\n\n"
        "Results are design aids: local codes and licensed people decide.\n",
        out);
}

int help_run(void) {
  cli_output output;
  if (!output_open(&output))
    return EXIT_FAULT;
  help_text(output.stream);
  return output_close(&output, NULL) ? EXIT_DONE : EXIT_FILE;
}

static void write_examples(const char *lines, FILE *out) {
  fputs("\nExamples\n", out);
  for (size_t length; *lines; lines += length + (lines[length] == '\n')) {
    length = strcspn(lines, "\n");
    fprintf(out, "  %.*s\n", (int)length, lines);
  }
}

int help_of(const cli_command *command, const char *file) {
  cli_output output;
  if (!output_open(&output))
    return EXIT_FAULT;
  const char *files = command->files ? command->files : "FILE...";
  fprintf(output.stream, "evenbreath %s [options]%s%s\n\n", command->name, *files ? " " : "",
          files);
  fill(command->help, output.stream);
  if (command->help_more)
    command->help_more(output.stream);
  fputs("\nOptions\n", output.stream);
  write_options(command->name, output.stream);
  if (command->examples)
    write_examples(command->examples, output.stream);
  return output_close(&output, file) ? EXIT_DONE : EXIT_FILE;
}
