/* test_fields.c - mappings read by a table of their keys, single values, curves */

#include <math.h>
#include <string.h>

#include "input/fields.h"
#include "suites.h"

static eb_context *context;
static ebi_reader reader;
static ebi_document document;

static void begin(void) {
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  reader = (ebi_reader){context, ebi_context_arena(context), "t.yaml", NULL};
  ck_assert_ptr_nonnull(reader.arena);
}

static void end(void) {
  eb_context_free(context);
}

/* The value of `key` in a text. */
static const ebi_yaml *value_of(const char *text, const char *key) {
  ck_assert_int_eq(
      ebi_document_parse(context, reader.arena, "t.yaml", text, strlen(text), &document), EB_OK);
  const ebi_yaml *value = ebi_yaml_get(document.root, key);
  ck_assert_ptr_nonnull(value);
  return value;
}

/* The value of the only key. */
static const ebi_yaml *only_value(const char *text) {
  char key[32] = "";
  memcpy(key, text, strcspn(text, ":"));
  return value_of(text, key);
}

static size_t said(const eb_diagnostic **all) {
  size_t count = 0;
  *all = eb_diagnostics(context, &count);
  return count;
}

/* Exactly one thing was said: with this code and this part of a message. */
static void check_said(const char *code, const char *part) {
  const eb_diagnostic *all;
  ck_assert_uint_eq(said(&all), 1);
  ck_assert_str_eq(all[0].code, code);
  ck_assert_msg(strstr(all[0].message, part) != NULL, "%s", all[0].message);
  eb_diagnostics_clear(context);
}

/* ---- Quantities -------------------------------------------------------- */

START_TEST(quantities_that_fit) {
  static const struct {
    const char *text;
    ebi_kind kind;
    double si;
  } rows[] = {
      {"q: 21.7 m2", EBI_AREA, 21.7},    {"q: '21.7m2'", EBI_AREA, 21.7},
      {"q: 43.2 m3/h", EBI_FLOW, 0.012}, {"q: 0 l/s", EBI_FLOW, 0},
      {"q: 2.5 l/s", EBI_FLOW, 0.0025},  {"q: 64 %", EBI_RATIO, 0.64},
      {"q: 0.64", EBI_RATIO, 0.64},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    ebi_given given = {0};
    ck_assert(ebi_read_given(&reader, value_of(rows[i].text, "q"), rows[i].kind, 0, 100, &given));
    ck_assert(given.given && given.where.line == 1 && given.where.column == 4);
    ck_assert_double_eq_tol(given.value, rows[i].si, 1e-15);
  }
}
END_TEST

START_TEST(quantities_that_do_not_fit) {
  static const struct {
    const char *text;
    ebi_kind kind;
    double low, high; /* SI */
    const char *code, *part;
  } rows[] = {
      {"width: 762", EBI_LENGTH, 0.1, 3, "unit-missing", "\"762 mm\""},
      {"width: 7.5", EBI_LENGTH, 0.1, 30, "unit-missing", "\"7.5 m\""},
      {"flow: 30", EBI_FLOW, 0, 10, "unit-missing", "l/s, m3/h"},
      {"flow: 8,5 l/s", EBI_FLOW, 0, 10, "decimal-comma", "\"8.5 l/s\""},
      {"flow: 8 lps", EBI_FLOW, 0, 10, "unit-unknown", "\"lps\""},
      {"flow: 8 Pa", EBI_FLOW, 0, 10, "unit-wrong", "l/s, m3/h"},
      {"flow: 36001 m3/h", EBI_FLOW, 0.001, 10, "out-of-range", "3.6 to 36000 m3/h"},
      {"flow: -1 l/s", EBI_FLOW, 0, (double)INFINITY, "out-of-range", "at least 0 l/s"},
      {"flow: 9 l/s", EBI_FLOW, -(double)INFINITY, 0.008, "out-of-range", "at most 8 l/s"},
      {"t: 40 F", EBI_TEMPERATURE, 5, 40, "out-of-range", "41 to 104 F"},
      {"t: 310.5 K", EBI_TEMPERATURE, 0, 20, "out-of-range", "273.15 to 293.15 K"},
      {"ratio: 101 %", EBI_RATIO, 0, 1, "out-of-range", "0 to 100 %"},
      {"ratio: 85", EBI_RATIO, 0, 1, "out-of-range", "did you mean \"85 %\""},
      {"n: nan", EBI_NUMBER, 0, 1, "number-not-finite", "nan"},
      {"n: -.inf", EBI_NUMBER, 0, 1, "number-not-finite", "inf"},
      {"n: 61e9540", EBI_NUMBER, 0, 1, "number-overflow", "61e9540"},
      {"n: 1e308 kPa", EBI_PRESSURE, 0, 1, "number-overflow", "1e308"},
      {"n: 0x1F", EBI_NUMBER, 0, 99, "number-form", "0x1F"},
      {"n: 1_000", EBI_NUMBER, 0, 9999, "number-form", "1_000"},
      {"n: 190:20:30", EBI_NUMBER, 0, 9e9, "number-form", "190:20:30"},
      {"n: about 3", EBI_NUMBER, 0, 9, "number-missing", "about 3"},
      {"n: [3]", EBI_NUMBER, 0, 9, "kind-wrong", "not a list"},
      {"n: {a: 3}", EBI_NUMBER, 0, 9, "kind-wrong", "not a mapping"},
      {"n:", EBI_NUMBER, 0, 9, "value-missing", "n has no value"},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    ebi_given given = {17, false, {NULL, 0, 0}};
    const ebi_yaml *value = only_value(rows[i].text);
    ck_assert(!ebi_read_given(&reader, value, rows[i].kind, rows[i].low, rows[i].high, &given));
    ck_assert(!given.given && given.value == 17);
    check_said(rows[i].code, rows[i].part);
  }
}
END_TEST

