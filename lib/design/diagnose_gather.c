/* diagnose_gather.c - one round at the unit as figures, each with its standard uncertainty */

#include "design/diagnose.h"

#include <math.h>

#include "input/names.h"

/* What stands where the readings do not say, as 95 % limits. */
#define USUAL_TEMPERATURE_ERROR 0.3 /* K, of a good thermometer; common practice */
#define USUAL_BIAS 0.05             /* ASHRAE HoF 2021 ch. 37 has 2 to 10 % for such instruments */
#define USUAL_REPEAT 0.03           /* common practice */
#define USUAL_FLOOR 0.3e-3          /* m3/s, common practice */
#define OF_UNIT_FLOW 0.10           /* of a display or a traverse: the same table */
#define OF_HUMIDITY 0.03            /* of a capacitive sensor, common practice */

/* The fans are alike where nothing tells them apart, within 60 to 40 %. */
#define FAN_SHARE 0.5
#define OF_FAN_SHARE 0.1

#define OUTDOOR_HUMIDITY 0.85 /* of a winter's day; it hardly matters here */

static double given_or(const ebi_given *given, double otherwise) {
  return given->given ? given->value : otherwise;
}

const char *ebi_unit_reading_lacks(const ebi_round *round) {
  static const char *const names[] = {"outdoor", "supply", "extract", "exhaust"};
  for (int air = 0; air < 4; air++)
    if (!round->temperature[air].given)
      return names[air];
  return NULL;
}

/* ---- Flows ---- */

/* What the instrument showed as flow of the air that it was in. */
static double for_density(const ebi_instrument *instrument, double flow, double density) {
  double ratio = EB_REFERENCE_DENSITY / density;
  if (instrument->kind == EBI_INSTRUMENT_PRESSURE)
    return flow * sqrt(ratio);
  return instrument->kind == EBI_INSTRUMENT_THERMAL ? flow * ratio : flow;
}

bool ebi_unit_count_terminals(const eb_house *house, ebi_arena *scratch,
                              ebi_terminal_counts *counts) {
  ebi_names rooms = {0};
  *counts = (ebi_terminal_counts){0, 0};
  for (size_t i = 0; i < house->n_rooms; i++)
    if (!ebi_names_set(&rooms, scratch, house->rooms[i].name, i))
      return false;
  for (size_t i = 0; i < house->n_runs; i++) {
    const ebi_run *run = &house->runs[i];
    bool supply = run->air == EB_SUPPLY, extract = run->air == EB_EXTRACT;
    bool ends = ebi_names_find(&rooms, supply ? run->to : run->from) != EBI_NO_NAME;
    counts->supply += supply && ends;
    counts->extract += extract && ends;
  }
  return true;
}

/* Sum of a side's terminals where every one was read. The error that all readings share adds up,
 * the others by their squares. */
static void sum_terminals(ebi_unit_reading *reading, const eb_house *house, eb_air air,
                          size_t terminals, ebi_unit_input input) {
  const ebi_round *round = reading->round;
  const ebi_instrument *instrument = &round->instrument;
  double density =
      eb_air_density(reading->x[input == EBI_IN_SUPPLY_FLOW ? EBI_IN_SUPPLY : EBI_IN_EXTRACT],
                     reading->pressure_pa);
  double sum = 0.0, variance = 0.0;
  size_t count = 0;
  for (size_t i = 0; i < round->n_terminals; i++) {
    const ebi_terminal_reading *terminal = &round->terminals[i];
    if (house->runs[terminal->run].air != air || terminal->n_flows == 0)
      continue;
    double mean = 0.0, n = (double)terminal->n_flows;
    for (size_t k = 0; k < terminal->n_flows; k++)
      mean += terminal->flows[k] / n;
    double one = hypot(given_or(&instrument->repeat, USUAL_REPEAT) * mean,
                       given_or(&instrument->floor, USUAL_FLOOR));
    sum += mean;
    variance += one * one / n;
    count++;
  }
  if (count == 0 || count != terminals)
    return;
  double shared = given_or(&instrument->bias, USUAL_BIAS) * sum;
  double factor = for_density(instrument, 1.0, density);
  reading->x[input] = factor * sum;
  reading->u[input] = factor * sqrt(shared * shared + variance) / EBI_LIMITS_95;
}

/* What the unit shows of the air itself, else of the air on the other side of the exchanger at that
 * one's density, else the terminals. */
static void take_flow(ebi_unit_reading *reading, const eb_house *house, ebi_unit_input input,
                      size_t terminals) {
  bool supply = input == EBI_IN_SUPPLY_FLOW;
  eb_air air = supply ? EB_SUPPLY : EB_EXTRACT, other = supply ? EB_OUTDOOR : EB_EXHAUST;
  const ebi_given *own = &reading->round->unit_flow[air];
  const ebi_given *behind = &reading->round->unit_flow[other];
  double density = eb_air_density(reading->x[air], reading->pressure_pa);
  if (own->given)
    reading->x[input] = own->value;
  else if (behind->given)
    reading->x[input] =
        behind->value * eb_air_density(reading->x[other], reading->pressure_pa) / density;
  else
    sum_terminals(reading, house, air, terminals, input);
  if (own->given || behind->given)
    reading->u[input] = OF_UNIT_FLOW * reading->x[input] / EBI_LIMITS_95;
  if (!(reading->x[input] > 0.0))
    reading->x[input] = NAN;
}

/* ---- All ---- */

ebi_unit_reading ebi_unit_reading_of(const eb_house *house, const ebi_terminal_counts *counts,
                                     const ebi_round *round, size_t number) {
  const ebi_unit *unit = house->unit;
  const ebi_given *humidity = &round->humidity[EB_EXTRACT], *outside = &round->humidity[EB_OUTDOOR];
  double error = given_or(&round->instrument.temperature_error, USUAL_TEMPERATURE_ERROR);
  double standby = unit != NULL ? unit->standby : 0.0;
  ebi_unit_reading reading = {
      .round = round,
      .unit = unit,
      .number = number,
      .outdoor_humidity = given_or(outside, given_or(&house->outdoor_humidity, OUTDOOR_HUMIDITY)),
      .fan_power_w = round->power.given ? fmax(round->power.value - standby, 0.0) : (double)NAN,
      .leak = unit != NULL ? unit->leak_inside.value : 0.0,
      .pressure_pa = eb_air_pressure(given_or(&house->altitude, 0.0)),
  };
  for (int air = 0; air < 4; air++) {
    reading.x[air] = round->temperature[air].value;
    reading.u[air] = error / EBI_LIMITS_95;
  }
  reading.x[EBI_IN_SUPPLY_FLOW] = reading.x[EBI_IN_EXTRACT_FLOW] = NAN;
  reading.x[EBI_IN_HUMIDITY] = humidity->given ? humidity->value : (double)NAN;
  reading.u[EBI_IN_HUMIDITY] = OF_HUMIDITY / EBI_LIMITS_95;
  reading.x[EBI_IN_FAN_SHARE] = FAN_SHARE;
  reading.u[EBI_IN_FAN_SHARE] = OF_FAN_SHARE / EBI_LIMITS_95;
  take_flow(&reading, house, EBI_IN_SUPPLY_FLOW, counts->supply);
  take_flow(&reading, house, EBI_IN_EXTRACT_FLOW, counts->extract);
  return reading;
}
