/* pens.h - what the kinds of air are drawn with
 *
 * Colours of EN 13779:2007, carried into EN 16798-3:2017 (green, blue, yellow, brown, grey; the
 * shades are our own, dark enough on white), each with a line style and the standard's letters, so
 * that a drawing reads in grey. */

#ifndef CLI_DRAWING_PENS_H
#define CLI_DRAWING_PENS_H

#include "drawing/canvas.h"

typedef enum pen_air { PEN_OUTDOOR, PEN_SUPPLY, PEN_EXTRACT, PEN_EXHAUST, PEN_TRANSFER } pen_air;

/* "ODA", "SUP", "ETA", "EHA", "TRA"; and in words. */
const char *pen_letters(pen_air air);
const char *pen_name(pen_air air);

/* Sets colour and dash of that air; the line's width too where it is above 0. */
void pen_take(canvas *page, pen_air air, double width);

/* Back to a thin unbroken black line. */
void pen_plain(canvas *page);

/* Grey from 0 black to 1 white, unbroken. */
void pen_grey(canvas *page, double lightness, double width);

#endif
