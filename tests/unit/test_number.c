/* test_number.c - numbers read and printed alike in every locale */

#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/number.h"
#include "suites.h"

typedef struct row {
  const char *text;
  ebi_number_fault fault;
  double value;
  size_t used;
} row;

static const row good[] = {
    {"22.0 m2", EBI_NUMBER_OK, 22.0, 4},
    {"-0.4in.wg", EBI_NUMBER_OK, -0.4, 4},
    {"+63 cfm", EBI_NUMBER_OK, 63.0, 3},
    {"0012", EBI_NUMBER_OK, 12.0, 4},
    {"12e3", EBI_NUMBER_OK, 12000.0, 4},
    {"1.25E-2x", EBI_NUMBER_OK, 0.0125, 7},
    {"54.12345", EBI_NUMBER_OK, 54.12345, 8},
    {"9007199254740993", EBI_NUMBER_OK, 9007199254740992.0, 16}, /* a tie, to even */
    {"0.1e-400", EBI_NUMBER_OK, 0.0, 8},
    {"0e999999999999", EBI_NUMBER_OK, 0.0, 14},
    {"1.7976931348623157e308", EBI_NUMBER_OK, DBL_MAX, 22},
    {"8, 5", EBI_NUMBER_OK, 8.0, 1}, /* items of a list: the comma is no part of it */
};

static const row bad[] = {
    {"", EBI_NUMBER_NONE, 0, 0},
    {"-", EBI_NUMBER_NONE, 0, 0},
    {"bed", EBI_NUMBER_NONE, 0, 0},
    {"information", EBI_NUMBER_NONE, 0, 0},
    {"- 5", EBI_NUMBER_NONE, 0, 0},
    {"8,5 l/s", EBI_NUMBER_COMMA, 0, 0},
    {"1,000", EBI_NUMBER_COMMA, 0, 0},
    {"nan", EBI_NUMBER_NOT_FINITE, 0, 0},
    {"-Infinity", EBI_NUMBER_NOT_FINITE, 0, 0},
    {".nan", EBI_NUMBER_NOT_FINITE, 0, 0},
    {"-.inf", EBI_NUMBER_NOT_FINITE, 0, 0},
    {"INF m2", EBI_NUMBER_NOT_FINITE, 0, 0},
    {"61e9540", EBI_NUMBER_OVERFLOW, 0, 0},
    {"1.8e308", EBI_NUMBER_OVERFLOW, 0, 0},
    {"1e99999999999999999999", EBI_NUMBER_OVERFLOW, 0, 0},
    {"0x10", EBI_NUMBER_FORM, 0, 0},
    {"0x_", EBI_NUMBER_FORM, 0, 0},
    {"1_000", EBI_NUMBER_FORM, 0, 0},
    {"190:20:30", EBI_NUMBER_FORM, 0, 0},
    {"12:30", EBI_NUMBER_FORM, 0, 0},
    {"1e", EBI_NUMBER_FORM, 0, 0},
    {"1e+", EBI_NUMBER_FORM, 0, 0},
    {"1..2", EBI_NUMBER_FORM, 0, 0},
    {"1.2.3", EBI_NUMBER_FORM, 0, 0},
    {"5.", EBI_NUMBER_FORM, 0, 0},
    {".5", EBI_NUMBER_FORM, 0, 0},
};

/* Reads from a copy of exactly its length, so that sanitizers see a read beyond. */
static ebi_number_fault read_exact(const char *text, double *value, size_t *used) {
  size_t length = strlen(text);
  char *copy = malloc(length + (length == 0));
  memcpy(copy, text, length);
  ebi_number_fault fault = ebi_number_read(copy, length, value, used);
  free(copy);
  return fault;
}

static void check_rows(void) {
  for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
    double value = -77.0;
    size_t used = 99;
    ck_assert_msg(read_exact(good[i].text, &value, &used) == EBI_NUMBER_OK, "%s", good[i].text);
    ck_assert_msg(value == good[i].value && used == good[i].used, "%s", good[i].text);
  }
  for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
    double value = -77.0;
    size_t used = 99;
    ebi_number_fault fault = read_exact(bad[i].text, &value, &used);
    ck_assert_msg(fault == bad[i].fault, "%s gives %d", bad[i].text, (int)fault);
    ck_assert(value == -77.0 && used == 99); /* untouched */
  }
}

START_TEST(forms_and_faults) {
  check_rows();
}
END_TEST

