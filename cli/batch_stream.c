#include "batch_stream.h"

#include <errno.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void batch_stream_begin(batch_stream *stream, int file, bool may_be_empty) {
  stream->file = file;
  stream->may_be_empty = may_be_empty;
  stream->ended = stream->broken = stream->after_return = false;
  stream->number = 0;
  stream->line = 1;
  stream->at = stream->end = 0;
}

/* ---- Bytes ---- */

/* What can be had at once, or waits for it. False at the end. */
static bool read_more(batch_stream *stream) {
  while (!stream->ended) {
    ssize_t got =
        read(stream->file, stream->block + stream->end, sizeof stream->block - stream->end);
    if (got > 0) {
      stream->end += (size_t)got;
      return true;
    }
    if (got < 0 && errno == EINTR)
      continue;
    if (got < 0 && errno == EAGAIN) {
      (void)poll(&(struct pollfd){.fd = stream->file, .events = POLLIN}, 1, -1);
      continue;
    }
    stream->ended = true;
    stream->broken = got < 0;
  }
  return false;
}

/* True where at least `count` bytes are to come; they then stand in the block. */
static bool has(batch_stream *stream, size_t count) {
  while (stream->end - stream->at < count) {
    if (stream->at > 0) {
      memmove(stream->block, stream->block + stream->at, stream->end - stream->at);
      stream->end -= stream->at;
      stream->at = 0;
    }
    if (!read_more(stream))
      return false;
  }
  return true;
}

/* Of what is too long nothing is kept. False when memory ran out. */
static bool append(batch_document *document, const char *bytes, size_t length) {
  if (document->kind == BATCH_TOO_LONG)
    return true;
  if (length > BATCH_DOCUMENT_BYTES - document->length) {
    document->kind = BATCH_TOO_LONG;
    document->length = 0;
    return true;
  }
  if (length > document->capacity - document->length) {
    size_t capacity = document->capacity ? document->capacity : 1 << 14;
    while (capacity - document->length < length)
      capacity *= 2;
    char *larger = realloc(document->bytes, capacity);
    if (!larger)
      return false;
    document->bytes = larger;
    document->capacity = capacity;
  }
  memcpy(document->bytes + document->length, bytes, length);
  document->length += length;
  return true;
}

/* ---- Lines ---- */

/* Of the document that is being read. */
typedef struct document_state {
  bool marked;    /* begun by a line --- */
  bool begun;     /* so, or by its first value */
  bool directive; /* a line %YAML or the like stands before it */
  bool written;   /* more than blanks stand in it */
} document_state;

/* How a line begins: a marker is '-' for ---, '.' for ..., else 0. */
typedef struct line_start {
  char marker;
  size_t length; /* of the marker and a byte order mark before it */
} line_start;

static bool is_blank(char byte) {
  return memchr(" \t\r\n", byte, 4) != NULL;
}

/* The same byte thrice and nothing close behind it. */
static bool is_marker(batch_stream *stream, size_t from, char byte) {
  for (size_t i = from; i < from + 3; i++)
    if (!has(stream, i + 1) || stream->block[stream->at + i] != byte)
      return false;
  return !has(stream, from + 4) || is_blank(stream->block[stream->at + from + 3]);
}

/* Looks no further than it must. */
static line_start begin_line(batch_stream *stream) {
  static const char byte_order_mark[] = "\xEF\xBB\xBF";
  size_t from = 0;
  if (stream->block[stream->at] == byte_order_mark[0] && has(stream, 3) &&
      memcmp(stream->block + stream->at, byte_order_mark, 3) == 0)
    from = 3;
  if (is_marker(stream, from, '-'))
    return (line_start){'-', from + 3};
  if (is_marker(stream, from, '.'))
    return (line_start){'.', from + 3};
  return (line_start){0, from};
}

/* Bytes of the block up to the end of the line, that included where it is there. */
static size_t line_part(batch_stream *stream, bool *whole) {
  const char *start = stream->block + stream->at;
  size_t length = stream->end - stream->at;
  const char *feed = memchr(start, '\n', length);
  length = feed ? (size_t)(feed - start) + 1 : length;
  const char *turn = memchr(start, '\r', length);
  if (turn && turn + 1 != feed) {
    length = (size_t)(turn - start) + 1;
    stream->after_return = true;
  }
  *whole = feed || turn;
  return length;
}

/* Learns from the first byte of a line that is no blank; false where all are. */
static bool learn(document_state *state, const char *bytes, size_t length, bool first_column) {
  size_t i = 0;
  while (i < length && is_blank(bytes[i]))
    i++;
  if (i == length)
    return false;
  state->written = true;
  if (bytes[i] == '%' && i == 0 && first_column && !state->begun)
    state->directive = true;
  else if (bytes[i] != '#')
    state->begun = true;
  return true;
}

/* Takes a line. False when memory ran out. */
static bool take_line(batch_stream *stream, batch_document *document, document_state *state,
                      line_start start) {
  bool whole = false, learnt = false, first_column = !start.marker;
  if (start.marker == '-')
    state->marked = state->begun = true;
  while (!whole && has(stream, 1)) {
    const char *part = stream->block + stream->at;
    size_t length = line_part(stream, &whole);
    if (!learnt)
      learnt = learn(state, part + start.length, length - start.length, first_column);
    start.length = 0;
    first_column = false;
    if (!append(document, part, length))
      return false;
    stream->at += length;
  }
  stream->line++;
  return true;
}

/* The LF of a CRLF that came apart. */
static bool take_feed(batch_stream *stream, batch_document *document) {
  if (!stream->after_return || !has(stream, 1))
    return true;
  stream->after_return = false;
  if (stream->block[stream->at] != '\n')
    return true;
  stream->at++;
  return document->length == 0 || append(document, "\n", 1);
}

/* ---- Documents ---- */

static void begin(const batch_stream *stream, batch_document *document, document_state *state) {
  enum { LAST_LINE = 2000000000 }; /* further down lines are those of the document itself */
  *state = (document_state){0};
  document->kind = BATCH_TEXT;
  document->length = 0;
  document->first_line = stream->line < LAST_LINE ? (int)stream->line : 1;
}

static batch_next give(batch_stream *stream, batch_document *document, bool several) {
  document->number = several || stream->number > 0 ? stream->number + 1 : 0;
  stream->number++;
  return BATCH_HAVE;
}

/* Blanks after the last marker are no document; a file without any is told to be empty. */
static batch_next at_end(batch_stream *stream, batch_document *document,
                         const document_state *state) {
  if (stream->broken) {
    document->kind = stream->number == 0 && document->length == 0 ? BATCH_UNREAD : BATCH_BROKEN;
    stream->broken = false;
    return give(stream, document, false);
  }
  bool there = state->begun || state->directive;
  if (there && (state->written || stream->number == 0))
    return give(stream, document, false);
  bool empty = !there && stream->number == 0 && !stream->may_be_empty;
  return empty ? give(stream, document, false) : BATCH_END;
}

batch_next batch_stream_next(batch_stream *stream, batch_document *document) {
  document_state state;
  begin(stream, document, &state);
  for (;;) {
    if (!take_feed(stream, document))
      return BATCH_NO_MEMORY;
    if (!has(stream, 1))
      return at_end(stream, document, &state);
    line_start start = begin_line(stream);
    if (start.marker == '-' && state.begun)
      return give(stream, document, true);
    if (!take_line(stream, document, &state, start))
      return BATCH_NO_MEMORY;
    if (start.marker == '.' && (state.begun || state.directive))
      return give(stream, document, true);
    if (start.marker == '.')
      begin(stream, document, &state);
  }
}