START_TEST(edges_are_inside) {
  ebi_given given = {0};
  ck_assert(ebi_read_given(&reader, value_of("q: 8 l/s", "q"), EBI_FLOW, 0.008, 0.008, &given));
  ck_assert(ebi_read_count(&reader, value_of("q: -2", "q"), -2, 5, &given));
  ck_assert(ebi_read_count(&reader, value_of("q: 5", "q"), -2, 5, &given));
  ck_assert(!ebi_read_count(&reader, value_of("q: 6", "q"), -2, 5, &given));
  check_said("out-of-range", "-2 to 5");
  ck_assert(!ebi_read_count(&reader, value_of("q: 4.5", "q"), -2, 5, &given));
  check_said("not-whole", "4.5");
  ck_assert_double_eq(given.value, 5);
}
END_TEST

/* ---- Words ------------------------------------------------------------- */

START_TEST(words) {
  static const char *const list[] = {"laid", "bare", "unknown", NULL};
  const char *word = NULL;
  bool flag = false;
  ck_assert(ebi_read_word(&reader, value_of("f: bare", "f"), list, &word));
  ck_assert_ptr_eq(word, list[1]);
  ck_assert(!ebi_read_word(&reader, value_of("f: liad", "f"), list, &word));
  check_said("word-unknown", "did you mean \"laid\"");
  ck_assert(!ebi_read_word(&reader, value_of("f: zzz", "f"), list, &word));
  check_said("word-unknown", "laid, bare or unknown");
  ck_assert_ptr_eq(word, list[1]);
  ck_assert(ebi_read_bool(&reader, value_of("f: yes", "f"), &flag) && flag);
  ck_assert(ebi_read_bool(&reader, value_of("f: false", "f"), &flag) && !flag);
  ck_assert(!ebi_read_bool(&reader, value_of("f: on", "f"), &flag));
  check_said("word-unknown", "yes or no");
}
END_TEST

START_TEST(lists_of_words) {
  const char *const *texts = NULL;
  size_t count = 0;
  ck_assert(ebi_read_texts(&reader, value_of("f: alone", "f"), &texts, &count));
  ck_assert_uint_eq(count, 1);
  ck_assert_str_eq(texts[0], "alone");
  ck_assert(ebi_read_texts(&reader, value_of("f: [a, 'b c', no]", "f"), &texts, &count));
  ck_assert_uint_eq(count, 3);
  ck_assert_str_eq(texts[2], "no");
  ck_assert(!ebi_read_texts(&reader, value_of("f: []", "f"), &texts, &count));
  check_said("value-missing", "empty list");
  ck_assert(!ebi_read_texts(&reader, value_of("f: [a, [b]]", "f"), &texts, &count));
  check_said("kind-wrong", "not a list");
  ck_assert_uint_eq(count, 3);
}
END_TEST

