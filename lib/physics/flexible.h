/* flexible.h - what flexible duct loses that is not fully stretched */

#ifndef EBI_FLEXIBLE_H
#define EBI_FLEXIBLE_H

#include <stdbool.h>

/* Factor of the friction of the same length of it fully stretched. `stretched` is the length
 * laid over the length fully stretched (0..1], `bore` in m. */
double ebi_flexible_factor(double stretched, double bore);

/* False where that factor is carried on beyond what was measured. */
bool ebi_flexible_measured(double stretched, double bore);

#endif
