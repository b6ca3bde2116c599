/* number.c - numbers read and printed alike in every locale */

#include "base/number.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* 767 digits decide the rounding of any double; beyond, only whether any
 * further digit is not 0 matters. */
#define DIGITS_KEPT 800
#define EXPONENT_LIMIT 1000000L

static bool is_digit(char byte) {
  return byte >= '0' && byte <= '9';
}

static bool is_letter(char byte) {
  return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || byte == '_';
}

/* True where text[at..] starts with `word` in any case, and the word ends there. */
static bool has_word(const char *text, size_t length, size_t at, const char *word) {
  size_t n = strlen(word);
  if (length - at < n)
    return false;
  for (size_t i = 0; i < n; i++)
    if ((text[at + i] | 0x20) != word[i])
      return false;
  return at + n == length || !(is_letter(text[at + n]) || is_digit(text[at + n]));
}

static ebi_number_fault fault_at_start(const char *text, size_t length, size_t at) {
  if (at < length && text[at] == '.') {
    if (at + 1 < length && is_digit(text[at + 1]))
      return EBI_NUMBER_FORM;
    at++;
  }
  if (has_word(text, length, at, "nan") || has_word(text, length, at, "inf") ||
      has_word(text, length, at, "infinity"))
    return EBI_NUMBER_NOT_FINITE;
  return EBI_NUMBER_NONE;
}

/* The significant digits so far, as an integer times a power of ten. Written
 * so, strtod needs no decimal point and hence no locale. */
typedef struct decimal {
  char digits[DIGITS_KEPT + 32];
  size_t count;
  long exponent;
  bool more; /* a digit other than 0 was left out */
} decimal;

static void take_digit(decimal *d, char digit, bool fraction) {
  if (d->count == 0 && digit == '0') {
    d->exponent -= fraction && d->exponent > -EXPONENT_LIMIT;
  } else if (d->count < DIGITS_KEPT) {
    d->digits[d->count++] = digit;
    d->exponent -= fraction && d->exponent > -EXPONENT_LIMIT;
  } else {
    d->more = d->more || digit != '0';
    d->exponent += !fraction && d->exponent < EXPONENT_LIMIT;
  }
}

/* Digits from text[at]; returns the place behind them. */
static size_t take_digits(decimal *d, const char *text, size_t length, size_t at, bool fraction) {
  while (at < length && is_digit(text[at]))
    take_digit(d, text[at++], fraction);
  return at;
}

/* The exponent behind text[at] == 'e'; returns the place behind it or 0. */
static size_t take_exponent(decimal *d, const char *text, size_t length, size_t at) {
  at++;
  bool negative = at < length && text[at] == '-';
  if (at < length && (text[at] == '-' || text[at] == '+'))
    at++;
  if (at == length || !is_digit(text[at]))
    return 0;
  long exponent = 0;
  for (; at < length && is_digit(text[at]); at++)
    if (exponent < EXPONENT_LIMIT)
      exponent = exponent * 10 + (text[at] - '0');
  d->exponent += negative ? -exponent : exponent;
  return at;
}

static ebi_number_fault fault_behind(const char *text, size_t length, size_t at) {
  if (at == length)
    return EBI_NUMBER_OK;
  bool digit_next = at + 1 < length && is_digit(text[at + 1]);
  if (text[at] == ',' && digit_next)
    return EBI_NUMBER_COMMA;
  if (text[at] == '.' || text[at] == '_' || (text[at] == ':' && digit_next))
    return EBI_NUMBER_FORM;
  if ((text[at] == 'x' || text[at] == 'X') && at > 0 && text[at - 1] == '0')
    return EBI_NUMBER_FORM;
  return EBI_NUMBER_OK;
}

static ebi_number_fault round_decimal(decimal *d, bool negative, double *value) {
  if (d->count == 0) {
    *value = 0.0;
    return EBI_NUMBER_OK;
  }
  size_t n = d->count;
  if (d->more) { /* sticky digit: just above what is kept */
    d->digits[n++] = '1';
    d->exponent--;
  }
  snprintf(d->digits + n, sizeof d->digits - n, "e%ld", d->exponent);
  double magnitude = strtod(d->digits, NULL);
  if (!isfinite(magnitude))
    return EBI_NUMBER_OVERFLOW;
  *value = negative ? -magnitude : magnitude;
  return EBI_NUMBER_OK;
}

ebi_number_fault ebi_number_read(const char *text, size_t length, double *value, size_t *used) {
  decimal d;
  d.count = 0;
  d.exponent = 0;
  d.more = false;
  size_t at = 0;
  bool negative = length > 0 && text[0] == '-';
  if (length > 0 && (text[0] == '-' || text[0] == '+'))
    at++;
  if (at == length || !is_digit(text[at]))
    return fault_at_start(text, length, at);
  at = take_digits(&d, text, length, at, false);
  if (at + 1 < length && text[at] == '.' && is_digit(text[at + 1]))
    at = take_digits(&d, text, length, at + 1, true);
  if (at < length && (text[at] == 'e' || text[at] == 'E')) {
    at = take_exponent(&d, text, length, at);
    if (at == 0)
      return EBI_NUMBER_FORM;
  }
  ebi_number_fault fault = fault_behind(text, length, at);
  if (fault == EBI_NUMBER_OK)
    fault = round_decimal(&d, negative, value);
  if (fault == EBI_NUMBER_OK)
    *used = at;
  return fault;
}

int ebi_format(char *buffer, size_t size, const char *format, va_list arguments) {
  locale_t plain = newlocale(LC_ALL_MASK, "C", (locale_t)0);
  if (plain == (locale_t)0)
    return -1;
  locale_t before = uselocale(plain); /* of this thread only */
  int length = vsnprintf(buffer, size, format, arguments);
  uselocale(before);
  freelocale(plain);
  return length;
}

#if defined __GNUC__
__attribute__((format(printf, 3, 4)))
#endif
static int
format_plain(char *buffer, size_t size, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  int length = ebi_format(buffer, size, format, arguments);
  va_end(arguments);
  return length;
}

/* %g drops trailing zeros, so where any shorter text reads back as the same
 * double, the text of 12 digits is that text already. */
size_t ebi_number_print(char *buffer, double value) {
  double shown = value == 0.0 ? 0.0 : value; /* no "-0" */
  int length = format_plain(buffer, 32, "%.12g", shown);
  if (length < 0 || length >= 32) {
    buffer[0] = '\0';
    return 0;
  }
  return (size_t)length;
}
