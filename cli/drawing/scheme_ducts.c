/* scheme_ducts.c - tracks, turns and ends of the runs, and what is written at them */

#include "drawing/scheme_ducts.h"

#include <math.h>
#include <string.h>

const canvas_font scheme_plain = {.size = 7.5}, scheme_bold = {.size = 8, .bold = true},
                  scheme_small = {.size = 7};
const double scheme_ground = 0.95;

/* ---- Lines ---- */

double scheme_line(const scheme_plan *plan, double flow) {
  return 1.2 + 4.3 * sqrt(flow / plan->most);
}

static void line(canvas *page, double x1, double y1, double x2, double y2) {
  cairo_move_to(page->cairo, x1, y1);
  cairo_line_to(page->cairo, x2, y2);
  cairo_stroke(page->cairo);
}

/* The index run is outlined; a line that passes over others keeps them off. */
typedef struct duct_line {
  double x1, y1, x2, y2, width;
  bool index;
} duct_line;

static void draw_outline(canvas *page, const duct_line *d) {
  if (!d->index)
    return;
  pen_grey(page, 0, d->width + 3.4);
  line(page, d->x1, d->y1, d->x2, d->y2);
  pen_grey(page, 1, d->width + 1.8);
  line(page, d->x1, d->y1, d->x2, d->y2);
}

static void draw_line(canvas *page, pen_air air, const duct_line *d) {
  pen_take(page, air, d->width);
  line(page, d->x1, d->y1, d->x2, d->y2);
}

static void head(canvas *page, double x, double y, double dx, double dy, double size) {
  cairo_t *c = page->cairo;
  cairo_move_to(c, x, y);
  cairo_line_to(c, x - size * dx + 0.55 * size * dy, y - size * dy - 0.55 * size * dx);
  cairo_line_to(c, x - size * dx - 0.55 * size * dy, y - size * dy + 0.55 * size * dx);
  cairo_close_path(c);
  cairo_fill(c);
}

void scheme_arrow(canvas *page, pen_air air, double width, double x1, double y1, double x2,
                  double y2) {
  double length = hypot(x2 - x1, y2 - y1), size = 4 + width;
  if (!(length > 0))
    return;
  double dx = (x2 - x1) / length, dy = (y2 - y1) / length;
  pen_take(page, air, width);
  line(page, x1, y1, x2 - 0.8 * size * dx, y2 - 0.8 * size * dy);
  head(page, x2, y2, dx, dy, size);
}

/* ---- Tracks ---- */

/* What flows in a track beyond a row, and whether the index run does. */
static double flow_beyond(const scheme_plan *plan, const duct_tree *tree, size_t parent,
                          size_t order, bool *index) {
  double sum = 0;
  for (size_t i = 0; i < tree->count; i++)
    if (tree->runs[i].parent == parent && tree->runs[i].order > order) {
      sum += scheme_run_flow(plan, &tree->runs[i]);
      *index = *index || tree->runs[i].index;
    }
  return sum;
}

/* The next run that turns off the track of `parent` beyond the row of that order; NULL: none.
 * `first`: that row counts too. */
static const tree_run *next_turn(const duct_tree *tree, size_t parent, size_t order, bool first) {
  const tree_run *next = NULL;
  for (size_t i = 0; i < tree->count; i++) {
    const tree_run *run = &tree->runs[i];
    if (run->parent == parent && (run->order > order || (first && run->order == order)) &&
        (!next || run->order < next->order))
      next = run;
  }
  return next;
}

/* The piece of a track up to the row of `turn`; corners are filled. */
static duct_line track_piece(const scheme_plan *plan, eb_air air, const tree_run *turn, double x,
                             double y) {
  const duct_tree *tree = &plan->trees[air];
  bool index = turn->index;
  double to = scheme_row_y(plan, air, turn), down = to > y ? 1 : -1;
  double flow =
      scheme_run_flow(plan, turn) + flow_beyond(plan, tree, turn->parent, turn->order, &index);
  double width = scheme_line(plan, flow);
  bool last = !next_turn(tree, turn->parent, turn->order, false);
  double corner = last && turn->leaf ? scheme_line(plan, scheme_run_flow(plan, turn)) / 2 : 0;
  return (duct_line){x, y, x, to + down * corner, width, index};
}

/* A track in pieces, each as wide as what still flows in it. */
static void draw_track(canvas *page, const scheme_plan *plan, eb_air air, size_t parent,
                       bool outline) {
  const duct_tree *tree = &plan->trees[air];
  bool unit = parent == TREE_UNIT, first = unit;
  const tree_run *own = unit ? NULL : &tree->runs[parent];
  double x = scheme_x(plan, air, scheme_track(plan, own ? own->track : 0));
  double y = own ? scheme_row_y(plan, air, own) : scheme_unit_y(plan, air);
  size_t order = own ? own->order : 0;
  for (const tree_run *turn; (turn = next_turn(tree, parent, order, first)); first = false) {
    duct_line piece = track_piece(plan, air, turn, x, y);
    if (unit && first) /* the corner at the unit */
      piece.y1 += (piece.y2 > y ? -0.5 : 0.5) * (piece.width + (piece.index ? 3.4 : 0));
    if (outline)
      draw_outline(page, &piece);
    else
      draw_line(page, (pen_air)air, &piece);
    y = scheme_row_y(plan, air, turn);
    order = turn->order;
  }
}

