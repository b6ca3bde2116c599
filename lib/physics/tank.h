/* tank.h - a tank of hot water and what heats it */

#ifndef EBI_TANK_H
#define EBI_TANK_H

#include <stddef.h>

#define EBI_WATER_HEAT                                                                             \
  4.1868e6 /* J/(m3 K): 1.163 Wh/(l K), a litre as a kilogram; 1.4 % less at 50 C */

/* Health and Safety Executive (United Kingdom), hot and cold water systems: against legionella the
 * store is at this temperature or above. */
#define EBI_STORE_C 60.0

/* Ratio of heat to electricity at temperatures of the tank, rising; straight between them, constant
 * beyond. One point or more. */
typedef struct ebi_ratio_point {
  double tank_c, ratio;
} ebi_ratio_point;

/* Well mixed, heated by a heat pump of constant electric power. */
typedef struct ebi_tank {
  double volume; /* m3 > 0 */
  double power;  /* W > 0 */
  double loss;   /* W >= 0, standing */
  double draw;   /* m3/s >= 0 of hot water that is replaced cold meanwhile */
  double cold_c; /* of that */
  const ebi_ratio_point *ratios;
  size_t n_ratios;
} ebi_tank;

typedef struct ebi_tank_run {
  double seconds;       /* NAN where it is never reached */
  double electricity_j; /* of the heat pump */
  double heat_j;        /* it gives to the tank */
  double stands_c;      /* temperature at which losses and draw hold it; NAN where they do not */
} ebi_tank_run;

double ebi_tank_ratio(const ebi_tank *tank, double tank_c);

/* Heating from one temperature to a higher one: exact, since ratio, loss and draw are straight
 * lines of the temperature between the points. */
ebi_tank_run ebi_tank_heat(const ebi_tank *tank, double from_c, double to_c);

/* Heat [J] between two temperatures of its water. */
double ebi_tank_content(double volume_m3, double from_c, double to_c);

#endif
