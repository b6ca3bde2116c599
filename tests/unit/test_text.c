/* test_text.c - edit distance, nearest names, UTF-8 */

#include <string.h>

#include "base/text.h"
#include "suites.h"

START_TEST(distances) {
  static const struct {
    const char *a, *b;
    size_t distance;
  } rows[] = {
      {"", "", 0},
      {"", "valve", 5},
      {"valve", "vavle", 1}, /* a swap */
      {"kitten", "sitting", 3},
      {"ca", "abc", 3}, /* no edit inside a swapped pair */
      {"extract", "exhaust", 4},
      {"fittings", "fitings", 1},
      {"len", "length", 3},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    ck_assert_msg(ebi_text_distance(rows[i].a, rows[i].b) == rows[i].distance, "%s %s", rows[i].a,
                  rows[i].b);
    ck_assert_uint_eq(ebi_text_distance(rows[i].b, rows[i].a), rows[i].distance);
  }
  char a[10001], b[10001];
  memset(a, 'x', 10000);
  memset(b, 'y', 10000);
  a[10000] = b[10000] = '\0';
  ck_assert_uint_eq(ebi_text_distance(a, b), 64);
}
END_TEST

START_TEST(nearest_names) {
  static const char *const keys[] = {"use", "area", "height", "storey", "sleepers", "sound_limit"};
  ck_assert_str_eq(ebi_text_nearest("hieght", keys, 6), "height");
  ck_assert_str_eq(ebi_text_nearest("aera", keys, 6), "area");
  ck_assert_str_eq(ebi_text_nearest("story", keys, 6), "storey");
  ck_assert_str_eq(ebi_text_nearest("sound-limt", keys, 6), "sound_limit");
  ck_assert_str_eq(ebi_text_nearest("use", keys, 6), "use");
  ck_assert_ptr_null(ebi_text_nearest("colour", keys, 6));
  ck_assert_ptr_null(ebi_text_nearest("x", keys, 6));
  ck_assert_ptr_null(ebi_text_nearest("", keys, 6));
  ck_assert_ptr_null(ebi_text_nearest("area", keys, 0));
}
END_TEST

START_TEST(utf8) {
  static const struct {
    const char *bytes;
    size_t bad; /* or the length where all is well */
  } rows[] = {
      {"plain", 5},
      {"m\xC2\xB2 \xE2\x80\x93 \xF0\x9F\x8F\xA0", 12},
      {"\xC0\xAF", 0},         /* overlong */
      {"ab\xE0\x80\x80", 2},   /* overlong */
      {"\xED\xA0\x80", 0},     /* surrogate */
      {"\xF4\x90\x80\x80", 0}, /* beyond U+10FFFF */
      {"x\xE2\x82", 1},        /* cut off */
      {"x\xE2\x28\xA1", 1},
      {"\x80", 0},
      {"abc\xFF", 3},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    size_t length = strlen(rows[i].bytes), bad = 999;
    bool valid = ebi_text_utf8(rows[i].bytes, length, &bad);
    ck_assert_msg(valid == (rows[i].bad == length), "row %zu", i);
    if (!valid)
      ck_assert_uint_eq(bad, rows[i].bad);
  }
}
END_TEST

Suite *suite_text(void) {
  Suite *suite = suite_create("text");
  TCase *cases = tcase_create("text");
  tcase_add_test(cases, distances);
  tcase_add_test(cases, nearest_names);
  tcase_add_test(cases, utf8);
  suite_add_tcase(suite, cases);
  return suite;
}
