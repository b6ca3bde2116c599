/* test_write_back.c - sizes written into the house's own text, byte by byte */

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "model/house.h"
#include "suites.h"

static eb_context *context;
static eb_house *house;
static const char *written;
static size_t n_written;

static void begin(void) {
  const char *source = getenv("srcdir");
  char folder[4096];
  house = NULL;
  written = NULL;
  context = eb_context_new(NULL);
  ck_assert_ptr_nonnull(context);
  snprintf(folder, sizeof folder, "%s/tables", source ? source : ".");
  ck_assert_int_eq(eb_tables_search(context, folder), EB_OK);
}

static void end(void) {
  eb_context_free(context);
}

static void check_well(eb_status status) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_msg(status == EB_OK, "%s: %s", eb_status_text(status),
                count ? all[count - 1].message : "nothing said");
}

/* A house of two rooms in front of the text of its ducts. */
#define HEAD "rooms: {study: {use: study, area: 9 m2}, bath: {use: bathroom, area: 5 m2}} # two\n"

static void read_with(const char *text, const char *override) {
  eb_read_options options = {sizeof options, &override, override ? 1 : 0, 0};
  check_well(eb_house_read(context, "t.yaml", text, strlen(text), &options, &house));
}

static eb_status write_one(const char *run, const char *duct, int parallel) {
  eb_written change = {run, duct, parallel};
  return eb_house_write(context, house, &change, 1, &written, &n_written);
}

/* Run "a" of the text gets another duct and number of tubes. */
static void check_one(const char *before, const char *duct, int parallel, const char *after) {
  read_with(before, NULL);
  check_well(write_one("a", duct, parallel));
  ck_assert_uint_eq(strlen(written), n_written);
  ck_assert_str_eq(written, after);
}

static void check_refused(eb_status status, int line, const char *part) {
  size_t count = 0;
  const eb_diagnostic *all = eb_diagnostics(context, &count);
  ck_assert_int_eq(status, EB_E_INPUT);
  ck_assert_ptr_null(written);
  ck_assert_uint_eq(count, 1);
  ck_assert_str_eq(all[0].code, "write");
  ck_assert_int_eq(all[0].line, line);
  ck_assert_msg(strstr(all[0].message, part) != NULL, "%s", all[0].message);
}

/* ---- Ways to write a run ----------------------------------------------- */

START_TEST(in_braces) {
  check_one(HEAD "ducts:\n  supply:\n    - {run: a, from: unit, to: study, duct: steel,  length: "
                 "3 m} # mine\n",
            "steel-125", 0,
            HEAD "ducts:\n  supply:\n    - {run: a, from: unit, to: study, duct: steel-125,  "
                 "length: 3 m} # mine\n");
  check_one(HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: steel-80, length: 3 m}]}",
            "semirigid-75", 2,
            HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: semirigid-75, parallel: "
                 "2, length: 3 m}]}");
  check_one(HEAD "ducts: {supply: [{run: a, from: unit, to: study, length: 3 m, duct: steel-80}]}",
            NULL, 3,
            HEAD "ducts: {supply: [{run: a, from: unit, to: study, length: 3 m, duct: steel-80, "
                 "parallel: 3}]}");
}
END_TEST

START_TEST(line_by_line) {
  check_one(HEAD "ducts:\n  supply:\n  # first\n  - run: a\n    from: unit\n    to: study\n    "
                 "duct:   steel   # big enough?\n    length: 3 m\n  # last\n",
            "steel-160", 2,
            HEAD "ducts:\n  supply:\n  # first\n  - run: a\n    from: unit\n    to: study\n    "
                 "duct:   steel-160   # big enough?\n    parallel: 2\n    length: 3 m\n  # last\n");
  check_one(HEAD "ducts:\n  supply:\n  -   duct: steel\n      run: a\n      from: unit\n      to: "
                 "study\n      length: 3 m\n",
            "steel-160", 3,
            HEAD "ducts:\n  supply:\n  -   duct: steel-160\n      parallel: 3\n      run: a\n      "
                 "from: unit\n      to: study\n      length: 3 m\n");
}
END_TEST

