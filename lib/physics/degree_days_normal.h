/* degree_days_normal.h - degree-days where daily temperatures are spread normally */

#ifndef EBI_DEGREE_DAYS_NORMAL_H
#define EBI_DEGREE_DAYS_NORMAL_H

/* Degree-days [K day] below `base_c` of a month of `days` days, of mean `mean_c` and standard
 * deviation `spread_k` > 0 of its daily means. */
double ebi_degree_days_normal(double base_c, double mean_c, double days, double spread_k);

/* The standard deviation [K] that goes with k [1/K] of the monthly form (ISO 15927-6 in
 * ASHRAE HoF 2021 ch. 14 eq. 39): sqrt(2 pi)/k; and the k that goes with a deviation. */
double ebi_degree_days_spread(double k);

#endif
