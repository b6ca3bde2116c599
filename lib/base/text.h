/* text.h - small helpers for words */

#ifndef EBI_TEXT_H
#define EBI_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* Edit distance with neighbouring swaps (optimal string alignment), capped at 64 bytes. */
size_t ebi_text_distance(const char *a, const char *b);

/* The name nearest to `word` among `names` (count of them), or NULL where
 * none is near enough to be meant. */
const char *ebi_text_nearest(const char *word, const char *const *names, size_t count);

/* True where bytes[0..length) is valid UTF-8 (no surrogates, no overlong
 * forms); else *bad is the first wrong byte. */
bool ebi_text_utf8(const char *bytes, size_t length, size_t *bad);

bool ebi_text_equal(const char *a, const char *b);

#endif
