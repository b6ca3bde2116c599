/* batch_source.h - houses one after another, from files, folders and streams
 *
 * Nothing is read ahead but one block, so that a document that came in through
 * a pipe is given on as soon as its end is seen. */

#ifndef CLI_BATCH_SOURCE_H
#define CLI_BATCH_SOURCE_H

#include <stdbool.h>
#include <stddef.h>

/* As much as a house may have, and one byte that tells it has more. */
#define BATCH_DOCUMENT_BYTES (((size_t)64 << 20) + 1)

typedef enum batch_kind {
  BATCH_TEXT,    /* the bytes of a house */
  BATCH_UNREAD,  /* the file cannot be opened or begun: reading it by name says why */
  BATCH_BROKEN,  /* a stream could not be read to its end */
  BATCH_TOO_LONG /* more than a house may have */
} batch_kind;

/* The memory is used again for the next one. */
typedef struct batch_document {
  batch_kind kind;
  char *path; /* "-" is standard input */
  size_t path_capacity;
  int number;     /* in the stream, from 1; 0 where no line --- or ... ended a document */
  int first_line; /* in the stream, from 1 */
  char *bytes;
  size_t length, capacity;
} batch_document;

void batch_document_free(batch_document *document);

typedef struct batch_source batch_source;

/* The files as on a command line. NULL when memory ran out. */
batch_source *batch_source_new(char *const *files, int n_files);
void batch_source_free(batch_source *source);

typedef enum batch_next { BATCH_HAVE, BATCH_END, BATCH_NO_MEMORY } batch_next;

/* The next document; waits for it. */
batch_next batch_source_next(batch_source *source, batch_document *document);

#endif
