/* splice.c - text put into the bytes of a file */

#include "input/splice.h"

#include <stdlib.h>
#include <string.h>

bool ebi_splice_add(ebi_splices *splices, ebi_arena *arena, ebi_splice splice) {
  if (!ebi_arena_grow(arena, &splices->items, &splices->capacity, splices->count, sizeof splice))
    return false;
  splices->items[splices->count++] = splice;
  return true;
}

static int by_start(const void *left, const void *right) {
  const ebi_splice *a = left, *b = right;
  return (a->start > b->start) - (a->start < b->start);
}

void ebi_splices_sort(ebi_splices *splices) {
  if (splices->count > 1)
    qsort(splices->items, splices->count, sizeof *splices->items, by_start);
}

size_t ebi_splices_after(const ebi_splices *splices, size_t at) {
  size_t low = 0, high = splices->count;
  while (low < high) {
    size_t middle = low + (high - low) / 2;
    if (splices->items[middle].end > at)
      high = middle;
    else
      low = middle + 1;
  }
  return low;
}

char *ebi_splices_join(const ebi_splices *splices, ebi_arena *arena, const char *bytes,
                       size_t length, size_t *joined) {
  size_t size = length;
  for (size_t i = 0; i < splices->count; i++)
    size += strlen(splices->items[i].text);
  char *result = ebi_arena_array(arena, size + 1, 1);
  if (!result)
    return NULL;
  size_t from = 0, to = 0;
  for (size_t i = 0; i < splices->count; i++) {
    const ebi_splice *splice = &splices->items[i];
    size_t text = strlen(splice->text);
    memcpy(result + to, bytes + from, splice->start - from);
    to += splice->start - from;
    memcpy(result + to, splice->text, text);
    to += text;
    from = splice->end;
  }
  memcpy(result + to, bytes + from, length - from);
  to += length - from;
  result[to] = '\0';
  *joined = to;
  return result;
}
