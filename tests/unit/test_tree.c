/* test_tree.c - YAML bytes as a tree: positions, spans, limits, overrides */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "input/tree.h"
#include "suites.h"

static eb_context *context;
static ebi_arena *arena;
static ebi_document document;

static void begin(void) {
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  arena = ebi_context_arena(context);
  ck_assert_ptr_nonnull(arena);
}

static void end(void) {
  eb_context_free(context);
}

static eb_status parse(const char *text) {
  return ebi_document_parse(context, arena, "t.yaml", text, strlen(text), &document);
}

/* The node at a path of keys and numbers (from 1), e.g. "rooms/a/2". */
static const ebi_yaml *at(const char *path) {
  const ebi_yaml *node = document.root;
  char copy[128];
  ck_assert_ptr_nonnull(node);
  snprintf(copy, sizeof copy, "%s", path);
  for (char *part = strtok(copy, "/"); part; part = strtok(NULL, "/")) {
    int number = 0;
    if (node->kind == EBI_YAML_SEQUENCE && sscanf(part, "%d", &number) == 1) {
      ck_assert_uint_le((size_t)number, node->count);
      node = node->items[number - 1];
    } else {
      node = ebi_yaml_get(node, part);
    }
    ck_assert_msg(node != NULL, "%s has no %s", path, part);
  }
  return node;
}

static const eb_diagnostic *first_said(void) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_uint_ge(count, 1);
  return &all[0];
}

static void check_said(const char *code, int line, int column) {
  const eb_diagnostic *said = first_said();
  ck_assert_str_eq(said->code, code);
  ck_assert_msg(said->line == line && said->column == column, "%s at %d:%d", said->message,
                said->line, said->column);
}

/* ---- Positions and spans ----------------------------------------------- */

/* A scalar's span must hold exactly what was written. */
static void check_span(const char *path, const char *written, int line, int column) {
  const ebi_yaml *node = at(path);
  ck_assert_msg(node->end - node->start == strlen(written) &&
                    memcmp(document.bytes + node->start, written, strlen(written)) == 0,
                "%s is '%.*s'", path, (int)(node->end - node->start), document.bytes + node->start);
  ck_assert_msg(node->where.line == line && node->where.column == column, "%s at %d:%d", path,
                node->where.line, node->where.column);
}

static const char placed[] = "name: L\xC3\xA4rche 'n   # a comment\n"
                             "\xC3\xBC: {k: \"q\\tr\", l: [1, \xE2\x82\xAC, 'it''s' ]}\n"
                             "block:\n"
                             "  - &x one\n"
                             "  - b: two   # more\n"
                             "    c:\n"
                             "\n"
                             "# between\n"
                             "after: *x\n";

static void check_placed(size_t head) {
  check_span("name", "L\xC3\xA4rche 'n", 1, 7);
  check_span("\xC3\xBC", "{k: \"q\\tr\", l: [1, \xE2\x82\xAC, 'it''s' ]}", 2, 4);
  check_span("\xC3\xBC/k", "\"q\\tr\"", 2, 8);
  check_span("\xC3\xBC/l/2", "\xE2\x82\xAC", 2, 23);
  check_span("\xC3\xBC/l/3", "'it''s'", 2, 26);
  check_span("block/1", "one", 4, 5);
  check_span("block/2/b", "two", 5, 8);
  check_span("block/2/c", "", 6, 7);
  ck_assert_str_eq(at("\xC3\xBC/k")->text, "q\tr");
  ck_assert_str_eq(at("\xC3\xBC/l/3")->text, "it's");
  ck_assert(at("\xC3\xBC/k")->quoted && !at("name")->quoted);
  ck_assert_ptr_eq(at("after"), at("block/1"));
  ck_assert_uint_eq(at("name")->start, head + 6);
  const ebi_yaml *block = at("block");
  ck_assert_uint_eq(block->end, at("block/2/c")->end);
}

START_TEST(positions) {
  ck_assert_int_eq(parse(placed), EB_OK);
  check_placed(0);
}
END_TEST

START_TEST(positions_after_a_byte_order_mark) {
  char text[512];
  snprintf(text, sizeof text, "\xEF\xBB\xBF%s", placed);
  ck_assert_int_eq(parse(text), EB_OK);
  check_placed(3);
}
END_TEST

START_TEST(positions_with_carriage_returns) {
  char text[512];
  size_t n = 0;
  for (const char *c = placed; *c; c++) {
    if (*c == '\n')
      text[n++] = '\r';
    text[n++] = *c;
  }
  text[n] = '\0';
  ck_assert_int_eq(parse(text), EB_OK);
  check_placed(0);
}
END_TEST

