/* tables.c - evenbreath tables: what is built in, and where it comes from */

#include <string.h>

#include "command.h"
#include "findings.h"
#include "json.h"
#include "methods.h"
#include "output.h"
#include "sheet.h"

static json_t *table_json(const eb_table_info *table) {
  json_t *object = json_object();
  json_put_text(object, "kind", table->kind);
  json_put_text(object, "name", table->name);
  json_put_text(object, "title", table->title);
  json_put_text(object, "source", table->source);
  json_put_text(object, "known", table->known);
  json_put_text(object, "path", table->path);
  json_t *members = json_array();
  for (size_t i = 0; i < table->n_members; i++)
    json_add(members, json_string(table->members[i]));
  json_put(object, "members", members);
  return object;
}

/* The names a file holds besides its own, in lines of at most 100 columns. */
static void list_members(const eb_table_info *table, FILE *out) {
  enum { INDENT = 25, WIDTH = 100 };
  size_t column = WIDTH;
  for (size_t i = 0; i < table->n_members; i++) {
    size_t length = strlen(table->members[i]) + 2;
    bool fits = column + length <= WIDTH;
    fprintf(out, "%s%s%*s%s", i ? "," : "", i && !fits ? "\n" : "", fits ? 1 : INDENT, "",
            table->members[i]);
    column = fits ? column + length : INDENT + length;
  }
  if (table->n_members > 0)
    fputc('\n', out);
}

static bool list_text(const eb_table_info *tables, size_t count, FILE *out) {
  for (size_t i = 0; i < count; i++) {
    if (i == 0 || strcmp(tables[i].kind, tables[i - 1].kind) != 0)
      fprintf(out, "%s%s\n", i ? "\n" : "", tables[i].kind);
    fprintf(out, "  %-22s %s\n  %-22s %s (%s)\n", tables[i].name, tables[i].title, "",
            tables[i].source, tables[i].known);
    list_members(&tables[i], out);
  }
  return true;
}

static eb_status list(eb_context *context, const cli_options *options, FILE *out, json_t *object) {
  const eb_table_info *tables;
  size_t count;
  const char *kind = options->n_files > 0 ? options->files[0] : NULL;
  eb_status status = eb_tables_list(context, kind, &tables, &count);
  if (status)
    return status;
  json_t *array = json_array();
  for (size_t i = 0; i < count; i++)
    json_add(array, table_json(&tables[i]));
  json_put(object, "tables", array);
  if (!options->json)
    list_text(tables, count, out);
  return EB_OK;
}

static eb_status show(eb_context *context, const cli_options *options, FILE *out, json_t *object) {
  const char *text;
  size_t length;
  eb_status status = eb_table_text(context, options->files[0], options->files[1], &text, &length);
  if (status)
    return status;
  json_put_text(object, "kind", options->files[0]);
  json_put_text(object, "name", options->files[1]);
  json_put(object, "text", json_stringn(text, length));
  if (!options->json)
    fwrite(text, 1, length, out);
  return EB_OK;
}

static eb_status look_up(eb_context *context, const cli_options *options, FILE *out,
                         json_t *object) {
  for (size_t i = options->n_tables; i-- > 0;) {
    eb_status status = eb_tables_search(context, options->tables[i]);
    if (status)
      return status;
  }
  return options->n_files == 2 ? show(context, options, out, object)
                               : list(context, options, out, object);
}

static bool of_methods(const cli_options *options) {
  return options->n_files > 0 && strcmp(options->files[0], "methods") == 0;
}

/* Which of them, NULL: all. */
static const char *method_name(const cli_options *options) {
  return options->n_files > 1 ? options->files[1] : NULL;
}

static json_t *head_json(void) {
  json_t *object = json_object();
  json_put_text(object, "program", "evenbreath");
  json_put_text(object, "version", EB_VERSION);
  json_put_text(object, "command", "tables");
  return object;
}

static eb_status fill(eb_context *context, const cli_options *options, FILE *out) {
  json_t *object = head_json();
  eb_status status = context ? EB_OK : EB_E_MEMORY;
  if (context && of_methods(options) && options->json)
    methods_json(method_name(options), object);
  else if (context && of_methods(options))
    methods_text(method_name(options), out);
  else if (context)
    status = look_up(context, options, out, object);
  if (options->json && context) {
    json_put(object, "findings", findings_json(context));
    json_write(object, out);
  } else if (context) {
    findings_text(context, stderr);
  }
  json_decref(object);
  return json_complete() ? status : EB_E_MEMORY;
}

static int run(const cli_options *options) {
  cli_output output;
  if (options->n_files > 2) {
    fputs("evenbreath tables: takes at most KIND and NAME\n", stderr);
    return EXIT_USAGE;
  }
  if (of_methods(options) && !methods_known(method_name(options))) {
    fprintf(stderr, "evenbreath tables: no method and no group of methods is called \"%s\"\n",
            options->files[1]);
    return EXIT_USAGE;
  }
  if (!output_open(&output))
    return EXIT_FAULT;
  eb_context *context = eb_context_new(NULL);
  eb_status status = fill(context, options, output.stream);
  eb_context_free(context);
  if (status && !options->json) {
    output_drop(&output);
    return exit_of(status);
  }
  if (!output_close(&output, options->output))
    return EXIT_FILE;
  return exit_of(status);
}

const cli_command command_tables = {
    .name = "tables",
    .files = "[KIND [NAME]]",
    .words = "rules ducts fittings valves units climates baselines methods",
    .summary = "what is built in: rules, ducts, fittings, climates ...",
    .help =
        "Without a name: lists rules, ducts, fittings, valves, units, climates and baselines\n"
        "with their source and how each is known (read, quoted, memory, invented).\n"
        "With KIND and NAME: shows that table as it stands in its file. `tables methods`: every\n"
        "formula and rule of procedure that --explain names, with where it holds and its\n"
        "source; `tables methods NAME` one of them or a group of them.",
    .examples = "evenbreath tables valves\nevenbreath tables rules england-2021\n",
    .run = run,
};
