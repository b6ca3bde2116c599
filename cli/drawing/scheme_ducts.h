/* scheme_ducts.h - the runs of the air scheme: lines as wide as their flow, with their figures */

#ifndef CLI_DRAWING_SCHEME_DUCTS_H
#define CLI_DRAWING_SCHEME_DUCTS_H

#include "drawing/pens.h"
#include "drawing/scheme_plan.h"

extern const canvas_font scheme_plain, scheme_bold, scheme_small;
extern const double scheme_ground; /* lightness of the bands */

/* Width of the line of a flow. */
double scheme_line(const scheme_plan *plan, double flow);

/* A line of that air with its arrow at the end, where `arrow` is asked for. */
void scheme_arrow(canvas *page, pen_air air, double width, double x1, double y1, double x2,
                  double y2);

/* All runs of one kind of air. */
void scheme_ducts(canvas *page, const scheme_plan *plan, eb_air air);

#endif
