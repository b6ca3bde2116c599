/* moist.h - what the pieces of moist air share: vapour at saturation, air that drops its water */

#ifndef EBI_MOIST_H
#define EBI_MOIST_H

#include "evenbreath.h"

#define EBI_TRIPLE_POINT 0.01     /* C; ice at and below it, water above */
#define EBI_VAPOUR_RATIO 0.621945 /* mass of a vapour molecule over the mean one of dry air */
#define EBI_VAPOUR_HEAT 2501e3    /* J/kg, of evaporation at 0 C */
#define EBI_VAPOUR_CP 1860.0      /* J/(kg K) */

/* Temperature [C] of water vapour of a pressure [Pa] at saturation: the inverse of
 * eb_vapour_saturation; NAN where it is not in -100..200 C. */
double ebi_saturation_temperature(double vapour_pa);

/* Pressure [Pa] of the vapour in air of a relative humidity (range of eb_humidity_ratio), NAN
 * outside. */
double ebi_vapour_pressure(double temperature_c, double humidity);

/* Humidity ratio [kg/kg] of saturated air; NAN from the boiling point on. */
double ebi_saturation_ratio(double temperature_c, double pressure_pa);

/* Temperature [C] of saturated air of a humidity ratio; -HUGE_VAL below -100 C, and in dry air. */
double ebi_dew_point_of_ratio(double humidity_ratio, double pressure_pa);

/* Air that has given off heat, and the water that dropped from it meanwhile. */
typedef struct ebi_cooled_air {
  double temperature_c, humidity_ratio;
  double frozen; /* share of the water that is ice, 0..1 */
} ebi_cooled_air;

/* Air of a state that gives off `heat` [J/kg dry air] >= 0: without water where it stays above its
 * dew point, else saturated, its water leaving at the temperature of its end. Ice forms where
 * that is below 0 C; at 0 C some of the water freezes. All NAN below -100 C. */
ebi_cooled_air ebi_cool_air(double temperature_c, double humidity_ratio, double heat,
                            double pressure_pa);

#endif
