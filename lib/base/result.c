/* result.c - a result in an arena of its own, with what it takes to drop it */

#include "base/result.h"

#include <stddef.h>

/* Stands right before what the caller holds. */
typedef union owner {
  struct {
    eb_context *context;
    ebi_arena *arena;
  } own;
  max_align_t aligned;
} owner;

void *ebi_result_new(eb_context *context, size_t size) {
  ebi_arena *arena = ebi_context_arena(context);
  if (arena == NULL)
    return NULL;
  owner *before = ebi_arena_array(arena, 1, sizeof *before + size);
  if (before == NULL) {
    ebi_context_release(context, arena);
    return NULL;
  }
  before->own.context = context;
  before->own.arena = arena;
  return before + 1;
}

ebi_arena *ebi_result_arena(const void *result) {
  return ((const owner *)result - 1)->own.arena;
}

void ebi_result_free(const void *result) {
  if (result == NULL)
    return;
  const owner *before = (const owner *)result - 1;
  ebi_context_release(before->own.context, before->own.arena);
}
