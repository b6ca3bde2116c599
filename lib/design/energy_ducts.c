/* energy_ducts.c - what heat the ducts lose on their way, of the net of the solved ducts
 *
 * With V = c q, a ratio e and a loss Q of a run, the house's heating must add:
 *   supply run in the cold:       Q      (the rooms get it no more)
 *   extract run in the cold:      e Q    (of what the exchanger would have had, it gave back e)
 *   outdoor run among the rooms:  e Q    (the air comes warmer to the exchanger by Q/V, and to the
 *                                         rooms by (1 - e) Q/V)
 *   exhaust run among the rooms:  Q      (it leaves with the air)
 * Supply and extract runs among the rooms warm and cool what they pass; outdoor and exhaust runs
 * in the cold touch nothing that is heated. (Own calculation, balanced flows.) */

#include "design/energy.h"

#include <math.h>

#include "base/text.h"

#define LEAST_K 5.0 /* between indoors and outdoors, to tell anything by */

/* A run with a space of its own is not among the rooms, as the ducts' own findings have it. */
static bool in_the_cold(const ebi_run *run) {
  return run->space_temperature.given;
}

static const ebi_run *run_of_house(const eb_house *house, const char *name) {
  for (size_t i = 0; i < house->n_runs; i++)
    if (ebi_text_equal(house->runs[i].name, name))
      return &house->runs[i];
  return NULL;
}

/* One run's loss [W], in full and by the ratio. */
static void add_run(const ebi_run *run, double heat_w, double *lost, double *shared) {
  bool cold = in_the_cold(run);
  if (run->air == EB_SUPPLY && cold)
    *lost += heat_w;
  else if (run->air == EB_EXTRACT && cold)
    *shared += heat_w;
  else if (run->air == EB_OUTDOOR && !cold)
    *shared -= heat_w; /* it takes */
  else if (run->air == EB_EXHAUST && !cold)
    *lost -= heat_w;
}

static const eb_level_state *level_of_ducts(const eb_ducts *ducts, const char *name) {
  for (size_t i = 0; i < ducts->n_levels; i++)
    if (ebi_text_equal(ducts->levels[i].name, name))
      return &ducts->levels[i];
  return NULL;
}

/* Means over the hours of the levels. */
static void add_levels(ebi_energy_inputs *in, double difference_k) {
  double lost = 0.0, shared = 0.0;
  for (size_t l = 0; l < in->n_levels; l++) {
    const eb_level_state *state = level_of_ducts(in->ducts, in->levels[l].name);
    double share = in->levels[l].hours / 24.0;
    for (size_t i = 0; state != NULL && state->runs != NULL && i < in->ducts->n_runs; i++) {
      const ebi_run *run = run_of_house(in->house, in->ducts->runs[i].name);
      if (run != NULL)
        add_run(run, share * state->runs[i].heat_w, &lost, &shared);
    }
  }
  in->duct_lost_w_k = lost / difference_k;
  in->duct_shared_w_k = shared / difference_k;
}

void ebi_energy_ducts(ebi_energy_inputs *in) {
  const eb_house *house = in->house;
  if (in->ducts == NULL || in->ducts->n_runs == 0)
    return;
  double difference = in->indoor_c - house->outdoor.value;
  if (!house->outdoor.given)
    ebi_diag(in->context, EB_NOTE, "duct-loss-unknown", house->where, NULL,
             "heat that the ducts lose is not counted: it is known where the ducts are solved "
             "with a temperature outdoors, as `site: {outdoor: 0 C}`");
  else if (difference < LEAST_K)
    ebi_diag(in->context, EB_NOTE, "duct-loss-unknown", house->outdoor.where, NULL,
             "heat that the ducts lose is not counted: the ducts are solved at %g C outdoors, too "
             "near the %g C indoors to tell it; give a winter's temperature",
             house->outdoor.value, in->indoor_c);
  else
    add_levels(in, difference);
}
