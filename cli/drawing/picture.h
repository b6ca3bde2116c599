/* picture.h - the drawings there are: each one file, drawn into any box
 *
 * `draw` gives one a page of its own; the report sets them between its text. */

#ifndef CLI_DRAWING_PICTURE_H
#define CLI_DRAWING_PICTURE_H

#include "command.h"
#include "drawing/canvas.h"

typedef struct picture {
  const char *name;  /* of --show */
  const char *title; /* above it */
  const char *about; /* one line of --help */
  double aspect;     /* width over height that suits it; 0: `height` says */
  /* Height in points that it needs at this width; NULL: width / aspect. */
  double (*height)(const cli_run *runs, size_t count, double width);
  /* Calculates into the run what the picture shows, beside rates and ducts where there are any;
   * NULL: nothing more. */
  eb_status (*calculate)(cli_run *run);
  /* Why it has nothing to show of these (no ducts, no readings ...); NULL where it has. */
  const char *(*lacks)(const cli_run *runs, size_t count);
  void (*draw)(canvas *page, canvas_box box, const cli_run *runs, size_t count);
} picture;

extern const picture picture_scheme, picture_pressures, picture_duty, picture_year, picture_rounds,
    picture_layouts, picture_sound;

#endif
