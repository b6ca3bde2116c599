/* energy_unbalance.c - by how much supply and extract differ, as read on site
 *
 * The totals of each side in mass: of all its terminals where each was read, else as the unit or
 * a traverse shows them. A vane reads what flows; orifice, pitot and thermal instruments are
 * calibrated at 1.2 kg/m3 (commissioning practice). */

#include "design/energy.h"

#include <math.h>

#include "base/text.h"
#include "model/readings.h"

typedef struct totals {
  double supply, extract; /* kg/s, or m3/s of one density; NAN where not read */
} totals;

static double mass(const ebi_round *round, double flow, double density) {
  switch (round->instrument.kind) {
  case EBI_INSTRUMENT_PRESSURE:
    return flow * sqrt(EB_REFERENCE_DENSITY * density);
  case EBI_INSTRUMENT_THERMAL:
    return flow * EB_REFERENCE_DENSITY;
  case EBI_INSTRUMENT_VANE:
    break;
  }
  return flow * density;
}

/* Mean of the readings of a terminal; NAN where there is none. */
static double reading_of(const ebi_round *round, size_t run) {
  for (size_t i = 0; i < round->n_terminals; i++) {
    const ebi_terminal_reading *terminal = &round->terminals[i];
    double sum = 0.0;
    if (terminal->run != run || terminal->n_flows == 0)
      continue;
    for (size_t j = 0; j < terminal->n_flows; j++)
      sum += terminal->flows[j];
    return sum / (double)terminal->n_flows;
  }
  return NAN;
}

static bool is_room(const eb_house *house, const char *name) {
  for (size_t i = 0; i < house->n_rooms; i++)
    if (ebi_text_equal(house->rooms[i].name, name))
      return true;
  return false;
}

static bool is_terminal(const eb_house *house, const ebi_run *run, eb_air air) {
  return run->air == air && is_room(house, air == EB_SUPPLY ? run->to : run->from);
}

/* Of the terminals of a side. */
static double sum_of(const ebi_energy_inputs *in, const ebi_round *round, eb_air air) {
  const eb_house *house = in->house;
  const ebi_given *measured = &round->temperature[air];
  double indoor = round->indoor.given ? round->indoor.value : in->indoor_c;
  double density =
      eb_air_density(measured->given ? measured->value : indoor, eb_air_pressure(in->altitude_m));
  double sum = 0.0;
  size_t terminals = 0;
  for (size_t i = 0; i < house->n_runs; i++)
    if (is_terminal(house, &house->runs[i], air)) {
      sum += mass(round, reading_of(round, i), density);
      terminals++;
    }
  return terminals > 0 ? sum : (double)NAN;
}

/* As the unit shows it, at either of the two spigots on the way. */
static double shown(const ebi_round *round, eb_air air, eb_air outer) {
  const ebi_given *flow = &round->unit_flow[round->unit_flow[air].given ? air : outer];
  return flow->given ? flow->value : (double)NAN;
}

static double unbalance_of(const ebi_energy_inputs *in, const ebi_round *round) {
  totals t = {sum_of(in, round, EB_SUPPLY), sum_of(in, round, EB_EXTRACT)};
  if (isnan(t.supply + t.extract)) /* of both sides or of none: they are not of one measure */
    t = (totals){shown(round, EB_SUPPLY, EB_OUTDOOR), shown(round, EB_EXTRACT, EB_EXHAUST)};
  double most = fmax(t.supply, t.extract);
  return !isnan(t.supply + t.extract) && most > 0.0 ? (t.supply - t.extract) / most : (double)NAN;
}

/* The last round that has both sides holds: before it valves and fans were still being set. */
void ebi_energy_unbalance(ebi_energy_inputs *in) {
  const struct eb_readings *readings = in->readings;
  in->measured_unbalance = NAN; /* as designed */
  if (readings == NULL)
    return;
  for (size_t i = readings->n_rounds; i-- > 0 && isnan(in->measured_unbalance);) {
    const ebi_round *round = &readings->rounds[i];
    in->measured_unbalance = unbalance_of(in, round);
    if (!isnan(in->measured_unbalance))
      ebi_diag(in->context, EB_NOTE, "unbalance-measured", round->where, NULL,
               "supply and extract are taken as read in round %zu: %s by %.2g %% in mass", i + 1,
               in->measured_unbalance >= 0.0 ? "more supply" : "more extract",
               fabs(in->measured_unbalance) * 100.0);
  }
  if (isnan(in->measured_unbalance))
    ebi_diag(in->context, EB_WARNING, "unbalance-measured", readings->where, NULL,
             "no round has every terminal of both sides, nor both flows of the unit: supply and "
             "extract are taken as designed");
}