START_TEST(messages_stay_on_their_line) {
  ebi_given given = {0};
  ck_assert(!ebi_read_given(&reader, value_of("q: \"a\\n\\e[31m\\x85 \xC3\xA4\"", "q"), EBI_NUMBER,
                            0, 1, &given));
  check_said("number-missing", "\"a??[31m??");
  char text[400] = "q: \"";
  for (int i = 0; i < 100; i++)
    strcat(text, "\xE2\x82\xAC"); /* 300 bytes of three each: cut between two */
  strcat(text, "\"");
  ck_assert(!ebi_read_given(&reader, value_of(text, "q"), EBI_NUMBER, 0, 1, &given));
  check_said("number-missing", "\xE2\x82\xAC...\"");
}
END_TEST

/* ---- Mappings ---------------------------------------------------------- */

typedef struct record {
  ebi_given area, count;
  const char *name, *finish;
  bool flag;
  const ebi_yaml *custom;
} record;

static void keep_node(ebi_reader *from, const ebi_yaml *value, void *place) {
  ck_assert_ptr_eq(from, &reader);
  ((record *)place)->custom = value;
}

static const char *const finishes[] = {"laid", "bare", NULL};
static const ebi_field fields[] = {
    {.key = "area",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .kind = EBI_AREA,
     .low = 0.1,
     .high = 1000,
     .offset = offsetof(record, area),
     .about = "of the floor"},
    {.key = "count",
     .type = EBI_FIELD_COUNT,
     .low = 1,
     .high = 9,
     .offset = offsetof(record, count)},
    {.key = "name", .type = EBI_FIELD_TEXT, .offset = offsetof(record, name)},
    {.key = "finish",
     .type = EBI_FIELD_WORD,
     .words = finishes,
     .offset = offsetof(record, finish)},
    {.key = "flag", .type = EBI_FIELD_BOOL, .offset = offsetof(record, flag)},
    {.key = "custom", .type = EBI_FIELD_CUSTOM, .read = keep_node},
    {.key = "elsewhere", .type = EBI_FIELD_IGNORED},
};

static record read_record(const char *text) {
  record read = {.flag = true};
  ebi_fields_read(&reader, value_of(text, "r"), "a record", fields,
                  sizeof fields / sizeof fields[0], &read);
  return read;
}

START_TEST(mapping_that_fits) {
  const eb_diagnostic *all;
  record read = read_record("r: {area: 3.3 m2, count: 7, name: no, finish: bare, flag: no,\n"
                            "  custom: [1], elsewhere: {x: y}}\n");
  ck_assert_uint_eq(said(&all), 0);
  ck_assert_double_eq(read.area.value, 3.3);
  ck_assert_double_eq(read.count.value, 7);
  ck_assert_str_eq(read.name, "no");
  ck_assert_ptr_eq(read.finish, finishes[1]);
  ck_assert(!read.flag && read.custom && read.custom->kind == EBI_YAML_SEQUENCE);
}
END_TEST

START_TEST(mapping_with_every_fault) {
  static const char *const codes[] = {"unit-missing", "out-of-range", "value-missing",
                                      "word-unknown", "word-unknown", "value-missing",
                                      "key-unknown",  "key-unknown"};
  const eb_diagnostic *all;
  read_record("r: {area: 3.3, count: 70, name: '', finish: brae, flag: maybe, custom: ,\n"
              "  aera: 3 m2, q: 1}\n");
  ck_assert_uint_eq(said(&all), sizeof codes / sizeof codes[0]);
  for (size_t i = 0; i < sizeof codes / sizeof codes[0]; i++)
    ck_assert_str_eq(all[i].code, codes[i]);
  ck_assert_ptr_nonnull(strstr(all[6].message, "did you mean \"area\""));
  ck_assert_ptr_nonnull(strstr(all[7].message, "area, count, name"));
  ck_assert_int_eq(all[6].line, 2);
  ck_assert_int_eq(all[6].column, 3);
}
END_TEST

START_TEST(mapping_with_a_key_missing) {
  read_record("r: {name: x}\n");
  check_said("key-missing", "a record needs the key \"area\": of the floor");
  read_record("r: x\n");
  check_said("kind-wrong", "a record must be a mapping");
  read_record("r: [x]\n");
  check_said("kind-wrong", "not a list");
}
END_TEST

/* ---- Curves and sources ------------------------------------------------ */