static void check_printing(void) {
  static const struct {
    double value;
    const char *text;
  } rows[] = {
      {0.1, "0.1"},
      {-0.0, "0"},
      {22.0, "22"},
      {1.0 / 3.0, "0.333333333333"},
      {-41.25, "-41.25"},
      {1e21, "1e+21"},
      {2363.19, "2363.19"},
      {4.9406564584124654e-324, "4.94065645841e-324"},
      {-1.2345678901e-300, "-1.2345678901e-300"},
  };
  char buffer[32];
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    size_t length = ebi_number_print(buffer, rows[i].value);
    ck_assert_str_eq(buffer, rows[i].text);
    ck_assert_uint_eq(length, strlen(rows[i].text));
  }
}

START_TEST(printing) {
  check_printing();
}
END_TEST

/* Numbers of up to 12 digits come back as they were. */
START_TEST(what_is_printed_reads_back) {
  uint64_t seed = 0x9E3779B97F4A7C15u;
  for (int i = 0; i < 20000; i++) {
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    double value = (double)(seed >> 24) * 1e-3; /* at most 13 digits */
    char buffer[32], again[32];
    double back;
    size_t used, length = ebi_number_print(buffer, value);
    ck_assert_int_eq(ebi_number_read(buffer, length, &back, &used), EBI_NUMBER_OK);
    ck_assert_uint_eq(used, length);
    ck_assert(fabs(back - value) <= 5.1e-12 * value);
    ebi_number_print(again, back);
    ck_assert_str_eq(again, buffer);
  }
}
END_TEST

/* Correct rounding, against the C library's own reader in the C locale. */
START_TEST(rounding_is_correct) {
  uint64_t seed = 20261125u;
  for (int i = 0; i < 20000; i++) {
    char text[64];
    seed = seed * 6364136223846793005u + 1442695040888963407u;
    int exponent = (int)(seed >> 33) % 320;
    snprintf(text, sizeof text, "%llu.%06lluE%d", (unsigned long long)(seed >> 11),
             (unsigned long long)(seed & 0xFFFFF) % 1000000, -exponent);
    double value;
    size_t used;
    ck_assert_int_eq(read_exact(text, &value, &used), EBI_NUMBER_OK);
    ck_assert_msg(value == strtod(text, NULL), "%s", text);
  }
}
END_TEST

/* 1 + 2^-53 lies half way between two doubles; one more digit, 900 places
 * behind the point, decides. */
START_TEST(very_long_numbers) {
  static const char half_way[] = "1.00000000000000011102230246251565404236316680908203125";
  char text[1200];
  memset(text, '0', sizeof text);
  memcpy(text, half_way, strlen(half_way));
  double value;
  size_t used;
  ck_assert_int_eq(ebi_number_read(text, sizeof text, &value, &used), EBI_NUMBER_OK);
  ck_assert(value == 1.0);
  ck_assert_uint_eq(used, sizeof text);
  text[sizeof text - 1] = '1';
  ck_assert_int_eq(ebi_number_read(text, sizeof text, &value, &used), EBI_NUMBER_OK);
  ck_assert(value == 1.0 + DBL_EPSILON);
  memset(text, '9', sizeof text);
  ck_assert_int_eq(ebi_number_read(text, sizeof text, &value, &used), EBI_NUMBER_OVERFLOW);
  memset(text, '0', sizeof text);
  memcpy(text + sizeof text - 7, "6e-1199", 7); /* 0...06e-1199 */
  ck_assert_int_eq(ebi_number_read(text, sizeof text, &value, &used), EBI_NUMBER_OK);
  ck_assert(value == 0.0);
}
END_TEST

/* Where the machine has a locale with a decimal comma: all of it again. */
START_TEST(a_comma_locale_changes_nothing) {
  static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "sv_SE.UTF-8", "fr_FR.UTF-8"};
  bool found = false;
  for (size_t i = 0; !found && i < sizeof names / sizeof names[0]; i++)
    found = setlocale(LC_ALL, names[i]) != NULL;
  if (!found)
    return;
  ck_assert_str_eq(localeconv()->decimal_point, ",");
  check_rows();
  check_printing();
  ebi_arena *arena = ebi_arena_new(NULL);
  ck_assert_str_eq(ebi_arena_format(arena, "%.4g l/s", 8.125), "8.125 l/s");
  ebi_arena_free(arena);
  ck_assert_str_eq(localeconv()->decimal_point, ","); /* and is left alone */
  setlocale(LC_ALL, "C");
}
END_TEST

Suite *suite_number(void) {
  Suite *suite = suite_create("number");
  TCase *cases = tcase_create("number");
  tcase_add_test(cases, forms_and_faults);
  tcase_add_test(cases, printing);
  tcase_add_test(cases, what_is_printed_reads_back);
  tcase_add_test(cases, rounding_is_correct);
  tcase_add_test(cases, very_long_numbers);
  tcase_add_test(cases, a_comma_locale_changes_nothing);
  suite_add_tcase(suite, cases);
  return suite;
}
