/* losses.h - coefficients of area changes and tees, from their formulas
 *
 * Each says on which velocity its coefficient stands. */

#ifndef EBI_LOSSES_H
#define EBI_LOSSES_H

/* Sudden expansion, on the small section: (1 - A1/A2)^2. small <= large. */
double ebi_expansion_sudden(double small, double large);

/* Sudden contraction, on the small section: 0.5 (1 - A2/A1)^0.75. */
double ebi_contraction_sudden(double small, double large);

/* Conical expansion of total angle [degrees], on the small section. */
double ebi_expansion_conical(double small, double large, double angle);

/* Conical contraction of total angle [degrees] (180: a sudden one), on the small section. */
double ebi_contraction_conical(double small, double large, double angle);

/* Geometry of a tee or wye: areas [m2] of its three ducts, branch angle [degrees]. */
typedef struct ebi_tee_shape {
  double combined, straight, branch;
  double angle;
} ebi_tee_shape;

/* Coefficients of the two paths on the combined velocity and their derivatives
 * by q, the branch's share of the combined flow (0..1; continued smoothly
 * outside). Steps in the published coefficients are smoothed. */
typedef struct ebi_tee_loss {
  double straight, straight_slope;
  double branch, branch_slope;
} ebi_tee_loss;

ebi_tee_loss ebi_tee_diverging(const ebi_tee_shape *shape, double q);
ebi_tee_loss ebi_tee_converging(const ebi_tee_shape *shape, double q);

/* A bull-head: both sides of the run join into its branch, the stem. Here
 * `combined` is the stem's area, `straight` and `branch` those of the two sides;
 * q is the share of the side called branch. */
ebi_tee_loss ebi_tee_bull_head_converging(const ebi_tee_shape *shape, double q);

/* As published, with its steps: for checking against the tables. */
ebi_tee_loss ebi_tee_diverging_published(const ebi_tee_shape *shape, double q);
ebi_tee_loss ebi_tee_converging_published(const ebi_tee_shape *shape, double q);
ebi_tee_loss ebi_tee_bull_head_converging_published(const ebi_tee_shape *shape, double q);

#endif
