/* completion.c - evenbreath completion: what a shell completes, from the lists of commands and
 * options */

#include <string.h>

#include "command.h"
#include "output.h"

/* ---- What may follow --------------------------------------------------- */

/* A command that prints words, where they depend on tables or on how the program was built. */
#define RULE_SETS "evenbreath tables rules 2>/dev/null | sed -n \"s/^  \\([^ ][^ ]*\\) .*/\\1/p\""
#define PICTURES                                                                                   \
  "evenbreath draw --help 2>/dev/null | sed -n \"/^Pictures/,/^\\$/s/^  \\([^ ][^ ]*\\) "          \
  ".*/\\1/p\""

typedef enum value_kind {
  VALUE_NONE,
  VALUE_WORDS,
  VALUE_PRINTED,
  VALUE_FILE,
  VALUE_ANY
} value_kind;

/* What an option's argument is; `words` is filled in, or with the command that prints them. */
static value_kind value_of(const cli_option *option, char *words, size_t size) {
  const char *argument = option->argument;
  if (!argument)
    return VALUE_NONE;
  if (options_word(argument, "FILE DIR"))
    return VALUE_FILE;
  bool sets = strcmp(argument, "SET") == 0, pictures = strcmp(argument, "PICTURE") == 0;
  bool listed = option->words || strchr(argument, '|');
  snprintf(words, size, "%s",
           sets            ? RULE_SETS
           : pictures      ? PICTURES
           : option->words ? option->words
                           : argument);
  for (char *bar = words; listed && (bar = strchr(bar, '|')) != NULL;)
    *bar = ' ';
  return sets || pictures ? VALUE_PRINTED : listed ? VALUE_WORDS : VALUE_ANY;
}

/* A text between single quotes; `escape` stands for such a quote in it. A colon is marked where
 * it would end a name. */
static void write_quoted(const char *text, const char *escape, bool colons, FILE *out) {
  for (; *text; text++) {
    if (*text == '\'')
      fputs(escape, out);
    else if (*text == ':' && colons)
      fputs("\\:", out);
    else
      fputc(*text, out);
  }
}

static void write_commands(FILE *out) {
  size_t count;
  const cli_command *const *list = command_list(&count);
  for (size_t i = 0; i < count; i++)
    fprintf(out, "%s%s", i ? " " : "", list[i]->name);
}

/* ---- bash -------------------------------------------------------------- */

static const char bash_head[] =
    "# bash completion for evenbreath, made by `evenbreath completion bash`\n"
    "_evenbreath() {\n"
    "  local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} words=\n"
    "  local command=${COMP_WORDS[1]} options= first=\n"
    "  COMPREPLY=()\n"
    "  if [[ $current == = ]]; then\n"
    "    current=\n"
    "  elif [[ $before == = ]]; then\n"
    "    before=${COMP_WORDS[COMP_CWORD-2]}\n"
    "  fi\n"
    "  case $before in\n";

static const char bash_tail[] = "  esac\n"
                                "  if ((COMP_CWORD == 1)); then\n"
                                "    words=$commands\n"
                                "  elif [[ $current == -* ]]; then\n"
                                "    words=$options\n"
                                "  elif ((COMP_CWORD == 2)); then\n"
                                "    words=$first\n"
                                "  elif [[ $command == tables && $COMP_CWORD -eq 3 ]]; then\n"
                                "    words=$(evenbreath tables \"$before\" 2>/dev/null | sed -n "
                                "'s/^  \\([^ ][^ ]*\\) .*/\\1/p')\n"
                                "  fi\n"
                                "  COMPREPLY=($(compgen -W \"$words\" -- \"$current\"))\n"
                                "}\n"
                                "complete -o default -F _evenbreath evenbreath\n";

