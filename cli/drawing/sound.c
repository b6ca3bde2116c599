/* sound.c - what is heard in each room at each level, against its limit */

#include <math.h>

#include "drawing/chart.h"
#include "drawing/grid.h"
#include "drawing/marks.h"
#include "drawing/pens.h"
#include "drawing/picture.h"

enum { ROOM, PLOT, LIMIT, FIRST_LEVEL };
static const double plot_least = 150, row_gap = 4, mark_size = 7;

/* ---- What is known ---- */

static size_t level_count(const eb_ducts *ducts) {
  size_t most = GRID_COLUMNS - FIRST_LEVEL;
  return ducts->n_levels < most ? ducts->n_levels : most;
}

static double sound_of(const eb_ducts *ducts, size_t level, size_t room) {
  const eb_room_sound *sounds = ducts->levels[level].sounds;
  return sounds ? sounds[room].total_db : (double)NAN;
}

static double limit_of(const eb_ducts *ducts, size_t level, size_t room) {
  const eb_room_sound *sounds = ducts->levels[level].sounds;
  return sounds ? sounds[room].limit_db : 0;
}

/* The limits of a room, the strictest first met; 0: none at any level. */
static double least_limit(const eb_ducts *ducts, size_t room) {
  double least = 0;
  for (size_t l = 0; l < ducts->n_levels; l++) {
    double limit = limit_of(ducts, l, room);
    if (limit > 0 && (least == 0 || limit < least))
      least = limit;
  }
  return least;
}

static bool known(const eb_ducts *ducts, size_t room) {
  for (size_t l = 0; l < ducts->n_levels; l++)
    if (isfinite(sound_of(ducts, l, room)))
      return true;
  return false;
}

/* By as much as makes a finding. */
static bool too_loud(const eb_ducts *ducts, size_t level, size_t room) {
  double limit = limit_of(ducts, level, room);
  return limit > 0 && sound_of(ducts, level, room) > limit + 0.05;
}

static bool any_too_loud(const eb_ducts *ducts, size_t room) {
  for (size_t l = 0; l < ducts->n_levels; l++)
    if (too_loud(ducts, l, room))
      return true;
  return false;
}

static chart_axis axis_of(const eb_ducts *ducts) {
  double most = 30;
  for (size_t r = 0; r < ducts->n_rooms; r++)
    for (size_t l = 0; l < ducts->n_levels; l++) {
      double heard = sound_of(ducts, l, r);
      most = fmax(most, fmax(isfinite(heard) ? heard : 0, limit_of(ducts, l, r)));
    }
  return chart_axis_over(0, most, 6);
}

/* ---- Rows ---- */

/* A rule may judge a room at one level only. */
static void print_limit(const eb_ducts *ducts, size_t room, grid_row *row) {
  double limit = least_limit(ducts, room);
  const char *only = NULL;
  size_t times = 0;
  for (size_t l = 0; l < ducts->n_levels; l++)
    if (limit_of(ducts, l, room) > 0 && times++ == 0)
      only = ducts->levels[l].name;
  if (limit <= 0)
    grid_print(row, LIMIT, "none");
  else if (times == 1 && ducts->n_levels > 1)
    grid_print(row, LIMIT, "%.0f at %.40s", limit, only);
  else
    grid_print(row, LIMIT, "%.0f", limit);
}

static grid_row row_of(const eb_ducts *ducts, size_t room) {
  grid_row row = {.text = {ducts->levels[0].rooms[room].name}, .bold = any_too_loud(ducts, room)};
  print_limit(ducts, room, &row);
  for (size_t l = 0; l < level_count(ducts); l++) {
    double heard = sound_of(ducts, l, room);
    if (isfinite(heard))
      grid_print(&row, FIRST_LEVEL + l, "%.0f%s", heard, too_loud(ducts, l, room) ? " !" : "");
    else
      grid_print(&row, FIRST_LEVEL + l, "-");
  }
  return row;
}

static grid_row head_of(const eb_ducts *ducts) {
  grid_row row = {.text = {"Room", NULL, "limit"}, .bold = true};
  for (size_t l = 0; l < level_count(ducts); l++)
    row.text[FIRST_LEVEL + l] = ducts->levels[l].name;
  return row;
}

static double lay_out(grid_sheet *grid, canvas *page, double width, const eb_ducts *ducts) {
  grid_row head = head_of(ducts);
  grid_begin(grid, page);
  grid_column(grid, GRID_NAME, 0);
  grid_column(grid, GRID_PLOT, plot_least);
  for (size_t c = LIMIT; c < FIRST_LEVEL + level_count(ducts); c++)
    grid_column(grid, GRID_RIGHT, 0);
  grid_widen_head(grid, &head);
  for (size_t r = 0; r < ducts->n_rooms; r++) {
    grid_row row = row_of(ducts, r);
    if (known(ducts, r))
      grid_widen(grid, &row);
  }
  return grid_place(grid, 0, width);
}