START_TEST(columns_that_fit) {
  static const ebi_kind kinds[] = {EBI_NUMBER, EBI_VALVE_FLOW};
  const double *rows = NULL;
  size_t n_rows = 0;
  const char *const *units = NULL;
  const ebi_yaml *curve =
      value_of("c: {columns: [turns, l/s/Pa^0.5], points: [[-2, 0.8], [6.5, 2.1]]}", "c");
  ck_assert(ebi_read_columns(&reader, curve, kinds, 2, &rows, &n_rows, &units));
  ck_assert_uint_eq(n_rows, 2);
  ck_assert_double_eq(rows[0], -2);
  ck_assert_double_eq_tol(rows[3], 0.0021, 1e-18);
  ck_assert_str_eq(units[0], "turns");
}
END_TEST

START_TEST(columns_that_do_not_fit) {
  static const struct {
    const char *text, *code, *part;
  } rows[] = {
      {"c: {columns: [l/s, Pa]}", "columns", "points"},
      {"c: {columns: [l/s], points: [[1, 2]]}", "columns", "2 units"},
      {"c: {columns: [l/s, mm], points: [[1, 2]]}", "unit-wrong", "a pressure is due"},
      {"c: {columns: [l/s, Pa], points: []}", "columns", "list of points"},
      {"c: {columns: [l/s, Pa], points: [[1, 2, 3]]}", "columns", "2 numbers"},
      {"c: {columns: [l/s, Pa], points: [[1, 2], [1, 3]]}", "not-rising", "larger"},
      {"c: {columns: [l/s, Pa], points: [[1, 2 Pa]]}", "unit-wrong", "column says Pa"},
      {"c: {columns: [l/s, Pa], points: [[1, nan]]}", "number-not-finite", "nan"},
      {"c: {columns: [l/s, Pa], points: [[1, \"2,5\"]]}", "decimal-comma", "2.5"},
  };
  static const ebi_kind kinds[] = {EBI_FLOW, EBI_PRESSURE};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    const double *cells = NULL;
    size_t n_rows = 0;
    ck_assert(
        !ebi_read_columns(&reader, value_of(rows[i].text, "c"), kinds, 2, &cells, &n_rows, NULL));
    ck_assert_ptr_null(cells);
    check_said(rows[i].code, rows[i].part);
  }
}
END_TEST

START_TEST(sources) {
  const ebi_source above = {"Handbook, ch. 3", "quoted"};
  ebi_source source;
  ebi_read_source(&reader, value_of("s: {source: own sheet, known: memory}", "s"), NULL, &source);
  ck_assert_str_eq(source.text, "own sheet");
  ck_assert_str_eq(source.known, "memory");
  ebi_read_source(&reader, value_of("s: {source: {document: D, edition: 2021, at: 1.24}}", "s"),
                  &above, &source);
  ck_assert_str_eq(source.text, "D, 2021, 1.24");
  ck_assert_str_eq(source.known, "quoted");
  ebi_read_source(&reader, value_of("s: {x: 1}", "s"), &above, &source);
  ck_assert_str_eq(source.text, "Handbook, ch. 3");
  ebi_read_source(&reader, value_of("s: {source: a}", "s"), NULL, &source);
  check_said("key-missing", "known");
  ebi_read_source(&reader, value_of("s: {known: read}", "s"), NULL, &source);
  check_said("key-missing", "source");
  ebi_read_source(&reader, value_of("s: {source: a, known: guessed}", "s"), NULL, &source);
  check_said("word-unknown", "read, quoted, memory or invented");
}
END_TEST

Suite *suite_fields(void) {
  Suite *suite = suite_create("fields");
  TCase *cases = tcase_create("fields");
  tcase_add_checked_fixture(cases, begin, end);
  tcase_add_test(cases, quantities_that_fit);
  tcase_add_test(cases, quantities_that_do_not_fit);
  tcase_add_test(cases, edges_are_inside);
  tcase_add_test(cases, words);
  tcase_add_test(cases, lists_of_words);
  tcase_add_test(cases, messages_stay_on_their_line);
  tcase_add_test(cases, mapping_that_fits);
  tcase_add_test(cases, mapping_with_every_fault);
  tcase_add_test(cases, mapping_with_a_key_missing);
  tcase_add_test(cases, columns_that_fit);
  tcase_add_test(cases, columns_that_do_not_fit);
  tcase_add_test(cases, sources);
  suite_add_tcase(suite, cases);
  return suite;
}
