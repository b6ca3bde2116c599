/* air.h - a state of the air in a duct */

#ifndef EBI_AIR_H
#define EBI_AIR_H

#include "evenbreath.h"

#define EBI_AIR_GAS_CONSTANT 287.042 /* J/(kg K), dry air */
#define EBI_AIR_CP 1006.0            /* J/(kg K), dry air */

typedef struct ebi_air_state {
  double density;   /* kg/m3 */
  double viscosity; /* Pa s */
} ebi_air_state;

/* Dry air at a temperature [C] and pressure [Pa]. */
ebi_air_state ebi_air_at(double temperature_c, double pressure_pa);

/* The same with water vapour of a partial pressure [Pa] >= 0, no more than saturates it:
 * temperature -60..100 C. */
ebi_air_state ebi_air_moist_at(double temperature_c, double pressure_pa, double vapour_pa);

/* Temperature [C] of a surface on which air of a temperature (-60..100 C) and relative humidity
 * (> 0, to 1, over water, as instruments count it) begins to drop its water: dew point, at and
 * below 0.01 C frost point, which for wet air below 0 C is above its own temperature. NAN outside
 * and below -100 C. */
double ebi_dew_point(double temperature_c, double humidity);

#define EBI_GRAVITY 9.80665 /* m/s2, standard */

/* Pressure [Pa] by which air of a density in a riser that ends `rise` [m] above its start is
 * driven from start to end by air of another density around it: thermal gravity, ASHRAE HoF
 * 2021 ch. 21 eq. (14). A fan has that much less to do. */
double ebi_stack_pressure(double density_around, double density, double rise);

#endif