/* ---- Drawing ---- */

static void limit_bar(canvas *page, double x, double y, double height) {
  pen_grey(page, 0, 2.4);
  cairo_move_to(page->cairo, x, y);
  cairo_line_to(page->cairo, x, y + height);
  cairo_stroke(page->cairo);
  pen_plain(page);
}

/* Louder levels lie on quieter ones where they are the same: the first is drawn last and smallest,
 * so that each is seen. */
static void plot_room(const grid_sheet *grid, const chart_axis *axis, const eb_ducts *ducts,
                      size_t room, double y, double height) {
  canvas *page = grid->page;
  double x = grid->x[PLOT], width = grid->width[PLOT], limit = least_limit(ducts, room);
  if (limit > 0)
    limit_bar(page, chart_along(axis, x, width, limit), y + 1, height - 2);
  for (size_t l = level_count(ducts); l-- > 0;) {
    double heard = sound_of(ducts, l, room);
    if (!isfinite(heard))
      continue;
    if (too_loud(ducts, l, room))
      cairo_set_source_rgb(page->cairo, 0.75, 0.1, 0.1);
    else
      cairo_set_source_rgb(page->cairo, 0.10, 0.35, 0.80);
    mark_point(page, l, chart_along(axis, x, width, heard), y + height / 2, mark_size);
  }
  pen_plain(page);
}

static double rooms(const grid_sheet *grid, const eb_ducts *ducts, double y) {
  chart_axis axis = axis_of(ducts);
  double x = grid->x[PLOT], width = grid->width[PLOT], bottom = y;
  for (size_t r = 0; r < ducts->n_rooms; r++) {
    grid_row row = row_of(ducts, r);
    bottom += known(ducts, r) ? grid_row_height(grid, &row) + row_gap : 0;
  }
  double scale = chart_scale(grid->page, &axis, x, width, y, bottom);
  for (size_t r = 0; r < ducts->n_rooms; r++) {
    grid_row row = row_of(ducts, r);
    if (!known(ducts, r))
      continue;
    double height = grid_draw(grid, &row, y + row_gap / 2) + row_gap;
    plot_room(grid, &axis, ducts, r, y, height);
    y += height;
  }
  return bottom + scale;
}

static double legend_of(canvas *page, double width, double y, const eb_ducts *ducts) {
  mark_legend legend = legend_begin(page, 0, y, width);
  for (size_t l = 0; l < level_count(ducts); l++) {
    canvas_box room = legend_entry(&legend, ducts->levels[l].name);
    cairo_set_source_rgb(page->cairo, 0.10, 0.35, 0.80);
    mark_point(page, l, room.x + room.width / 2, room.y + room.height / 2, mark_size);
    pen_plain(page);
  }
  canvas_box room = legend_entry(&legend, "limit of the room");
  limit_bar(page, room.x + room.width / 2, room.y, room.height);
  room = legend_entry(&legend, "above it (red, and ! at its figure)");
  cairo_set_source_rgb(page->cairo, 0.75, 0.1, 0.1);
  mark_point(page, 0, room.x + room.width / 2, room.y + room.height / 2, mark_size);
  pen_plain(page);
  return y + legend_height(&legend) + 8;
}

static double show(canvas *page, double width, const cli_run *runs, size_t count) {
  const eb_ducts *ducts = runs[0].ducts;
  grid_sheet grid;
  (void)count;
  double scale = lay_out(&grid, page, width, ducts);
  cairo_save(page->cairo);
  cairo_scale(page->cairo, scale, scale);
  double y = legend_of(page, width / scale, 0, ducts);
  grid_row head = head_of(ducts);
  y += grid_draw_head(&grid, &head, y) + 2;
  grid_rule(&grid, y);
  y = rooms(&grid, ducts, y + 2) + 2;
  canvas_text(page, chart_plain, CANVAS_RIGHT, width / scale, y,
              "dB(A) in the room, furnished; fans and valves together");
  y += chart_line(page, chart_plain);
  cairo_restore(page->cairo);
  return y * scale;
}

static const char *lacks(const cli_run *runs, size_t count) {
  const eb_ducts *ducts = runs[0].ducts;
  (void)count;
  if (!ducts)
    return "it has no ducts";
  for (size_t r = 0; r < ducts->n_rooms; r++)
    if (known(ducts, r))
      return NULL;
  return "the sound of its unit is not known, so that of its rooms is not";
}

const picture picture_sound = {
    .name = "sound",
    .title = "Sound in the rooms",
    .about = "dB(A) in each room at each level, against its limit",
    .show = show,
    .lacks = lacks,
};
