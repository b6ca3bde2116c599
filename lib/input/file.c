/* file.c - a whole file into memory, or a plain word why not */

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "input/quote.h"
#include "input/tree.h"

/* strerror follows the locale and shares a buffer. */
static const char *reason(int error) {
  switch (error) {
  case ENOENT:
    return "there is no such file";
  case EACCES:
  case EPERM:
    return "you may not read it";
  case EISDIR:
    return "it is a folder";
  case ENOTDIR:
    return "a part of its path is not a folder";
  case ENAMETOOLONG:
    return "its name is too long";
  case ELOOP:
    return "its symbolic links go round in a circle";
  case EBADF:
    return "it is closed";
  case ENXIO:
    return "it is a socket or a device that is not there";
  default:
    return NULL;
  }
}

static eb_status fail(eb_context *context, const char *path, int error) {
  const char *words = reason(error);
  ebi_where where = {path, 0, 0};
  if (words)
    ebi_diag(context, EB_ERROR, "file", where, NULL, "cannot be read: %s", words);
  else
    ebi_diag(context, EB_ERROR, "file", where, NULL, "cannot be read (system error %d)", error);
  return EB_E_FILE;
}

typedef struct file_bytes {
  char *bytes;
  size_t length, capacity;
} file_bytes;

/* Room for at least one more byte. */
static bool make_room(ebi_arena *arena, file_bytes *buffer) {
  if (buffer->length < buffer->capacity)
    return true;
  size_t capacity = buffer->capacity * 2;
  char *bytes = ebi_arena_array(arena, capacity, 1);
  if (!bytes)
    return false;
  memcpy(bytes, buffer->bytes, buffer->length);
  buffer->bytes = bytes;
  buffer->capacity = capacity;
  return true;
}

/* Reads to the end; one byte past the limit is enough to know. */
static eb_status read_all(eb_context *context, ebi_arena *arena, const char *path, int handle,
                          file_bytes *buffer) {
  while (buffer->length <= EBI_TREE_BYTES) {
    if (!make_room(arena, buffer))
      return EB_E_MEMORY;
    ssize_t got = read(handle, buffer->bytes + buffer->length, buffer->capacity - buffer->length);
    if (got == 0)
      return EB_OK;
    if (got > 0)
      buffer->length += (size_t)got;
    else if (errno != EINTR)
      return fail(context, path, errno);
  }
  ebi_diag(context, EB_ERROR, "too-large", (ebi_where){path, 0, 0}, NULL,
           "larger than %u MB; no more is read", EBI_TREE_BYTES >> 20);
  return EB_E_LIMIT;
}

/* A first buffer that takes a usual file in one read. */
static size_t first_capacity(const struct stat *about) {
  enum { LEAST = 4096 };
  if (!S_ISREG(about->st_mode) || about->st_size < LEAST)
    return LEAST;
  if ((unsigned long long)about->st_size > EBI_TREE_BYTES)
    return LEAST; /* it will be refused */
  return (size_t)about->st_size + 1;
}

static eb_status read_handle(eb_context *context, ebi_arena *arena, const char *path, int handle,
                             const char **bytes, size_t *length) {
  struct stat about;
  if (fstat(handle, &about) != 0)
    return fail(context, path, errno);
  if (S_ISDIR(about.st_mode))
    return fail(context, path, EISDIR);
  if (S_ISREG(about.st_mode) && (unsigned long long)about.st_size > EBI_TREE_BYTES) {
    ebi_diag(context, EB_ERROR, "too-large", (ebi_where){path, 0, 0}, NULL,
             "larger than %u MB; no more is read", EBI_TREE_BYTES >> 20);
    return EB_E_LIMIT;
  }
  file_bytes buffer = {.capacity = first_capacity(&about)};
  buffer.bytes = ebi_arena_array(arena, buffer.capacity, 1);
  if (!buffer.bytes)
    return EB_E_MEMORY;
  eb_status status = read_all(context, arena, path, handle, &buffer);
  if (status != EB_OK)
    return status;
  *bytes = buffer.bytes;
  *length = buffer.length;
  return EB_OK;
}

/* Opened without waiting, so that a named pipe nobody writes to is an empty
 * file and not a standstill; read with waiting. */
static int open_file(const char *path) {
  int handle = open(path, O_RDONLY | O_NONBLOCK | O_CLOEXEC | O_NOCTTY);
  if (handle < 0)
    return handle;
  int flags = fcntl(handle, F_GETFL);
  if (flags >= 0)
    fcntl(handle, F_SETFL, flags & ~O_NONBLOCK);
  return handle;
}

eb_status ebi_file_read(eb_context *context, ebi_arena *arena, const char *path, const char **bytes,
                        size_t *length) {
  if (strcmp(path, "-") == 0)
    return read_handle(context, arena, "standard input", STDIN_FILENO, bytes, length);
  int handle = open_file(path);
  if (handle < 0)
    return fail(context, path, errno);
  eb_status status = read_handle(context, arena, path, handle, bytes, length);
  close(handle);
  return status;
}
