/* sketch_tree.h - the points of a tree of ducts, each a square step from the one before it */

#ifndef EBI_DESIGN_SKETCH_TREE_H
#define EBI_DESIGN_SKETCH_TREE_H

#include "design/sketch.h"

#define EBI_SKETCH_NONE ((size_t)-1)

/* Along an axis, forward or back: 2 axis + 1 or 2 axis; none for a step of no length. */
#define EBI_NO_DIRECTION (-1)

typedef struct ebi_sketch_point {
  double at[3];
  size_t parent;
  int direction;            /* of the step from the parent */
  double step;              /* m */
  size_t first, last, next; /* children, and the next of its parent's */
  size_t n_children;
  const ebi_sketch_terminal *terminal; /* of a leaf, else NULL */
  double flow;                         /* m3/s beyond it */
  size_t size;                         /* of steel, not smaller than beyond it */
} ebi_sketch_point;

/* Points come after their parents; the first is the unit. */
typedef struct ebi_sketch_tree {
  ebi_sketch_point *points;
  size_t count, capacity;
} ebi_sketch_tree;

/* The tree becomes runs and tees. */
void ebi_sketch_tree_runs(ebi_sketching *sketching, const ebi_sketch_side *side,
                          const ebi_sketch_tree *tree);

#endif
