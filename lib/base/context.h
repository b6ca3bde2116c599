/* context.h - what a context is made of
 *
 * Floors above keep their things in arenas that the context owns: a house, a
 * result and the loaded tables are each one arena. */

#ifndef EBI_CONTEXT_H
#define EBI_CONTEXT_H

#include "base/arena.h"
#include "base/diag.h"
#include "evenbreath.h"

/* The allocator, with defaults filled in. */
const eb_allocator *ebi_context_allocator(const eb_context *context);

/* A new arena that is dropped with the context unless released before. */
ebi_arena *ebi_context_arena(eb_context *context);
void ebi_context_release(eb_context *context, ebi_arena *arena);

ebi_diags *ebi_context_diags(const eb_context *context);

/* The folders searched for tables, first to last. */
size_t ebi_context_folders(const eb_context *context, const char *const **folders);

/* A slot for the input floor's loaded tables and its arena (made on demand;
 * NULL when memory ran out). */
void **ebi_context_tables(eb_context *context);
ebi_arena *ebi_context_tables_arena(eb_context *context);

#endif
