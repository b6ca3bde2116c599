/* arena.h - memory that is freed as a whole
 *
 * All memory of the library comes through one door (eb_allocator) into arenas.
 * An arena grows by blocks and is dropped whole; nothing in it is freed alone.
 * Every function returns NULL when memory ran out, and the arena stays usable. */

#ifndef EBI_ARENA_H
#define EBI_ARENA_H

#include <stdarg.h>

#include "evenbreath.h"

typedef struct ebi_arena ebi_arena;

/* The allocator with malloc where none is given (NULL, or no resize). */
eb_allocator ebi_allocator_filled(const eb_allocator *allocator);

/* A new arena behind `allocator` (copied). */
ebi_arena *ebi_arena_new(const eb_allocator *allocator);
void ebi_arena_free(ebi_arena *arena);

/* `count` * `size` zeroed bytes, aligned for any type; NULL on overflow too.
 * A count of 0 gives a valid pointer. */
void *ebi_arena_array(ebi_arena *arena, size_t count, size_t size);

#define EBI_NEW(arena, type) ((type *)ebi_arena_array((arena), 1, sizeof(type)))
#define EBI_NEW_ARRAY(arena, type, count) ((type *)ebi_arena_array((arena), (count), sizeof(type)))

/* Copies of text; the second is of `length` bytes, ended by a NUL. */
char *ebi_arena_text(ebi_arena *arena, const char *text);
char *ebi_arena_text_n(ebi_arena *arena, const char *bytes, size_t length);

/* Formatted text, with '.' as the decimal point in every locale. */
#if defined __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
char *
ebi_arena_format(ebi_arena *arena, const char *format, ...);

char *ebi_arena_format_list(ebi_arena *arena, const char *format, va_list arguments);

/* Grows an array of `size`-byte items held in the arena so that it has room
 * for one more than *count; the old place is abandoned. False when memory ran
 * out, and then nothing has changed. */
bool ebi_arena_grow(ebi_arena *arena, void *array_pointer, size_t *capacity, size_t count,
                    size_t size);

#endif