START_TEST(tubes_given_already) {
  check_one(HEAD "ducts: {supply: [{parallel: 2, run: a, from: unit, to: study, duct: steel-80, "
                 "length: 3 m}]}\n",
            "steel-125", 1,
            HEAD "ducts: {supply: [{parallel: 1, run: a, from: unit, to: study, duct: steel-125, "
                 "length: 3 m}]}\n");
  check_one(HEAD
            "ducts: {supply: [{run: a, from: unit, to: study, duct: steel-80, length: 3 m}]}\n",
            "steel-125", 1,
            HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: steel-125, length: 3 "
                 "m}]}\n");
}
END_TEST

START_TEST(quotes) {
  check_one(HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: \"steel\", length: 3 m}]}",
            "steel-125", 0,
            HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: \"steel-125\", length: 3 "
                 "m}]}");
  check_one(HEAD "ducts: {supply: [{'run': 'a', from: unit, to: study, 'duct':'steel', length: 3 "
                 "m}]}",
            "{family: steel, size: 125}", 0,
            HEAD "ducts: {supply: [{'run': 'a', from: unit, to: study, 'duct': {family: steel, "
                 "size: 125}, length: 3 m}]}");
  check_one(HEAD
            "ducts:\n  supply:\n  - run: a\n    duct: |-\n      steel\n    from: unit\n    to: "
            "study\n    length: 3 m\n",
            "steel-125", 0,
            HEAD "ducts:\n  supply:\n  - run: a\n    duct: steel-125\n    from: unit\n    to: "
                 "study\n    length: 3 m\n");
}
END_TEST

