/* schema.c - evenbreath schema: what may stand in a file, as a JSON Schema for editors */

#include <string.h>

#include "command.h"
#include "json.h"
#include "output.h"

static json_t *schema_json(const eb_schema *schema);

static json_t *word_list(const char *const *words, size_t count) {
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++)
    json_add(list, json_string(words[i]));
  return list;
}

static json_t *schema_list(const eb_schema *members, size_t count) {
  json_t *list = json_array();
  for (size_t i = 0; i < count; i++)
    json_add(list, schema_json(&members[i]));
  return list;
}

static void put_mapping(const eb_schema *schema, json_t *object) {
  json_t *keys = json_object(), *required = json_array();
  for (size_t i = 0; i < schema->n_members; i++) {
    json_put(keys, schema->members[i].key, schema_json(&schema->members[i]));
    if (schema->members[i].required)
      json_add(required, json_string(schema->members[i].key));
  }
  json_put_text(object, "type", "object");
  json_put(object, "properties", keys);
  json_put(object, "required", required);
  json_put(object, "additionalProperties", json_false());
}

static void put_limits(const eb_schema *schema, const char *least, const char *most,
                       json_t *object) {
  if (schema->least > 0)
    json_put(object, least, json_integer((json_int_t)schema->least));
  if (schema->most > 0)
    json_put(object, most, json_integer((json_int_t)schema->most));
}

static void put_named(const eb_schema *schema, json_t *object) {
  json_put_text(object, "type", "object");
  json_put(object, "additionalProperties", schema_json(schema->members));
  put_limits(schema, "minProperties", "maxProperties", object);
}

static void put_list(const eb_schema *schema, json_t *object) {
  json_put_text(object, "type", "array");
  json_put(object, "items", schema_json(schema->members));
  put_limits(schema, "minItems", "maxItems", object);
}

static void put_row(const eb_schema *schema, json_t *object) {
  json_put_text(object, "type", "array");
  json_put(object, "items", schema_list(schema->members, schema->n_members));
  json_put(object, "additionalItems", json_false());
  put_limits(schema, "minItems", "maxItems", object);
}

/* A name may look like a number or a truth to YAML; the reader takes its text. */
static void put_text(const eb_schema *schema, json_t *object) {
  static const char *const scalars[] = {"string", "number", "boolean"};
  if (schema->pattern) {
    json_put_text(object, "type", "string");
    json_put_text(object, "pattern", schema->pattern);
    return;
  }
  json_put(object, "type", word_list(scalars, 3));
  json_put(object, "minLength", json_integer(1));
}

static void put_word(const eb_schema *schema, json_t *object) {
  json_put(object, "enum", word_list(schema->words, schema->n_words));
}

/* Editors see true and false as such, or in quotes as texts. */
static void put_bool(json_t *object) {
  static const char *const words[] = {"yes", "no", "true", "false"};
  json_t *list = word_list(words, 4);
  json_add(list, json_true());
  json_add(list, json_false());
  json_put(object, "enum", list);
}

static void put_number(const eb_schema *schema, json_t *object) {
  json_put_text(object, "type", schema->whole ? "integer" : "number");
  json_put_number(object, "minimum", schema->low);
  json_put_number(object, "maximum", schema->high);
}

static json_t *schema_json(const eb_schema *schema) {
  json_t *object = json_object();
  if (*schema->about)
    json_put_text(object, "description", schema->about);
  switch (schema->kind) {
  case EB_SCHEMA_MAPPING:
    put_mapping(schema, object);
    break;
  case EB_SCHEMA_NAMED:
    put_named(schema, object);
    break;
  case EB_SCHEMA_LIST:
    put_list(schema, object);
    break;
  case EB_SCHEMA_ROW:
    put_row(schema, object);
    break;
  case EB_SCHEMA_EITHER:
    json_put(object, "anyOf", schema_list(schema->members, schema->n_members));
    break;
  case EB_SCHEMA_TEXT:
    put_text(schema, object);
    break;
  case EB_SCHEMA_WORD:
    put_word(schema, object);
    break;
  case EB_SCHEMA_BOOL:
    put_bool(object);
    break;
  case EB_SCHEMA_NUMBER:
    put_number(schema, object);
    break;
  }
  return object;
}

static json_t *document(const char *kind, const eb_schema *schema) {
  char title[64];
  json_t *object = json_object(), *rest = schema_json(schema);
  snprintf(title, sizeof title, "evenbreath %s %s", EB_VERSION, kind);
  json_put_text(object, "$schema", "http://json-schema.org/draft-07/schema#");
  json_put_text(object, "title", title);
  (void)!json_object_update(object, rest);
  json_decref(rest);
  return object;
}

static int write_schema(const char *kind, FILE *out) {
  const eb_schema *schema;
  eb_context *context = eb_context_new(NULL);
  eb_status status = context ? eb_schema_of(context, kind, &schema) : EB_E_MEMORY;
  json_t *object = status ? NULL : document(kind, schema);
  bool good = object && json_write(object, out);
  json_decref(object);
  eb_context_free(context);
  return good ? EXIT_DONE : EXIT_FAULT;
}

static int run(const cli_options *options) {
  cli_output output;
  if (options->n_files != 1 || !options_word(options->files[0], command_schema.words)) {
    fputs("evenbreath schema: of which file: house or readings\n", stderr);
    return EXIT_USAGE;
  }
  if (!output_open(&output))
    return EXIT_FAULT;
  int status = write_schema(options->files[0], output.stream);
  if (status) {
    fputs("evenbreath: memory ran out\n", stderr);
    output_drop(&output);
    return status;
  }
  return output_close(&output, options->output) ? EXIT_DONE : EXIT_FILE;
}

const cli_command command_schema = {
    .name = "schema",
    .files = "house|readings",
    .words = "house readings",
    .summary = "what may stand in a file, for an editor that completes and checks",
    .help = "Prints a JSON Schema (draft 7) of house files or of readings: every key with what it\n"
            "is, its unit and range. An editor that knows such schemas completes keys and words,\n"
            "shows what each is for and underlines what would be refused. A file names its\n"
            "schema in a comment:\n\n"
            "# yaml-language-server: $schema=house.schema.json",
    .examples = "evenbreath schema house -o house.schema.json\n"
                "evenbreath schema readings -o readings.schema.json\n",
    .run = run,
};
