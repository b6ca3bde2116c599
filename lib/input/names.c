/* names.c - a set of names with open addressing */

#include "input/names.h"

#include <stdint.h>
#include <string.h>

typedef struct ebi_name_slot {
  const char *name; /* NULL: free */
  size_t number;
} ebi_name_slot;

/* FNV-1a, 64 bit (Fowler, Noll, Vo; constants from memory). */
static uint64_t hash_of(const char *name) {
  uint64_t hash = 14695981039346656037u;
  for (; *name; name++)
    hash = (hash ^ (unsigned char)*name) * 1099511628211u;
  return hash ^ (hash >> 32);
}

/* The slot that holds the name, or the free one where it belongs. */
static ebi_name_slot *slot_of(ebi_name_slot *slots, size_t capacity, const char *name) {
  size_t at = (size_t)hash_of(name) & (capacity - 1);
  while (slots[at].name && strcmp(slots[at].name, name) != 0)
    at = (at + 1) & (capacity - 1);
  return &slots[at];
}

size_t ebi_names_find(const ebi_names *names, const char *name) {
  if (!names->count)
    return EBI_NO_NAME;
  const ebi_name_slot *slot = slot_of(names->slots, names->capacity, name);
  return slot->name ? slot->number : EBI_NO_NAME;
}

static bool grow(ebi_names *names, ebi_arena *arena) {
  size_t capacity = names->capacity ? names->capacity * 4 : 16;
  ebi_name_slot *slots = EBI_NEW_ARRAY(arena, ebi_name_slot, capacity);
  if (!slots)
    return false;
  for (size_t i = 0; i < names->capacity; i++)
    if (names->slots[i].name)
      *slot_of(slots, capacity, names->slots[i].name) = names->slots[i];
  names->slots = slots;
  names->capacity = capacity;
  return true;
}

bool ebi_names_set(ebi_names *names, ebi_arena *arena, const char *name, size_t number) {
  if (names->count * 2 >= names->capacity && !grow(names, arena))
    return false;
  ebi_name_slot *slot = slot_of(names->slots, names->capacity, name);
  names->count += slot->name ? 0 : 1;
  *slot = (ebi_name_slot){name, number};
  return true;
}
