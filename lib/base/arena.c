/* arena.c - memory that is freed as a whole */

#include "base/arena.h"

#include <limits.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"

/* Under AddressSanitizer what is not handed out yet is poisoned, so that a
 * write beyond an item is caught although its block is larger. */
#if defined __SANITIZE_ADDRESS__
#define ARENA_POISONS 1
#elif defined __has_feature
#if __has_feature(address_sanitizer)
#define ARENA_POISONS 1
#endif
#endif
#ifdef ARENA_POISONS
#include <sanitizer/asan_interface.h>
#define POISON(place, size) ASAN_POISON_MEMORY_REGION((place), (size))
#define UNPOISON(place, size) ASAN_UNPOISON_MEMORY_REGION((place), (size))
#else
#define POISON(place, size) ((void)(place), (void)(size))
#define UNPOISON(place, size) ((void)(place), (void)(size))
#endif

#define FIRST_BLOCK ((size_t)8 << 10)
#define LARGEST_BLOCK ((size_t)1 << 20)

typedef struct block block;
struct block {
  block *next;
  size_t size; /* bytes of `bytes` */
  size_t used;
  max_align_t bytes[];
};

struct ebi_arena {
  eb_allocator allocator;
  block *newest;
  size_t next_size;
};

static void *default_resize(void *user, void *pointer, size_t old_size, size_t new_size) {
  (void)user;
  (void)old_size;
  if (new_size == 0) {
    free(pointer);
    return NULL;
  }
  return realloc(pointer, new_size);
}

eb_allocator ebi_allocator_filled(const eb_allocator *allocator) {
  eb_allocator filled = {default_resize, NULL, 0};
  if (allocator != NULL) {
    filled.block_bytes = allocator->block_bytes;
    if (allocator->resize != NULL) {
      filled.resize = allocator->resize;
      filled.user = allocator->user;
    }
  }
  return filled;
}

ebi_arena *ebi_arena_new(const eb_allocator *allocator) {
  eb_allocator filled = ebi_allocator_filled(allocator);
  ebi_arena *arena = filled.resize(filled.user, NULL, 0, sizeof *arena);
  if (arena == NULL)
    return NULL;
  arena->allocator = filled;
  arena->newest = NULL;
  arena->next_size = filled.block_bytes != 0 ? filled.block_bytes : FIRST_BLOCK;
  return arena;
}

void ebi_arena_free(ebi_arena *arena) {
  if (arena == NULL)
    return;
  eb_allocator allocator = arena->allocator;
  for (block *old = arena->newest; old != NULL;) {
    block *next = old->next;
    UNPOISON(old->bytes, old->size);
    allocator.resize(allocator.user, old, sizeof *old + old->size, 0);
    old = next;
  }
  allocator.resize(allocator.user, arena, sizeof *arena, 0);
}

/* A new block with room for `need` bytes. Sizes double up to a limit unless
 * the allocator asks for one size. */
static block *add_block(ebi_arena *arena, size_t need) {
  size_t size = need > arena->next_size ? need : arena->next_size;
  if (size > SIZE_MAX - sizeof(block))
    return NULL;
  const eb_allocator *allocator = &arena->allocator;
  block *fresh = allocator->resize(allocator->user, NULL, 0, sizeof *fresh + size);
  if (fresh == NULL)
    return NULL;
  fresh->next = arena->newest;
  fresh->size = size;
  fresh->used = 0;
  POISON(fresh->bytes, size);
  arena->newest = fresh;
  if (allocator->block_bytes == 0 && arena->next_size < LARGEST_BLOCK)
    arena->next_size *= 2;
  return fresh;
}

void *ebi_arena_array(ebi_arena *arena, size_t count, size_t size) {
  const size_t alignment = _Alignof(max_align_t);
  if (size != 0 && count > (SIZE_MAX / 2) / size)
    return NULL;
  size_t asked = count * size;
  size_t need = asked == 0 ? alignment : (asked + alignment - 1) / alignment * alignment;
  block *place = arena->newest;
  if (place == NULL || place->size - place->used < need) {
    place = add_block(arena, need);
    if (place == NULL)
      return NULL;
  }
  unsigned char *memory = (unsigned char *)place->bytes + place->used;
  place->used += need;
  UNPOISON(memory, asked);
  memset(memory, 0, asked);
  return memory;
}

char *ebi_arena_text_n(ebi_arena *arena, const char *bytes, size_t length) {
  if (length == SIZE_MAX)
    return NULL;
  char *copy = ebi_arena_array(arena, length + 1, 1);
  if (copy != NULL && length != 0)
    memcpy(copy, bytes, length);
  return copy;
}

char *ebi_arena_text(ebi_arena *arena, const char *text) {
  return ebi_arena_text_n(arena, text, strlen(text));
}

char *ebi_arena_format_list(ebi_arena *arena, const char *format, va_list arguments) {
  va_list again;
  va_copy(again, arguments);
  int length = ebi_format(NULL, 0, format, arguments);
  char *text = length < 0 ? NULL : ebi_arena_array(arena, (size_t)length + 1, 1);
  if (text != NULL && ebi_format(text, (size_t)length + 1, format, again) != length)
    text = NULL;
  va_end(again);
  return text;
}

char *ebi_arena_format(ebi_arena *arena, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  char *text = ebi_arena_format_list(arena, format, arguments);
  va_end(arguments);
  return text;
}

bool ebi_arena_grow(ebi_arena *arena, void *array_pointer, size_t *capacity, size_t count,
                    size_t size) {
  if (count < *capacity)
    return true;
  if (*capacity > SIZE_MAX / 2)
    return false;
  size_t larger = *capacity == 0 ? 4 : *capacity * 2;
  void *fresh = ebi_arena_array(arena, larger, size);
  if (fresh == NULL)
    return false;
  void *old;
  memcpy(&old, array_pointer, sizeof old);
  if (count != 0)
    memcpy(fresh, old, count * size);
  memcpy(array_pointer, &fresh, sizeof fresh);
  *capacity = larger;
  return true;
}
