/* quote.c - the user's own words inside a message */

#include "input/quote.h"

#include <string.h>

#include "base/text.h"

ebi_quoted ebi_quote(const char *text) {
  enum { MOST = 60 };
  ebi_quoted quoted = {{0}};
  size_t length = strlen(text);
  size_t end = length <= MOST ? length : MOST;
  while (end < length && end > 0 && ((unsigned char)text[end] & 0xC0u) == 0x80u)
    end--;
  for (size_t i = 0; i < end; i++) {
    unsigned char byte = (unsigned char)text[i];
    /* C0 and DEL; and the C1 controls, in UTF-8 C2 80 to C2 9F */
    bool c1 = byte == 0xC2u && (unsigned char)text[i + 1] < 0xA0u;
    quoted.text[i] = byte < 0x20u || byte == 0x7Fu ? '?' : text[i];
    if (c1) {
      quoted.text[i] = '?';
      quoted.text[++i] = '?';
    }
  }
  if (end < length)
    memcpy(quoted.text + end, "...", 3);
  return quoted;
}
