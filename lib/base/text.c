/* text.c - small helpers for words */

#include "base/text.h"

#include <string.h>

#define LONGEST 64

static size_t smallest(size_t a, size_t b) {
  return a < b ? a : b;
}

size_t ebi_text_distance(const char *a, const char *b) {
  size_t n = smallest(strlen(a), LONGEST), m = smallest(strlen(b), LONGEST);
  size_t rows[3][LONGEST + 1]; /* of the table: this one and the two before */
  for (size_t j = 0; j <= m; j++)
    rows[0][j] = j;
  for (size_t i = 1; i <= n; i++) {
    size_t *row = rows[i % 3], *before = rows[(i + 2) % 3], *two_before = rows[(i + 1) % 3];
    row[0] = i;
    for (size_t j = 1; j <= m; j++) {
      size_t change = before[j - 1] + (a[i - 1] != b[j - 1]);
      row[j] = smallest(change, smallest(before[j], row[j - 1]) + 1);
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = smallest(row[j], two_before[j - 2] + 1);
    }
  }
  return rows[n % 3][m];
}

const char *ebi_text_nearest(const char *word, const char *const *names, size_t count) {
  size_t length = strlen(word);
  size_t near_enough = length <= 4 ? 1 : smallest((length + 1) / 3, 4);
  const char *nearest = NULL;
  for (size_t i = 0; i < count; i++) {
    size_t distance = ebi_text_distance(word, names[i]);
    if (distance <= near_enough && distance < length) {
      near_enough = distance == 0 ? 0 : distance - 1;
      nearest = names[i];
      if (distance == 0)
        break;
    }
  }
  return nearest;
}

/* Bytes of the UTF-8 character that starts with `first`, 0 where none does. */
static size_t character_size(unsigned char first) {
  if (first < 0x80)
    return 1;
  if (first >= 0xC2 && first <= 0xDF)
    return 2;
  if (first >= 0xE0 && first <= 0xEF)
    return 3;
  return first >= 0xF0 && first <= 0xF4 ? 4 : 0;
}

/* The second byte's range rules out overlong forms, surrogates and what lies
 * beyond U+10FFFF (Unicode 15, table 3-7, from memory). */
static bool second_fits(unsigned char first, unsigned char second) {
  unsigned char low = first == 0xE0 ? 0xA0 : first == 0xF0 ? 0x90 : 0x80;
  unsigned char high = first == 0xED ? 0x9F : first == 0xF4 ? 0x8F : 0xBF;
  return second >= low && second <= high;
}

bool ebi_text_utf8(const char *bytes, size_t length, size_t *bad) {
  for (size_t at = 0; at < length;) {
    unsigned char first = (unsigned char)bytes[at];
    size_t size = character_size(first);
    bool fits = size != 0 && size <= length - at &&
                (size == 1 || second_fits(first, (unsigned char)bytes[at + 1]));
    for (size_t i = 2; fits && i < size; i++)
      fits = ((unsigned char)bytes[at + i] & 0xC0) == 0x80;
    if (!fits) {
      *bad = at;
      return false;
    }
    at += size;
  }
  return true;
}

bool ebi_text_equal(const char *a, const char *b) {
  return strcmp(a, b) == 0;
}
