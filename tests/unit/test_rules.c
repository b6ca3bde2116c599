/* test_rules.c - rule files: the shipped ones, the one of the document, wrong ones */

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "rates_house.h"
#include "suites.h"

#define NEAR(got, want, allowed) ck_assert_double_eq_tol(got, want, allowed)

static test_house t;
static char folder[] = "/tmp/eb-rules-XXXXXX";
static char path[64];

static void setup(void) {
  strcpy(folder, "/tmp/eb-rules-XXXXXX");
  ck_assert_ptr_nonnull(mkdtemp(folder));
  snprintf(path, sizeof path, "%s/rules.yaml", folder);
  test_house_start(&t, NULL);
}

static void teardown(void) {
  test_house_end(&t);
  unlink(path);
  rmdir(folder);
}

static const ebi_rule_set *rules_of(const char *text, size_t length) {
  FILE *file = fopen(path, "w");
  ck_assert_ptr_nonnull(file);
  ck_assert_uint_eq(fwrite(text, 1, length, file), length);
  ck_assert_int_eq(fclose(file), 0);
  return test_rules(t.context, path);
}

/* ---- The document's example ---- */

/* The first block of YAML in doc/rules.md. */
static const ebi_rule_set *document_rules(void) {
  static char text[65536];
  FILE *file = fopen(test_source_path(t.context, "doc/rules.md"), "r");
  ck_assert_ptr_nonnull(file);
  text[fread(text, 1, sizeof text - 1, file)] = '\0';
  fclose(file);
  char *start = strstr(text, "```yaml\n");
  ck_assert_ptr_nonnull(start);
  start += strlen("```yaml\n");
  char *end = strstr(start, "```");
  ck_assert_ptr_nonnull(end);
  return rules_of(start, (size_t)(end - start));
}

/* The block of the document that starts with ```yaml-NAME, each line after `indent`;
 * returns how many bytes it added. */
static size_t document_block(const char *name, const char *indent, char *to, size_t size) {
  static char text[65536];
  char fence[32];
  FILE *file = fopen(test_source_path(t.context, "doc/rules.md"), "r");
  ck_assert_ptr_nonnull(file);
  text[fread(text, 1, sizeof text - 1, file)] = '\0';
  fclose(file);
  snprintf(fence, sizeof fence, "```yaml-%s\n", name);
  char *line = strstr(text, fence);
  ck_assert_ptr_nonnull(line);
  size_t used = 0;
  for (line += strlen(fence); strncmp(line, "```", 3) != 0; line = strchr(line, '\n') + 1)
    used += (size_t)snprintf(to + used, size - used, "%s%.*s\n", indent,
                             (int)(strchr(line, '\n') - line), line);
  ck_assert_uint_lt(used, size);
  return used;
}

static void document_rooms(void) {
  test_room(&t, "living", "living", 23.0, 57.5);
  test_room(&t, "bed-1", "bedroom", 13.0, 31.2)->sleepers = test_given(2.0);
  test_room(&t, "bed-2", "bedroom", 9.0, 21.6)->sleepers = test_given(1.0);
  test_room(&t, "kitchen", "kitchen", 12.0, 28.8);
  test_room(&t, "bath", "bath", 6.0, 21.6);
  t.house.floor_area = test_given(71.0);
  t.house.bedrooms = test_given(3.0);
  t.house.people = test_given(4.0);
}

static void document_house(void) {
  t.house.rules = document_rules();
  ck_assert_ptr_nonnull(t.house.rules);
  document_rooms();
}