START_TEST(mappings) {
  check_one(HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: {bore: 104 mm, roughness: "
                 "0.1 mm}, length: 3 m}]}",
            "steel-125", 0,
            HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: steel-125, length: 3 "
                 "m}]}");
  check_one(HEAD "ducts:\n  supply:\n  - run: a\n    duct: # mine\n      family: steel # spiral\n"
                 "      # the least\n      size: \"125\" # mm\n    from: unit\n    to: study\n"
                 "    length: 3 m\n",
            "steel-160", 2,
            HEAD "ducts:\n  supply:\n  - run: a\n    duct: steel-160 # mine\n      # spiral\n"
                 "      # the least\n       # mm\n    parallel: 2\n    from: unit\n    to: study\n"
                 "    length: 3 m\n");
}
END_TEST

/* The comment within the braces stays, and what followed them is not drawn into it. */
START_TEST(braces_over_lines) {
  check_one(HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: {family: steel, # no # 1\n"
                 "  size: '125'}, length: 3 m}]}",
            "steel-160", 0,
            HEAD "ducts: {supply: [{run: a, from: unit, to: study, duct: steel-160 # no # 1\n"
                 "                                                   , length: 3 m}]}");
}
END_TEST

/* ---- Bytes ------------------------------------------------------------- */

START_TEST(line_ends) {
  check_one(
      "\xEF\xBB\xBF" HEAD "ducts:\r\n  supply:\r\n  - run: a\r\n    from: unit\r\n    to: study\r\n"
      "    length: 3 m\r\n    duct: steel # \xC3\xA4",
      "steel-160", 2,
      "\xEF\xBB\xBF" HEAD "ducts:\r\n  supply:\r\n  - run: a\r\n    from: unit\r\n    to: study\r\n"
      "    length: 3 m\r\n    duct: steel-160 # \xC3\xA4\n    parallel: 2");
  check_one("rooms: {study: {use: study, area: 9 m2}}\r\n"
            "ducts:\r\n  supply:\r\n  - run: a\r\n    from: unit\r\n    to: study\r\n"
            "    duct: steel\r\n    length: 3 m",
            "steel-160", 2,
            "rooms: {study: {use: study, area: 9 m2}}\r\n"
            "ducts:\r\n  supply:\r\n  - run: a\r\n    from: unit\r\n    to: study\r\n"
            "    duct: steel-160\r\n    parallel: 2\r\n    length: 3 m");
}
END_TEST

START_TEST(nothing_to_write) {
  static const char text[] = HEAD "# no ducts\n";
  read_with(text, "floor_area=77 m2");
  check_well(eb_house_write(context, house, NULL, 0, &written, &n_written));
  ck_assert_uint_eq(n_written, sizeof text - 1);
  ck_assert_str_eq(written, text);
}
END_TEST

/* ---- Anchors ----------------------------------------------------------- */

#define TWO(first, second)                                                                         \
  HEAD "ducts:\n  supply:\n  - {run: a, from: unit, to: study, duct: " first                       \
       ", length: 3 m}\n  extract:\n  - {run: b, from: bath, to: unit, duct: " second              \
       ", length: 4 m}\n"

START_TEST(alias_replaced) {
  read_with(TWO("&kind steel", "*kind"), NULL);
  check_well(write_one("b", "steel-100", 0));
  ck_assert_str_eq(written, TWO("&kind steel", "steel-100"));
  eb_written both[] = {{"b", "steel-100", 2}, {"a", "steel-80", 0}};
  check_well(eb_house_write(context, house, both, 2, &written, &n_written));
  ck_assert_str_eq(written, TWO("&kind steel-80", "steel-100, parallel: 2"));
}
END_TEST

START_TEST(alias_stays) {
  read_with(TWO("&kind steel", "*kind"), NULL);
  check_refused(write_one("a", "steel-100", 0), 6, "alias of what line 4 says");
}
END_TEST

/* Only an override can make two runs of one. */
START_TEST(run_is_alias) {
  static const char text[] =
      HEAD "ducts:\n  supply:\n  - &r {run: a, from: unit, to: study, duct: steel, length: 3 m}\n"
           "  - *r\n";
  read_with(text, "ducts.supply.2.run=b");
  check_refused(write_one("b", "steel-100", 0), 4, "behind an alias");
}
END_TEST

/* ---- Overrides --------------------------------------------------------- */

START_TEST(override_not_written) {
  read_with(TWO("steel", "steel"), "ducts.extract.b.length=7.7 m");
  check_well(write_one("b", "steel-100", 0));
  ck_assert_str_eq(written, TWO("steel", "steel-100"));
}
END_TEST

START_TEST(override_of_duct) {
  read_with(TWO("steel", "steel-80"), "ducts.extract.b.duct=steel");
  check_refused(write_one("b", "steel-100", 0), 6, "an override gives it another duct");
}
END_TEST

START_TEST(override_of_name) {
  read_with(TWO("steel", "steel-80"), "ducts.extract.b.run=c");
  check_refused(write_one("c", "steel-100", 0), 6, "does not stand in the file itself");
}
END_TEST

/* ---- Wrong calls ------------------------------------------------------- */

START_TEST(wrong_calls) {
  read_with(TWO("steel", "steel"), NULL);
  ck_assert_int_eq(write_one("c", "steel-80", 0), EB_E_ARGUMENT);
  ck_assert_int_eq(write_one(NULL, "steel-80", 0), EB_E_ARGUMENT);
  ck_assert_int_eq(write_one("a", "steel-80", -1), EB_E_ARGUMENT);
  ck_assert_int_eq(write_one("a", "steel-80, length: 9 m", 0), EB_E_ARGUMENT);
  ck_assert_int_eq(write_one("a", "[steel-80", 0), EB_E_ARGUMENT);
  ck_assert_int_eq(write_one("a", "steel-80 # x", 0), EB_E_ARGUMENT);
  eb_written twice[] = {{"a", "steel-80", 0}, {"a", "steel-100", 0}};
  ck_assert_int_eq(eb_house_write(context, house, twice, 2, &written, &n_written), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_write(context, NULL, NULL, 0, &written, &n_written), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_write(NULL, house, NULL, 0, &written, &n_written), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_write(context, house, NULL, 1, &written, &n_written), EB_E_ARGUMENT);
  ck_assert_int_eq(eb_house_write(context, house, NULL, 0, NULL, &n_written), EB_E_ARGUMENT);
  ck_assert_ptr_null(written);
}
END_TEST

/* ---- Written, read again: the same house but for the sizes -------------- */

/* Numbers of a small generator with a fixed start: the same houses each time. */
static unsigned draw(unsigned *state, unsigned below) {
  *state = *state * 1664525u + 1013904223u;
  return (*state >> 16) % below;
}

static const char *const ducts[] = {"steel",
                                    "steel-80",
                                    "\"steel-125\"",
                                    "'steel'",
                                    "{family: steel, size: 160}",
                                    "{bore: 71 mm, roughness: 0.1 mm} # bore: \"#\"\n           "};
static const char *const choices[] = {"steel-80", "steel-100", "steel-125", "steel-160",
                                      "steel-200"};

static void draw_run(unsigned *state, char *text, unsigned i) {
  char *at = text + strlen(text);
  const char *duct = ducts[draw(state, 6)];
  const char *tubes = draw(state, 2) ? "parallel: 3" : NULL;
  if (draw(state, 2) || strchr(duct, '\n'))
    sprintf(at, "  - {run: r%u, from: unit, to: study, %s%sduct: %s, length: %u m} # %u\n", i,
            tubes ? tubes : "", tubes ? ", " : "", duct, i + 1, draw(state, 1000));
  else
    sprintf(at,
            "  - run: r%u # duct: steel\n    duct: %s # %u\n\n%s%s%s    length: %u m\n    from: "
            "unit\n    to: study\n",
            i, duct, draw(state, 1000), tubes ? "    " : "", tubes ? tubes : "", tubes ? "\n" : "",
            i + 1);
}

static void check_read_again(const eb_house *before, const eb_written *changes, size_t count) {
  eb_house *after = NULL;
  check_well(eb_house_read(context, "w.yaml", written, n_written, NULL, &after));
  ck_assert_uint_eq(after->n_runs, before->n_runs);
  for (size_t i = 0; i < after->n_runs; i++) {
    const ebi_run *a = &after->runs[i], *b = &before->runs[i];
    const eb_written *change = NULL;
    for (size_t c = 0; c < count; c++)
      if (strcmp(changes[c].run, a->name) == 0)
        change = &changes[c];
    ck_assert_str_eq(a->name, b->name);
    ck_assert_double_eq(a->length, b->length);
    ck_assert_int_eq(a->parallel, change ? change->parallel : b->parallel);
    if (change)
      ck_assert_str_eq(a->duct.name, change->duct);
    else
      ck_assert_int_eq(a->sized, b->sized);
  }
  eb_house_free(after);
}

/* Written back once more with what the first house said, the comments are all there yet. */
static void check_comments(const char *before) {
  for (const char *at = before; (at = strstr(at, "# ")) != NULL; at++) {
    char comment[32];
    snprintf(comment, sizeof comment, "%.*s", (int)strcspn(at, "\n"), at);
    ck_assert_msg(strstr(written, comment) != NULL, "%s", comment);
  }
}

START_TEST(random_houses) {
  unsigned state = (unsigned)_i * 7919u + 17u;
  char text[8192] = "rooms: {study: {use: study, area: 9 m2}} # 0\nducts:\n  supply:\n";
  char names[20][8];
  eb_written changes[20];
  size_t count = 0;
  unsigned runs = 1 + draw(&state, 20);
  for (unsigned i = 0; i < runs; i++) {
    draw_run(&state, text, i);
    if (draw(&state, 3)) {
      snprintf(names[count], sizeof names[count], "r%u", i);
      changes[count] =
          (eb_written){names[count], choices[draw(&state, 5)], 1 + (int)draw(&state, 4)};
      count++;
    }
  }
  if (draw(&state, 2))
    text[strlen(text) - 1] = '\0';
  read_with(text, NULL);
  check_well(eb_house_write(context, house, changes, count, &written, &n_written));
  check_read_again(house, changes, count);
  check_comments(text);
}
END_TEST

Suite *suite_write_back(void) {
  Suite *suite = suite_create("write_back");
  TCase *ways = tcase_create("ways");
  const TTest *const tests[] = {in_braces,        line_by_line,     tubes_given_already,
                                quotes,           mappings,         braces_over_lines,
                                line_ends,        nothing_to_write, alias_replaced,
                                alias_stays,      run_is_alias,     override_not_written,
                                override_of_duct, override_of_name, wrong_calls};
  tcase_add_checked_fixture(ways, begin, end);
  for (size_t i = 0; i < sizeof tests / sizeof *tests; i++)
    tcase_add_test(ways, tests[i]);
  suite_add_tcase(suite, ways);
  TCase *random = tcase_create("random");
  tcase_add_checked_fixture(random, begin, end);
  tcase_add_loop_test(random, random_houses, 0, 60);
  suite_add_tcase(suite, random);
  return suite;
}
