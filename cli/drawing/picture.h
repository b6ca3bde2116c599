/* picture.h - the drawings there are: each one file, drawn into any box
 *
 * `draw` gives one a page of its own; the report sets them between its text.
 *
 * Of every house the rates are there, and the ducts where it has any, with curves (run->curves),
 * when `lacks` is asked; if it lacks nothing, `calculate` follows, and then height and drawing. */

#ifndef CLI_DRAWING_PICTURE_H
#define CLI_DRAWING_PICTURE_H

#include "command.h"
#include "drawing/canvas.h"

/* What the command line names for it. */
typedef enum picture_files {
  PICTURE_HOUSE,    /* one house */
  PICTURE_READINGS, /* one house and a file of readings: options->files[1] */
  PICTURE_HOUSES    /* two houses or more */
} picture_files;

typedef struct picture {
  const char *name;    /* of --show */
  const char *title;   /* above it */
  const char *about;   /* one line of --help */
  picture_files files; /* what it is of */
  /* Draws from the origin down, so wide, and returns its height in points: of a picture whose height
   * follows from its words. NULL: `height` and `draw` do. */
  double (*show)(canvas *page, double width, const cli_run *runs, size_t count);
  /* Height in points that it needs at this width. */
  double (*height)(const cli_run *runs, size_t count, double width);
  /* Calculates into the run what the picture shows, beside rates and ducts; NULL: nothing more. */
  eb_status (*calculate)(cli_run *run);
  /* Calculates from all of them into runs[count], a run without a house; NULL: nothing to. */
  eb_status (*together)(cli_run *runs, size_t count);
  /* Why it has nothing to show of these, as the end of a sentence ("it has no ducts"); NULL where
   * it has. */
  const char *(*lacks)(const cli_run *runs, size_t count);
  /* Draws it into the box, smaller where it would be too high for it. */
  void (*draw)(canvas *page, canvas_box box, const cli_run *runs, size_t count);
} picture;

extern const picture picture_scheme, picture_pressures, picture_duty, picture_year, picture_rounds,
    picture_layouts, picture_sound;

/* Every one that can be drawn, in the order of `--show all` and --help; ended by NULL. A new one
 * adds its line in pictures.c. */
extern const picture *const pictures[];

/* The one of that name, or NULL. */
const picture *picture_find(const char *name);

/* How high it is at that width. */
double picture_height(const picture *one, const cli_run *runs, size_t count, double width);

/* Draws it into the box, smaller where it would be too high for it. */
void picture_draw(const picture *one, canvas *page, canvas_box box, const cli_run *runs,
                  size_t count);

#endif
