#include "units.h"

#include <math.h>
#include <string.h>

/* Exact: 1 cfm = 0.0004719474432 m3/s, 1 in.wg = 249.08891 Pa, 1 ft = 0.3048 m. */
#define CFM 0.0004719474432
#define INCH_WATER 249.08891
#define FOOT 0.3048
#define INCH 0.0254

static const cli_units sets[] = {
    {.name = "si",
     .flow = {"l/s", 1e3, 0, 1},
     .pressure = {"Pa", 1, 0, 1},
     .gradient = {"Pa/m", 1, 0, 2},
     .velocity = {"m/s", 1, 0, 1},
     .length = {"m", 1, 0, 1},
     .bore = {"mm", 1e3, 0, 0},
     .area = {"m2", 1, 0, 1},
     .gap_area = {"mm2", 1e6, 0, 0},
     .gap = {"mm", 1e3, 0, 0},
     .fan_power = {"W/(l/s)", 1e-3, 0, 2},
     .temperature = {"C", 1, 0, 1}},
    {.name = "metric",
     .flow = {"m3/h", 3600, 0, 0},
     .pressure = {"Pa", 1, 0, 1},
     .gradient = {"Pa/m", 1, 0, 2},
     .velocity = {"m/s", 1, 0, 1},
     .length = {"m", 1, 0, 1},
     .bore = {"mm", 1e3, 0, 0},
     .area = {"m2", 1, 0, 1},
     .gap_area = {"cm2", 1e4, 0, 0},
     .gap = {"mm", 1e3, 0, 0},
     .fan_power = {"Wh/m3", 1.0 / 3600, 0, 2},
     .temperature = {"C", 1, 0, 1}},
    {.name = "imperial",
     .flow = {"cfm", 1 / CFM, 0, 0},
     .pressure = {"in.wg", 1 / INCH_WATER, 0, 3},
     .gradient = {"in.wg/100ft", 100 * FOOT / INCH_WATER, 0, 3},
     .velocity = {"fpm", 60 / FOOT, 0, 0},
     .length = {"ft", 1 / FOOT, 0, 1},
     .bore = {"in", 1 / INCH, 0, 1},
     .area = {"ft2", 1 / (FOOT * FOOT), 0, 0},
     .gap_area = {"in2", 1 / (INCH * INCH), 0, 1},
     .gap = {"in", 1 / INCH, 0, 2},
     .fan_power = {"W/cfm", CFM, 0, 2},
     .temperature = {"F", 1.8, 32, 1}},
};

const cli_units *units_find(const char *name) {
  for (size_t i = 0; i < sizeof sets / sizeof sets[0]; i++)
    if (strcmp(sets[i].name, name) == 0)
      return &sets[i];
  return NULL;
}

double unit_value(const cli_unit *unit, double si) {
  return si * unit->factor + unit->offset;
}

double if_any(double value) {
  return value > 0 ? value : (double)NAN;
}
