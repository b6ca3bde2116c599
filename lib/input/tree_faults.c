/* tree_faults.c - the parser's complaints in plain words
 *
 * libyaml says "did not find expected key"; a person wants to know which line
 * does not fit and what to do. Its texts are matched whole (libyaml 0.2.5). */

#include "input/tree_faults.h"

#include <string.h>

typedef struct plain_fault {
  const char *problem; /* as libyaml says it */
  const char *plain;
  bool begun; /* the plain text ends "... begun at line N" */
} plain_fault;

static const plain_fault faults[] = {
    {"did not find expected ',' or '}'", "a , or } is due here, in the { }", true},
    {"did not find expected ',' or ']'", "a , or ] is due here, in the [ ]", true},
    {"did not find expected key",
     "this line does not fit: check its indentation against the mapping", true},
    {"did not find expected '-' indicator",
     "this line does not fit: a - or another indentation is due in the list", true},
    {"mapping values are not allowed in this context",
     "a colon does not fit here: check the indentation, or put text that holds \": \" in quotes",
     false},
    {"block sequence entries are not allowed in this context",
     "a list entry (\"- \") does not fit here: check the indentation", false},
    {"mapping keys are not allowed in this context",
     "a key does not fit here: check the indentation", false},
    {"did not find expected node content", "a value is missing here", false},
    {"did not find expected <document start>",
     "this does not belong to what stands before: check the indentation", false},
    {"found unexpected document indicator", "the document ends (--- or ...) inside a quoted text",
     true},
    {"found unknown escape character",
     "this backslash is no escape: use single quotes, or write \\\\ for a backslash", false},
    {"did not find expected hexdecimal number",
     "hexadecimal digits are due after this backslash escape", false},
    {"found invalid Unicode character escape code", "this backslash escape names no character",
     false},
    {"did not find expected alphabetic or numeric character",
     "a name of letters and digits is due after & or *; put text that begins so in quotes", false},
    {"found a tab character that violates indentation", "a tab stands here: indent with blanks",
     false},
    {"found a tab character where an indentation space is expected",
     "a tab stands here: indent with blanks", false},
    {"found an indentation indicator equal to 0", "the number after | or > must be 1 to 9", false},
    {"did not find expected comment or line break",
     "only a comment may follow | or > on its line; put text that begins so in quotes", false},
    {"found unknown directive name", "a value cannot begin with %: put it in quotes", false},
    {"found unexpected ':'", "a colon does not fit here: put the text in quotes", false},
};

static ebi_where where_of(const char *name, yaml_mark_t mark) {
  return (ebi_where){name, (int)mark.line + 1, (int)mark.column + 1};
}

static const plain_fault *known_fault(const char *problem) {
  for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++)
    if (strcmp(faults[i].problem, problem) == 0)
      return &faults[i];
  return NULL;
}

/* "cannot start any token": it depends on the character. */
static void bad_start(eb_context *context, ebi_where where, char character) {
  if (character == '\t')
    ebi_diag(context, EB_ERROR, "tab", where, NULL, "a tab stands here: indent with blanks");
  else
    ebi_diag(context, EB_ERROR, "yaml", where, NULL,
             "a value cannot begin with %c: put it in quotes", character);
}

/* The colon of "area:12": not first, no blank after it. `length` where none. */
static size_t tight_colon(const char *text, size_t length) {
  for (size_t i = 1; i + 1 < length; i++)
    if (text[i] == ':')
      return text[i + 1] == ' ' || text[i + 1] == '/' ? length : i;
  return length;
}

/* The line that holds byte `at`, without its blanks; returns its length. */
static size_t line_around(const ebi_cursor *cursor, size_t at, size_t *start) {
  size_t end = at;
  while (at > 0 && cursor->bytes[at - 1] != '\n' && cursor->bytes[at - 1] != '\r')
    at--;
  while (end < cursor->length && cursor->bytes[end] != '\n' && cursor->bytes[end] != '\r')
    end++;
  while (at < end && cursor->bytes[at] == ' ')
    at++;
  *start = at;
  return end - at;
}

