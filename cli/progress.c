/* progress.c - how far a long run is, on a terminal */

#include "progress.h"

#include <stdarg.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

/* Shown after so long, and then not more often [s]. */
#define PATIENCE 1.0
#define PERIOD 0.1

static double now_s(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void progress_begin(cli_progress *progress, bool wanted) {
  *progress = (cli_progress){.seen = wanted && isatty(STDERR_FILENO)};
  progress->begun = progress->seen ? now_s() : 0;
}

void progress_say(cli_progress *progress, const char *format, ...) {
  double now = progress->seen ? now_s() : 0;
  if (!progress->seen || now - progress->begun < PATIENCE || now - progress->last < PERIOD)
    return;
  va_list arguments;
  va_start(arguments, format);
  fputs("\r\033[K", stderr); /* to the beginning of the line, and wipe it */
  vfprintf(stderr, format, arguments);
  va_end(arguments);
  fflush(stderr);
  progress->last = now;
  progress->written = true;
}

void progress_end(cli_progress *progress) {
  if (progress->written)
    fputs("\r\033[K", stderr);
  *progress = (cli_progress){.seen = false};
}
