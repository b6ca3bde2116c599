/* write_value.h - where the value of a key stands in its file, and what goes there instead */

#ifndef EBI_WRITE_VALUE_H
#define EBI_WRITE_VALUE_H

#include "input/splice.h"

typedef struct ebi_value_place {
  const ebi_document *document;
  const ebi_yaml_pair *pair;
  bool flow;         /* its mapping is written in braces */
  bool alias;        /* it is written as *name */
  size_t start, end; /* of what gives way */
} ebi_value_place;

/* The place of a pair in a mapping that is written out in the document. */
ebi_value_place ebi_value_place_of(const ebi_document *document, const ebi_yaml *mapping,
                                   const ebi_yaml_pair *pair);

/* What goes there: `text`, in the quotes that stand there where it needs none, then `tail`, then
 * the comments that stood within. NULL when memory ran out. */
const char *ebi_value_replaced(ebi_arena *arena, const ebi_value_place *place, const char *text,
                               const char *tail);

/* The end of the line on which the place ends. */
size_t ebi_value_line_end(const ebi_value_place *place);

/* A line of its own "key: value" below that line, indented as the pair is. NULL: memory. */
const char *ebi_value_line_below(ebi_arena *arena, const ebi_value_place *place, const char *text);

/* The line end that a text uses: that of its first line, "\n" where there is none. */
const char *ebi_text_newline(const char *bytes, size_t length);

/* Letters, digits and . _ - alone: needs no quotes anywhere. */
bool ebi_text_plain(const char *text);

/* The child of a pair or list stands elsewhere and is only named here (*name). */
bool ebi_yaml_is_alias(const ebi_yaml *child, size_t after);

#endif
