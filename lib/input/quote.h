/* quote.h - the user's own words inside a message */

#ifndef EBI_QUOTE_H
#define EBI_QUOTE_H

typedef struct ebi_quoted {
  char text[72];
} ebi_quoted;

/* The text, cut to about 60 bytes at a whole character ("..." is added), with
 * '?' for control characters, so that a message stays on its line. */
ebi_quoted ebi_quote(const char *text);

#endif
