/* energy_hood.c - a cooker hood that blows outdoors against one that sends the air round
 *
 * The one takes warm air that the exchanger never sees, the other leaves the cooking's vapour to
 * the ventilation. What an extracting hood does to the pressure in the house is told with the
 * ducts. */

#include "design/energy_detail.h"

#include <math.h>
#include <string.h>

#include "physics/rooms_air.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])
#define DAY 86400.0
#define JOULES_PER_KWH 3.6e6
#define HOURS 1.0          /* a day that it runs: common practice */
#define CAPTURED 0.75      /* BR18 par. 443 (Denmark, 2021): a hood that catches so much */
#define COOKING_KG_DAY 2.0 /* electric; gas 3: BS 5250:2002, from memory */

/* Extracting hoods of the house together. */
static double flow_of(const eb_house *house) {
  double flow = 0.0;
  for (size_t i = 0; i < house->n_appliances; i++)
    if (strcmp(house->appliances[i].kind, "cooker-hood") == 0 && house->appliances[i].flow.given)
      flow += house->appliances[i].flow.value;
  return flow;
}

/* The rooms' humidity in the month where it is coldest outdoors, so much less being made. */
static double humidity_of(const ebi_detail *d, double less_kg_day) {
  const eb_air_month *coldest = &d->out->months[0];
  for (int i = 1; i < EBI_MONTHS; i++)
    if (d->out->months[i].outdoor_c < coldest->outdoor_c)
      coldest = &d->out->months[i];
  ebi_detail with = *d;
  with.production_kg_s = fmax(d->production_kg_s - less_kg_day / DAY, 0.0);
  return ebi_detail_indoor_humidity(&with, coldest->indoor_c, coldest->outdoor_c,
                                    coldest->outdoor_humidity, d->vapour_flow);
}

eb_status ebi_detail_hood(ebi_detail *d) {
  eb_hood_detail *out = &d->out->hood;
  out->flow_m3_s = flow_of(d->in->house);
  if (!(out->flow_m3_s > 0.0))
    return EB_OK;
  double loss = ebi_sensible_power(d->in->air_capacity, out->flow_m3_s, 1.0) * HOURS / 24.0;
  out->hours_per_day = HOURS;
  out->heat_kwh = ebi_detail_heat_of(d, d->needs->recovery.heat_loss, loss);
  out->cooking_kg_day = COOKING_KG_DAY;
  out->captured = CAPTURED;
  out->recirculating_humidity = humidity_of(d, 0.0);
  out->extracting_humidity = humidity_of(d, CAPTURED * COOKING_KG_DAY);
  ebi_step inputs[] = {
      ebi_ledger_input(d->ledger, d->in->house->where, out->flow_m3_s, EBI_FLOW, "cooker hood"),
      ebi_ledger_input(d->ledger, (ebi_where){NULL, 0, 0}, HOURS, EBI_HOURS_PER_DAY,
                       "hours that it runs")};
  (void)ebi_ledger_step(d->ledger, EBI_F_HOOD_HEAT, NULL, out->heat_kwh * JOULES_PER_KWH,
                        EBI_ENERGY, inputs, LENGTH(inputs), "heat that the hood adds, the year");
  (void)ebi_ledger_step(d->ledger, EBI_F_HOOD_HUMIDITY, NULL, out->extracting_humidity, EBI_RATIO,
                        &d->production, 1, "humidity indoors with an extracting hood");
  return EB_OK;
}
