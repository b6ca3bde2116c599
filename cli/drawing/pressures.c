/* pressures.c - the pressure that each fan raises, step by step along the index run and on the
 * way to every other valve: bars with their figures beside them */

#include <math.h>
#include <stdlib.h>

#include "drawing/losses.h"
#include "drawing/pens.h"
#include "drawing/picture.h"

static const canvas_font plain = {.size = 7.5}, bold = {.size = 7.5, .bold = true},
                         heading = {.size = 9, .bold = true};
static const double row_height = 13, head_height = 30, gap = 14, names = 104, figure = 35;
static const char *const kinds[LOSS_KINDS] = {"shared", "duct",  "fittings",
                                              "valve",  "stack", "room"};

/* ---- What the bars are filled with ---- */

static void hatch(canvas *page, canvas_box box) {
  cairo_t *c = page->cairo;
  cairo_save(c);
  cairo_rectangle(c, box.x, box.y, box.width, box.height);
  cairo_clip(c);
  for (double x = box.x - box.height; x < box.x + box.width; x += 2.6) {
    cairo_move_to(c, x, box.y + box.height);
    cairo_line_to(c, x + box.height, box.y);
  }
  cairo_set_line_width(c, 0.7);
  cairo_stroke(c);
  cairo_restore(c);
}

/* Grey, the colour of the air, its strokes, black, white: apart in grey too. */
static void fill(canvas *page, pen_air air, loss_kind kind, canvas_box box) {
  static const double greys[LOSS_KINDS] = {0.82, -1, 1, 0, 0.93, 1};
  cairo_t *c = page->cairo;
  if (greys[kind] < 0)
    pen_take(page, air, 1);
  else
    pen_grey(page, greys[kind], 1);
  cairo_rectangle(c, box.x, box.y, box.width, box.height);
  cairo_fill(c);
  if (kind == LOSS_FITTINGS || kind == LOSS_STACK) {
    pen_take(page, air, 1);
    cairo_set_dash(c, NULL, 0, 0);
    hatch(page, box);
  }
  pen_grey(page, 0.2, 0.5);
  cairo_rectangle(c, box.x, box.y, box.width, box.height);
  cairo_stroke(c);
}

/* ---- The sheet ---- */

typedef struct pressure_sheet {
  canvas *page;
  const cli_unit *unit;
  double x, width, y; /* y: of the next row */
  double plot, scale; /* left end of the bars, points a pascal */
  bool shown[LOSS_KINDS];
  pen_air air;
} pressure_sheet;

static double right_of(const pressure_sheet *sheet, int column) {
  int columns = 1;
  for (int kind = 0; kind < LOSS_KINDS; kind++)
    columns += sheet->shown[kind];
  return sheet->x + sheet->width - figure * (columns - 1 - column);
}

static void write_figure(const pressure_sheet *sheet, canvas_font font, int column, double value) {
  char text[32];
  const cli_unit *unit = sheet->unit;
  double shown = unit_value(unit, value);
  if (value == 0)
    return;
  shown = fabs(shown) < 0.5 * pow(10, -unit->decimals) ? 0 : shown; /* no -0.0 */
  snprintf(text, sizeof text, "%.*f", unit->decimals, shown);
  canvas_text(sheet->page, font, CANVAS_RIGHT, right_of(sheet, column), sheet->y, text);
}

static void write_row(const pressure_sheet *sheet, canvas_font font, const char *name,
                      const losses *lost) {
  int column = 0;
  pen_plain(sheet->page);
  canvas_text_within(sheet->page, font, CANVAS_LEFT, sheet->x, sheet->y, names - 6, name);
  for (int kind = 0; kind < LOSS_KINDS; kind++)
    if (sheet->shown[kind])
      write_figure(sheet, font, column++, lost->of[kind]);
  write_figure(sheet, font, column, losses_sum(lost));
}

/* Bars one after the other from `from` Pa on; one that is below nought goes back, at half height.
 */
static double draw_bars(const pressure_sheet *sheet, const losses *lost, double from) {
  for (int kind = 0; kind < LOSS_KINDS; kind++) {
    double loss = lost->of[kind], low = fmin(from, from + loss);
    canvas_box bar = {sheet->plot + sheet->scale * low, sheet->y, sheet->scale * fabs(loss),
                      row_height - 4};
    if (loss < 0) {
      bar.y += bar.height / 2;
      bar.height /= 2;
    }
    if (bar.width > 0.05)
      fill(sheet->page, sheet->air, (loss_kind)kind, bar);
    from += loss;
  }
  return from;
}

