/* energy_detail.h - what the files of the rest of the air's work share
 *
 * The parts, each a file: moisture (air by month, mould), condensate (what drips, the siphon),
 * boost (called by humidity), summer (cooling), hot water (heat pump and tank). Each fills its part
 * of the result, says its findings and writes its steps. */

#ifndef EBI_ENERGY_DETAIL_H
#define EBI_ENERGY_DETAIL_H

#include "design/climate.h"
#include "design/energy.h"

typedef struct ebi_detail {
  ebi_energy_inputs *in;
  const ebi_energy_needs *needs;
  const eb_energy *energy;
  eb_ledger *ledger;
  eb_energy_detail *out;
  bool *failed; /* memory ran out while words were put together */

  ebi_weather weather;        /* the finest of the climate */
  double pressure_pa;         /* outdoors, by altitude */
  double supply, extract;     /* m3/s at the rooms, means of the year */
  double outdoor, exhaust;    /* m3/s through the exchanger: leaks inside the unit go round it */
  eb_exchanger_ratios ratios; /* at these */
  double moisture_ratio;
  double production_kg_s;
  double vapour_flow;                 /* m3/s that carries vapour off, recovered vapour taken off */
  ebi_step production, vapour, ratio; /* steps others rest on */
} ebi_detail;

/* ---- Means -------------------------------------------------------------- */

double ebi_detail_base(const ebi_detail *d, int month); /* C, with recovery */

/* The house needs heating on the month's mean. */
bool ebi_detail_heats(const ebi_detail *d, int month);

/* A level of the plan: its flows [m3/s] as delivered, else as designed; power [W] of both fans and
 * controls: where it is not known for the level, that of normal by the cube of the flow, on the
 * safe side. False where there is no such level. */
typedef struct ebi_detail_level {
  double supply, extract, power_w;
} ebi_detail_level;
bool ebi_detail_level_of(const ebi_detail *d, const char *name, ebi_detail_level *level);

/* Relative humidity as moist air reckons it, of one told over water. */
double ebi_detail_over_ice(double temperature_c, double humidity);

/* Rooms' relative humidity (1 at most) at a temperature, where outdoor air of a temperature and
 * humidity comes in at the flow that carries vapour off. */
double ebi_detail_indoor_humidity(const ebi_detail *d, double indoor_c, double outdoor_c,
                                  double outdoor_humidity, double flow);

/* What the exchanger stands between. */
typedef struct ebi_detail_airs {
  double indoor_c, indoor_humidity;
  double entering_c, outdoor_ratio; /* outdoor air after frost protection; kg/kg */
  double use;                       /* share of the exchanger's ratio: 1 with the bypass shut */
} ebi_detail_airs;
typedef struct ebi_detail_exchange {
  double supply_c, exhaust_c, dry_exhaust_c;
  double condensate_kg_s, frost_kg_s;
} ebi_detail_exchange;
ebi_detail_exchange ebi_detail_exchange_at(const ebi_detail *d, const ebi_detail_airs *airs);

/* What `added` W/K more would ask of the heating, kWh a year, beyond `losses`. */
double ebi_detail_heat_of(const ebi_detail *d, const double losses[EBI_MONTHS], double added);

/* Names of the months that are set, "January, February and May". */
const char *ebi_detail_months(const ebi_detail *d, const bool months[EBI_MONTHS]);

/* A finding of the house's file. */
#if defined __GNUC__
__attribute__((format(printf, 6, 7)))
#endif
void ebi_detail_say(const ebi_detail *d, eb_severity severity, const char *code, ebi_where where,
                    const char *source, const char *format, ...);

/* ---- Parts -------------------------------------------------------------- */

eb_status ebi_detail_moisture(ebi_detail *d);
eb_status ebi_detail_condensate(ebi_detail *d);
eb_status ebi_detail_boost(ebi_detail *d);
eb_status ebi_detail_hood(ebi_detail *d);
eb_status ebi_detail_summer(ebi_detail *d);
eb_status ebi_detail_hot_water(ebi_detail *d);

/* ---- The entry ---------------------------------------------------------- */

/* Fills energy->detail; the rest of the year is known already. */
EB_MUST_USE eb_status ebi_energy_detail(ebi_energy_inputs *in, const ebi_energy_needs *needs,
                                        eb_energy *energy, eb_ledger *ledger);

#endif
