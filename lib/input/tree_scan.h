/* tree_scan.h - what is checked of the bytes before they are parsed, and where
 * a character stands in them */

#ifndef EBI_TREE_SCAN_H
#define EBI_TREE_SCAN_H

#include "input/tree.h"

/* Size, UTF-8 and control characters. Records what is wrong. */
eb_status ebi_tree_scan(eb_context *context, const char *name, const char *bytes, size_t length);

/* The same of bytes that begin at `start`. */
eb_status ebi_tree_scan_from(eb_context *context, ebi_where start, const char *bytes,
                             size_t length);

/* libyaml counts characters, spans count bytes. Marks come nearly in order, so
 * a cursor that walks from the last one is fast. */
typedef struct ebi_cursor {
  const char *bytes;
  size_t length;
  size_t character, byte;
  int first_line; /* of the bytes */
} ebi_cursor;

/* The byte at which character number `character` starts. */
size_t ebi_cursor_byte(ebi_cursor *cursor, size_t character);

/* Bytes of a byte order mark at the start: 3 or 0. */
size_t ebi_tree_bom(const char *bytes, size_t length);

#endif
