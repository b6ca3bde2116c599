/* damp.c - how strongly tees are damped
 *
 * The figures are found by trial on random networks and houses, of which with
 * these none fails (tests/bench/network_chance.c). */

#include "network/damp.h"

#include <math.h>

#define AT_START 2.0
#define AT_LEAST 0.02 /* less is none */

/* A tee at rest has inertia too: no velocity is taken for less than this. */
#define LEAST_VELOCITY 1.0 /* m/s */

/* From step to step damping goes with this power of the sum of squared lacks, within bounds. */
#define EASE_POWER 0.4
#define EASE_LEAST 0.3
#define EASE_MOST 4.0

/* After so many steps it chatters about a bend; then Newton has another try. */
#define STEPS_AT_MOST 10

ebi_damping ebi_damping_start(const ebi_topology *t) {
  return (ebi_damping){.now = t->core.n_tees > 0 ? AT_START : 0.0};
}

void ebi_damping_return(ebi_damping *damping, const ebi_network *network) {
  static const double strengths[] = {0.1, 0.5, 2.0, 8.0};
  if (network->n_tees > 0)
    *damping = (ebi_damping){.now = strengths[damping->returns % 4],
                             .returns = damping->returns + 1};
}

void ebi_damping_ease(ebi_damping *damping, double before, double after) {
  double ratio = isfinite(before) ? pow(after / before, EASE_POWER) : 1.0;
  damping->now *= fmin(fmax(ratio, EASE_LEAST), EASE_MOST);
  if (damping->now < AT_LEAST || ++damping->steps >= STEPS_AT_MOST)
    damping->now = 0.0;
}

void ebi_damp_tees(const ebi_network *network, ebi_topology *t, double damping) {
  for (ebi_place i = 0; i < network->n_tees; i++) {
    const ebi_net_tee *tee = ebi_tee_at(network, i);
    ebi_tee_work *w = &t->tee_work[i];
    double per_ref = ebi_per_ref(tee->air), s = w->flow[0], b = w->flow[1];
    double flow = per_ref * fmax(fmax(fabs(s), fabs(b)), fabs(s + b));
    flow = fmax(flow, LEAST_VELOCITY * tee->shape.combined);
    double by_area = damping * tee->air.density * flow * per_ref;
    w->slope[0][0] += by_area / (tee->shape.straight * tee->shape.straight);
    w->slope[1][1] += by_area / (tee->shape.branch * tee->shape.branch);
  }
}
