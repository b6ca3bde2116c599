/* layout.h - small networks of one air, built and solved by the methods of case rows
 *
 * Nodes are numbers from 0. Flows are of actual volume [m3/s]. Running out of memory aborts. */

#ifndef LAYOUT_H
#define LAYOUT_H

#include "network/network.h"

typedef struct layout {
  eb_context *context;
  ebi_network *network;
  ebi_air_state air;
} layout;

layout layout_new(int nodes, double density, double viscosity);
void layout_free(layout *l);

void layout_fix(layout *l, int node, double pressure);

/* What a node gives away, positive outward. */
void layout_asks(layout *l, int node, double flow);

ebi_part layout_part(layout *l, int from, int to, const ebi_element *elements, size_t count);

/* A round duct with a local loss. */
ebi_part layout_duct(layout *l, int from, int to, double bore, double length, double roughness,
                     double zeta);

/* drop [Pa] at 1 m3/s, by the square */
ebi_part layout_square(layout *l, int from, int to, double drop);

/* Solves; flows of the first n parts and pressures of the first m nodes, either may be NULL. */
eb_status layout_solve(layout *l, int n, double *flows, int m, double *pressures);

/* The same for flows alone, and frees. */
eb_status layout_flows(layout *l, int n, double *flows);

/* A fan of one curve [m3/s, Pa, W] at a share of its top speed; power may be NULL. */
ebi_fan *layout_fan(layout *l, double speed, const double *flow, const double *pressure,
                    const double *power, size_t count);

ebi_element layout_element_duct(ebi_section section, double length, double roughness);
ebi_element layout_element_loss(double area, double zeta);
ebi_element layout_element_fan(const ebi_fan *fan, double speed);

#endif