START_TEST(keys_of_values) {
  ck_assert_int_eq(parse("a: {b: [1, [2, {c: 3}]], d: 4}\n"), EB_OK);
  ck_assert_str_eq(at("a/b/1")->key, "b");
  ck_assert_str_eq(at("a/b/2/1")->key, "b");
  ck_assert_str_eq(at("a/b/2/2/c")->key, "c");
  ck_assert_str_eq(at("a/d")->key, "d");
  ck_assert_ptr_null(at("")->key);
}
END_TEST

START_TEST(scalars_stay_text) {
  static const char *const words[] = {"no",   "on",   "0012", "~",       "null", "1e3",
                                      ".nan", "true", "0x1F", "2026-11", "=",    "190:20:30"};
  for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
    char text[64];
    snprintf(text, sizeof text, "a: %s\n", words[i]);
    ck_assert_int_eq(parse(text), EB_OK);
    ck_assert_str_eq(at("a")->text, words[i]);
  }
}
END_TEST

/* ---- What is caught ---------------------------------------------------- */

START_TEST(decimal_comma_in_braces) {
  ck_assert_int_eq(parse("a: {flow: 8,5 l/s, b: -3,25}\nc: [8,5]\nd: {x: a,5: 1}\n"), EB_OK);
  check_span("a/flow", "8,5 l/s", 1, 11);
  ck_assert_str_eq(at("a/flow")->text, "8,5 l/s");
  ck_assert_str_eq(at("a/b")->text, "-3,25");
  ck_assert_uint_eq(at("a")->count, 2);
  ck_assert_uint_eq(at("c")->count, 2); /* a list of two: they mean it */
  ck_assert_uint_eq(at("d")->count, 2); /* 5 has a value of its own */
}
END_TEST

START_TEST(colon_without_blank) {
  ck_assert_int_eq(parse("a: {b:1 m2, c: 2}\n"), EB_E_SYNTAX);
  check_said("colon-blank", 1, 5);
  check_span("a/b", "1 m2", 1, 7);
  ck_assert_str_eq(at("a/b")->key, "b");
}
END_TEST

START_TEST(duplicates_name_both_lines) {
  ck_assert_int_eq(parse("a: 1\nb:\n  c: 2\n  d: 3\n  c: 4\na: 5\n"), EB_E_SYNTAX);
  check_said("key-duplicate", 5, 3);
  ck_assert_ptr_nonnull(strstr(first_said()->message, "line 3"));
  ck_assert_ptr_nonnull(strstr(first_said()->message, "line 5"));
  ck_assert_str_eq(at("a")->text, "1"); /* the first stays */
  ck_assert_str_eq(at("b/c")->text, "2");
}
END_TEST

START_TEST(duplicates_among_many) {
  static char text[40000];
  size_t n = 0;
  for (int i = 0; i < 3000; i++)
    n += (size_t)snprintf(text + n, sizeof text - n, "k%d: 1\n", i);
  ck_assert_int_eq(parse(text), EB_OK);
  snprintf(text + n, sizeof text - n, "k2718: 1\n");
  ck_assert_int_eq(parse(text), EB_E_SYNTAX);
  check_said("key-duplicate", 3001, 1);
  ck_assert_ptr_nonnull(strstr(first_said()->message, "line 2719"));
}
END_TEST

/* ---- Limits at their edges --------------------------------------------- */

/* "a: " and lists nested to `depth` levels, the root being one of them. */
static eb_status parse_depth(int depth) {
  char text[600];
  int n = snprintf(text, sizeof text, "a: ");
  for (int i = 1; i < depth; i++)
    text[n++] = '[';
  for (int i = 1; i < depth; i++)
    text[n++] = ']';
  text[n] = '\0';
  return parse(text);
}

START_TEST(depth_limit) {
  ck_assert_int_eq(parse_depth(EBI_TREE_DEPTH), EB_OK);
  ck_assert_int_eq(parse_depth(EBI_TREE_DEPTH + 1), EB_E_LIMIT);
  check_said("too-deep", 1, 3 + EBI_TREE_DEPTH);
}
END_TEST

