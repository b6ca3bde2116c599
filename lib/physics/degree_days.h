/* degree_days.h - how fast degree-days rise with their base: the days below it
 *
 * The slope by the base of each rule of evenbreath_physics.h. The arguments are
 * those of its degree-days and in their range. */

#ifndef EBI_DEGREE_DAYS_H
#define EBI_DEGREE_DAYS_H

double ebi_days_below_monthly(double base_c, double mean_c, double days, double k);
double ebi_days_below_normal(double base_c, double mean_c, double days, double deviation_k);
double ebi_days_below_erbs(double base_c, double mean_c, double days, double yearly_deviation_k);

/* Part of a day: 0, 1/4, 3/4 or 1. */
double ebi_days_below_min_max(double base_c, double max_c, double min_c);

/* Standard deviation [K] of the days that the rule of Erbs, Klein and Beckman takes; not above 0
 * beyond its range. */
double ebi_erbs_deviation(double mean_c, double days, double yearly_deviation_k);

#endif
