/* result.h - a result in an arena of its own, with what it takes to drop it */

#ifndef EBI_RESULT_H
#define EBI_RESULT_H

#include "base/context.h"

/* `size` bytes of nought for the result. NULL: memory, and nothing is left behind. */
void *ebi_result_new(eb_context *context, size_t size);
#define EBI_NEW_RESULT(context, type) ((type *)ebi_result_new((context), sizeof(type)))

/* Where everything it points to belongs. */
ebi_arena *ebi_result_arena(const void *result);

/* NULL is fine. */
void ebi_result_free(const void *result);

#endif
