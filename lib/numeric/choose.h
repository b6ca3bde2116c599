/* choose.h - the cheapest choice of sizes on a tree, exactly
 *
 * Each edge has a list of sizes with a drop and a price. Air goes from the root
 * to every end of the tree; the pressure asked at the root is the largest sum
 * of drops along a way. Wanted: the least sum of prices plus `per_pa` times
 * that pressure.
 *
 * What happens below an edge matters above it only through the pressure asked
 * at its top, so a subtree is known by its frontier: the points (pressure,
 * price) of which no other is better in both. A leaf's frontier is its list;
 * subtrees that meet add their prices at the larger pressure; an edge above
 * shifts by each of its sizes. At the root the best point is the optimum, not
 * an approximation (dynamic programming after Bellman 1957; Pareto frontiers
 * as in own derivation, checked against exhaustive search). */

#ifndef EBI_CHOOSE_H
#define EBI_CHOOSE_H

#include "base/arena.h"
#include "evenbreath.h"

#define EBI_NO_EDGE ((size_t)-1)

typedef struct ebi_choice {
  double drop;  /* Pa, >= 0 or a regain < 0 */
  double price; /* money, >= 0 */
  double size;  /* rank for `never_larger` */
} ebi_choice;

typedef struct ebi_choice_edge {
  size_t parent;             /* an earlier edge, or EBI_NO_EDGE at the root */
  const ebi_choice *choices; /* size rising */
  size_t count;              /* >= 1 */
  double end;                /* Pa that the end of the way asks beyond it; < 0: the way goes on */
} ebi_choice_edge;

typedef struct ebi_choice_tree {
  const ebi_choice_edge *edges;
  size_t count;
  double per_pa;     /* money per Pa at the root, >= 0 */
  double most_pa;    /* the pressure may not be more; HUGE_VAL: any */
  bool never_larger; /* no edge may be larger than the one before it */
} ebi_choice_tree;

typedef struct ebi_chosen {
  double pressure, price, cost; /* at the root; cost = price + per_pa x pressure */
  size_t frontier;              /* points of the largest frontier met */
} ebi_chosen;

/* choice[i] is the chosen size of edge i. EB_E_NO_SOLUTION where most_pa (or
 * never_larger) cannot be met: chosen->pressure is then the least possible, or
 * HUGE_VAL; choice is that of the least pressure, where there is one. */
EB_MUST_USE eb_status ebi_choose(ebi_arena *scratch, const ebi_choice_tree *tree, size_t *choice,
                                 ebi_chosen *chosen);

#endif
