/* law.h - drops of parts and tees at reference flows, and where a solve starts
 *
 * Reference flows are volumes at 1.2 kg/m3: the actual flow is greater by
 * 1.2/density. */

#ifndef EBI_LAW_H
#define EBI_LAW_H

#include "network/network_data.h"
#include "network/tee_law.h"

/* Sum over the elements that the air passes. */
ebi_drop ebi_part_drop(const ebi_net_part *part, double flow_ref);

/* A drop with the exponent that was measured: times (|q|/at)^exponent, |q| rounded off at rest. */
ebi_drop ebi_part_bent(const ebi_net_part *part, ebi_drop drop, double flow_ref);

/* A first flow: 1 m/s in the first duct or opening of the part; without one,
 * the stated flow of a power law or a valve's flow at 1 Pa; else 30 l/s. */
double ebi_part_start(const ebi_net_part *part);

/* Coefficients on both paths, and a minute linear drop, so that a tee at rest
 * has a slope. */
ebi_tee_drop ebi_net_tee_drops(const ebi_net_tee *tee, double straight_ref, double branch_ref);

#endif
