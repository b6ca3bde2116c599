/* scheme_plan.h - where everything of the air scheme lies, before anything is drawn
 *
 *      tree      room       middle       room     tree
 *                +--------- outdoors ----------+           rows of outdoor and exhaust runs
 *    +---------- +----------- unit ------------+ ---------+
 *    |                                                    |
 *    +--tee----> [living]->            ->[kitchen] ---tee-+ a band for each storey,
 *        +-----> [bed]   ->   [hall]   ->[bath] ------+     supply left, extract right
 */

#ifndef CLI_DRAWING_SCHEME_PLAN_H
#define CLI_DRAWING_SCHEME_PLAN_H

#include "drawing/canvas.h"
#include "drawing/duct_tree.h"
#include "drawing/picture.h"

/* Of a drawing so wide. */
typedef struct scheme_plan {
  const eb_rates *rates;
  const eb_ducts *ducts;       /* NULL: rooms alone */
  const eb_level_state *level; /* that is shown; NULL without ducts */
  const cli_units *units;
  tree_bands bands;
  tree_bands outside;         /* one band, of the outdoor and exhaust runs */
  duct_tree trees[4];         /* by eb_air */
  double width, height;       /* of it all */
  double step;                /* between tracks */
  double tree, room, middle;  /* widths of columns */
  double outdoors, unit;      /* tops; the unit's is where the bands begin without ducts */
  double *band, *band_height; /* tops of bands */
  double legend;              /* its top */
  double most;                /* largest flow there is, m3/s */
} scheme_plan;

enum { SCHEME_ROW = 28, SCHEME_HEAD = 22, SCHEME_UNIT = 46, SCHEME_BAND = 14, SCHEME_LEGEND = 44 };

/* False where memory ran out; free it either way. */
bool scheme_plan_of(const cli_run *run, double width, scheme_plan *plan);
void scheme_plan_free(scheme_plan *plan);

/* Extract and exhaust stand on the right: mirrored. */
bool scheme_right(eb_air air);
double scheme_x(const scheme_plan *plan, eb_air air, double from_border);

/* Middle of a run's row, and the point of the unit where its side of the tree begins. */
double scheme_row_y(const scheme_plan *plan, eb_air air, const tree_run *run);
double scheme_unit_y(const scheme_plan *plan, eb_air air);

/* Of a track, from the border of the drawing. */
double scheme_track(const scheme_plan *plan, size_t track);

/* What flows in a run, and what a room gets or gives at the level shown, m3/s. */
double scheme_run_flow(const scheme_plan *plan, const tree_run *run);
double scheme_room_flow(const scheme_plan *plan, size_t room, bool supply);

#endif
