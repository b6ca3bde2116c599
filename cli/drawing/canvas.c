/* canvas.c - one surface for SVG, PNG and PDF */

#include "drawing/canvas.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>
#include <strings.h>

/* It has the letters of every language that house files are likely to be written in; Debian:
 * fonts-dejavu-core. */
static const char family[] = "DejaVu Sans";
static const double png_dots_per_inch = 150;

bool canvas_format_of(const char *path, canvas_format *format) {
  static const char *const endings[] = {".svg", ".png", ".pdf"};
  const char *ending = path ? strrchr(path, '.') : NULL;
  for (int i = 0; ending && i < 3; i++)
    if (strcasecmp(ending, endings[i]) == 0) {
      *format = (canvas_format)i;
      return true;
    }
  return false;
}

static cairo_status_t write_bytes(void *user, const unsigned char *bytes, unsigned length) {
  canvas *page = user;
  if (fwrite(bytes, 1, length, page->out) == length)
    return CAIRO_STATUS_SUCCESS;
  page->failed = true;
  return CAIRO_STATUS_WRITE_ERROR;
}

static cairo_surface_t *open_surface(canvas *page) {
  double dots = png_dots_per_inch / 72;
  switch (page->format) {
  case CANVAS_PNG:
    return cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)ceil(page->width * dots),
                                      (int)ceil(page->height * dots));
  case CANVAS_PDF:
    return cairo_pdf_surface_create_for_stream(write_bytes, page, page->width, page->height);
  default:
    return cairo_svg_surface_create_for_stream(write_bytes, page, page->width, page->height);
  }
}

static void paint_white(canvas *page) {
  cairo_set_source_rgb(page->cairo, 1, 1, 1);
  cairo_paint(page->cairo);
  cairo_set_source_rgb(page->cairo, 0, 0, 0);
}

/* Text would else be set in whatever font is found, or in none. */
static bool font_is_there(canvas *page) {
  PangoFontDescription *wanted = pango_font_description_from_string(family);
  PangoFont *font =
      pango_font_map_load_font(pango_context_get_font_map(page->pango), page->pango, wanted);
  PangoFontDescription *found = font ? pango_font_describe(font) : NULL;
  bool there = found && strcmp(pango_font_description_get_family(found), family) == 0;
  pango_font_description_free(found);
  pango_font_description_free(wanted);
  if (font)
    g_object_unref(font);
  return there;
}

/* Metrics that do not hang on the surface: a line is as long in a PNG as in a PDF. */
static void set_up_text(canvas *page) {
  page->pango = pango_cairo_create_context(page->cairo);
  cairo_font_options_t *options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(page->pango, options);
  pango_cairo_context_set_resolution(page->pango, 72);
  cairo_font_options_destroy(options);
}

static void close_all(canvas *page) {
  if (page->pango)
    g_object_unref(page->pango);
  cairo_destroy(page->cairo);
  cairo_surface_destroy(page->surface);
  *page = (canvas){.failed = page->failed};
}

bool canvas_open(canvas *page, canvas_format format, double width, double height, FILE *out) {
  *page = (canvas){.format = format, .width = width, .height = height, .out = out};
  page->surface = open_surface(page);
  /* The day on which it was drawn would make each file another. */
  if (format == CANVAS_PDF)
    cairo_pdf_surface_set_metadata(page->surface, CAIRO_PDF_METADATA_CREATE_DATE, "");
  page->cairo = cairo_create(page->surface);
  set_up_text(page);
  if (!font_is_there(page)) {
    fprintf(stderr, "evenbreath: the font %s is missing (Debian: fonts-dejavu-core)\n", family);
    close_all(page);
    return false;
  }
  if (format == CANVAS_PNG)
    cairo_scale(page->cairo, png_dots_per_inch / 72, png_dots_per_inch / 72);
  paint_white(page);
  return true;
}