/* ---- Rows ---- */

static double turns_at(const scheme_plan *plan, eb_air air, const tree_run *run) {
  size_t parent = run->parent;
  size_t track = parent == TREE_UNIT ? 0 : plan->trees[air].runs[parent].track;
  return scheme_track(plan, track);
}

static bool goes_on(const scheme_plan *plan, eb_air air, const tree_run *run) {
  return !run->leaf && turns_at(plan, air, run) == scheme_track(plan, run->track);
}

/* Rooms without ducts get a short arrow. */
static double begins_at(const scheme_plan *plan, eb_air air, const tree_run *run) {
  return run->run == TREE_UNIT ? plan->tree - 70 : turns_at(plan, air, run);
}

static double row_width(const scheme_plan *plan, const tree_run *run, bool supply) {
  double flow = run->run == TREE_UNIT ? scheme_room_flow(plan, run->room, supply)
                                      : scheme_run_flow(plan, run);
  return scheme_line(plan, flow);
}

static duct_line row_line(const scheme_plan *plan, eb_air air, const tree_run *run) {
  double y = scheme_row_y(plan, air, run);
  double end = run->leaf ? plan->tree : scheme_track(plan, run->track);
  return (duct_line){
      scheme_x(plan, air, begins_at(plan, air, run)), y,         scheme_x(plan, air, end), y,
      row_width(plan, run, !scheme_right(air)),       run->index};
}

/* Where it crosses tracks of others it bridges them: they stop short of it. */
static void bridge(canvas *page, const duct_line *d, double toward) {
  pen_grey(page, scheme_ground, d->width + 5);
  line(page, d->x1 + toward * 5, d->y1, d->x2 - toward * 5, d->y2);
}

/* The air's way along a row: away from the unit or to it. */
static bool outward(eb_air air) {
  return air == EB_SUPPLY || air == EB_EXHAUST;
}

/* A run that closes a ring may carry air against the way it is written. */
static bool flows_outward(const scheme_plan *plan, eb_air air, const tree_run *run) {
  if (run->run == TREE_UNIT)
    return outward(air);
  bool written = strcmp(plan->ducts->runs[run->run].to, run->outer) == 0;
  return written == (plan->level->runs[run->run].flow_m3_s >= 0);
}

static void draw_row(canvas *page, const scheme_plan *plan, eb_air air, const tree_run *run) {
  if (goes_on(plan, air, run))
    return;
  duct_line d = row_line(plan, air, run);
  double toward = d.x2 > d.x1 ? 1 : -1, size = 5 + d.width;
  const duct_tree *tree = &plan->trees[air];
  bool out = run->leaf && flows_outward(plan, air, run);
  if (scheme_track(plan, duct_tree_tracks_at(tree, run->order)) > begins_at(plan, air, run))
    bridge(page, &d, toward);
  if (out)
    d.x2 -= toward * 0.8 * size;
  draw_outline(page, &d);
  draw_line(page, (pen_air)air, &d);
  if (out)
    head(page, d.x2 + toward * 0.8 * size, d.y1, toward, 0, size);
  else if (run->leaf)
    head(page, d.x2 - toward * 4 - toward * size, d.y1, -toward, 0, size);
}

static void draw_meeting(canvas *page, const scheme_plan *plan, eb_air air, const tree_run *run) {
  if (run->leaf)
    return;
  pen_plain(page);
  cairo_arc(page->cairo, scheme_x(plan, air, scheme_track(plan, run->track)),
            scheme_row_y(plan, air, run), 3.2, 0, 2 * acos(-1));
  cairo_fill(page->cairo);
}

/* ---- Words ---- */

static void print_size(const scheme_plan *plan, const eb_run_info *info, char text[48]) {
  const cli_unit *bore = &plan->units->bore;
  char tubes[16] = "";
  if (info->parallel > 1)
    snprintf(tubes, sizeof tubes, "%d × ", info->parallel);
  if (info->bore_m > 0)
    snprintf(text, 48, "%s%.*f %s", tubes, bore->decimals, unit_value(bore, info->bore_m),
             bore->name);
  else
    snprintf(text, 48, "%s%.*f×%.*f %s", tubes, bore->decimals, unit_value(bore, info->width_m),
             bore->decimals, unit_value(bore, info->height_m), bore->name);
}

