/* yardstick.c - the specific energy consumption of Regulation (EU) 1253/2014 and its classes */

#include <math.h>

#include "evenbreath.h"

/* Annex VIII, constants of its table from memory. */
#define YEAR_H 8760.0
#define PRIMARY 2.5        /* primary energy of electricity */
#define NET_FLOW 1.3       /* m3/(h m2) that a demand needs */
#define REFERENCE_FLOW 2.2 /* m3/(h m2) of the leaky walls it is compared with */
#define HEATING_EFFICIENCY 0.75
#define AIR_KWH 0.000344 /* kWh/(m3 K) */

static bool within(double value, double low, double high) {
  return value >= low && value <= high;
}

static bool known(const eb_specific_energy_inputs *in) {
  return within(in->temperature_ratio, 0.0, 1.0) && within(in->power_wh_m3, 0.0, 1e6) &&
         in->control > 0.0 && in->control <= 1.0 && within(in->control_exponent, 1.0, 2.0) &&
         in->ducting > 0.0 && in->ducting <= 10.0 && within(in->heating_hours, 0.0, YEAR_H) &&
         within(in->difference_k, 0.0, 100.0) && within(in->defrost_hours, 0.0, YEAR_H) &&
         within(in->defrost_difference_k, 0.0, 100.0);
}

/* SEC = ta pef q_net MISC CTRL^x SPI - th dTh c (q_ref - q_net CTRL MISC (1 - ratio))/eta_h
 *       + t_defr dT_defr c q_net pef; the equation and its symbols are read, the signs restored. */
double eb_specific_energy(const eb_specific_energy_inputs *in) {
  if (!known(in))
    return NAN;
  double fans = YEAR_H * PRIMARY * NET_FLOW * in->ducting * pow(in->control, in->control_exponent) *
                in->power_wh_m3 / 1000.0;
  double spared =
      REFERENCE_FLOW - NET_FLOW * in->control * in->ducting * (1.0 - in->temperature_ratio);
  double heat = in->heating_hours * in->difference_k * AIR_KWH * spared / HEATING_EFFICIENCY;
  double defrost = in->defrost_hours * in->defrost_difference_k * AIR_KWH * NET_FLOW * PRIMARY;
  return fans - heat + defrost;
}

/* Regulation (EU) 1254/2014, quoted by a trade page: A+ below -42, A from -42, ... G from 0. */
const char *eb_specific_energy_class(double specific_energy) {
  static const struct {
    double below;
    const char *letter;
  } classes[] = {{-42.0, "A+"}, {-34.0, "A"}, {-26.0, "B"}, {-23.0, "C"},
                 {-20.0, "D"},  {-10.0, "E"}, {0.0, "F"}};
  if (!isfinite(specific_energy))
    return NULL;
  for (size_t i = 0; i < sizeof classes / sizeof classes[0]; i++)
    if (specific_energy < classes[i].below)
      return classes[i].letter;
  return "G";
}