void canvas_next_page(canvas *page, double width, double height) {
  cairo_show_page(page->cairo);
  if (page->format == CANVAS_PDF)
    cairo_pdf_surface_set_size(page->surface, width, height);
  page->width = width;
  page->height = height;
  paint_white(page);
}

bool canvas_close(canvas *page) {
  cairo_status_t status = cairo_status(page->cairo);
  if (!status && page->out && page->format == CANVAS_PNG)
    status = cairo_surface_write_to_png_stream(page->surface, write_bytes, page);
  cairo_surface_finish(page->surface);
  status = status ? status : cairo_surface_status(page->surface);
  close_all(page);
  if (status || page->failed)
    fprintf(stderr, "evenbreath: cannot draw: %s\n", cairo_status_to_string(status));
  return !status && !page->failed;
}

/* ---- Text ---- */

PangoLayout *canvas_layout(canvas *page, canvas_font font, const char *text, double width) {
  PangoLayout *layout = pango_layout_new(page->pango);
  PangoFontDescription *description = pango_font_description_new();
  pango_font_description_set_family_static(description, family);
  pango_font_description_set_size(description, (int)lround(font.size * PANGO_SCALE));
  pango_font_description_set_weight(description,
                                    font.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_style(description,
                                   font.slanted ? PANGO_STYLE_OBLIQUE : PANGO_STYLE_NORMAL);
  pango_layout_set_font_description(layout, description);
  pango_font_description_free(description);
  pango_layout_set_text(layout, text, -1);
  if (width > 0) {
    pango_layout_set_width(layout, (int)lround(width * PANGO_SCALE));
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  } else
    pango_layout_set_single_paragraph_mode(layout, TRUE);
  return layout;
}

static void size_of(PangoLayout *layout, double *width, double *height) {
  int w, h;
  pango_layout_get_size(layout, &w, &h);
  *width = (double)w / PANGO_SCALE;
  *height = (double)h / PANGO_SCALE;
}

void canvas_measure(canvas *page, canvas_font font, const char *text, double *width,
                    double *height) {
  PangoLayout *layout = canvas_layout(page, font, text, 0);
  size_of(layout, width, height);
  g_object_unref(layout);
}

static void show(canvas *page, PangoLayout *layout, canvas_anchor anchor, double x, double y) {
  double width, height;
  size_of(layout, &width, &height);
  cairo_move_to(page->cairo, x - width * (double)anchor / 2, y);
  pango_cairo_show_layout(page->cairo, layout);
  cairo_new_path(page->cairo); /* else the next arc begins with a line from here */
  g_object_unref(layout);
}

void canvas_text(canvas *page, canvas_font font, canvas_anchor anchor, double x, double y,
                 const char *text) {
  show(page, canvas_layout(page, font, text, 0), anchor, x, y);
}

void canvas_text_within(canvas *page, canvas_font font, canvas_anchor anchor, double x, double y,
                        double width, const char *text) {
  PangoLayout *layout = canvas_layout(page, font, text, 0);
  double natural, height;
  size_of(layout, &natural, &height);
  if (natural > width) {
    pango_layout_set_width(layout, (int)lround(width * PANGO_SCALE));
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  }
  show(page, layout, anchor, x, y);
}

double canvas_paragraph_height(canvas *page, canvas_font font, double width, const char *text) {
  PangoLayout *layout = canvas_layout(page, font, text, width);
  double natural, height;
  size_of(layout, &natural, &height);
  g_object_unref(layout);
  return height;
}

double canvas_paragraph(canvas *page, canvas_font font, canvas_anchor anchor, double x, double y,
                        double width, const char *text) {
  static const PangoAlignment alignments[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER,
                                              PANGO_ALIGN_RIGHT};
  PangoLayout *layout = canvas_layout(page, font, text, width);
  pango_layout_set_alignment(layout, alignments[anchor]);
  double natural, height;
  size_of(layout, &natural, &height);
  cairo_move_to(page->cairo, x, y);
  pango_cairo_show_layout(page->cairo, layout);
  g_object_unref(layout);
  return height;
}
