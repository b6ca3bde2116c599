/* unit_fan.h - a fan as physics wants it, from the data of a unit */

#ifndef EBI_UNIT_FAN_H
#define EBI_UNIT_FAN_H

#include "model/tables.h"
#include "physics/fan.h"

/* Power columns are of the fan alone. `outlet_area` [m2]: the velocity pressure
 * there is added to the curve; 0: the curve is taken as total pressure. NULL
 * when memory ran out. */
ebi_fan *ebi_unit_fan(ebi_arena *arena, const ebi_fan_data *data, double outlet_area);

#endif
