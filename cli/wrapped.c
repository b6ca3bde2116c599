#include "wrapped.h"

#include <stdbool.h>
#include <string.h>

static bool continues(char byte) {
  return ((unsigned char)byte & 0xC0) == 0x80;
}

/* How many bytes of a text fit on a line, and how wide they are. */
static size_t fit(const char *text, size_t width, size_t *columns) {
  size_t bytes = 0, blank = 0, at_blank = 0;
  for (*columns = 0; text[bytes] && *columns < width; ++*columns) {
    if (text[bytes] == ' ' && bytes) {
      blank = bytes;
      at_blank = *columns;
    }
    for (bytes++; continues(text[bytes]);)
      bytes++;
  }
  if (!text[bytes] || text[bytes] == ' ' || !blank)
    return bytes;
  *columns = at_blank;
  return blank;
}

/* One line of what is left of the cells; true where there was anything. */
static bool write_line(const char **rest, const size_t *widths, size_t count, FILE *out) {
  size_t owed = 0; /* blanks before the next text, so that none trail */
  bool any = false;
  for (size_t i = 0; i < count; i++) {
    size_t columns, bytes = fit(rest[i], widths[i], &columns);
    if (bytes) {
      fprintf(out, "%*s%.*s", (int)owed, "", (int)bytes, rest[i]);
      owed = 0;
      any = true;
      rest[i] += bytes;
      rest[i] += strspn(rest[i], " ");
    }
    owed += widths[i] - columns + 2;
  }
  return any;
}

void wrapped_row(const char *const *cells, const size_t *widths, size_t count, FILE *out) {
  const char *rest[WRAPPED_COLUMNS];
  for (size_t i = 0; i < count; i++)
    rest[i] = cells[i];
  while (write_line(rest, widths, count, out))
    fputc('\n', out);
}
