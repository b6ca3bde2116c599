/* measured.h - pictures whose height follows from their words: drawn once to measure, once to show
 */

#ifndef CLI_DRAWING_MEASURED_H
#define CLI_DRAWING_MEASURED_H

#include "drawing/picture.h"

/* Draws from the origin down, so wide; returns its height. */
typedef double (*measured_picture)(canvas *page, double width, const cli_run *runs, size_t count);

/* The height that it takes at a width, in points. */
double measured_height(measured_picture show, const cli_run *runs, size_t count, double width);

/* Draws it into the box, smaller where it would be too high for it. */
void measured_draw(measured_picture show, canvas *page, canvas_box box, const cli_run *runs,
                   size_t count);

#endif
