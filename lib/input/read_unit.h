/* read_unit.h - what the files that read a ventilation unit share */

#ifndef EBI_READ_UNIT_H
#define EBI_READ_UNIT_H

#include "input/load.h"

/* `fan:` and `fans:` of a unit (the record is an ebi_unit). */
void ebi_unit_read_fan(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_unit_read_fans(ebi_reader *reader, const ebi_yaml *value, void *record);

/* `exchanger:`, `bypass:` and `frost:` of a unit, likewise. */
void ebi_unit_read_exchanger(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_unit_read_bypass(ebi_reader *reader, const ebi_yaml *value, void *record);
void ebi_unit_read_frost(ebi_reader *reader, const ebi_yaml *value, void *record);

/* `sound:` of a unit, likewise. */
void ebi_unit_read_sound(ebi_reader *reader, const ebi_yaml *value, void *record);

/* What each of these holds. */
extern const ebi_field ebi_fan_form, ebi_fans_form, ebi_exchanger_form, ebi_bypass_form,
    ebi_frost_form, ebi_unit_sound_form;

#endif
