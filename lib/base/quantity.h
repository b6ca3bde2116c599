/* quantity.h - numbers with units: a closed table of names
 *
 * Factors to SI are exact. A temperature and a temperature difference are two
 * kinds. Names have alternatives (m2, m^2; m3/h, m^3/h; l/(s.m2), l/s/m2). */

#ifndef EBI_QUANTITY_H
#define EBI_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/number.h"

typedef enum ebi_kind {
  EBI_LENGTH,          /* m */
  EBI_AREA,            /* m2 */
  EBI_VOLUME,          /* m3 */
  EBI_FLOW,            /* m3/s */
  EBI_FLOW_PER_AREA,   /* m3/(s m2) */
  EBI_FLOW_PER_VOLUME, /* 1/s; "ach" and "1/h" too */
  EBI_FLOW_PER_PERSON, /* m3/s; written l/(s.person), l/s/person */
  EBI_PERMEABILITY,    /* m3/(s m2), at 50 Pa; written m3/(h.m2) */
  EBI_AIR_CHANGE,      /* 1/h, kept per hour: ach, 1/h */
  EBI_PRESSURE,        /* Pa; kPa, in.wg, mmH2O, mbar */
  EBI_POWER,           /* W */
  EBI_ENERGY,          /* J; kWh, Wh, MJ */
  EBI_HEAT_LOSS,       /* W/K */
  EBI_TEMPERATURE,     /* C; C, degC, K as absolute, F, degF */
  EBI_TEMPERATURE_DIFFERENCE, /* K */
  EBI_RATIO,           /* 0..1; written "85 %" or a bare 0.85 */
  EBI_NUMBER,          /* bare */
  EBI_ANGLE,           /* degrees; "90", "90 deg" */
  EBI_SOUND,           /* dB; dB, dB(A) */
  EBI_TIME,            /* s; s, min, h */
  EBI_HOURS_PER_DAY,   /* h/day, kept so */
  EBI_SPEED,           /* m/s */
  EBI_CONDUCTIVITY,    /* W/(m.K) */
  EBI_FAN_POWER,       /* W/(m3/s); W/(l/s), Wh/m3, kW/(m3/s), W/cfm */
  EBI_VALVE_FLOW,      /* m3/s per Pa^0.5; l/s/Pa^0.5, m3/h/Pa^0.5 */
  EBI_PRICE,           /* per J; per kWh */
  EBI_CARBON,          /* kg/J; kg/kWh, g/kWh */
  EBI_AREA_PER_POWER,  /* m2/W; mm2/kW */
  EBI_AIR_CAPACITY,    /* Wh/(m3.K), kept so */
  EBI_DEGREE_DAYS,     /* K.day, kept so */
  EBI_MASS,            /* kg */
  EBI_CONCENTRATION,   /* ratio of volumes; ppm */
  EBI_FREQUENCY,       /* Hz; Hz, kHz */
  EBI_SOUND_PER_LENGTH, /* dB/m; dB/m, dB/ft */
  EBI_PRICE_PER_LENGTH, /* per m; per m, per ft */
  EBI_PRICE_EACH,       /* of one piece; each */
  EBI_PRESSURE_PER_LENGTH, /* Pa/m; in.wg/100ft */
  EBI_MONEY_PER_YEAR,   /* money a year; per year, per month */
  EBI_WATER_PER_DAY,   /* kg/day, kept so; kg/day, g/h, kg/h, l/day */
  EBI_VOLUME_PER_DAY,  /* m3/day, kept so; l/day, m3/day */
  EBI_HEAT_CAPACITY,   /* J/K; kWh/K, Wh/K, kJ/K, MJ/K */
  EBI_KELVIN_HOURS,    /* K h, kept so */
  EBI_KIND_COUNT
} ebi_kind;

typedef enum ebi_quantity_fault {
  EBI_QUANTITY_OK,
  EBI_QUANTITY_NUMBER, /* see `number` */
  EBI_QUANTITY_NO_UNIT,
  EBI_QUANTITY_UNKNOWN_UNIT,
  EBI_QUANTITY_WRONG_KIND /* a known unit of another kind */
} ebi_quantity_fault;

typedef struct ebi_quantity {
  double value;                /* SI, as the kind says */
  ebi_quantity_fault fault;
  ebi_number_fault number;
  const char *unit;            /* of the text, as a view into it */
  size_t unit_length;
} ebi_quantity;

/* Reads "22.0 m2" (blank between number and unit optional). */
ebi_quantity ebi_quantity_read(const char *text, size_t length, ebi_kind kind);

/* "square metres", "a flow": for messages. */
const char *ebi_kind_name(ebi_kind kind);

/* Unit names to suggest for a kind, e.g. "l/s, m3/h or cfm". */
const char *ebi_kind_units(ebi_kind kind);

/* The nth name of a unit of the kind, all spellings counted, not ended by a NUL; NULL after the
 * last. The name of "no unit" is empty. */
const char *ebi_kind_spelling(ebi_kind kind, size_t nth, size_t *length);

/* The unit results and explanations are written in for a kind (l/s, mm2, %),
 * and the value in it. */
typedef struct ebi_shown {
  double value;
  const char *unit;
} ebi_shown;
ebi_shown ebi_quantity_show(double si, ebi_kind kind);

/* SI value of `value` given in the unit called `unit`; false where the unit is
 * not known or not of that kind. For columns of curves. */
bool ebi_unit_to_si(double value, const char *unit, ebi_kind kind, double *si);

#endif
