/* batch_stream.h - a YAML stream cut into its documents
 *
 * A line that begins with --- starts a document, one that begins with ... ends it (YAML 1.2.2,
 * 9.1): neither can stand at the start of a line within a value. So the cut needs no parser, and a
 * document with a mistake does not spoil the next. */

#ifndef CLI_BATCH_STREAM_H
#define CLI_BATCH_STREAM_H

#include "batch_source.h"

typedef struct batch_stream {
  int file;
  bool may_be_empty; /* no document at all is no mistake */
  bool ended, broken;
  bool after_return; /* the last byte was a CR: an LF belongs to it */
  int number;        /* documents given */
  long long line;    /* of the next byte, from 1 */
  size_t at, end;    /* of the block */
  char block[1 << 16];
} batch_stream;

void batch_stream_begin(batch_stream *stream, int file, bool may_be_empty);

/* The next document: all but its path. */
batch_next batch_stream_next(batch_stream *stream, batch_document *document);

#endif
