/* splice.h - text put into the bytes of a file, all others left as they are */

#ifndef EBI_SPLICE_H
#define EBI_SPLICE_H

#include "input/tree.h"

/* Bytes [start, end) give way to `text`; nothing gives way where both are alike. */
typedef struct ebi_splice {
  size_t start, end;
  const char *text;
  const ebi_yaml *key; /* whose value is replaced, or NULL */
} ebi_splice;

typedef struct ebi_splices {
  ebi_splice *items;
  size_t count, capacity;
} ebi_splices;

/* False when memory ran out. */
bool ebi_splice_add(ebi_splices *splices, ebi_arena *arena, ebi_splice splice);

/* By their start. */
void ebi_splices_sort(ebi_splices *splices);

/* The number of the first of the sorted ones that ends after `at`; the count where none. */
size_t ebi_splices_after(const ebi_splices *splices, size_t at);

/* The bytes with the sorted splices, which do not overlap, ended by a NUL. NULL when memory ran
 * out. */
char *ebi_splices_join(const ebi_splices *splices, ebi_arena *arena, const char *bytes,
                       size_t length, size_t *joined);

#endif