START_TEST(document_example_works) {
  document_house();
  const eb_rates *rates = test_plan(&t, NULL);
  /* area 21.3; 3 bedrooms 21 + 4 = 25; people 5 + 16 = 21; rooms 8 */
  NEAR(rates->required_m3_s * 1e3, 25.0, 1e-9);
  ck_assert_str_eq(rates->governed_by, "bedrooms");
  /* supply by volume 57.5/31.2/21.6, but bed-1 has 2 x 7 and bed-2 8 at least */
  NEAR(test_supply(rates, "bed-1", 0), 14.0, 1e-9);
  NEAR(test_supply(rates, "bed-2", 0), 8.0, 1e-9);
  NEAR(test_supply(rates, "living", 0), 3.0, 1e-9);
  /* bath: 2 ach of 21.6 m3 is 12 l/s at boost; 25 l/s in proportion to 20 and 12 */
  NEAR(rates->rooms[4].extract[1].required_m3_s * 1e3, 12.0, 1e-9);
  NEAR(test_extract(rates, "kitchen", 0), 25.0 * 20 / 32, 1e-9);
  NEAR(rates->extract_total_m3_s[1] * 1e3, 32.0, 1e-9);
  NEAR(rates->transfers[0].rule_undercut_m, 0.010, 1e-12);
  ck_assert_uint_eq(test_found(&t, "rules-from-memory"), 1);
  ck_assert_double_eq(t.house.rules->fan_power.value, 1200.0);
  ck_assert_uint_eq(t.house.rules->n_sound, 2);
  ck_assert_str_eq(t.house.rules->whole_dwelling->source.text, "Rules of Nowhere, 2020");
}
END_TEST

#define DOCUMENT_USES                                                                              \
  "table: rules\ntitle: t\nsource: s\nknown: invented\n"                                           \
  "uses: {living: {habitable: yes, supply: yes}, bedroom: {habitable: yes, supply: yes}, "         \
  "kitchen: {wet: yes, extract: yes}, bath: {wet: yes, extract: yes}}\n"                           \
  "supply_split: {by: area}\n"

/* All other examples of the document, put together as one file. */
START_TEST(document_sections_work) {
  char text[16384] = DOCUMENT_USES "whole_dwelling: {id: design, flow: 20 l/s}\n";
  static const char *const blocks[] = {"levels", "openings", "limits"};
  size_t used = strlen(text);
  for (size_t i = 0; i < 3; i++)
    used += document_block(blocks[i], "", text + used, sizeof text - used);
  document_rooms();
  t.house.rules = rules_of(text, used);
  ck_assert_ptr_nonnull(t.house.rules);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->supply_total_m3_s[1] * 1e3, 26.0, 1e-9);
  NEAR(rates->rooms[4].intermittent_m3_s * 1e3, 15.0, 1e-9);
  NEAR(rates->background_area_m2 * 1e6, 56000.0, 1e-6); /* 8 x 7,000 */
  ck_assert_str_eq(rates->flows[1].name, "absent");
  NEAR(rates->flows[1].flow_m3_s * 1e3, 7.1, 1e-9);
  ck_assert(t.house.rules->commissioning.two_sided);
}
END_TEST

START_TEST(document_table_works) {
  char text[16384] = DOCUMENT_USES "whole_dwelling:\n";
  size_t used = strlen(text);
  used += document_block("term", "  ", text + used, sizeof text - used);
  document_rooms();
  t.house.rules = rules_of(text, used);
  ck_assert_ptr_nonnull(t.house.rules);
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, 21.0, 1e-9); /* 71 m2, 3 bedrooms */
  t.house.floor_area = test_given(140.0);
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, 28.0, 1e-9);
}
END_TEST

START_TEST(sums_clips_and_rooms_govern) {
  document_house();
  t.house.people = test_given(6.0);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(rates->required_m3_s * 1e3, 29.0, 1e-9);
  ck_assert_str_eq(rates->governed_by, "people");
  t.rooms[4].volume = test_given(33.0); /* 18.3 l/s, at most 15 */
  NEAR(test_plan(&t, NULL)->rooms[4].extract[1].required_m3_s * 1e3, 15.0, 1e-9);
  t.rooms[4].volume = test_given(9.0); /* 5 l/s, at least 10 */
  NEAR(test_plan(&t, NULL)->rooms[4].extract[1].required_m3_s * 1e3, 10.0, 1e-9);
  t.rooms[1].sleepers = test_given(5.0); /* 35 + 8 is beyond the whole dwelling's */
  rates = test_plan(&t, NULL);
  NEAR(rates->extract_total_m3_s[0] * 1e3, 43.0, 1e-9);
  NEAR(test_supply(rates, "living", 0), 0.0, 1e-9);
}
END_TEST