/* Without a reply readline completes file names. */
static void bash_value(const cli_option *option, FILE *out) {
  char words[256];
  value_kind kind = value_of(option, words, sizeof words);
  if (kind == VALUE_NONE)
    return;
  fprintf(out, "  --%s%s%.1s)", option->name, option->letter ? "|-" : "", &option->letter);
  if (kind == VALUE_WORDS || kind == VALUE_PRINTED)
    fprintf(out, " COMPREPLY=($(compgen -W \"%s%s%s\" -- \"$current\"));",
            kind == VALUE_PRINTED ? "$(" : "", words, kind == VALUE_PRINTED ? ")" : "");
  fputs(" return ;;\n", out);
}

static void bash_command(const cli_command *command, FILE *out) {
  size_t count;
  const cli_option *list = options_list(&count);
  fprintf(out, "  %s) first=\"%s\" options=\"", command->name,
          command->words ? command->words : "");
  for (size_t i = 0; i < count; i++)
    if (option_is_of(&list[i], command->name))
      fprintf(out, " --%s", list[i].name);
  fputs("\" ;;\n", out);
}

static void write_bash(FILE *out) {
  size_t n_options, n_commands;
  const cli_option *options = options_list(&n_options);
  const cli_command *const *commands = command_list(&n_commands);
  fputs(bash_head, out);
  for (size_t i = 0; i < n_options; i++)
    bash_value(&options[i], out);
  fputs("  esac\n  local commands=\"", out);
  write_commands(out);
  fputs(" --help --version\"\n  case $command in\n", out);
  for (size_t i = 0; i < n_commands; i++)
    bash_command(commands[i], out);
  fputs(bash_tail, out);
}

/* ---- zsh --------------------------------------------------------------- */

static void zsh_value(const cli_option *option, FILE *out) {
  char words[256];
  value_kind kind = value_of(option, words, sizeof words);
  if (kind == VALUE_NONE)
    return;
  fprintf(out, "  --%s%s%.1s)", option->name, option->letter ? "|-" : "", &option->letter);
  if (kind == VALUE_FILE)
    fputs(" _files", out);
  else if (kind == VALUE_WORDS)
    fprintf(out, " compadd -- %s", words);
  else if (kind == VALUE_PRINTED)
    fprintf(out, " compadd -- $(%s)", words);
  fputs("; return ;;\n", out);
}

static void zsh_described(const char *dashes, const char *name, const char *about, FILE *out) {
  fprintf(out, " '%s%s:", dashes, name);
  write_quoted(about, "'\\''", true, out);
  fputc('\'', out);
}

static void zsh_command(const cli_command *command, FILE *out) {
  size_t count;
  const cli_option *list = options_list(&count);
  fprintf(out, "  %s) first=(%s) options=(", command->name, command->words ? command->words : "");
  for (size_t i = 0; i < count; i++)
    if (option_is_of(&list[i], command->name))
      zsh_described("--", list[i].name, list[i].about, out);
  fputs(") ;;\n", out);
}

static const char zsh_tail[] = "  esac\n"
                               "  if [[ $PREFIX == -* ]]; then\n"
                               "    _describe -o option options\n"
                               "  elif (( CURRENT == 3 && $#first )); then\n"
                               "    compadd -- $first\n"
                               "  elif [[ $command == tables && $CURRENT -eq 4 ]]; then\n"
                               "    compadd -- $(evenbreath tables $before 2>/dev/null | "
                               "sed -n 's/^  \\([^ ][^ ]*\\) .*/\\1/p')\n"
                               "  else\n"
                               "    _files\n"
                               "  fi\n"
                               "}\n"
                               "(( $+functions[compdef] )) && compdef _evenbreath evenbreath\n"
                               "[[ ${funcstack[1]-} == _evenbreath ]] && _evenbreath \"$@\"\n";

