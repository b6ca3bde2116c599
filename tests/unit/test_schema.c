/* test_schema.c - the schema and the reader know the same keys
 *
 * Each mapping of the schema is written as a file that holds it alone: the reader must not call any
 * of its keys unknown, and must call a key unknown that the schema does not have. */

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "evenbreath.h"
#include "suites.h"

static const char house_text[] =
    "{rules: none, rooms: {n: {use: living, area: 9 m2, height: 2.4 m, supply: 9 l/s}, "
    "m: {use: kitchen, area: 9 m2, height: 2.4 m, extract: 9 l/s}}}";

static bool of_readings; /* which kind is being tried */
static int n_mappings, n_keys;

/* Whether the reader finds a key unknown in the text. */
static bool unknown_in(const char *text) {
  eb_context *context = eb_context_new(NULL);
  eb_house *house = NULL;
  eb_readings *readings = NULL;
  const char *first = of_readings ? house_text : text;
  size_t count = 0;
  bool found = false;
  eb_status status = eb_house_read(context, "t.yaml", first, strlen(first), NULL, &house);
  if (of_readings && !status)
    status = eb_readings_read(context, house, "r.yaml", text, strlen(text), &readings);
  const eb_diagnostic *list = eb_diagnostics(context, &count);
  for (size_t i = 0; i < count; i++)
    found = found || strcmp(list[i].code, "key-unknown") == 0;
  eb_context_free(context);
  return found;
}

static void walk(const eb_schema *schema, const char *before, const char *behind);

static void try_key(const eb_schema *member, const char *before, const char *behind) {
  char *text = malloc(strlen(before) + strlen(behind) + 128);
  char *end = malloc(strlen(behind) + 2);
  sprintf(text, "%s{%s: 1}%s", before, member->key, behind);
  ck_assert_msg(!unknown_in(text), "the reader does not know: %s", text);
  ck_assert_msg(*member->about, "nothing is said about: %s", text);
  n_keys++;
  sprintf(text, "%s{%s: ", before, member->key);
  sprintf(end, "}%s", behind);
  walk(member, text, end);
  free(text);
  free(end);
}

static void try_mapping(const eb_schema *schema, const char *before, const char *behind) {
  char *text = malloc(strlen(before) + strlen(behind) + 128);
  sprintf(text, "%s{zzzzz: 1}%s", before, behind);
  ck_assert_msg(unknown_in(text), "the reader takes: %s", text);
  n_mappings++;
  free(text);
  for (size_t i = 0; i < schema->n_members; i++)
    try_key(&schema->members[i], before, behind);
}

static void walk_within(const eb_schema *schema, const char *open, const char *close,
                        const char *before, const char *behind) {
  char *text = malloc(strlen(before) + strlen(open) + 1);
  char *end = malloc(strlen(behind) + strlen(close) + 1);
  sprintf(text, "%s%s", before, open);
  sprintf(end, "%s%s", close, behind);
  walk(schema->members, text, end);
  free(text);
  free(end);
}

static void walk(const eb_schema *schema, const char *before, const char *behind) {
  if (schema->kind == EB_SCHEMA_MAPPING)
    try_mapping(schema, before, behind);
  else if (schema->kind == EB_SCHEMA_NAMED)
    walk_within(schema, "{n: ", "}", before, behind);
  else if (schema->kind == EB_SCHEMA_LIST)
    walk_within(schema, "[", "]", before, behind);
  else if (schema->kind == EB_SCHEMA_EITHER)
    for (size_t i = 0; i < schema->n_members; i++)
      walk(&schema->members[i], before, behind);
}

static const eb_schema *schema_of(eb_context *context, const char *kind) {
  const eb_schema *schema = NULL;
  ck_assert_int_eq(eb_schema_of(context, kind, &schema), EB_OK);
  return schema;
}

static void same_keys(const char *kind, int least_mappings, int least_keys) {
  eb_context *context = eb_context_new(NULL);
  n_mappings = n_keys = 0;
  of_readings = strcmp(kind, "readings") == 0;
  walk(schema_of(context, kind), "", "");
  ck_assert_int_ge(n_mappings, least_mappings);
  ck_assert_int_ge(n_keys, least_keys);
  eb_context_free(context);
}

START_TEST(house_keys) {
  same_keys("house", 60, 300);
}
END_TEST

START_TEST(readings_keys) {
  same_keys("readings", 17, 90);
}
END_TEST

static const eb_schema *member(const eb_schema *mapping, const char *key) {
  for (size_t i = 0; i < mapping->n_members; i++)
    if (strcmp(mapping->members[i].key, key) == 0)
      return &mapping->members[i];
  ck_abort_msg("no key %s", key);
}

START_TEST(values) {
  eb_context *context = eb_context_new(NULL);
  const eb_schema *house = schema_of(context, "house");
  const eb_schema *room = member(house, "rooms")->members;
  const eb_schema *area = member(room, "area"), *storey = member(room, "storey");
  ck_assert(member(house, "rooms")->required && !member(house, "doors")->required);
  ck_assert_str_eq(area->about, "of its floor: an area in m2, mm2, cm2 or ft2; 0.1 to 10000 m2");
  ck_assert_ptr_nonnull(strstr(area->pattern, "m\\^2"));
  ck_assert_int_eq(storey->members[0].kind, EB_SCHEMA_NUMBER);
  ck_assert(storey->members[0].whole);
  ck_assert_double_eq(storey->members[0].low, -10);
  ck_assert_double_eq(storey->members[0].high, 200);
  ck_assert_str_eq(member(member(house, "sizing"), "method")->words[1], "equal-friction");
  eb_context_free(context);
}
END_TEST

START_TEST(arguments) {
  eb_context *context = eb_context_new(NULL);
  const eb_schema *schema = NULL;
  ck_assert_int_eq(eb_schema_of(context, "garden", &schema), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_schema_of(context, NULL, &schema), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_schema_of(NULL, "house", &schema), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_schema_of(context, "house", NULL), EB_E_ARGUMENT);
  ck_assert_ptr_null(schema);
  eb_context_free(context);
}
END_TEST

/* ---- Memory that runs out ---- */

typedef struct purse {
  long left;
} purse;

static void *resize(void *user, void *pointer, size_t old_size, size_t new_size) {
  purse *allowed = user;
  (void)old_size;
  if (new_size == 0) {
    free(pointer);
    return NULL;
  }
  return allowed->left-- > 0 ? realloc(pointer, new_size) : NULL;
}

START_TEST(memory) {
  for (long allowed = 0; allowed < 200; allowed++) {
    purse money = {.left = allowed};
    eb_allocator allocator = {.resize = resize, .user = &money};
    eb_context *context = eb_context_new(&allocator);
    const eb_schema *schema = NULL;
    eb_status status = context ? eb_schema_of(context, "house", &schema) : EB_E_MEMORY;
    ck_assert(status == EB_E_MEMORY || status == EB_OK);
    ck_assert((schema != NULL) == (status == EB_OK));
    eb_context_free(context);
    if (status == EB_OK)
      return;
  }
  ck_abort_msg("200 allocations are not enough");
}
END_TEST

Suite *suite_schema(void) {
  Suite *suite = suite_create("schema");
  TCase *all = tcase_create("schema");
  tcase_set_timeout(all, 60);
  tcase_add_test(all, house_keys);
  tcase_add_test(all, readings_keys);
  tcase_add_test(all, values);
  tcase_add_test(all, arguments);
  tcase_add_test(all, memory);
  suite_add_tcase(suite, all);
  return suite;
}