START_TEST(table_has_no_row) {
  document_house();
  t.house.bedrooms = test_given(0.0);
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_rates_plan(t.context, &t.house, NULL, NULL, &rates), EB_E_INPUT);
  ck_assert_uint_eq(test_found(&t, "rule-range"), 1);
}
END_TEST

/* ---- England 2021 ---- */

START_TEST(england_is_complete) {
  const ebi_rule_set *set = test_rules(t.context, "england-2021");
  ck_assert_ptr_nonnull(set);
  NEAR(set->fan_power.value, 1500.0, 1e-9); /* ADL vol. 1 2021, 6.55 */
  NEAR(set->heat_recovery.value, 0.73, 1e-12);
  NEAR(set->permeability.value * 3600.0, 8.0, 1e-12);
  NEAR(set->transfer.area->flow * 1e6, 7600.0, 1e-9); /* ADF vol. 1 2021, 1.25 */
  NEAR(set->transfer.undercut_bare.value * 1e3, 20.0, 1e-12);
  ck_assert_int_eq(set->supply_split, EBI_SPLIT_VOLUME);
  ck_assert_uint_eq(set->n_sound, 12);
  ck_assert_uint_eq(set->n_combustion, 4);
  NEAR(set->combustion[3].vent_area_per_power * 1e9, 550.0, 1e-9);
  ck_assert_str_eq(set->entry.source.known, "read");
  ck_assert_uint_ge(set->n_notes, 10);
  ck_assert_ptr_eq(set, test_rules(t.context, "england-2021")); /* read once */
}
END_TEST

/* ---- Wrong files ---- */

#define HEAD "table: rules\ntitle: t\nsource: s\nknown: invented\n"
#define USES "uses: {living: {habitable: yes, supply: yes}, kitchen: {wet: yes, extract: yes}}\n"
#define WHOLE "whole_dwelling: 31 l/s\n"
#define SPLIT "supply_split: {by: volume}\n"

typedef struct wrong_file {
  const char *text, *code, *part; /* of the message */
  int line, column;
} wrong_file;

