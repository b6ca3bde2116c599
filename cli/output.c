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

/* A reader of a pipe that has seen enough is no fault to talk of. */
static bool complain(const char *path) {
  if (errno != EPIPE)
    fprintf(stderr, "evenbreath: cannot write %s: %s\n", path, strerror(errno));
  return false;
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

/* Makes FILE.XXXXXX beside the file. */
static bool open_temporary(cli_file *file, const char *path) {
  size_t size = strlen(path) + 8;
  file->temporary = malloc(size);
  if (!file->temporary)
    return complain(path);
  snprintf(file->temporary, size, "%s.XXXXXX", path);
  int handle = mkstemp(file->temporary);
  file->stream = handle >= 0 ? fdopen(handle, "w") : NULL;
  if (file->stream)
    return true;
  complain(path);
  if (handle >= 0) {
    close(handle);
    unlink(file->temporary);
  }
  free(file->temporary);
  return false;
}

bool output_file_open(cli_file *file, const char *path) {
  *file = (cli_file){.path = path};
  /* A device or a pipe cannot be replaced by renaming: write into it. */
  bool straight = !path || is_special(path);
  if (!straight)
    return open_temporary(file, path);
  file->stream = path ? fopen(path, "w") : stdout;
  return file->stream || complain(path);
}

static bool complain_of(const cli_file *file) {
  return complain(file->path ? file->path : "to standard output");
}

bool output_file_write(cli_file *file, const char *bytes, size_t length) {
  bool good = fwrite(bytes, 1, length, file->stream) == length && fflush(file->stream) == 0;
  return good || complain_of(file);
}

static bool close_temporary(cli_file *file, bool keep) {
  int handle = fileno(file->stream);
  bool good = !keep || (fflush(file->stream) == 0 && fsync(handle) == 0);
  if (keep)
    give_usual_rights(handle);
  good = fclose(file->stream) == 0 && good;
  good = good && (!keep || rename(file->temporary, file->path) == 0);
  if (!good && keep)
    complain_of(file);
  if (!good || !keep)
    unlink(file->temporary);
  free(file->temporary);
  return good;
}

bool output_file_close(cli_file *file, bool keep) {
  if (file->temporary)
    return close_temporary(file, keep);
  bool good = file->path ? fclose(file->stream) == 0 : fflush(file->stream) == 0;
  return good || !keep || complain_of(file);
}

static bool write_file(const char *path, const char *bytes, size_t length) {
  cli_file file;
  if (!output_file_open(&file, path))
    return false;
  bool good = output_file_write(&file, bytes, length);
  return output_file_close(&file, good) && good;
}

bool output_text(const char *text, const char *path) {
  return write_file(path, text, strlen(text));
}

bool output_close(cli_output *output, const char *path) {
  bool good = fclose(output->stream) == 0;
  output->stream = NULL;
  if (!good)
    complain("the result into memory");
  else
    good = write_file(path, output->bytes, output->length);
  output_drop(output);
  return good;
}

bool output_pass(cli_output *output, bool good, FILE *out) {
  good = fflush(output->stream) == 0 && good;
  good = good && fwrite(output->bytes, 1, output->length, out) == output->length;
  output_drop(output);
  return good;
}

void output_say(cli_output *output) {
  fflush(output->stream);
  fwrite(output->bytes, 1, output->length, stderr);
  output_drop(output);
}
