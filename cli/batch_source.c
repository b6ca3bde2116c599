#define _POSIX_C_SOURCE 200809L /* fdopendir, fstatat */
#include "batch_source.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "batch_stream.h"

struct batch_source {
  char *const *files;
  int n_files, next_file;
  const char *folder; /* the one whose names are at hand */
  char **names;
  size_t n_names, next_name, names_capacity;
  bool streaming, own; /* own: to be closed */
  char *path;          /* of what is streamed */
  size_t path_capacity;
  batch_stream stream;
};

void batch_document_free(batch_document *document) {
  free(document->path);
  free(document->bytes);
  *document = (batch_document){0};
}

batch_source *batch_source_new(char *const *files, int n_files) {
  batch_source *source = calloc(1, sizeof *source);
  if (source) {
    source->files = files;
    source->n_files = n_files;
  }
  return source;
}

static void drop_names(batch_source *source) {
  for (size_t i = 0; i < source->n_names; i++)
    free(source->names[i]);
  source->n_names = source->next_name = 0;
}

static void end_stream(batch_source *source) {
  if (source->streaming && source->own)
    close(source->stream.file);
  source->streaming = false;
}

void batch_source_free(batch_source *source) {
  if (!source)
    return;
  end_stream(source);
  drop_names(source);
  free(source->names);
  free(source->path);
  free(source);
}

/* ---- Paths ---- */

static bool room_for(char **text, size_t *capacity, size_t length) {
  if (length < *capacity)
    return true;
  char *larger = realloc(*text, length + 64);
  if (!larger)
    return false;
  *text = larger;
  *capacity = length + 64;
  return true;
}

static bool set_path(batch_source *source, const char *folder, const char *name) {
  size_t length = strlen(folder);
  while (*name && length > 1 && folder[length - 1] == '/')
    length--;
  if (!room_for(&source->path, &source->path_capacity, length + strlen(name) + 1))
    return false;
  const char *between = *name && folder[length - 1] != '/' ? "/" : "";
  sprintf(source->path, "%.*s%s%s", (int)length, folder, between, name);
  return true;
}

/* ---- Folders ---- */

/* NAME.yaml, not hidden, and no folder, pipe or device. What cannot be looked at is told of later.
 */
static bool is_house(int folder, const char *name) {
  size_t length = strlen(name);
  struct stat about;
  return name[0] != '.' && length > 5 && strcmp(name + length - 5, ".yaml") == 0 &&
         (fstatat(folder, name, &about, 0) != 0 || S_ISREG(about.st_mode));
}

static bool add_name(batch_source *source, const char *name) {
  if (source->n_names == source->names_capacity) {
    size_t capacity = source->names_capacity ? source->names_capacity * 2 : 64;
    char **larger = realloc(source->names, capacity * sizeof *larger);
    if (!larger)
      return false;
    source->names = larger;
    source->names_capacity = capacity;
  }
  char *copy = malloc(strlen(name) + 1);
  if (!copy)
    return false;
  source->names[source->n_names++] = strcpy(copy, name);
  return true;
}

static int by_bytes(const void *a, const void *b) {
  return strcmp(*(char *const *)a, *(char *const *)b);
}

/* Lists a folder that is open, and closes it. */
static batch_next list_folder(batch_source *source, int file) {
  DIR *folder = fdopendir(file);
  if (!folder) {
    close(file);
    return BATCH_NO_MEMORY;
  }
  bool good = true;
  drop_names(source);
  for (struct dirent *entry; good && (entry = readdir(folder)) != NULL;)
    if (is_house(file, entry->d_name))
      good = add_name(source, entry->d_name);
  closedir(folder);
  if (source->n_names > 1)
    qsort(source->names, source->n_names, sizeof *source->names, by_bytes);
  return good ? BATCH_END : BATCH_NO_MEMORY;
}

/* ---- Files ---- */

/* One that cannot be opened becomes a document that says so. */
static batch_next unread(batch_document *document) {
  document->kind = BATCH_UNREAD;
  document->number = 0;
  document->first_line = 1;
  document->length = 0;
  return BATCH_HAVE;
}

static bool is_folder(int file) {
  struct stat about;
  return fstat(file, &about) == 0 && S_ISDIR(about.st_mode);
}

/* Opens the path at hand. BATCH_END: done, and there is nothing to give on yet. */
static batch_next open_path(batch_source *source, batch_document *document, bool named) {
  bool input = named && strcmp(source->path, "-") == 0;
  int file = input ? STDIN_FILENO : open(source->path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
  if (file < 0)
    return unread(document);
  if (named && !input && is_folder(file)) {
    batch_next listed = list_folder(source, file);
    if (listed == BATCH_END && source->n_names == 0)
      fprintf(stderr, "evenbreath batch: the folder %s holds no .yaml file\n", source->path);
    return listed;
  }
  batch_stream_begin(&source->stream, file, input);
  source->streaming = true;
  source->own = !input;
  return BATCH_END;
}

/* The next file of the folder at hand, or of the command line. */
static batch_next open_next(batch_source *source, batch_document *document) {
  bool named = source->next_name == source->n_names;
  if (named)
    source->folder = source->files[source->next_file++];
  const char *name = named ? "" : source->names[source->next_name++];
  return set_path(source, source->folder, name) ? open_path(source, document, named)
                                                : BATCH_NO_MEMORY;
}

static batch_next find_next(batch_source *source, batch_document *document) {
  for (;;) {
    batch_next next = BATCH_END;
    if (source->streaming) {
      next = batch_stream_next(&source->stream, document);
      if (next != BATCH_END)
        return next;
      end_stream(source);
    }
    if (source->next_name == source->n_names && source->next_file == source->n_files)
      return BATCH_END;
    next = open_next(source, document);
    if (next != BATCH_END)
      return next;
  }
}

batch_next batch_source_next(batch_source *source, batch_document *document) {
  batch_next next = find_next(source, document);
  if (next != BATCH_HAVE)
    return next;
  size_t length = strlen(source->path);
  if (!room_for(&document->path, &document->path_capacity, length))
    return BATCH_NO_MEMORY;
  memcpy(document->path, source->path, length + 1);
  return BATCH_HAVE;
}
