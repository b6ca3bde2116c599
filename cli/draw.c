/* draw.c - evenbreath draw: a picture as SVG, PNG or PDF
 *
 * The pictures themselves stand in drawing/; here is which one, of what, on which page. */

#include <stdlib.h>
#include <string.h>

#include "drawing/picture.h"
#include "output.h"
#include "wrapped.h"

static const double margin = 34, title_height = 38;
static const canvas_font house_font = {.size = 12, .bold = true}, title_font = {.size = 10};

/* ---- What is asked for ---- */

static bool all(const cli_options *options) {
  return strcmp(options->show, "all") == 0;
}

static canvas_format format_of(const cli_options *options) {
  canvas_format format = CANVAS_SVG;
  canvas_format_of(options->output, &format);
  return format;
}

/* Files after the first are readings for `all`: pictures of several houses are asked by name. */
static picture_files files_of(const cli_options *options) {
  if (all(options))
    return options->n_files > 1 ? PICTURE_READINGS : PICTURE_HOUSE;
  return picture_find(options->show)->files;
}

static int houses(const cli_options *options) {
  return files_of(options) == PICTURE_HOUSES ? options->n_files : 1;
}

static const char *unfit_number(const cli_options *options) {
  picture_files files = files_of(options);
  if (files == PICTURE_HOUSES && options->n_files < 2)
    return "this picture is of two house files or more";
  if (files == PICTURE_READINGS && options->n_files != 2)
    return all(options) ? "--show all takes one house file, and one file of its readings"
                        : "this picture is of one house file and the file of its readings";
  if (files == PICTURE_HOUSE && options->n_files > 1)
    return "this picture is of one house file";
  return NULL;
}

static void say_pictures(const cli_options *options) {
  fprintf(stderr, "evenbreath draw: --show takes one of");
  for (size_t i = 0; pictures[i]; i++)
    fprintf(stderr, " %s,", pictures[i]->name);
  fputs(" all", stderr);
  if (options->show)
    fprintf(stderr, ", not \"%s\"", options->show);
  fputc('\n', stderr);
}

static bool ending_known(const char *path) {
  canvas_format format;
  /* A device has no ending and gets SVG, as standard output does. */
  return !path || strncmp(path, "/dev/", 5) == 0 || canvas_format_of(path, &format);
}

static const char *unfit(const cli_options *options) {
  if (!options->show || (!all(options) && !picture_find(options->show))) {
    say_pictures(options);
    return options->show ? "there is no such picture" : "say which picture";
  }
  if (!ending_known(options->output))
    return "the file after -o must end in .svg, .png or .pdf";
  if (all(options) && format_of(options) != CANVAS_PDF)
    return "--show all makes a PDF: name a file that ends in .pdf after -o";
  return unfit_number(options);
}

/* ---- What it shows ---- */

static eb_status calculate(cli_run *run) {
  run->curves = true;
  return eb_house_has_ducts(run->house) ? calculate_ducts(run) : calculate_rates(run);
}

static const char *lacks(const picture *one, const cli_run *runs, size_t count) {
  return one->lacks ? one->lacks(runs, count) : NULL;
}

/* Of `all` those that are of such files and lack nothing. */
static bool is_shown(const picture *one, const cli_run *runs, size_t count) {
  const cli_options *options = runs[0].options;
  if (!all(options))
    return strcmp(one->name, options->show) == 0;
  return one->files <= files_of(options) && !lacks(one, runs, count);
}

static eb_status calculate_more(const picture *one, cli_run *runs, size_t count) {
  eb_status status = EB_OK;
  for (size_t i = 0; one->calculate && !status && i < count; i++)
    status = one->calculate(&runs[i]);
  if (!status && one->together)
    status = one->together(runs, count);
  return status;
}

static eb_status finish(cli_run *runs, size_t count) {
  eb_status status = EB_OK;
  size_t shown = 0;
  for (size_t i = 0; pictures[i] && !status; i++) {
    if (!is_shown(pictures[i], runs, count))
      continue;
    shown++;
    runs[0].failure = lacks(pictures[i], runs, count);
    status = runs[0].failure ? EB_E_INPUT : calculate_more(pictures[i], runs, count);
  }
  if (!status && shown == 0)
    runs[0].failure = "there is nothing to draw of it";
  return runs[0].failure ? EB_E_INPUT : status;
}

/* ---- Pages ---- */

/* What is printed fills a sheet; a picture that is higher gets a higher page. */
static double page_height(const picture *one, const cli_run *runs, size_t count) {
  const cli_options *options = runs[0].options;
  double width = options->paper->width - 2 * margin;
  double height = picture_height(one, runs, count, width) + 2 * margin + title_height;
  bool sheet = format_of(options) == CANVAS_PDF && height < options->paper->height;
  return sheet ? options->paper->height : height;
}

static void draw_page(canvas *page, const picture *one, const cli_run *runs, size_t count) {
  double width = page->width - 2 * margin;
  canvas_text_within(page, house_font, CANVAS_LEFT, margin, margin, width,
                     count == 1 ? run_title(runs) : "Houses side by side");
  canvas_text_within(page, title_font, CANVAS_LEFT, margin, margin + 17, width, one->title);
  canvas_box box = {margin, margin + title_height, width, picture_height(one, runs, count, width)};
  picture_draw(one, page, box, runs, count);
}

static bool draw_pages(canvas *page, const cli_run *runs, size_t count, FILE *out) {
  const cli_options *options = runs[0].options;
  bool open = false;
  for (size_t i = 0; pictures[i]; i++) {
    const picture *one = pictures[i];
    if (!is_shown(one, runs, count))
      continue;
    double width = options->paper->width, height = page_height(one, runs, count);
    if (open)
      canvas_next_page(page, width, height);
    else if (!canvas_open(page, format_of(options), width, height, out))
      return false;
    open = true;
    draw_page(page, one, runs, count);
  }
  return canvas_close(page);
}

/* What could not be finished leaves nothing behind. */
static bool text_all(const cli_run *runs, size_t count, FILE *out) {
  cli_output drawn;
  canvas page;
  if (!output_open(&drawn)) {
    fputs("evenbreath: memory ran out\n", stderr);
    return false;
  }
  return output_pass(&drawn, draw_pages(&page, runs, count, drawn.stream), out);
}

static bool text(const cli_run *run, FILE *out) {
  return text_all(run, 1, out);
}

static void help_line(const char *name, const char *about, FILE *out) {
  static const size_t widths[] = {0, 10, 66};
  const char *cells[] = {"", name, about};
  wrapped_row(cells, widths, 3, out);
}

static void help_more(FILE *out) {
  fputs("\nPictures\n", out);
  for (size_t i = 0; pictures[i]; i++)
    help_line(pictures[i]->name, pictures[i]->about, out);
  help_line("all", "all of one house that it has the data for, a page of PDF each", out);
}

const cli_command command_draw = {
    .name = "draw",
    .summary = "pictures of a house, its year, its readings, as SVG, PNG or PDF",
    .help =
        "Draws the picture that --show names into the file after -o, as its ending says: .svg,\n"
        ".png or .pdf; without -o as SVG to standard output.\n",
    .help_more = help_more,
    .examples = "evenbreath draw --show scheme -o scheme.svg alder-row.yaml\n",
    .files = "HOUSE [READINGS | HOUSE...]",
    .unfit = unfit,
    .houses = houses,
    .calculate = calculate,
    .finish = finish,
    .text = text,
    .text_all = text_all,
    .says_why = true,
};
