/* schema.c - what may stand in a file, told from the tables that files are read by */

#include <string.h>

#include "input/house_read.h"
#include "input/readings_read.h"

/* A number as ebi_number_read takes it. */
#define NUMBER "[-+]?[0-9]+(\\.[0-9]+)?([eE][-+]?[0-9]+)?"

typedef struct builder {
  ebi_arena *arena;
  bool failed; /* memory ran out */
} builder;

static void build(builder *b, const ebi_field *field, eb_schema *node);

/* ---- Texts ------------------------------------------------------------- */

#if defined __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
static const char *
text(builder *b, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const char *made = ebi_arena_format_list(b->arena, format, arguments);
  va_end(arguments);
  b->failed = b->failed || made == NULL;
  return made ? made : "";
}

/* A text as a regular expression that matches it alone. */
static const char *literal(builder *b, const char *name, size_t length) {
  char *made = ebi_arena_array(b->arena, 2 * length + 1, 1);
  size_t used = 0;
  for (size_t i = 0; made != NULL && i < length; i++) {
    if (strchr(".^$*+?()[]{}|\\", name[i]) != NULL)
      made[used++] = '\\';
    made[used++] = name[i];
  }
  b->failed = b->failed || made == NULL;
  return made ? made : "";
}

/* A number with each spelling of each unit of the kind. */
static const char *quantity_pattern(builder *b, ebi_kind kind) {
  const char *units = "";
  size_t length;
  bool bare = false;
  for (size_t i = 0;; i++) {
    const char *name = ebi_kind_spelling(kind, i, &length);
    if (name == NULL)
      break;
    bare = bare || length == 0;
    if (length > 0)
      units = text(b, "%s%s%s", units, *units ? "|" : "", literal(b, name, length));
  }
  return *units ? text(b, NUMBER " *(%s)%s", units, bare ? "?" : "") : NUMBER;
}

static const char *whole_pattern(builder *b, const char *pattern) {
  return text(b, "^ *%s *$", pattern);
}

/* The pattern of a text, in which # stands for a number. */
static const char *text_pattern(builder *b, const char *pattern) {
  const char *number = strchr(pattern, '#');
  if (number == NULL)
    return text(b, "^(%s)$", pattern);
  return text(b, "^ *%.*s" NUMBER "%s$", (int)(number - pattern), pattern, number + 1);
}

static const char *range_text(builder *b, const ebi_field *field) {
  ebi_shown low = ebi_quantity_show(field->low, field->kind);
  ebi_shown high = ebi_quantity_show(field->high, field->kind);
  return text(b, "%.12g to %.12g%s%s", low.value, high.value, *high.unit ? " " : "", high.unit);
}

/* "a flow in l/s, m3/h or cfm, 0 to 10 l/s" */
static const char *quantity_text(builder *b, const ebi_field *field) {
  if (field->type == EBI_FIELD_COUNT)
    return text(b, "a whole number, %.12g to %.12g", field->low, field->high);
  if (field->kind == EBI_NUMBER)
    return text(b, "a number, %s", range_text(b, field));
  return text(b, "%s in %s; %s", ebi_kind_name(field->kind), ebi_kind_units(field->kind),
              range_text(b, field));
}

static void add_about(builder *b, eb_schema *node, const char *more) {
  node->about = *node->about ? text(b, "%s: %s", node->about, more) : more;
}

/* ---- Single values ----------------------------------------------------- */

static eb_schema *members(builder *b, eb_schema *node, size_t count) {
  eb_schema *made = EBI_NEW_ARRAY(b->arena, eb_schema, count);
  b->failed = b->failed || made == NULL;
  for (size_t i = 0; made != NULL && i < count; i++)
    made[i] = (eb_schema){.kind = EB_SCHEMA_TEXT, .about = ""};
  node->members = made;
  node->n_members = made ? count : 0;
  return made;
}

/* A scalar without a unit reaches an editor as a number, or, in quotes, as a text. */
static void build_bare(builder *b, const ebi_field *field, eb_schema *node) {
  bool whole = field->type == EBI_FIELD_COUNT;
  node->kind = EB_SCHEMA_EITHER;
  eb_schema *either = members(b, node, 2);
  if (either == NULL)
    return;
  either[0].kind = EB_SCHEMA_NUMBER;
  either[0].low = field->low;
  either[0].high = field->high;
  either[0].whole = whole;
  either[1].pattern = whole_pattern(b, whole ? NUMBER : quantity_pattern(b, field->kind));
}

static void build_quantity(builder *b, const ebi_field *field, eb_schema *node) {
  bool bare = field->type == EBI_FIELD_COUNT || field->kind == EBI_NUMBER ||
              field->kind == EBI_RATIO || field->kind == EBI_ANGLE;
  add_about(b, node, quantity_text(b, field));
  if (bare)
    build_bare(b, field, node);
  else
    node->pattern = whole_pattern(b, quantity_pattern(b, field->kind));
}

static void build_at(builder *b, const ebi_field *field, eb_schema *node) {
  const ebi_field *of = field->of;
  node->pattern = whole_pattern(
      b, text(b, "%s at +%s", quantity_pattern(b, of[0].kind), quantity_pattern(b, of[1].kind)));
  add_about(b, node, text(b, "%s at %s", quantity_text(b, &of[0]), quantity_text(b, &of[1])));
}

static void build_word(const ebi_field *field, eb_schema *node) {
  node->kind = EB_SCHEMA_WORD;
  node->words = field->words;
  while (field->words[node->n_words] != NULL)
    node->n_words++;
}

