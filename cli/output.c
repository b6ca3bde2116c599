#define _POSIX_C_SOURCE 200809L /* open_memstream, mkstemp */
#include "output.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

bool output_open(cli_output *output) {
  memset(output, 0, sizeof *output);
  output->stream = open_memstream(&output->bytes, &output->length);
  return output->stream != NULL;
}

void output_drop(cli_output *output) {
  if (output->stream)
    fclose(output->stream);
  free(output->bytes);
  memset(output, 0, sizeof *output);
}

static bool complain(const char *path) {
  fprintf(stderr, "evenbreath: cannot write %s: %s\n", path, strerror(errno));
  return false;
}

static bool write_stdout(const char *bytes, size_t length) {
  if (fwrite(bytes, 1, length, stdout) == length && fflush(stdout) == 0)
    return true;
  return complain("to standard output");
}

static bool write_all(int file, const char *bytes, size_t length) {
  while (length > 0) {
    ssize_t written = write(file, bytes, length);
    if (written < 0 && errno == EINTR)
      continue;
    if (written < 0)
      return false;
    bytes += written;
    length -= (size_t)written;
  }
  return true;
}

/* A new file of mkstemp is for its owner alone: give it the usual rights. */
static void give_usual_rights(int file) {
  mode_t mask = umask(0);
  umask(mask);
  (void)!fchmod(file, 0666 & ~mask);
}

static bool is_special(const char *path) {
  struct stat status;
  return stat(path, &status) == 0 && !S_ISREG(status.st_mode);
}

/* A device or a pipe cannot be replaced by renaming: write into it. */
static bool write_special(const char *path, const char *bytes, size_t length) {
  FILE *file = fopen(path, "w");
  if (!file)
    return complain(path);
  bool good = fwrite(bytes, 1, length, file) == length;
  good = fclose(file) == 0 && good;
  return good || complain(path);
}

static bool write_file(const char *path, const char *bytes, size_t length) {
  if (is_special(path))
    return write_special(path, bytes, length);
  size_t size = strlen(path) + 8;
  char *temporary = malloc(size);
  if (!temporary)
    return complain(path);
  snprintf(temporary, size, "%s.XXXXXX", path);
  int file = mkstemp(temporary);
  bool good = file >= 0 && write_all(file, bytes, length) && fsync(file) == 0;
  if (file >= 0) {
    give_usual_rights(file);
    good = close(file) == 0 && good;
  }
  good = good && rename(temporary, path) == 0;
  if (!good) {
    complain(path);
    if (file >= 0)
      unlink(temporary);
  }
  free(temporary);
  return good;
}

bool output_close(cli_output *output, const char *path) {
  bool good = fclose(output->stream) == 0;
  output->stream = NULL;
  if (!good)
    complain("the result into memory");
  else if (path)
    good = write_file(path, output->bytes, output->length);
  else
    good = write_stdout(output->bytes, output->length);
  output_drop(output);
  return good;
}

void output_say(cli_output *output) {
  fflush(output->stream);
  fwrite(output->bytes, 1, output->length, stderr);
  output_drop(output);
}