static const wrong_file wrong[] = {
    {HEAD USES SPLIT "whole_dwelling: {per: floor_aera, rate: 0.3 l/(s.m2)}\n", "", "floor_area", 7,
     23},
    {HEAD USES SPLIT "whole_dwelling: {per: sleepers, rate: 7 l/(s.person)}\n", "driver-place",
     "of one room", 7, 23},
    {HEAD USES SPLIT "whole_dwelling: {per: people}\n", "key-missing", "rate", 7, 17},
    {HEAD USES SPLIT "whole_dwelling: {per: people, rate: 4 l/(s.m2)}\n", "", "l/(s.m2)", 7, 37},
    {HEAD USES SPLIT "whole_dwelling: {flow: 3 l/s, sum: [4 l/s]}\n", "term-kind", "exactly one", 7,
     17},
    {HEAD USES SPLIT "whole_dwelling: {at_least: 3 l/s}\n", "term-kind", "not 0", 7, 17},
    {HEAD USES SPLIT "whole_dwelling: 31\n", "", "l/s", 7, 17},
    {HEAD USES SPLIT "whole_dwelling: {largest: []}\n", "not-a-list", "list", 7, 27},
    {HEAD USES SPLIT "whole_dwelling: {flow: 3 l/s, at_least: 5 l/s, at_most: 4 l/s}\n",
     "clip-empty", "above", 7, 17},
    {HEAD USES SPLIT "whole_dwelling: {flow: 3 l/s, when: {bedroms: 2}}\n", "", "bedrooms", 7, 38},
    {HEAD USES SPLIT "whole_dwelling: {flow: 3 l/s, when: {bedrooms: {at_least: 3, at_most: 2}}}\n",
     "condition-empty", "never", 7, 48},
    {HEAD USES SPLIT "whole_dwelling: {by: bedrooms, steps: {columns: [bedrooms, l/s], points: "
                     "[[1, 19], [1, 25]]}}\n",
     "not-rising", "larger", 7, 84},
    {HEAD USES SPLIT "whole_dwelling: {by: bedrooms, steps: {columns: [bedrooms, l/s], points: "
                     "[[1, 19], [2, 17]]}}\n",
     "steps-fall", "row 2", 7, 39},
    {HEAD USES SPLIT "whole_dwelling: {by: floor_area, steps: {columns: [l/s, l/s], points: [[1, "
                     "19]]}}\n",
     "", "area", 7, 52},
    {HEAD USES SPLIT "whole_dwelling: {sum_of_rooms: low}\n", "", "boost", 7, 32},
    {HEAD USES WHOLE "supply_split: {by: sice}\n", "", "area", 7, 20},
    {HEAD USES WHOLE, "key-missing", "supply_split", 1, 1},
    {HEAD USES WHOLE SPLIT "sound: [{uses: [livng], level: normal, limit: 30 dB}]\n", "use-unknown",
     "living", 8, 17},
    {HEAD USES WHOLE SPLIT "sound: [{uses: living, level: low, limit: 30 dB}]\n", "", "boost", 8,
     31},
    {HEAD USES WHOLE SPLIT "combustion: [{kind: open-flued, room: kichen}]\n", "use-unknown",
     "kitchen", 8, 39},
    {HEAD USES WHOLE SPLIT "transfer: {area: 7600, door_width: 760 mm, undercut: {laid: 10 mm, "
                           "bare: 20 mm}}\n",
     "", "mm2", 8, 18},
    {HEAD USES WHOLE SPLIT "transfer: {door_width: 760 mm}\n", "key-missing", "undercut", 8, 11},
    {HEAD USES WHOLE SPLIT "limits: {fan_power: {at_least: 1.5 W/(l/s)}}\n", "key-unknown",
     "at_least", 8, 22},
    {HEAD WHOLE SPLIT "uses: {bath: {extract: {high: 8 l/s}}}\n", "key-unknown", "high", 7, 25},
    {HEAD WHOLE SPLIT "uses: {bath: {extract: {boost: {sum_of_rooms: boost}}}}\n", "driver-place",
     "one room", 7, 32},
    {HEAD WHOLE SPLIT "uses: [bath]\n", "not-a-mapping", "uses", 7, 7},
    {"table: rules\ntitle: t\n" USES WHOLE SPLIT, "key-missing", "source", 1, 1}};

static bool matches(const eb_diagnostic *diagnostic, const wrong_file *want) {
  return diagnostic->severity == EB_ERROR && diagnostic->file &&
         strcmp(diagnostic->file, path) == 0 && diagnostic->line == want->line &&
         diagnostic->column == want->column && strstr(diagnostic->message, want->part) &&
         (!want->code[0] || strcmp(want->code, diagnostic->code) == 0);
}

START_TEST(wrong_files_are_told_with_their_place) {
  const wrong_file *want = &wrong[_i];
  ck_assert_ptr_null(rules_of(want->text, strlen(want->text)));
  size_t count;
  const eb_diagnostic *all = eb_diagnostics(t.context, &count);
  for (size_t i = 0; i < count; i++)
    if (matches(&all[i], want))
      return;
  ck_assert_uint_gt(count, 0);
  ck_abort_msg("case %d: not told as wanted, but %d:%d %s: %s", _i, all[0].line, all[0].column,
               all[0].code, all[0].message);
}
END_TEST

