/* units.h - the units people read: l/s and Pa, m3/h, or cfm and inches */

#ifndef CLI_UNITS_H
#define CLI_UNITS_H

#include <stdbool.h>

typedef struct cli_unit {
  const char *name;
  double factor, offset; /* shown = SI * factor + offset */
  int decimals;
} cli_unit;

typedef struct cli_units {
  const char *name;
  cli_unit flow, pressure, gradient, velocity, length, bore, area, gap_area, gap, fan_power,
      temperature;
} cli_units;

/* The set called `name` (si, metric, imperial), or NULL. */
const cli_units *units_find(const char *name);

double unit_value(const cli_unit *unit, double si);

/* Of a figure where 0 says that there is none: NAN then, which is shown as "-" and as null. */
double if_any(double value);

#endif
