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

#endif
