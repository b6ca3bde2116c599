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

/* As published, with its steps: for checking against the tables. */
ebi_tee_loss ebi_tee_diverging_published(const ebi_tee_shape *shape, double q);
ebi_tee_loss ebi_tee_converging_published(const ebi_tee_shape *shape, double q);

#endif