/* Says so where the line reads like "area:12". */
static bool report_tight(eb_context *context, ebi_where where, const char *text, size_t length) {
  size_t colon = tight_colon(text, length);
  if (colon >= length || length > 200)
    return false;
  ebi_diag(context, EB_ERROR, "colon-blank", where, NULL,
           "\"%.*s\" has no blank after its colon: write \"%.*s: %.*s\"", (int)length, text,
           (int)colon, text, (int)(length - colon - 1), text + colon + 1);
  return true;
}

/* A key without its colon; "area:12" on a line of its own is the usual reason. */
static void bad_key(eb_context *context, ebi_where where, const char *text, size_t length) {
  size_t end = 0;
  while (end < length && text[end] != '\n' && text[end] != '\r')
    end++;
  if (!report_tight(context, where, text, end))
    ebi_diag(context, EB_ERROR, "yaml", where, NULL, "a key without a colon: write \"key: value\"");
}

/* A colon where none fits: the key may be too long for YAML, or the line before
 * may read like "area:12", which makes both lines one text. */
static bool bad_colon(eb_context *context, const char *name, const yaml_parser_t *parser,
                      ebi_cursor *cursor) {
  enum { LONGEST_KEY = 1024 }; /* YAML 1.2, 7.4.3 */
  ebi_where where = where_of(name, parser->problem_mark);
  size_t byte = ebi_cursor_byte(cursor, parser->problem_mark.index), start;
  line_around(cursor, byte, &start);
  if (byte - start > LONGEST_KEY) {
    ebi_diag(context, EB_ERROR, "name-long", where, NULL,
             "the key before this colon is too long: at most 1024 characters");
    return true;
  }
  while (start > 0 && strchr(" \r\n", cursor->bytes[start - 1]))
    start--;
  if (start == 0)
    return false;
  size_t length = line_around(cursor, start - 1, &start);
  where = (ebi_where){name, where.line - 1, 1};
  for (size_t i = start; i > 0 && cursor->bytes[i - 1] == ' '; i--)
    where.column++;
  return report_tight(context, where, cursor->bytes + start, length);
}

static void bad_text(eb_context *context, const char *name, const yaml_parser_t *parser) {
  const plain_fault *fault = known_fault(parser->problem);
  ebi_where where = where_of(name, parser->problem_mark);
  if (strcmp(parser->problem, "found unexpected end of stream") == 0)
    ebi_diag(context, EB_ERROR, "yaml", where_of(name, parser->context_mark), NULL,
             "the quote that opens here is never closed");
  else if (!fault)
    ebi_diag(context, EB_ERROR, "yaml", where, NULL, "this is not YAML: %s", parser->problem);
  else if (fault->begun && parser->context)
    ebi_diag(context, EB_ERROR, "yaml", where, NULL, "%s begun at line %d", fault->plain,
             (int)parser->context_mark.line + 1);
  else
    ebi_diag(context, EB_ERROR, strstr(fault->plain, "a tab") ? "tab" : "yaml", where, NULL, "%s",
             fault->plain);
}

void ebi_tree_fault(eb_context *context, const char *name, const yaml_parser_t *parser,
                    ebi_cursor *cursor) {
  ebi_where where = where_of(name, parser->problem_mark);
  size_t byte = ebi_cursor_byte(cursor, parser->problem_mark.index);
  if (!parser->problem || parser->error == YAML_READER_ERROR) {
    ebi_diag(context, EB_ERROR, "yaml", (ebi_where){name, cursor->first_line, 1}, NULL,
             "the file holds a character that YAML does not allow (byte %zu)",
             parser->problem_offset + 1);
  } else if (strcmp(parser->problem, "found character that cannot start any token") == 0 &&
             byte < cursor->length) {
    bad_start(context, where, cursor->bytes[byte]);
  } else if (strcmp(parser->problem, "could not find expected ':'") == 0) {
    byte = ebi_cursor_byte(cursor, parser->context_mark.index);
    bad_key(context, where_of(name, parser->context_mark), cursor->bytes + byte,
            cursor->length - byte);
  } else if (strcmp(parser->problem, "mapping values are not allowed in this context") != 0 ||
             !bad_colon(context, name, parser, cursor)) {
    bad_text(context, name, parser);
  }
}
