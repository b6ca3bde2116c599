/* scheme.c - the air scheme: unit, ducts, rooms by storey and the air between them */

#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

#include "controller.h"
#include "drawing/scheme_ducts.h"

static const canvas_font name_font = {.size = 8, .bold = true};

/* ---- Boxes with words ---- */

static void box(canvas *page, canvas_box at, double lightness) {
  cairo_rectangle(page->cairo, at.x, at.y, at.width, at.height);
  pen_grey(page, lightness, 1);
  cairo_fill_preserve(page->cairo);
  pen_grey(page, 0.35, 0.8);
  cairo_stroke(page->cairo);
}

/* Broken into as many lines as there is room for, the last ended with an ellipsis; in the middle
 * of the box. */
static void words_in(canvas *page, canvas_font font, canvas_box at, const char *text) {
  PangoLayout *layout = canvas_layout(page, font, text, at.width);
  int height;
  pango_layout_set_alignment(layout, PANGO_ALIGN_CENTER);
  pango_layout_set_height(layout, (int)(at.height * PANGO_SCALE));
  pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
  pango_layout_get_size(layout, NULL, &height);
  double y = at.y + fmax(at.height - (double)height / PANGO_SCALE, 0) / 2;
  pen_plain(page);
  cairo_move_to(page->cairo, at.x, y);
  pango_cairo_show_layout(page->cairo, layout);
  cairo_new_path(page->cairo);
  g_object_unref(layout);
}

static canvas_box within(canvas_box outer, double by) {
  return (canvas_box){outer.x + by, outer.y + by, outer.width - 2 * by, outer.height - 2 * by};
}

/* ---- Unit and outdoors ---- */

static double middle_left(const scheme_plan *plan) {
  return plan->tree;
}

static double middle_width(const scheme_plan *plan) {
  return plan->width - 2 * plan->tree;
}

static void write_fan(canvas *page, const scheme_plan *plan, canvas_box at, const char *name,
                      const eb_side_state *side) {
  const cli_unit *flow = &plan->units->flow, *pressure = &plan->units->pressure;
  char text[96];
  pen_plain(page);
  double middle = at.x + at.width / 2;
  canvas_text(page, scheme_plain, CANVAS_MIDDLE, middle, at.y, name);
  if (!*side->index_run)
    snprintf(text, sizeof text, "none");
  else
    snprintf(text, sizeof text, "%.*f %s, %.*f %s, %s", flow->decimals,
             unit_value(flow, side->flow_m3_s), flow->name, pressure->decimals,
             unit_value(pressure, side->pressure_pa), pressure->name,
             controller_text(&plan->ducts->controller, side->signal).text);
  canvas_text_within(page, scheme_plain, CANVAS_MIDDLE, middle, at.y + 10, at.width - 4, text);
}

static void draw_unit(canvas *page, const scheme_plan *plan) {
  canvas_box at = {middle_left(plan), plan->unit, middle_width(plan), SCHEME_UNIT};
  box(page, at, 0.93);
  pen_plain(page);
  canvas_text(page, name_font, CANVAS_MIDDLE, at.x + at.width / 2, at.y + 5, "unit");
  canvas_box half = {at.x, at.y + 20, at.width / 2, 20};
  write_fan(page, plan, half, "supply fan", &plan->level->supply);
  half.x += half.width;
  write_fan(page, plan, half, "extract fan", &plan->level->extract);
  canvas_box outdoors = {at.x, plan->outdoors, at.width, plan->unit - plan->outdoors - 6};
  if (plan->trees[EB_OUTDOOR].count + plan->trees[EB_EXHAUST].count == 0)
    return;
  box(page, outdoors, 1);
  words_in(page, scheme_plain, within(outdoors, 3), "outdoors");
}

/* ---- Rooms ---- */

/* Rows next to each other that end at one room, or one that ends elsewhere. */
typedef struct room_rows {
  const tree_run *first;
  double top, bottom;
  size_t count;
} room_rows;

