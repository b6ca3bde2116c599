/* laws.h - the pressure laws of all parts at once
 *
 * Most parts are square losses and one duct in turbulent flow. What these come
 * to is put together once a solve, and then taken for many parts in one loop;
 * where a part has other elements, or flow so slow that another law holds, its
 * elements are asked one by one. */

#ifndef EBI_LAWS_H
#define EBI_LAWS_H

#include "network/network_data.h"

/* What is summed over all slots. */
typedef struct ebi_law_sums {
  double norm;  /* of squared lacks */
  double worst; /* lack, Pa */
  double greatest_flow, greatest_drop;
  double moved; /* greatest change of a 1/sqrt(f) */
} ebi_law_sums;

/* How many blocks of laws all slots fill; arrays by slot have room for as many lanes. */
size_t ebi_laws_blocks(const ebi_topology *topology);

/* From the elements as they are now; each 1/sqrt(f) starts anew. */
void ebi_laws_compile(const ebi_network *network, ebi_topology *topology);

/* At the present flows: takes each drop off `lack`, which holds the pressure
 * differences, and fills `slope`. */
ebi_law_sums ebi_laws_take(const ebi_network *network, ebi_topology *topology);

#endif
