/* network.h - nodes, parts and tees, and the solver for their flows
 *
 * One solver for ducts, fans, filters, valves, door gaps and leaks. Unknowns
 * are node pressures [Pa] and flows as volume at 1.2 kg/m3 ("ref", so that
 * the balance is in mass). The step is the global gradient method of Todini &
 * Pilati (1987); hanging trees are peeled leaf to root, tees among them
 * exactly; a looped core goes to CHOLMOD, with tees to KLU.
 *
 * A node either has a fixed pressure or an outflow (default 0; positive
 * leaves the network there). Each connected piece needs one fixed pressure. */

#ifndef EBI_NETWORK_H
#define EBI_NETWORK_H

#include "base/context.h"
#include "network/element.h"
#include "physics/losses.h"

typedef struct ebi_network ebi_network;
typedef size_t ebi_node;
typedef size_t ebi_part;
typedef size_t ebi_tee;

/* In an arena of its own; freed by ebi_network_free. NULL: memory. */
ebi_network *ebi_network_new(eb_context *context);
void ebi_network_free(ebi_network *network);

/* Names are for messages and must outlive the network. Functions that add
 * return (size_t)-1 when memory ran out. */
ebi_node ebi_network_node(ebi_network *network, const char *name);
void ebi_network_fix(ebi_network *network, ebi_node node, double pressure_pa);
void ebi_network_outflow(ebi_network *network, ebi_node node, double flow_ref);

/* Elements in series from `from` to `to`; they are copied. A part without
 * elements joins its nodes without loss (it gets a minute linear one). */
ebi_part ebi_network_part(ebi_network *network, const char *name, ebi_node from, ebi_node to,
                          ebi_air_state air, const ebi_element *elements, size_t count);

/* The elements of a part, to change between solves (openings, fan speed). */
ebi_element *ebi_network_elements(ebi_network *network, ebi_part part, size_t *count);

/* Gives a part or a tee air of another state. */
void ebi_network_part_air(ebi_network *network, ebi_part part, ebi_air_state air);
void ebi_network_tee_air(ebi_network *network, ebi_tee tee, ebi_air_state air);

/* What was measured of a part against what was calculated: its whole drop is multiplied by
 * `factor` > 0, and by (|q|/at)^exponent at flow q at 1.2 kg/m3 (at > 0, |exponent| < 1). */
void ebi_network_correct(ebi_network *network, ebi_part part, double factor, double exponent,
                         double at_ref);

/* Takes a part out of the next solves or puts it back. */
void ebi_network_close(ebi_network *network, ebi_part part, bool closed);

/* A tee: combined, straight and branch ports. */
ebi_tee ebi_network_tee(ebi_network *network, const char *name, ebi_node combined,
                        ebi_node straight, ebi_node branch, ebi_air_state air,
                        const ebi_tee_shape *shape);

typedef struct ebi_solution {
  const double *pressure; /* Pa, by node; NAN where isolated */
  const double *flow_ref; /* m3/s at 1.2, by part; 0 in closed and isolated parts */
  const double *tee_straight, *tee_branch; /* flow_ref from combined to that port, by tee */
  double residual_flow;                    /* worst unbalanced node, m3/s ref */
  double residual_pressure;                /* worst part or tee, Pa */
  int iterations;
  const char *worst; /* name of the node or part with the worst residual */
} ebi_solution;

/* Solves from a cold start. The arrays belong to the network and stand until
 * the next solve. EB_E_DIVERGED (with the residual in a diagnostic naming the
 * worst part) after 100 steps; EB_E_NO_SOLUTION where an outflow is asked of a
 * piece with no fixed pressure. Isolated parts without outflow are a warning
 * that names them. Converged: 1e-10 m3/s and 1e-8 Pa, or rounding. */
EB_MUST_USE eb_status ebi_network_solve(ebi_network *network, ebi_solution *solution);

#endif
