/* air_quality.h - carbon dioxide that people give off */

#ifndef EBI_AIR_QUALITY_H
#define EBI_AIR_QUALITY_H

#include <stdbool.h>

#include "evenbreath.h"

/* Basal metabolism [MJ/day] of a person from mass [kg] > 0 and age [years] >= 0 (Schofield 1985,
 * from memory). */
double ebi_basal_metabolism(double mass_kg, double age, bool female);

/* Carbon dioxide [m3/s] given off: respiratory quotient > 0 (0.85 on a usual diet), basal
 * metabolism [MJ/day] > 0, activity [met] > 0, air [C, Pa]. Persily & de Jonge 2017, Indoor Air
 * 27, 868-879 (formula from memory). */
double ebi_co2_generation(double quotient, double basal_mj_day, double met, double temperature_c,
                          double pressure_pa);

/* The older form by body surface [m2] > 0 (about 1.8), activity [met] > 0 and respiratory quotient
 * > 0 (0.83), ASTM D6245 (from memory). It gives some tenth more. */
double ebi_co2_generation_by_surface(double surface_m2, double met, double quotient);

#endif