static void write_heads(const pressure_sheet *sheet, const char *title, bool shared) {
  int column = 0;
  pen_plain(sheet->page);
  canvas_text_within(sheet->page, bold, CANVAS_LEFT, sheet->x, sheet->y,
                     right_of(sheet, 0) - figure - sheet->x, title);
  for (int kind = 0; kind < LOSS_KINDS; kind++)
    if (sheet->shown[kind])
      canvas_text(sheet->page, plain, CANVAS_RIGHT, right_of(sheet, column++), sheet->y,
                  kind == LOSS_SHARED && !shared ? "" : kinds[kind]);
  canvas_text(sheet->page, plain, CANVAS_RIGHT, right_of(sheet, column), sheet->y, "in all");
}

/* What the fan raises, as a line through the bars. */
static void draw_fan(const pressure_sheet *sheet, double rise, double top) {
  pen_grey(sheet->page, 0, 0.8);
  double x = sheet->plot + sheet->scale * rise;
  cairo_move_to(sheet->page->cairo, x, top);
  cairo_line_to(sheet->page->cairo, x, sheet->y);
  cairo_stroke(sheet->page->cairo);
}

/* ---- Along the index run ---- */

static const tree_run *index_end(const loss_side *side) {
  const tree_run *end = NULL;
  for (size_t from = 0; (end = loss_end(side, from)); from = end->order + 1)
    if (end->index)
      return end;
  return NULL;
}

static void draw_way(pressure_sheet *sheet, const loss_side *side, const loss_step *steps,
                     size_t count) {
  losses all = {{0}};
  double top, from = 0;
  write_heads(sheet, "Along the index run, from outdoors to the room", false);
  top = sheet->y += row_height;
  for (size_t i = 0; i < count; i++) {
    write_row(sheet, plain, steps[i].name, &steps[i].lost);
    from = draw_bars(sheet, &steps[i].lost, from);
    for (int kind = 0; kind < LOSS_KINDS; kind++)
      all.of[kind] += steps[i].lost.of[kind];
    sheet->y += row_height;
  }
  draw_fan(sheet, side->fan->pressure_pa, top - 2);
  write_row(sheet, bold, "in all, as the fan raises", &all);
  sheet->y += row_height + gap / 2;
}

static void draw_ends(pressure_sheet *sheet, const loss_side *side) {
  const tree_run *end = NULL;
  write_heads(sheet, "To each valve, which takes what is left over", true);
  sheet->y += row_height;
  double top = sheet->y;
  for (size_t from = 0; (end = loss_end(side, from)); from = end->order + 1) {
    losses lost = loss_of_way(side, end);
    write_row(sheet, end->index ? bold : plain, side->ducts->runs[end->run].name, &lost);
    draw_bars(sheet, &lost, 0);
    sheet->y += row_height;
  }
  draw_fan(sheet, side->fan->pressure_pa, top - 2);
  sheet->y += gap;
}

/* ---- A side ---- */

static size_t count_ends(const loss_side *side) {
  const tree_run *end = NULL;
  size_t count = 0;
  for (size_t from = 0; (end = loss_end(side, from)); from = end->order + 1)
    count++;
  return count;
}

/* Room for the steps of the longest way. */
static loss_step *new_steps(const loss_side *side) {
  return calloc(side->inside.count + side->outside.count + 2, sizeof(loss_step));
}

static void draw_side(pressure_sheet *sheet, const loss_side *side) {
  const cli_unit *unit = sheet->unit;
  const tree_run *index = index_end(side);
  loss_step *steps = new_steps(side);
  char text[160];
  if (!steps)
    sheet->page->failed = true;
  else if (index) {
    pen_plain(sheet->page);
    snprintf(text, sizeof text, "%s fan: %.*f %s at the level %s", side->name, unit->decimals,
             unit_value(unit, side->fan->pressure_pa), unit->name, side->level->name);
    canvas_text_within(sheet->page, heading, CANVAS_LEFT, sheet->x, sheet->y, sheet->width, text);
    sheet->y += 16;
    draw_way(sheet, side, steps, loss_way(side, index, steps));
    draw_ends(sheet, side);
  }
  free(steps);
}

