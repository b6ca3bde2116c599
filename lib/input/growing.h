/* growing.h - a text put together piece by piece in an arena */

#ifndef EBI_GROWING_H
#define EBI_GROWING_H

#include "base/arena.h"

/* Only the arena set is an empty text. */
typedef struct ebi_growing {
  ebi_arena *arena;
  char *text; /* ended by a NUL; NULL while it is empty */
  size_t length, capacity;
  bool failed; /* memory ran out; nothing is added any more */
} ebi_growing;

void ebi_grow_bytes(ebi_growing *growing, const char *bytes, size_t length);
void ebi_grow_text(ebi_growing *growing, const char *text);
void ebi_grow_blanks(ebi_growing *growing, size_t count);

/* Formatted like ebi_arena_format. */
#if defined __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
void ebi_grow_format(ebi_growing *growing, const char *format, ...);

#endif
