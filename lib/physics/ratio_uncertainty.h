/* ratio_uncertainty.h - how sure what an exchanger lets go is */

#ifndef EBI_RATIO_UNCERTAINTY_H
#define EBI_RATIO_UNCERTAINTY_H

/* Uncertainty of 1 - ratio, the share of the heat that is still lost, as a share of it: the same
 * 0.02 is little of a ratio of 0.85 and much of the 0.15 beside it. ratio < 1, u >= 0; else NAN. */
double ebi_residual_uncertainty(double ratio, double u);

#endif