/* An anchor of 40 levels used `under` levels down. */
static eb_status parse_deep_alias(int under) {
  char text[600];
  int n = snprintf(text, sizeof text, "a: &a ");
  for (int i = 0; i < 40; i++)
    text[n++] = '[';
  for (int i = 0; i < 40; i++)
    text[n++] = ']';
  n += snprintf(text + n, sizeof text - (size_t)n, "\nb: ");
  for (int i = 1; i < under; i++)
    text[n++] = '[';
  n += snprintf(text + n, sizeof text - (size_t)n, "*a");
  for (int i = 1; i < under; i++)
    text[n++] = ']';
  text[n] = '\0';
  return parse(text);
}

START_TEST(depth_limit_through_aliases) {
  ck_assert_int_eq(parse_deep_alias(EBI_TREE_DEPTH - 40), EB_OK);
  ck_assert_int_eq(parse_deep_alias(EBI_TREE_DEPTH - 40 + 1), EB_E_LIMIT);
  ck_assert_str_eq(first_said()->code, "too-deep");
}
END_TEST

/* A list of 1000 thousand-fold aliased values: 1000 x (1 + 3998) and a few. */
static eb_status parse_aliases(int uses) {
  static char text[40000];
  size_t n = (size_t)snprintf(text, sizeof text, "a: &a [");
  for (int i = 0; i < 3998; i++)
    n += (size_t)snprintf(text + n, sizeof text - n, "1,");
  n += (size_t)snprintf(text + n, sizeof text - n, "]\nb: [");
  for (int i = 0; i < uses; i++)
    n += (size_t)snprintf(text + n, sizeof text - n, "*a,");
  snprintf(text + n, sizeof text - n, "]\n");
  return parse(text);
}

/* root + key a + list + 3998 + key b + list + uses x 3999 <= 4000000 */
START_TEST(alias_limit) {
  ck_assert_int_eq(parse_aliases(999), EB_OK);
  ck_assert_int_eq(parse_aliases(1000), EB_E_LIMIT);
  ck_assert_str_eq(first_said()->code, "too-many-values");
}
END_TEST

START_TEST(size_limit) {
  size_t length = (size_t)EBI_TREE_BYTES;
  char *text = malloc(length + 1);
  ck_assert_ptr_nonnull(text);
  memset(text, '#', length + 1);
  memcpy(text, "a: 1\n", 5);
  ck_assert_int_eq(ebi_document_parse(context, arena, "t", text, length, &document), EB_OK);
  ck_assert_int_eq(ebi_document_parse(context, arena, "t", text, length + 1, &document),
                   EB_E_LIMIT);
  check_said("too-large", 1, 1);
  free(text);
}
END_TEST

/* ---- Overrides --------------------------------------------------------- */

static const char base[] = "levels: {boost: {at_least: 130 %}, low: 70 %}\n"
                           "rooms: {bed-1: {area: 14 m2}, a.b: {area: 3 m2}, a: {b: 4}}\n"
                           "shared: &s {x: 1}\n"
                           "other: *s\n"
                           "ducts:\n"
                           "  supply:\n"
                           "    - {run: s-main, length: 1 m}\n"
                           "    - {run: s-bed1, length: 2 m}\n"
                           "    - {run: \"1\", length: 3 m}\n";

static eb_status set(const char *override) {
  return ebi_document_override(context, arena, &document, override);
}

