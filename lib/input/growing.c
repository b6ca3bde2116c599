/* growing.c - a text put together piece by piece in an arena */

#include "input/growing.h"

#include <string.h>

static bool make_room(ebi_growing *growing, size_t length) {
  if (growing->text && growing->length + length < growing->capacity)
    return true;
  size_t capacity = 2 * (growing->length + length + 1);
  char *text = ebi_arena_array(growing->arena, capacity, 1);
  if (!text)
    return false;
  if (growing->length)
    memcpy(text, growing->text, growing->length);
  growing->text = text;
  growing->capacity = capacity;
  return true;
}

void ebi_grow_bytes(ebi_growing *growing, const char *bytes, size_t length) {
  if (growing->failed || !make_room(growing, length)) {
    growing->failed = true;
    return;
  }
  memcpy(growing->text + growing->length, bytes, length);
  growing->length += length;
  growing->text[growing->length] = '\0';
}

void ebi_grow_text(ebi_growing *growing, const char *text) {
  ebi_grow_bytes(growing, text, strlen(text));
}

void ebi_grow_blanks(ebi_growing *growing, size_t count) {
  for (size_t i = 0; i < count; i++)
    ebi_grow_bytes(growing, " ", 1);
}

void ebi_grow_format(ebi_growing *growing, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const char *text = ebi_arena_format_list(growing->arena, format, arguments);
  va_end(arguments);
  if (text)
    ebi_grow_text(growing, text);
  else
    growing->failed = true;
}
