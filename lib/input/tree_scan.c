/* tree_scan.c - the bytes of a file before they are parsed */

#include "input/tree_scan.h"

#include <string.h>

#include "base/text.h"

size_t ebi_tree_bom(const char *bytes, size_t length) {
  return length >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
}

static bool continues(char byte) {
  return ((unsigned char)byte & 0xC0u) == 0x80u;
}

/* LF, CR and CRLF each end a line. */
static ebi_where place(ebi_where start, const char *bytes, size_t at) {
  ebi_where where = start;
  for (size_t i = ebi_tree_bom(bytes, at); i < at; i++) {
    if (bytes[i] == '\n' || (bytes[i] == '\r' && bytes[i + 1] != '\n')) {
      where.line++;
      where.column = 1;
    } else if (!continues(bytes[i]) && bytes[i] != '\r') {
      where.column++;
    }
  }
  return where;
}

/* The first control character that no text file holds, or length. */
static size_t first_control(const char *bytes, size_t length) {
  for (size_t i = 0; i < length; i++) {
    unsigned char byte = (unsigned char)bytes[i];
    if (byte == 0x7Fu || (byte < 0x20u && byte != '\t' && byte != '\n' && byte != '\r'))
      return i;
  }
  return length;
}

/* True for UTF-16 by its byte order mark or by its NULs beside ASCII. */
static bool is_utf16(const char *bytes, size_t length) {
  if (length < 2)
    return false;
  return memcmp(bytes, "\xFF\xFE", 2) == 0 || memcmp(bytes, "\xFE\xFF", 2) == 0 ||
         (bytes[0] != 0) != (bytes[1] != 0);
}

static eb_status bad_encoding(eb_context *context, ebi_where start, const char *bytes,
                              size_t length, size_t bad) {
  if (is_utf16(bytes, length))
    ebi_diag(context, EB_ERROR, "encoding", start, NULL, "the file is UTF-16; save it as UTF-8");
  else
    ebi_diag(context, EB_ERROR, "encoding", place(start, bytes, bad), NULL,
             "byte %02X is not valid UTF-8; save the file as UTF-8",
             (unsigned)(unsigned char)bytes[bad]);
  return EB_E_SYNTAX;
}

static eb_status bad_control(eb_context *context, ebi_where start, const char *bytes, size_t length,
                             size_t bad) {
  if (bytes[bad] == 0 && is_utf16(bytes, length))
    return bad_encoding(context, start, bytes, length, bad);
  ebi_diag(context, EB_ERROR, "control-character", place(start, bytes, bad), NULL,
           "a control character (byte %02X) stands here; a text file holds none",
           (unsigned)(unsigned char)bytes[bad]);
  return EB_E_SYNTAX;
}

eb_status ebi_tree_scan(eb_context *context, const char *name, const char *bytes, size_t length) {
  return ebi_tree_scan_from(context, (ebi_where){name, 1, 1}, bytes, length);
}

eb_status ebi_tree_scan_from(eb_context *context, ebi_where start, const char *bytes,
                             size_t length) {
  if (length > EBI_TREE_BYTES) {
    ebi_diag(context, EB_ERROR, "too-large", start, NULL,
             "the file has %zu bytes; at most %u MB are read", length, EBI_TREE_BYTES >> 20);
    return EB_E_LIMIT;
  }
  size_t bad = length;
  size_t control = first_control(bytes, length);
  if (!ebi_text_utf8(bytes, length, &bad) && bad <= control)
    return bad_encoding(context, start, bytes, length, bad);
  return control < length ? bad_control(context, start, bytes, length, control) : EB_OK;
}

size_t ebi_cursor_byte(ebi_cursor *cursor, size_t character) {
  while (cursor->character < character && cursor->byte < cursor->length) {
    do
      cursor->byte++;
    while (cursor->byte < cursor->length && continues(cursor->bytes[cursor->byte]));
    cursor->character++;
  }
  while (cursor->character > character && cursor->byte > 0) {
    do
      cursor->byte--;
    while (cursor->byte > 0 && continues(cursor->bytes[cursor->byte]));
    cursor->character--;
  }
  return cursor->byte;
}
