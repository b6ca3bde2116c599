/* friction.h - the Darcy friction factor over all regimes, with its derivative
 *
 * Laminar to Re 2000, Colebrook-White from Re 4000. Between them ln f is a
 * cubic in ln Re with the values and slopes of both ends, so f has one
 * continuous derivative everywhere. Pressure goes with f Re^2; in logarithms
 * its slope is 1 at the laminar end, below 2 at the other, and between 1.6
 * and 4 on average, which keeps it rising (Fritsch & Carlson 1980: a cubic is
 * monotone where no end slope is above three times the mean slope). */

#ifndef EBI_FRICTION_H
#define EBI_FRICTION_H

#define EBI_REYNOLDS_LAMINAR 2000.0
#define EBI_REYNOLDS_TURBULENT 4000.0

/* f at reynolds > 0, roughness/diameter 0..0.05 and laminar f Re 40..100 (not
 * checked); *slope is df/dRe, slope may be NULL. */
double ebi_friction(double reynolds, double relative_roughness, double laminar, double *slope);

#endif