/* The next ones from the row of that order on; false: no more. */
static bool next_room(const scheme_plan *plan, eb_air air, size_t order, room_rows *rows) {
  const duct_tree *tree = &plan->trees[air];
  *rows = (room_rows){0};
  for (size_t at = order;; at++) {
    const tree_run *run = NULL;
    for (size_t i = 0; i < tree->count && !run; i++)
      run = tree->runs[i].order == at ? &tree->runs[i] : NULL;
    if (!run)
      return rows->first != NULL;
    if (!run->leaf)
      continue;
    if (rows->first && (run->room != rows->first->room || run->room == TREE_NO_ROOM ||
                        run->band != rows->first->band))
      return true;
    double y = scheme_row_y(plan, air, run);
    if (!rows->first)
      *rows = (room_rows){.first = run, .top = y - 12};
    rows->bottom = y + 12;
    rows->count++;
  }
}

static size_t last_order(const scheme_plan *plan, eb_air air, const room_rows *rows) {
  const duct_tree *tree = &plan->trees[air];
  size_t last = rows->first->order;
  for (size_t i = 0; i < tree->count; i++) {
    const tree_run *run = &tree->runs[i];
    double y = scheme_row_y(plan, air, run);
    if (run->leaf && run->band == rows->first->band && y < rows->bottom && run->order > last)
      last = run->order;
  }
  return last;
}

/* What passes from a room to the others, or to it, beside what its ducts bring and take. */
static double passing(const scheme_plan *plan, size_t room, bool out) {
  double net = scheme_room_flow(plan, room, true) - scheme_room_flow(plan, room, false);
  return fmax(out ? net : -net, 0);
}

static void draw_passing(canvas *page, const scheme_plan *plan, eb_air air, const room_rows *rows) {
  const cli_unit *unit = &plan->units->flow;
  double flow = passing(plan, rows->first->room, air == EB_SUPPLY);
  double y = (rows->top + rows->bottom) / 2;
  double room = scheme_x(plan, air, plan->tree + plan->room);
  double hall = scheme_x(plan, air, plan->tree + plan->room + 26);
  if (unit_value(unit, flow) < 0.5 * pow(10, -unit->decimals))
    return;
  if (air == EB_SUPPLY)
    scheme_arrow(page, PEN_TRANSFER, 1.4, room, y, hall, y);
  else
    scheme_arrow(page, PEN_TRANSFER, 1.4, hall, y, room, y);
  char text[32];
  snprintf(text, sizeof text, "%.*f", unit->decimals, unit_value(unit, flow));
  pen_plain(page);
  canvas_text(page, scheme_small, CANVAS_MIDDLE, (room + hall) / 2, y - 11, text);
}

/* What stands under the name: the storey where bands do not tell, the flow of several ducts
 * together, and that a room stands on the other side too. */
static void print_more(const scheme_plan *plan, eb_air air, const room_rows *rows, char text[96]) {
  size_t number = rows->first->room;
  const eb_room_rates *room = &plan->rates->rooms[number];
  const cli_unit *unit = &plan->units->flow;
  size_t length = 0;
  *text = '\0';
  if (plan->bands.merged)
    length += (size_t)snprintf(text, 96, "storey %d", room->storey);
  if (rows->count > 1)
    length += (size_t)snprintf(
        text + length, 96 - length, "%s%.*f %s", length ? ", " : "", unit->decimals,
        unit_value(unit, scheme_room_flow(plan, number, air == EB_SUPPLY)), unit->name);
  if (air == EB_EXTRACT && scheme_room_flow(plan, number, true) > 0)
    snprintf(text + length, 96 - length, "%s%s", length ? ", " : "", "also supplied");
}

