/* progress.h - how far a long run is, on a terminal */

#ifndef CLI_PROGRESS_H
#define CLI_PROGRESS_H

#include <stdbool.h>

/* One line of standard error, written over each time and wiped at the end. There is none where that
 * is no terminal, and none in the first second. */
typedef struct cli_progress {
  bool seen; /* by somebody */
  bool written;
  double begun, last; /* s */
} cli_progress;

void progress_begin(cli_progress *progress, bool wanted);

#if defined __GNUC__
__attribute__((format(printf, 2, 3)))
#endif
void progress_say(cli_progress *progress, const char *format, ...);

void progress_end(cli_progress *progress);

#endif
