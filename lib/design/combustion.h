/* combustion.h - what burns indoors */

#ifndef EBI_COMBUSTION_H
#define EBI_COMBUSTION_H

#include "model/house.h"

/* True of what needs the air of its room to carry its fumes up a flue. */
bool ebi_burns_room_air(const ebi_appliance *appliance);

#endif