static void draw_room(canvas *page, const scheme_plan *plan, eb_air air, const room_rows *rows) {
  const eb_room_rates *room = &plan->rates->rooms[rows->first->room];
  double x = scheme_x(plan, air, plan->tree);
  canvas_box at = {scheme_right(air) ? x - plan->room : x, rows->top, plan->room,
                   rows->bottom - rows->top};
  box(page, at, 1);
  canvas_box words = within(at, 2);
  char text[96];
  print_more(plan, air, rows, text);
  if (*text) {
    words.height -= 9;
    pen_plain(page);
    canvas_text_within(page, scheme_small, CANVAS_MIDDLE, at.x + at.width / 2,
                       words.y + words.height, words.width, text);
  }
  words_in(page, name_font, words, room->name);
  draw_passing(page, plan, air, rows);
}

/* A ring of ducts is closed at a junction that is drawn elsewhere. */
static void draw_ring_end(canvas *page, const scheme_plan *plan, eb_air air,
                          const room_rows *rows) {
  char text[128];
  double x = scheme_x(plan, air, plan->tree);
  snprintf(text, sizeof text, "at %s", rows->first->outer);
  canvas_box at = {scheme_right(air) ? x - plan->room : x, rows->top, plan->room, 24};
  words_in(page, scheme_small, within(at, 2), text);
}

static void draw_rooms(canvas *page, const scheme_plan *plan, eb_air air) {
  room_rows rows;
  for (size_t order = 0; next_room(plan, air, order, &rows);) {
    if (rows.first->room != TREE_NO_ROOM)
      draw_room(page, plan, air, &rows);
    else
      draw_ring_end(page, plan, air, &rows);
    order = last_order(plan, air, &rows) + 1;
  }
}

/* ---- What lies between rooms ---- */

/* Rooms that only let air pass. */
static bool passes_only(const scheme_plan *plan, size_t room) {
  return !plan->rates->rooms[room].supply && !plan->rates->rooms[room].extract;
}

static void draw_hall(canvas *page, const scheme_plan *plan, size_t band) {
  char names[512] = "";
  for (size_t r = 0; r < plan->rates->n_rooms; r++) {
    const eb_room_rates *room = &plan->rates->rooms[r];
    size_t length = strlen(names);
    bool here = plan->bands.merged || room->storey == plan->bands.storeys[band];
    if (here && passes_only(plan, r))
      snprintf(names + length, sizeof names - length, "%s%s", length ? ", " : "", room->name);
  }
  double x = plan->tree + plan->room + 27;
  canvas_box at = {x, plan->band[band] + SCHEME_BAND, plan->width - 2 * x,
                   plan->band_height[band] - SCHEME_BAND - 5};
  cairo_rectangle(page->cairo, at.x, at.y, at.width, at.height);
  pen_grey(page, 1, 1);
  cairo_fill_preserve(page->cairo);
  pen_take(page, PEN_TRANSFER, 1);
  cairo_stroke(page->cairo);
  words_in(page, scheme_plain, within(at, 3), *names ? names : "doors");
}

static void draw_band(canvas *page, const scheme_plan *plan, size_t band) {
  char text[32];
  cairo_rectangle(page->cairo, 0, plan->band[band], plan->width, plan->band_height[band]);
  pen_grey(page, scheme_ground, 1);
  cairo_fill(page->cairo);
  if (plan->bands.count < 2)
    return;
  snprintf(text, sizeof text, "storey %d", plan->bands.storeys[band]);
  pen_plain(page);
  canvas_text(page, scheme_small, CANVAS_MIDDLE, plan->width / 2, plan->band[band] + 2, text);
}

/* ---- Head and legend ---- */

static void write_head(canvas *page, const scheme_plan *plan) {
  char text[160];
  if (plan->level)
    snprintf(
        text, sizeof text,
        "At the level %s: flow, size and lost pressure of each run; lines are as wide as the flow",
        plan->level->name);
  else
    snprintf(text, sizeof text, "Flows of the plan at %s; the house describes no ducts",
             plan->rates->levels[0]);
  pen_plain(page);
  canvas_text_within(page, scheme_plain, CANVAS_LEFT, 0, 2, plan->width, text);
}

