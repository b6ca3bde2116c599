/* network_help.h - building small networks in tests */

#ifndef NETWORK_HELP_H
#define NETWORK_HELP_H

#include "network/network.h"

extern eb_context *net_context;
extern ebi_network *net;
extern const ebi_air_state net_air;

/* A checked fixture: a context and an empty network. */
void net_setup(void);
void net_teardown(void);

ebi_node net_node(const char *name);
ebi_node net_fixed(const char *name, double pressure);
ebi_part net_join(const char *name, ebi_node from, ebi_node to, ebi_element element);

/* A round duct of 0.09 mm roughness with a local loss; both laws at net_air. */
ebi_part net_duct(const char *name, ebi_node from, ebi_node to, double bore, double length,
                  double zeta);
ebi_element net_power(double drop, double at, double exponent);
ebi_element net_valve(double k);

/* A fan that falls from `top` Pa to nothing at `most` m3/s, by the square. */
ebi_element net_fan(double top, double most);

/* Solves, expects success, and checks each residual against the laws themselves. */
ebi_solution net_solve(void);

/* The first diagnostic's code, "" where there is none. */
const char *net_diagnostic(void);

#endif