static double side_height(const loss_side *side) {
  const tree_run *index = index_end(side);
  loss_step *steps = new_steps(side);
  size_t rows = index && steps ? loss_way(side, index, steps) + count_ends(side) + 3 : 0;
  free(steps);
  return index ? 16 + (double)rows * row_height + 1.5 * gap : 0;
}

static bool uses(const loss_side *side, loss_kind kind) {
  if (kind == LOSS_ROOM)
    return side->ducts->house_known;
  if (kind != LOSS_STACK)
    return true;
  for (size_t i = 0; i < side->ducts->n_runs; i++)
    if (fabs(side->level->runs[i].stack_pa) > 0.005)
      return true;
  return false;
}

/* ---- The picture ---- */

static void write_legend(pressure_sheet *sheet) {
  static const char *const words[LOSS_KINDS] = {"runs shared with others", "duct: friction",
                                                "fittings, tees",          "valve",
                                                "weight of the air",       "pressure of the room"};
  double x = sheet->x;
  for (int kind = 0; kind < LOSS_KINDS; kind++) {
    double width, height;
    if (!sheet->shown[kind])
      continue;
    fill(sheet->page, sheet->air, (loss_kind)kind, (canvas_box){x, sheet->y + 1, 12, 7});
    pen_plain(sheet->page);
    canvas_text(sheet->page, plain, CANVAS_LEFT, x + 15, sheet->y, words[kind]);
    canvas_measure(sheet->page, plain, words[kind], &width, &height);
    x += width + 24;
  }
  sheet->y += 12;
  char text[160];
  snprintf(text, sizeof text,
           "In %s. Upright line: what the fan raises from spigot to spigot, so without the unit's "
           "own exchanger and filters",
           sheet->unit->name);
  canvas_text_within(sheet->page, plain, CANVAS_LEFT, sheet->x, sheet->y, sheet->width, text);
  sheet->y += head_height - 12;
}

static void draw_all(pressure_sheet *sheet, const loss_side sides[2]) {
  double most = fmax(sides[0].fan->pressure_pa, sides[1].fan->pressure_pa);
  for (int kind = 0; kind < LOSS_KINDS; kind++)
    sheet->shown[kind] = uses(&sides[0], (loss_kind)kind) || uses(&sides[1], (loss_kind)kind);
  sheet->plot = sheet->x + names;
  double room = right_of(sheet, 0) - figure - sheet->plot;
  sheet->scale = most > 0 ? room / (1.04 * most) : 0;
  sheet->air = PEN_SUPPLY;
  write_legend(sheet);
  for (int s = 0; s < 2; s++) {
    sheet->air = s == 0 ? PEN_SUPPLY : PEN_EXTRACT;
    draw_side(sheet, &sides[s]);
  }
}

static bool sides_of(const cli_run *run, loss_side sides[2]) {
  bool first = loss_side_of(run->rates, run->ducts, true, &sides[0]);
  return loss_side_of(run->rates, run->ducts, false, &sides[1]) && first;
}

static double height(const cli_run *runs, size_t count, double width) {
  loss_side sides[2];
  (void)count;
  (void)width;
  double needed = head_height;
  if (sides_of(&runs[0], sides))
    needed += side_height(&sides[0]) + side_height(&sides[1]);
  loss_side_free(&sides[0]);
  loss_side_free(&sides[1]);
  return needed;
}

static void draw(canvas *page, canvas_box box, const cli_run *runs, size_t count) {
  double scale = fmin(1, box.height / height(runs, count, box.width));
  pressure_sheet sheet = {
      .page = page, .unit = &runs[0].options->units->pressure, .width = box.width};
  loss_side sides[2];
  cairo_save(page->cairo);
  cairo_translate(page->cairo, box.x + box.width * (1 - scale) / 2, box.y);
  cairo_scale(page->cairo, scale, scale);
  if (sides_of(&runs[0], sides))
    draw_all(&sheet, sides);
  else
    page->failed = true;
  cairo_restore(page->cairo);
  loss_side_free(&sides[0]);
  loss_side_free(&sides[1]);
}

static const char *lacks(const cli_run *runs, size_t count) {
  (void)count;
  return runs[0].ducts ? NULL : "it describes no ducts";
}

const picture picture_pressures = {
    .name = "pressures",
    .title = "Where the pressure goes",
    .about = "what duct, fittings and valve take of each fan's pressure, run by run",
    .height = height,
    .lacks = lacks,
    .draw = draw,
};
