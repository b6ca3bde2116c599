/* readings.h - what was read on site, as plain structs in SI, names resolved
 *
 * Made by the input floor. A value that was not read is never zero: it is
 * missing, with its reason where one was written. */

#ifndef EBI_READINGS_H
#define EBI_READINGS_H

#include "model/house.h"
#include "model/record.h"

/* How the instrument takes the density of the air (commissioning practice). */
typedef enum ebi_instrument_kind {
  EBI_INSTRUMENT_VANE,     /* reads actual velocity */
  EBI_INSTRUMENT_PRESSURE, /* orifice, pitot, k-factor: calibrated at 1.2 kg/m3 */
  EBI_INSTRUMENT_THERMAL   /* hot wire or film: calibrated at 1.2 kg/m3 */
} ebi_instrument_kind;

/* `bias` and `repeat` are 95 % limits as shares of the reading, `floor` is absolute. */
typedef struct ebi_instrument {
  bool given;
  const char *name, *serial, *calibrated; /* "" where not said */
  ebi_instrument_kind kind;
  ebi_given bias, repeat, floor;     /* 0..1, 0..1, m3/s */
  ebi_given drop, drop_at;           /* of its own hood: Pa at m3/s, square law */
  ebi_given temperature_error;       /* K, 95 % limits of a thermometer */
  bool powered;                      /* a powered hood, without resistance */
  ebi_where where;
} ebi_instrument;

/* One or several readings of one terminal. */
typedef struct ebi_terminal_reading {
  size_t run;                 /* index in house->runs */
  const double *flows;        /* m3/s as the instrument showed them, n of them */
  const char *const *written; /* as typed, "13.8 l/s" */
  size_t n_flows;             /* 0: unread */
  const char *unread;         /* why, "" where not said; NULL where read */
  const char *note;           /* or "" */
  ebi_where where;
} ebi_terminal_reading;

/* A valve as it stood: number in the unit of its table. */
typedef struct ebi_valve_setting {
  size_t run;
  double opening;
  ebi_where where;
} ebi_valve_setting;

typedef struct ebi_pressure_reading {
  const char *at;             /* a junction, a run or "house" (against outdoors) */
  double pressure;            /* Pa */
  ebi_where where;
} ebi_pressure_reading;

/* Any that was not said is not `given`, or NULL. */
typedef struct ebi_round {
  const char *level;          /* as the house names it */
  const char *bypass, *frost, *filters; /* as written: "shut", "off", "new"; NULL */
  ebi_given outdoor, indoor;  /* C */
  ebi_given wind;             /* m/s */
  ebi_given fan_signal[2];    /* supply, extract: see eb_controller */
  const ebi_valve_setting *valves;
  size_t n_valves;
  const ebi_terminal_reading *terminals;
  size_t n_terminals;
  const ebi_pressure_reading *pressures;
  size_t n_pressures;
  ebi_given unit_flow[4];     /* by eb_air, as the unit or a traverse shows it, m3/s */
  ebi_given temperature[4];   /* by eb_air, at the unit, C */
  ebi_given humidity[4];      /* by eb_air, relative, 0..1 */
  ebi_given power;            /* W of the unit */
  ebi_instrument instrument;  /* of the round, else of the file */
  const char *note;
  ebi_where where;
} ebi_round;

struct eb_readings {
  ebi_arena *arena;
  eb_context *context;
  const eb_house *house;
  const char *file;
  const char *date, *by, *organisation; /* of `visit:`; "" where not said */
  ebi_instrument instrument;
  const ebi_round *rounds;
  size_t n_rounds;
  ebi_record_values record;
  ebi_where where;
};

#endif
