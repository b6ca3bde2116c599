/* names.h - a set of names, each with a number: keys, anchors, rooms, runs */

#ifndef EBI_NAMES_H
#define EBI_NAMES_H

#include "base/arena.h"

#define EBI_NO_NAME ((size_t)-1)

/* Zeroed is empty. The names are not copied. */
typedef struct ebi_names {
  struct ebi_name_slot *slots;
  size_t capacity, count;
} ebi_names;

/* The number of a name, or EBI_NO_NAME. */
size_t ebi_names_find(const ebi_names *names, const char *name);

/* Sets the number of a name, new or known. False when memory ran out. */
bool ebi_names_set(ebi_names *names, ebi_arena *arena, const char *name, size_t number);

#endif