START_TEST(overrides_that_fit) {
  static const struct {
    const char *override, *path, *text;
  } rows[] = {
      {"levels.boost.at_least=140%", "levels/boost/at_least", "140%"},
      {"levels.boost.at_least= 141 % ", "levels/boost/at_least", "141 %"},
      {"levels.low=", "levels/low", ""},
      {"rooms.bed-1.area=12 m2", "rooms/bed-1/area", "12 m2"},
      {"rooms.a.b.area=5 m2", "rooms/a.b/area", "5 m2"}, /* the longest key wins */
      {"ducts.supply.s-bed1.length=8 m", "ducts/supply/2/length", "8 m"},
      {"ducts.supply.1.length=9 m", "ducts/supply/3/length", "9 m"}, /* a run called 1 */
      {"ducts.supply.2.length=7 m", "ducts/supply/2/length", "7 m"},
      {"site.outdoor=-3 C", "site/outdoor", "-3 C"}, /* made on the way */
      {"a.b.c.d=x=y", "a/b/c/d", "x=y"},
      {"shared.x=2", "shared/x", "2"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    ck_assert_int_eq(parse(base), EB_OK);
    ck_assert_int_eq(set(rows[i].override), EB_OK);
    ck_assert_str_eq(at(rows[i].path)->text, rows[i].text);
  }
}
END_TEST

START_TEST(override_leaves_aliases_alone) {
  ck_assert_int_eq(parse(base), EB_OK);
  ck_assert_int_eq(set("shared.x=2"), EB_OK);
  ck_assert_str_eq(at("shared/x")->text, "2");
  ck_assert_str_eq(at("other/x")->text, "1");
}
END_TEST

START_TEST(override_in_braces) {
  ck_assert_int_eq(parse(base), EB_OK);
  ck_assert_int_eq(set("ducts.supply.s-main.fittings=[2 x bend-90, {coefficient: 1.2}]"), EB_OK);
  ck_assert_str_eq(at("ducts/supply/1/fittings/1")->text, "2 x bend-90");
  const ebi_yaml *value = at("ducts/supply/1/fittings/2/coefficient");
  ck_assert_str_eq(value->text, "1.2");
  ck_assert_int_eq(value->where.column, 58);
  ck_assert_str_eq(at("ducts/supply/1/length")->text, "1 m");
}
END_TEST

START_TEST(override_position) {
  ck_assert_int_eq(parse(base), EB_OK);
  ck_assert_int_eq(set("rooms.bed-1.area=  12 m2"), EB_OK);
  const ebi_yaml *value = at("rooms/bed-1/area");
  ck_assert_str_eq(value->where.file, "rooms.bed-1.area=  12 m2");
  ck_assert_int_eq(value->where.column, 20);
  ck_assert_uint_eq(value->start, 0);
  ck_assert_uint_eq(value->end, 0);
  ck_assert_str_eq(value->key, "area");
}
END_TEST

START_TEST(overrides_that_do_not_fit) {
  static const struct {
    const char *override, *part;
  } rows[] = {
      {"levels.low", "PATH=VALUE"},
      {"=3", "PATH=VALUE"},
      {"levels..low=3", "name is missing"},
      {".levels=3", "name is missing"},
      {"levels.low.hours=2 h/day", "single value"},
      {"ducts.supply.s-bde1.length=8 m", "did you mean \"s-bed1\""},
      {"ducts.supply.4.length=8 m", "no item \"4\""},
      {"ducts.supply.0.length=8 m", "no item \"0\""},
      {"rooms=[a", "due here"},
      {"rooms=\xFF", "UTF-8"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    ck_assert_int_eq(parse(base), EB_OK);
    const ebi_yaml *root = document.root;
    ck_assert_int_ne(set(rows[i].override), EB_OK);
    ck_assert_msg(strstr(first_said()->message, rows[i].part) != NULL, "%s: %s", rows[i].override,
                  first_said()->message);
    ck_assert_ptr_eq(document.root, root);
    eb_diagnostics_clear(context);
  }
}
END_TEST

START_TEST(override_too_deep) {
  char path[400];
  for (int i = 0; i < EBI_TREE_DEPTH + 1; i++)
    memcpy(path + 2 * i, "a.", 2);
  strcpy(path + 2 * EBI_TREE_DEPTH, "a=1"); /* 65 names */
  ck_assert_int_eq(parse(base), EB_OK);
  ck_assert_int_ne(set(path), EB_OK);
  strcpy(path + 2 * EBI_TREE_DEPTH - 2, "a=1"); /* 64 */
  ck_assert_int_eq(set(path), EB_OK);
}
END_TEST

Suite *suite_tree(void) {
  Suite *suite = suite_create("tree");
  TCase *cases = tcase_create("tree");
  tcase_add_checked_fixture(cases, begin, end);
  tcase_set_timeout(cases, 60);
  tcase_add_test(cases, positions);
  tcase_add_test(cases, positions_after_a_byte_order_mark);
  tcase_add_test(cases, positions_with_carriage_returns);
  tcase_add_test(cases, keys_of_values);
  tcase_add_test(cases, scalars_stay_text);
  tcase_add_test(cases, decimal_comma_in_braces);
  tcase_add_test(cases, colon_without_blank);
  tcase_add_test(cases, duplicates_name_both_lines);
  tcase_add_test(cases, duplicates_among_many);
  tcase_add_test(cases, depth_limit);
  tcase_add_test(cases, depth_limit_through_aliases);
  tcase_add_test(cases, alias_limit);
  tcase_add_test(cases, size_limit);
  tcase_add_test(cases, overrides_that_fit);
  tcase_add_test(cases, override_leaves_aliases_alone);
  tcase_add_test(cases, override_in_braces);
  tcase_add_test(cases, override_position);
  tcase_add_test(cases, overrides_that_do_not_fit);
  tcase_add_test(cases, override_too_deep);
  suite_add_tcase(suite, cases);
  return suite;
}