START_TEST(smallest_file_works) {
  const char *text = HEAD USES WHOLE SPLIT;
  t.house.rules = rules_of(text, strlen(text));
  ck_assert_ptr_nonnull(t.house.rules);
  test_room(&t, "living", "living", 20.0, 50.0);
  test_room(&t, "kitchen", "kitchen", 10.0, 25.0);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(test_extract(rates, "kitchen", 1), 31.0, 1e-9);
  ck_assert_str_eq(rates->governed_by, "whole-dwelling");
}
END_TEST

/* Supply of 31 l/s to two rooms by area, by weights and by the rooms' figures. */
START_TEST(other_splits) {
  static const char *const splits[] = {"area", "weights", "rule"};
  static const double living[] = {31.0 * 23 / 36, 31.0 * 3 / 5, 31.0 * 12 / 19};
  char text[1024];
  snprintf(text, sizeof text,
           HEAD WHOLE "supply_split: {by: %s}\nuses:\n"
                      "  living: {habitable: yes, weight: 3, supply: {normal: 12 l/s}}\n"
                      "  bedroom: {habitable: yes, weight: 2, supply: {normal: 7 l/s}}\n"
                      "  kitchen: {wet: yes, extract: yes}\n  bath: {extract: yes}\n",
           splits[_i]);
  t.house.rules = rules_of(text, strlen(text));
  ck_assert_ptr_nonnull(t.house.rules);
  test_room(&t, "living", "living", 23.0, 0.0);
  test_room(&t, "bed", "bedroom", 13.0, 0.0);
  test_room(&t, "kitchen", "kitchen", 0.0, 0.0);
  test_room(&t, "bath", "bath", 0.0, 0.0);
  const eb_rates *rates = test_plan(&t, NULL);
  NEAR(test_supply(rates, "living", 0), living[_i], 1e-9);
  NEAR(test_supply(rates, "bed", 0), 31.0 - living[_i], 1e-9);
  NEAR(test_extract(rates, "bath", 0), 15.5, 1e-9); /* no figures: alike */
}
END_TEST

START_TEST(volume_is_summed_over_rooms) {
  const char *text = HEAD USES SPLIT "whole_dwelling: {per: volume, rate: 0.5 ach}\n";
  t.house.rules = rules_of(text, strlen(text));
  ck_assert_ptr_nonnull(t.house.rules);
  test_room(&t, "living", "living", 0.0, 143.0);
  ebi_room *kitchen = test_room(&t, "kitchen", "kitchen", 0.0, 37.0);
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, 25.0, 1e-9);
  kitchen->volume.given = false;
  const eb_rates *rates = NULL;
  ck_assert_int_eq(eb_rates_plan(t.context, &t.house, NULL, NULL, &rates), EB_E_INPUT);
  ck_assert_uint_eq(test_found(&t, "input-missing"), 1);
  t.house.volume = test_given(216.0);
  NEAR(test_plan(&t, NULL)->required_m3_s * 1e3, 30.0, 1e-9);
}
END_TEST

Suite *suite_rules(void) {
  Suite *suite = suite_create("rules");
  TCase *c = tcase_create("rules");
  tcase_add_checked_fixture(c, setup, teardown);
  tcase_add_test(c, document_example_works);
  tcase_add_test(c, document_sections_work);
  tcase_add_test(c, document_table_works);
  tcase_add_test(c, sums_clips_and_rooms_govern);
  tcase_add_test(c, table_has_no_row);
  tcase_add_test(c, england_is_complete);
  tcase_add_loop_test(c, wrong_files_are_told_with_their_place, 0,
                      (int)(sizeof wrong / sizeof wrong[0]));
  tcase_add_test(c, smallest_file_works);
  tcase_add_loop_test(c, other_splits, 0, 3);
  tcase_add_test(c, volume_is_summed_over_rooms);
  suite_add_tcase(suite, c);
  return suite;
}
