/* number.h - numbers read and printed alike in every locale */

#ifndef EBI_NUMBER_H
#define EBI_NUMBER_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

typedef enum ebi_number_fault {
  EBI_NUMBER_OK,
  EBI_NUMBER_NONE,       /* no number at the start of the text */
  EBI_NUMBER_COMMA,      /* "8,5": a decimal comma */
  EBI_NUMBER_NOT_FINITE, /* nan, inf */
  EBI_NUMBER_OVERFLOW,   /* 61e9540 */
  EBI_NUMBER_FORM        /* 0x10, 1_000, 190:20:30, 1e, .. */
} ebi_number_fault;

/* Reads a decimal number [+-]digits[.digits][e[+-]digits] at the start of
 * text[0..length); *used is how many bytes it took. Correctly rounded. */
ebi_number_fault ebi_number_read(const char *text, size_t length, double *value, size_t *used);

/* Shortest text that reads back as the same double, at most 12 significant
 * digits; returns the length. Needs 32 bytes. */
size_t ebi_number_print(char *buffer, double value);

/* vsnprintf with '.' as the decimal point whatever the locale. */
int ebi_format(char *buffer, size_t size, const char *format, va_list arguments);

#endif