/* ---- Curves ------------------------------------------------------------ */

/* The unit over a column. */
static void build_head(builder *b, const ebi_field *field, size_t column, eb_schema *node) {
  ebi_kind kind = field->columns[column].kind;
  size_t count = 0, length;
  node->about = text(b, "unit of the %s", field->columns[column].what);
  if (column == 0 && field->words != NULL)
    build_word(field, node);
  if (kind == EBI_NUMBER)
    return; /* its name may be any text */
  while (ebi_kind_spelling(kind, count, &length) != NULL)
    count++;
  const char **words = EBI_NEW_ARRAY(b->arena, const char *, count);
  b->failed = b->failed || words == NULL;
  node->kind = EB_SCHEMA_WORD;
  node->words = words;
  for (size_t i = 0; words != NULL && i < count; i++) {
    const char *name = ebi_kind_spelling(kind, i, &length);
    if (length > 0)
      words[node->n_words++] = text(b, "%.*s", (int)length, name);
  }
}

static eb_schema *build_row(builder *b, const ebi_field *field, eb_schema *node) {
  node->kind = EB_SCHEMA_ROW;
  node->least = field->least > 0 ? field->least : field->n_columns;
  return members(b, node, field->n_columns);
}

static void build_heads(builder *b, const ebi_field *field, eb_schema *node) {
  eb_schema *heads = build_row(b, field, node);
  for (size_t i = 0; i < node->n_members; i++)
    build_head(b, field, i, &heads[i]);
}

static void build_points(builder *b, const ebi_field *field, eb_schema *node) {
  eb_schema *row = members(b, node, 1);
  node->kind = EB_SCHEMA_LIST;
  node->least = 1;
  if (row == NULL)
    return;
  eb_schema *numbers = build_row(b, field, row);
  for (size_t i = 0; i < row->n_members; i++) {
    numbers[i].kind = EB_SCHEMA_NUMBER;
    numbers[i].about = field->columns[i].what;
    numbers[i].low = -1e12;
    numbers[i].high = 1e12;
  }
}

static void build_curve(builder *b, const ebi_field *field, eb_schema *node) {
  eb_schema *both = members(b, node, 2);
  node->kind = EB_SCHEMA_MAPPING;
  if (both == NULL)
    return;
  both[0].key = "columns";
  both[0].about = "the unit of each column";
  both[1].key = "points";
  both[1].about = "a list of rows, the first number rising";
  both[0].required = both[1].required = true;
  build_heads(b, field, &both[0]);
  build_points(b, field, &both[1]);
}

/* ---- What holds others ------------------------------------------------- */

static void build_members(builder *b, const ebi_field *field, eb_schema_kind kind,
                          eb_schema *node) {
  eb_schema *made = members(b, node, field->n_of);
  node->kind = kind;
  node->least = field->least;
  node->most = field->most;
  for (size_t i = 0; made != NULL && i < field->n_of; i++)
    build(b, &field->of[i], &made[i]);
}

static void build_form(builder *b, const ebi_field *form, eb_schema *node) {
  switch (form->type) {
  case EBI_FIELD_QUANTITY:
  case EBI_FIELD_COUNT:
    build_quantity(b, form, node);
    break;
  case EBI_FIELD_AT:
    build_at(b, form, node);
    break;
  case EBI_FIELD_WORD:
    build_word(form, node);
    break;
  case EBI_FIELD_BOOL:
    node->kind = EB_SCHEMA_BOOL;
    break;
  case EBI_FIELD_MAPPING:
    build_members(b, form, EB_SCHEMA_MAPPING, node);
    break;
  case EBI_FIELD_NAMED:
    build_members(b, form, EB_SCHEMA_NAMED, node);
    break;
  case EBI_FIELD_LIST:
    build_members(b, form, EB_SCHEMA_LIST, node);
    break;
  case EBI_FIELD_EITHER:
    build_members(b, form, EB_SCHEMA_EITHER, node);
    break;
  case EBI_FIELD_CURVE:
    build_curve(b, form, node);
    break;
  case EBI_FIELD_HEADS:
    build_heads(b, form, node);
    break;
  case EBI_FIELD_POINTS:
    build_points(b, form, node);
    break;
  default: /* a text */
    node->pattern = form->pattern ? text_pattern(b, form->pattern) : NULL;
  }
}

static void build(builder *b, const ebi_field *field, eb_schema *node) {
  *node = (eb_schema){.kind = EB_SCHEMA_TEXT,
                      .key = field->key,
                      .about = field->about ? field->about : "",
                      .required = field->required};
  build_form(b, field->holds ? field->holds : field, node);
}

/* ---- Entry point ------------------------------------------------------- */

static const ebi_field *form_of(const char *kind) {
  if (strcmp(kind, "house") == 0)
    return &ebi_house_form;
  return strcmp(kind, "readings") == 0 ? &ebi_readings_form : NULL;
}

eb_status eb_schema_of(eb_context *context, const char *file_kind, const eb_schema **schema) {
  const ebi_field *form = file_kind ? form_of(file_kind) : NULL;
  if (!context || !form || !schema)
    return EB_E_ARGUMENT;
  builder b = {.arena = ebi_context_arena(context)};
  eb_schema *root = b.arena ? EBI_NEW(b.arena, eb_schema) : NULL;
  if (root != NULL)
    build(&b, form, root);
  if (root == NULL || b.failed) {
    if (b.arena != NULL)
      ebi_context_release(context, b.arena);
    return EB_E_MEMORY;
  }
  *schema = root;
  return EB_OK;
}