/* Flow, size and loss; without the size where there is no room for it. */
static void print_figures(canvas *page, const scheme_plan *plan, const tree_run *run, double width,
                          char text[160]) {
  const cli_unit *flow = &plan->units->flow, *pressure = &plan->units->pressure;
  const eb_run_state *state = &plan->level->runs[run->run];
  char size[48], head[48], tail[48];
  print_size(plan, &plan->ducts->runs[run->run], size);
  snprintf(head, sizeof head, "%.*f %s", flow->decimals, unit_value(flow, state->flow_m3_s),
           flow->name);
  snprintf(tail, sizeof tail, "%.*f %s", pressure->decimals, unit_value(pressure, state->total_pa),
           pressure->name);
  snprintf(text, 160, "%s, %s, %s", head, size, tail);
  double natural, height;
  canvas_measure(page, scheme_small, text, &natural, &height);
  if (natural > width)
    snprintf(text, 160, "%s, %s", head, tail);
}

/* Beside all that passes its row, up to the arrow at the room. */
static void write_row(canvas *page, const scheme_plan *plan, eb_air air, const tree_run *run) {
  const duct_tree *tree = &plan->trees[air];
  size_t track = duct_tree_tracks_at(tree, run->order);
  double from = scheme_track(plan, track) + 8, width = plan->tree - 14 - from;
  double x = scheme_x(plan, air, from), y = scheme_row_y(plan, air, run);
  canvas_anchor anchor = scheme_right(air) ? CANVAS_RIGHT : CANVAS_LEFT;
  char figures[160];
  print_figures(page, plan, run, width, figures);
  pen_plain(page);
  double above = run->leaf ? 13.5 : 10.5, below = run->leaf ? 3.5 : 0.5;
  canvas_text_within(page, run->index ? scheme_bold : scheme_plain, anchor, x, y - above, width,
                     plan->ducts->runs[run->run].name);
  canvas_text_within(page, scheme_small, anchor, x, y + below, width, figures);
}

static void write_room_flow(canvas *page, const scheme_plan *plan, eb_air air,
                            const tree_run *run) {
  const cli_unit *flow = &plan->units->flow;
  double x = scheme_x(plan, air, plan->tree - 70), y = scheme_row_y(plan, air, run);
  char text[48];
  snprintf(text, sizeof text, "%.*f %s", flow->decimals,
           unit_value(flow, scheme_room_flow(plan, run->room, air == EB_SUPPLY)), flow->name);
  pen_plain(page);
  canvas_text(page, scheme_plain, scheme_right(air) ? CANVAS_RIGHT : CANVAS_LEFT, x, y - 13.5,
              text);
}

/* ---- The whole ---- */

/* Between the unit and its own track. */
static duct_line spigot_line(const scheme_plan *plan, eb_air air) {
  const duct_tree *tree = &plan->trees[air];
  const tree_run *first = next_turn(tree, TREE_UNIT, 0, true);
  bool index = first->index;
  double flow =
      scheme_run_flow(plan, first) + flow_beyond(plan, tree, TREE_UNIT, first->order, &index);
  double width = scheme_line(plan, flow), y = scheme_unit_y(plan, air);
  double far = scheme_x(plan, air, scheme_track(plan, 0) - width / 2 - (index ? 1.7 : 0));
  return (duct_line){scheme_x(plan, air, plan->tree), y, far, y, width, index};
}

/* With its arrow and the letters of the air. */
static void draw_spigot(canvas *page, const scheme_plan *plan, eb_air air) {
  duct_line d = spigot_line(plan, air);
  double middle = scheme_x(plan, air, 0.6 * plan->tree), toward = d.x1 > d.x2 ? 1 : -1;
  bool in = air == EB_OUTDOOR || air == EB_EXTRACT;
  double size = 5 + d.width, y = d.y1;
  draw_line(page, (pen_air)air, &d);
  head(page, d.x1 - toward * (in ? 0 : 4 + size), y, in ? toward : -toward, 0, size);
  pen_grey(page, 1, 1);
  cairo_rectangle(page->cairo, middle - 14, y - 6.5, 28, 13);
  cairo_fill(page->cairo);
  pen_plain(page);
  canvas_text(page, scheme_bold, CANVAS_MIDDLE, middle, y - 5, pen_letters((pen_air)air));
}

static void draw_tracks(canvas *page, const scheme_plan *plan, eb_air air, bool outline) {
  const duct_tree *tree = &plan->trees[air];
  draw_track(page, plan, air, TREE_UNIT, outline);
  for (size_t i = 0; i < tree->count; i++)
    if (!tree->runs[i].leaf)
      draw_track(page, plan, air, i, outline);
}

void scheme_ducts(canvas *page, const scheme_plan *plan, eb_air air) {
  const duct_tree *tree = &plan->trees[air];
  if (plan->ducts && tree->count > 0) {
    duct_line spigot = spigot_line(plan, air);
    draw_outline(page, &spigot);
    draw_tracks(page, plan, air, true);
    draw_tracks(page, plan, air, false);
    draw_spigot(page, plan, air);
  }
  for (size_t i = 0; i < tree->count; i++)
    draw_row(page, plan, air, &tree->runs[i]);
  for (size_t i = 0; i < tree->count; i++) {
    draw_meeting(page, plan, air, &tree->runs[i]);
    if (plan->ducts)
      write_row(page, plan, air, &tree->runs[i]);
    else
      write_room_flow(page, plan, air, &tree->runs[i]);
  }
}