static void legend_entry(canvas *page, const scheme_plan *plan, int number, const char *text) {
  double x = (number % 3) * plan->width / 3, y = plan->legend + (number / 3) * 14;
  pen_plain(page);
  canvas_text_within(page, scheme_plain, CANVAS_LEFT, x + 42, y, plan->width / 3 - 44, text);
}

static void write_legend(canvas *page, const scheme_plan *plan) {
  int number = 0;
  for (int air = 0; air < 5; air++) {
    bool used = air == PEN_TRANSFER || plan->trees[air].count > 0;
    if (!used)
      continue;
    char text[48];
    double x = (number % 3) * plan->width / 3, y = plan->legend + (number / 3) * 14 + 5;
    snprintf(text, sizeof text, "%s %s", pen_letters((pen_air)air), pen_name((pen_air)air));
    scheme_arrow(page, (pen_air)air, air == PEN_TRANSFER ? 1.4 : 2, x, y, x + 36, y);
    legend_entry(page, plan, number++, text);
  }
  if (!plan->ducts)
    return;
  double x = (number % 3) * plan->width / 3, y = plan->legend + (number / 3) * 14 + 5;
  pen_grey(page, 0, 6.4);
  cairo_move_to(page->cairo, x, y);
  cairo_line_to(page->cairo, x + 36, y);
  cairo_stroke_preserve(page->cairo);
  pen_grey(page, 1, 4.8);
  cairo_stroke(page->cairo);
  legend_entry(page, plan, number++, "outlined: the index run");
  pen_plain(page);
  x = (number % 3) * plan->width / 3;
  y = plan->legend + (number / 3) * 14 + 5;
  cairo_arc(page->cairo, x + 18, y, 3.2, 0, 2 * acos(-1));
  cairo_fill(page->cairo);
  legend_entry(page, plan, number++, "where runs meet");
}

/* ---- The picture ---- */

static void draw_all(canvas *page, const scheme_plan *plan) {
  write_head(page, plan);
  for (size_t i = 0; i < plan->bands.count; i++) {
    draw_band(page, plan, i);
    draw_hall(page, plan, i);
  }
  for (int air = 0; air < 4; air++)
    scheme_ducts(page, plan, (eb_air)air);
  if (plan->ducts)
    draw_unit(page, plan);
  draw_rooms(page, plan, EB_SUPPLY);
  draw_rooms(page, plan, EB_EXTRACT);
  write_legend(page, plan);
}

static double height(const cli_run *runs, size_t count, double width) {
  scheme_plan plan;
  (void)count;
  bool good = scheme_plan_of(&runs[0], width, &plan);
  double needed = good ? plan.height : 1;
  scheme_plan_free(&plan);
  return needed;
}

static void draw(canvas *page, canvas_box at, const cli_run *runs, size_t count) {
  scheme_plan plan;
  (void)count;
  if (scheme_plan_of(&runs[0], at.width, &plan)) {
    double scale = fmin(1, at.height / plan.height);
    cairo_save(page->cairo);
    cairo_translate(page->cairo, at.x + at.width * (1 - scale) / 2, at.y);
    cairo_scale(page->cairo, scale, scale);
    draw_all(page, &plan);
    cairo_restore(page->cairo);
  } else
    page->failed = true;
  scheme_plan_free(&plan);
}

static const char *lacks(const cli_run *runs, size_t count) {
  (void)count;
  return runs[0].rates->n_rooms == 0 ? "it has no rooms" : NULL;
}

const picture picture_scheme = {
    .name = "scheme",
    .title = "Air scheme",
    .about = "unit, ducts and rooms by storey, with flow, size and pressure of each run",
    .height = height,
    .lacks = lacks,
    .draw = draw,
};