static void write_zsh(FILE *out) {
  size_t n_options, n_commands;
  const cli_option *options = options_list(&n_options);
  const cli_command *const *commands = command_list(&n_commands);
  fputs("#compdef evenbreath\n# zsh completion, made by `evenbreath completion zsh`\n"
        "_evenbreath() {\n"
        "  local command=$words[2] before=$words[CURRENT-1]\n"
        "  local -a first options commands=(",
        out);
  for (size_t i = 0; i < n_commands; i++)
    zsh_described("", commands[i]->name, commands[i]->summary, out);
  fputs(")\n  if (( CURRENT == 2 )); then\n    _describe command commands\n    return\n  fi\n"
        "  case $before in\n",
        out);
  for (size_t i = 0; i < n_options; i++)
    zsh_value(&options[i], out);
  fputs("  esac\n  case $command in\n", out);
  for (size_t i = 0; i < n_commands; i++)
    zsh_command(commands[i], out);
  fputs(zsh_tail, out);
}

/* ---- fish -------------------------------------------------------------- */

static void fish_described(const char *about, FILE *out) {
  fputs(" -d '", out);
  write_quoted(about, "\\'", false, out);
  fputs("'\n", out);
}

static void fish_command(const cli_command *command, FILE *out) {
  fprintf(out, "complete -c evenbreath -n __fish_use_subcommand -f -a %s", command->name);
  fish_described(command->summary, out);
  if (command->words)
    fprintf(out,
            "complete -c evenbreath -n '__fish_seen_subcommand_from %s; and test (count "
            "(commandline -opc)) -eq 2' -f -a '%s'\n",
            command->name, command->words);
}

static void fish_option(const cli_option *option, FILE *out) {
  char words[256];
  value_kind kind = value_of(option, words, sizeof words);
  fputs("complete -c evenbreath -n '", out);
  if (option->commands)
    fprintf(out, "__fish_seen_subcommand_from %s", option->commands);
  fprintf(out, "' -l %s", option->name);
  if (option->letter)
    fprintf(out, " -s %c", option->letter);
  if (kind == VALUE_FILE)
    fputs(" -r", out);
  else if (kind == VALUE_WORDS)
    fprintf(out, " -x -a '%s'", words);
  else if (kind == VALUE_PRINTED)
    fprintf(out, " -x -a '(%s)'", words);
  else if (kind == VALUE_ANY)
    fputs(" -x", out);
  fish_described(option->about, out);
}

static void write_fish(FILE *out) {
  size_t n_options, n_commands;
  const cli_option *options = options_list(&n_options);
  const cli_command *const *commands = command_list(&n_commands);
  fputs("# fish completion for evenbreath, made by `evenbreath completion fish`\n", out);
  for (size_t i = 0; i < n_commands; i++)
    fish_command(commands[i], out);
  fputs("complete -c evenbreath -n '__fish_seen_subcommand_from tables; and test (count "
        "(commandline -opc)) -eq 3' -f -a '(evenbreath tables (commandline -opc)[3] 2>/dev/null "
        "| sed -n \"s/^  \\([^ ][^ ]*\\) .*/\\1/p\")'\n",
        out);
  for (size_t i = 0; i < n_options; i++)
    fish_option(&options[i], out);
}

/* ---- The command ------------------------------------------------------- */

static int run(const cli_options *options) {
  static const struct {
    const char *shell;
    void (*write)(FILE *out);
  } shells[] = {{"bash", write_bash}, {"zsh", write_zsh}, {"fish", write_fish}};
  for (size_t i = 0; options->n_files == 1 && i < 3; i++) {
    cli_output output;
    if (strcmp(shells[i].shell, options->files[0]) != 0)
      continue;
    if (!output_open(&output))
      return EXIT_FAULT;
    shells[i].write(output.stream);
    return output_close(&output, options->output) ? EXIT_DONE : EXIT_FILE;
  }
  fputs("evenbreath completion: for which shell: bash, zsh or fish\n", stderr);
  return EXIT_USAGE;
}

const cli_command command_completion = {
    .name = "completion",
    .files = "bash|zsh|fish",
    .words = "bash zsh fish",
    .summary = "what a shell is to complete after evenbreath",
    .help = "Prints a script by which the shell completes commands, their options and what those\n"
            "take. It is installed with the program; for one built in a folder, source it.",
    .examples = "evenbreath completion bash > evenbreath.bash\n"
                "evenbreath completion zsh -o _evenbreath\n",
    .run = run,
};
