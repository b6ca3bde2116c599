/* write_value.c - the bytes of one value, and those that go in their place
 *
 * A scalar gives way alone. A list or mapping in brackets does too, but its comments stay; one
 * that is written line by line gives way from the colon on, since what replaces it stands in the
 * line of the key. An alias gives way to a value of its own. */

#include "input/write_value.h"

#include <string.h>

#include "input/growing.h"

static bool is_blank(char byte) {
  return byte == ' ' || byte == '\t' || byte == '\n' || byte == '\r';
}

static bool is_word(char byte) {
  return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
         (byte >= '0' && byte <= '9') || byte == '-' || byte == '_';
}

bool ebi_text_plain(const char *text) {
  if (*text == '-' || *text == '\0')
    return false;
  for (; *text; text++)
    if (!is_word(*text) && *text != '.')
      return false;
  return true;
}

const char *ebi_text_newline(const char *bytes, size_t length) {
  for (size_t i = 0; i < length; i++) {
    if (bytes[i] == '\n')
      return "\n";
    if (bytes[i] == '\r')
      return i + 1 < length && bytes[i + 1] == '\n' ? "\r\n" : "\r";
  }
  return "\n";
}

/* An anchor stands before every alias to it. */
bool ebi_yaml_is_alias(const ebi_yaml *child, size_t after) {
  return child->start < after;
}

/* ---- Where ------------------------------------------------------------- */

static size_t after_colon(const ebi_document *document, size_t at) {
  while (at < document->length && document->bytes[at] != ':')
    at++;
  return at < document->length ? at + 1 : at;
}

static size_t line_end(const ebi_document *document, size_t at) {
  while (at < document->length && document->bytes[at] != '\n' && document->bytes[at] != '\r')
    at++;
  return at;
}

/* The next byte that is neither blank nor in a comment. */
static size_t skip_gap(const ebi_document *document, size_t at) {
  while (at < document->length) {
    if (is_blank(document->bytes[at]))
      at++;
    else if (document->bytes[at] == '#')
      at = line_end(document, at);
    else
      break;
  }
  return at;
}

static void place_alias(ebi_value_place *place) {
  const ebi_document *document = place->document;
  place->start = skip_gap(document, after_colon(document, place->pair->key->end));
  place->end = place->start + (place->start < document->length);
  while (place->end < document->length && is_word(document->bytes[place->end]))
    place->end++;
}

static bool in_brackets(const ebi_document *document, const ebi_yaml *node) {
  return document->bytes[node->start] == '[' || document->bytes[node->start] == '{';
}

ebi_value_place ebi_value_place_of(const ebi_document *document, const ebi_yaml *mapping,
                                   const ebi_yaml_pair *pair) {
  const ebi_yaml *value = pair->value;
  ebi_value_place place = {.document = document,
                           .pair = pair,
                           .flow = in_brackets(document, mapping),
                           .alias = ebi_yaml_is_alias(value, pair->key->end),
                           .start = value->start,
                           .end = value->end};
  if (place.alias)
    place_alias(&place);
  else if (value->kind != EBI_YAML_SCALAR && !in_brackets(document, value))
    place.start = after_colon(document, pair->key->end);
  while (place.end > place.start && is_blank(document->bytes[place.end - 1]))
    place.end--; /* the line end after a text written as a block */
  return place;
}

size_t ebi_value_line_end(const ebi_value_place *place) {
  return line_end(place->document, place->end);
}

/* ---- What -------------------------------------------------------------- */

/* What is put together. */
typedef struct composed {
  ebi_growing growing;
  const ebi_value_place *place;
  size_t at; /* up to where comments were looked for */
  bool commented;
} composed;

/* A line further in than the key. */
static void begin_line(composed *out) {
  const ebi_document *document = out->place->document;
  ebi_grow_text(&out->growing, ebi_text_newline(document->bytes, document->length));
  ebi_grow_blanks(&out->growing, (size_t)out->place->pair->key->where.column + 1);
}

/* The comments in [at, end), which holds no scalar. */
static void keep_comments(composed *out, size_t end) {
  const ebi_document *document = out->place->document;
  const char *bytes = document->bytes;
  for (size_t at = out->at; at < end; at++) {
    if (bytes[at] != '#' || !is_blank(bytes[at - 1]))
      continue;
    size_t stop = line_end(document, at);
    if (out->commented)
      begin_line(out);
    else
      ebi_grow_text(&out->growing, " ");
    ebi_grow_bytes(&out->growing, bytes + at, stop - at);
    out->commented = true;
    at = stop;
  }
  out->at = end;
}

/* A '#' within a scalar is no comment. */
static void keep_comments_of(composed *out, const ebi_yaml *node) {
  if (ebi_yaml_is_alias(node, out->at))
    return;
  if (node->kind == EBI_YAML_SCALAR) {
    keep_comments(out, node->start);
    out->at = node->end;
    return;
  }
  for (size_t i = 0; i < node->count; i++) {
    if (node->kind == EBI_YAML_SEQUENCE) {
      keep_comments_of(out, node->items[i]);
    } else {
      keep_comments_of(out, node->pairs[i].key);
      keep_comments_of(out, node->pairs[i].value);
    }
  }
}

/* What follows on the line must not become part of the last comment. */
static void end_comments(composed *out) {
  const ebi_document *document = out->place->document;
  size_t at = out->place->end;
  while (at < document->length && (document->bytes[at] == ' ' || document->bytes[at] == '\t'))
    at++;
  if (out->commented && at < line_end(document, at))
    begin_line(out);
}

/* Quotes may stay around a name that needs none. */
static bool keeps_quotes(const ebi_value_place *place, const char *text) {
  char first = place->document->bytes[place->start];
  return !place->alias && place->pair->value->quoted && (first == '"' || first == '\'') &&
         ebi_text_plain(text);
}

const char *ebi_value_replaced(ebi_arena *arena, const ebi_value_place *place, const char *text,
                               const char *tail) {
  const char *bytes = place->document->bytes;
  char quote = bytes[place->start];
  if (keeps_quotes(place, text))
    return ebi_arena_format(arena, "%c%s%c%s", quote, text, quote, tail);
  composed out = {.growing = {.arena = arena}, .place = place, .at = place->start};
  if (bytes[place->start - 1] == ':')
    ebi_grow_text(&out.growing, " ");
  ebi_grow_text(&out.growing, text);
  ebi_grow_text(&out.growing, tail);
  if (!place->alias && place->pair->value->kind != EBI_YAML_SCALAR) {
    keep_comments_of(&out, place->pair->value);
    keep_comments(&out, place->end);
    end_comments(&out);
  }
  return out.growing.failed ? NULL : out.growing.text;
}

const char *ebi_value_line_below(ebi_arena *arena, const ebi_value_place *place, const char *text) {
  const ebi_document *document = place->document;
  return ebi_arena_format(arena, "%s%*s%s", ebi_text_newline(document->bytes, document->length),
                          place->pair->key->where.column - 1, "", text);
}
