/* read_octaves.h - figures by octave band: {columns: [Hz, dB], points: [[63, 58], ...]} */

#ifndef EBI_READ_OCTAVES_H
#define EBI_READ_OCTAVES_H

#include "input/load.h"

/* Sound power (unit dB, or dB(A) where the sheet weights its bands) or, where `is_loss`, an
 * insertion loss (dB, none below zero). Frequencies are middles of octaves from 63 to
 * 8000 Hz, rising. A power needs 125 to 4000 Hz; its missing ends take their neighbour's
 * figure. The missing bands of a loss are 0. False after an error. */
bool ebi_read_octaves(ebi_reader *reader, const ebi_yaml *value, bool is_loss,
                      ebi_octaves *octaves);

/* The loss of a metre of duct, columns [Hz, dB/m], likewise. */
bool ebi_read_octaves_per_length(ebi_reader *reader, const ebi_yaml *value, ebi_octaves *octaves);

extern const ebi_field ebi_octaves_form, ebi_octaves_per_length_form;

#endif
