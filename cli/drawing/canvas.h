/* canvas.h - one surface for SVG, PNG and PDF, in points of 1/72 inch
 *
 * Drawings use cairo as it is through `cairo`; this adds what it lacks: bytes that are the same
 * each time, text in a font that is known to be there, and one way to end. */

#ifndef CLI_DRAWING_CANVAS_H
#define CLI_DRAWING_CANVAS_H

#include <cairo.h>
#include <pango/pango.h>
#include <stdbool.h>
#include <stdio.h>

typedef enum canvas_format { CANVAS_SVG, CANVAS_PNG, CANVAS_PDF } canvas_format;

/* An area in points, from its upper left corner. */
typedef struct canvas_box {
  double x, y, width, height;
} canvas_box;

typedef struct canvas {
  cairo_t *cairo;
  cairo_surface_t *surface;
  PangoContext *pango;
  canvas_format format;
  double width, height; /* of the page */
  FILE *out;
  bool failed; /* something could not be written */
} canvas;

/* False after a message on standard error: no memory, or no font. What is drawn goes to `out`,
 * some of it only when the canvas is closed; NULL: to measure only, nothing is written. */
bool canvas_open(canvas *page, canvas_format format, double width, double height, FILE *out);

/* Begins the next page of a PDF, of that size. */
void canvas_next_page(canvas *page, double width, double height);

/* False after a message where something could not be drawn or written. */
bool canvas_close(canvas *page);

/* Format of a file name's ending; false where it is none of the three. */
bool canvas_format_of(const char *path, canvas_format *format);

typedef struct canvas_font {
  double size; /* points */
  bool bold, slanted;
} canvas_font;

typedef enum canvas_anchor { CANVAS_LEFT, CANVAS_MIDDLE, CANVAS_RIGHT } canvas_anchor;

/* A layout of the text, broken into lines where `width` is above 0. g_object_unref it. */
PangoLayout *canvas_layout(canvas *page, canvas_font font, const char *text, double width);

/* Width and height of one line of text. */
void canvas_measure(canvas *page, canvas_font font, const char *text, double *width,
                    double *height);

/* One line of text: `x` is its left end, middle or right end, `y` the top of the line. */
void canvas_text(canvas *page, canvas_font font, canvas_anchor anchor, double x, double y,
                 const char *text);

/* The same, ended with an ellipsis where it is wider than `width`. */
void canvas_text_within(canvas *page, canvas_font font, canvas_anchor anchor, double x, double y,
                        double width, const char *text);

/* Text broken into lines of `width`, from its left edge `x` and `y` down, each line set left, in
 * the middle or right; returns its height. */
double canvas_paragraph(canvas *page, canvas_font font, canvas_anchor anchor, double x, double y,
                        double width, const char *text);
double canvas_paragraph_height(canvas *page, canvas_font font, double width, const char *text);

#endif
