/* quantity.c - numbers with units: a closed table of names */

#include "base/quantity.h"

#include <math.h>
#include <string.h>

/* A unit of one kind. SI value = (value + before) * multiply / divide + after,
 * with whole or exact decimal numbers, so that 22 l/s is 22/1000 rounded once.
 * Sources: the International System (BIPM, SI Brochure, 9th ed. 2019) and NIST
 * SP 811 (2008) app. B, from memory: foot 0.3048 m and inch 0.0254 m exactly;
 * standard gravity 9.80665 m/s2; inch of water, the conventional one, 249.08891 Pa. */
typedef struct unit {
  ebi_kind kind;
  double multiply, divide;
  const char *names; /* joined by '|', the first is the usual one */
  double before, after;
} unit;

#define FOOT 0.3048
#define CUBIC_FOOT 0.028316846592 /* 0.3048^3 */

static const unit units[] = {
    {EBI_LENGTH, 1, 1, "m", 0, 0},
    {EBI_LENGTH, 1, 1000, "mm", 0, 0},
    {EBI_LENGTH, 1, 100, "cm", 0, 0},
    {EBI_LENGTH, FOOT, 1, "ft", 0, 0},
    {EBI_LENGTH, 0.0254, 1, "in", 0, 0},
    {EBI_AREA, 1, 1, "m2|m^2|m²", 0, 0},
    {EBI_AREA, 1, 1e6, "mm2|mm^2|mm²", 0, 0},
    {EBI_AREA, 1, 1e4, "cm2|cm^2|cm²", 0, 0},
    {EBI_AREA, 0.09290304, 1, "ft2|ft^2|ft²", 0, 0},
    {EBI_AREA, 0.00064516, 1, "in2|in^2|in²", 0, 0},
    {EBI_VOLUME, 1, 1, "m3|m^3|m³", 0, 0},
    {EBI_VOLUME, 1, 1000, "l|L", 0, 0},
    {EBI_VOLUME, CUBIC_FOOT, 1, "ft3|ft^3|ft³", 0, 0},
    {EBI_FLOW, 1, 1000, "l/s|L/s", 0, 0},
    {EBI_FLOW, 1, 1, "m3/s|m^3/s|m³/s", 0, 0},
    {EBI_FLOW, 1, 3600, "m3/h|m^3/h|m³/h", 0, 0},
    {EBI_FLOW, 1, 3.6e6, "l/h|L/h", 0, 0},
    {EBI_FLOW, CUBIC_FOOT, 60, "cfm|ft3/min", 0, 0},
    {EBI_FLOW_PER_AREA, 1, 1000, "l/(s.m2)|l/s/m2|l/(s.m^2)|l/s/m^2|l/(s.m²)", 0, 0},
    {EBI_FLOW_PER_AREA, 1, 3600, "m3/(h.m2)|m3/h/m2|m^3/(h.m^2)|m³/(h.m²)", 0, 0},
    {EBI_FLOW_PER_AREA, 1, 1, "m3/(s.m2)|m3/s/m2", 0, 0},
    {EBI_FLOW_PER_AREA, FOOT, 60, "cfm/ft2|cfm/ft^2", 0, 0},
    {EBI_FLOW_PER_VOLUME, 1, 3600, "1/h|ach|m3/(h.m3)|m3/h/m3", 0, 0},
    {EBI_FLOW_PER_VOLUME, 1, 1000, "l/(s.m3)|l/s/m3", 0, 0},
    {EBI_FLOW_PER_VOLUME, 1, 1, "1/s", 0, 0},
    {EBI_FLOW_PER_PERSON, 1, 1000, "l/(s.person)|l/s/person|l/(s.p)", 0, 0},
    {EBI_FLOW_PER_PERSON, 1, 3600, "m3/(h.person)|m3/h/person|m3/(h.p)", 0, 0},
    {EBI_FLOW_PER_PERSON, CUBIC_FOOT, 60, "cfm/person", 0, 0},
    {EBI_PERMEABILITY, 1, 3600, "m3/(h.m2)|m3/h/m2|m^3/(h.m^2)|m³/(h.m²)", 0, 0},
    {EBI_PERMEABILITY, 1, 1000, "l/(s.m2)|l/s/m2", 0, 0},
    {EBI_PERMEABILITY, 1, 1, "m3/(s.m2)|m3/s/m2", 0, 0},
    {EBI_PERMEABILITY, FOOT, 60, "cfm/ft2|cfm/ft^2", 0, 0},
    {EBI_AIR_CHANGE, 1, 1, "ach|1/h", 0, 0},
    {EBI_PRESSURE, 1, 1, "Pa", 0, 0},
    {EBI_PRESSURE, 1000, 1, "kPa", 0, 0},
    {EBI_PRESSURE, 100, 1, "mbar|hPa", 0, 0},
    {EBI_PRESSURE, 249.08891, 1, "in.wg|inwg|inH2O|in.w.g.", 0, 0},
    {EBI_PRESSURE, 9.80665, 1, "mmH2O|mm.wg", 0, 0},
    {EBI_POWER, 1, 1, "W", 0, 0},
    {EBI_POWER, 1000, 1, "kW", 0, 0},
    {EBI_ENERGY, 3.6e6, 1, "kWh", 0, 0},
    {EBI_ENERGY, 3600, 1, "Wh", 0, 0},
    {EBI_ENERGY, 1, 1, "J", 0, 0},
    {EBI_ENERGY, 1e6, 1, "MJ", 0, 0},
    {EBI_HEAT_LOSS, 1, 1, "W/K", 0, 0},
    {EBI_TEMPERATURE, 1, 1, "C|degC|°C", 0, 0},
    {EBI_TEMPERATURE, 1, 1, "K", 0, -273.15},
    {EBI_TEMPERATURE, 5, 9, "F|degF|°F", -32, 0},
    {EBI_TEMPERATURE_DIFFERENCE, 1, 1, "K", 0, 0},
    {EBI_RATIO, 1, 1, "", 0, 0},
    {EBI_RATIO, 1, 100, "%", 0, 0},
    {EBI_NUMBER, 1, 1, "", 0, 0},
    {EBI_ANGLE, 1, 1, "", 0, 0},
    {EBI_ANGLE, 1, 1, "deg|degrees|°", 0, 0},
    {EBI_SOUND, 1, 1, "dB|dB(A)|dBA", 0, 0},
    {EBI_TIME, 1, 1, "s", 0, 0},
    {EBI_TIME, 60, 1, "min", 0, 0},
    {EBI_TIME, 3600, 1, "h", 0, 0},
    {EBI_HOURS_PER_DAY, 1, 1, "h/day|h/d", 0, 0},
    {EBI_HOURS_PER_DAY, 1, 60, "min/day|min/d", 0, 0},
    {EBI_SPEED, 1, 1, "m/s", 0, 0},
    {EBI_SPEED, FOOT, 60, "fpm|ft/min", 0, 0},
    {EBI_CONDUCTIVITY, 1, 1, "W/(m.K)|W/m/K|W/(mK)|W/mK", 0, 0},
    {EBI_FAN_POWER, 1000, 1, "W/(l/s)|kW/(m3/s)|W/l/s|J/l", 0, 0},
    {EBI_FAN_POWER, 1, 1, "W/(m3/s)", 0, 0},
    {EBI_FAN_POWER, 3600, 1, "Wh/m3|W/(m3/h)", 0, 0},
    {EBI_FAN_POWER, 60, CUBIC_FOOT, "W/cfm", 0, 0},
    {EBI_VALVE_FLOW, 1, 1000, "l/s/Pa^0.5|l/(s.Pa^0.5)", 0, 0},
    {EBI_VALVE_FLOW, 1, 3600, "m3/h/Pa^0.5|m3/(h.Pa^0.5)", 0, 0},
    {EBI_VALVE_FLOW, 1, 1, "m3/s/Pa^0.5|m3/(s.Pa^0.5)", 0, 0},
    {EBI_PRICE, 1, 3.6e6, "per kWh|/kWh", 0, 0},
    {EBI_PRICE, 1, 3.6e9, "per MWh|/MWh", 0, 0},
    {EBI_PRICE, 1, 1e6, "per MJ|/MJ", 0, 0},
    {EBI_CARBON, 1, 3.6e6, "kg/kWh", 0, 0},
    {EBI_CARBON, 1, 3.6e9, "g/kWh|kg/MWh", 0, 0},
    {EBI_CARBON, 1, 1, "kg/J", 0, 0},
    {EBI_AREA_PER_POWER, 1, 1e9, "mm2/kW|mm^2/kW|mm²/kW", 0, 0},
    {EBI_AREA_PER_POWER, 1, 1e7, "cm2/kW|cm^2/kW|cm²/kW", 0, 0},
    {EBI_AREA_PER_POWER, 1, 1, "m2/W", 0, 0},
    {EBI_AIR_CAPACITY, 1, 1, "Wh/(m3.K)", 0, 0},
    {EBI_DEGREE_DAYS, 1, 1, "K.day|K day|K.d|K d", 0, 0},
    {EBI_MASS, 1, 1, "kg", 0, 0},
    {EBI_CONCENTRATION, 1, 1e6, "ppm", 0, 0},
    {EBI_FREQUENCY, 1, 1, "Hz", 0, 0},
    {EBI_FREQUENCY, 1000, 1, "kHz", 0, 0},
    {EBI_SOUND_PER_LENGTH, 1, 1, "dB/m", 0, 0},
    {EBI_SOUND_PER_LENGTH, 1, FOOT, "dB/ft", 0, 0},
    {EBI_PRICE_PER_LENGTH, 1, 1, "per m|/m", 0, 0},
    {EBI_PRICE_PER_LENGTH, 1, FOOT, "per ft|/ft", 0, 0},
    {EBI_PRICE_EACH, 1, 1, "each", 0, 0},
    {EBI_PRESSURE_PER_LENGTH, 1, 1, "Pa/m", 0, 0},
    {EBI_PRESSURE_PER_LENGTH, 249.08891, 100 * FOOT, "in.wg/100ft|inwg/100ft", 0, 0},
    {EBI_MONEY_PER_YEAR, 1, 1, "per year|/year", 0, 0},
    {EBI_MONEY_PER_YEAR, 12, 1, "per month|/month", 0, 0},
    {EBI_WATER_PER_DAY, 1, 1, "kg/day|kg/d|l/day|l/d", 0, 0},
    {EBI_WATER_PER_DAY, 24, 1, "kg/h", 0, 0},
    {EBI_WATER_PER_DAY, 24, 1000, "g/h", 0, 0},
    {EBI_VOLUME_PER_DAY, 1, 1000, "l/day|l/d|L/day", 0, 0},
    {EBI_VOLUME_PER_DAY, 1, 1, "m3/day|m3/d|m^3/day", 0, 0},
    {EBI_HEAT_CAPACITY, 3.6e6, 1, "kWh/K", 0, 0},
    {EBI_HEAT_CAPACITY, 3600, 1, "Wh/K", 0, 0},
    {EBI_HEAT_CAPACITY, 1000, 1, "kJ/K", 0, 0},
    {EBI_HEAT_CAPACITY, 1e6, 1, "MJ/K", 0, 0},
    {EBI_HEAT_CAPACITY, 1, 1, "J/K", 0, 0},
    {EBI_KELVIN_HOURS, 1, 1, "K.h|K h", 0, 0},
};

#define N_UNITS (sizeof units / sizeof units[0])

typedef struct kind_words {
  const char *name, *suggest;
  const char *shown; /* the unit of results and explanations */
} kind_words;

static const kind_words words[EBI_KIND_COUNT] = {
    [EBI_LENGTH] = {"a length", "m, mm, cm, ft or in", "m"},
    [EBI_AREA] = {"an area", "m2, mm2, cm2 or ft2", "m2"},
    [EBI_VOLUME] = {"a volume", "m3, l or ft3", "m3"},
    [EBI_FLOW] = {"a flow", "l/s, m3/h, m3/s or cfm", "l/s"},
    [EBI_FLOW_PER_AREA] = {"a flow per floor area", "l/(s.m2), m3/(h.m2) or cfm/ft2", "l/(s.m2)"},
    [EBI_FLOW_PER_VOLUME] = {"a flow per volume", "1/h, ach or l/(s.m3)", "1/h"},
    [EBI_FLOW_PER_PERSON] = {"a flow per person", "l/(s.person), m3/(h.person) or cfm/person",
                             "l/(s.person)"},
    [EBI_PERMEABILITY] = {"an air permeability at 50 Pa", "m3/(h.m2), l/(s.m2) or cfm/ft2",
                          "m3/(h.m2)"},
    [EBI_AIR_CHANGE] = {"an air change rate", "ach or 1/h", "1/h"},
    [EBI_PRESSURE] = {"a pressure", "Pa, kPa, mbar, mmH2O or in.wg", "Pa"},
    [EBI_POWER] = {"a power", "W or kW", "W"},
    [EBI_ENERGY] = {"an energy", "kWh, Wh, MJ or J", "kWh"},
    [EBI_HEAT_LOSS] = {"a heat loss", "W/K", "W/K"},
    [EBI_TEMPERATURE] = {"a temperature", "C, K or F", "C"},
    [EBI_TEMPERATURE_DIFFERENCE] = {"a temperature difference", "K", "K"},
    [EBI_RATIO] = {"a ratio", "%, or a bare number from 0 to 1", "%"},
    [EBI_NUMBER] = {"a number", "no unit", ""},
    [EBI_ANGLE] = {"an angle", "deg, or a bare number of degrees", "deg"},
    [EBI_SOUND] = {"a sound level", "dB or dB(A)", "dB"},
    [EBI_TIME] = {"a time", "s, min or h", "s"},
    [EBI_HOURS_PER_DAY] = {"hours a day", "h/day or min/day", "h/day"},
    [EBI_SPEED] = {"a speed", "m/s or fpm", "m/s"},
    [EBI_CONDUCTIVITY] = {"a thermal conductivity", "W/(m.K)", "W/(m.K)"},
    [EBI_FAN_POWER] = {"a specific fan power", "W/(l/s), kW/(m3/s), Wh/m3 or W/cfm", "W/(l/s)"},
    [EBI_VALVE_FLOW] = {"a flow per root of pressure", "l/s/Pa^0.5 or m3/h/Pa^0.5", "l/s/Pa^0.5"},
    [EBI_PRICE] = {"a price of energy", "per kWh, per MWh or per MJ", "per kWh"},
    [EBI_CARBON] = {"a carbon content of energy", "kg/kWh or g/kWh", "kg/kWh"},
    [EBI_AREA_PER_POWER] = {"an area per power", "mm2/kW or cm2/kW", "mm2/kW"},
    [EBI_AIR_CAPACITY] = {"a heat capacity of air", "Wh/(m3.K)", "Wh/(m3.K)"},
    [EBI_DEGREE_DAYS] = {"degree-days", "K.day", "K.day"},
    [EBI_MASS] = {"a mass", "kg", "kg"},
    [EBI_CONCENTRATION] = {"a concentration", "ppm", "ppm"},
    [EBI_FREQUENCY] = {"a frequency", "Hz or kHz", "Hz"},
    [EBI_SOUND_PER_LENGTH] = {"a loss of sound per length", "dB/m or dB/ft", "dB/m"},
    [EBI_PRICE_PER_LENGTH] = {"a price by length", "per m or per ft", "per m"},
    [EBI_PRICE_EACH] = {"a price of one piece", "each", "each"},
    [EBI_PRESSURE_PER_LENGTH] = {"a loss of pressure per length", "Pa/m or in.wg/100ft", "Pa/m"},
    [EBI_MONEY_PER_YEAR] = {"money a year", "per year or per month", "per year"},
    [EBI_WATER_PER_DAY] = {"water a day", "kg/day, l/day or g/h", "kg/day"},
    [EBI_VOLUME_PER_DAY] = {"a volume a day", "l/day or m3/day", "l/day"},
    [EBI_HEAT_CAPACITY] = {"a heat capacity", "kWh/K, Wh/K or MJ/K", "kWh/K"},
    [EBI_KELVIN_HOURS] = {"kelvin-hours", "K.h", "K.h"},
};

const char *ebi_kind_name(ebi_kind kind) {
  return words[kind].name;
}

const char *ebi_kind_units(ebi_kind kind) {
  return words[kind].suggest;
}

/* True where `text` is one of the names joined by '|'. */
static bool is_named(const char *names, const char *text, size_t length) {
  for (;;) {
    size_t n = strcspn(names, "|");
    if (n == length && memcmp(names, text, n) == 0)
      return true;
    if (names[n] == '\0')
      return false;
    names += n + 1;
  }
}

const char *ebi_kind_spelling(ebi_kind kind, size_t nth, size_t *length) {
  for (size_t i = 0; i < N_UNITS; i++) {
    const char *name = units[i].kind == kind ? units[i].names : NULL;
    while (name != NULL) {
      *length = strcspn(name, "|");
      if (nth-- == 0)
        return name;
      name = name[*length] ? name + *length + 1 : NULL;
    }
  }
  return NULL;
}

static const unit *find_unit(const char *text, size_t length, ebi_kind kind) {
  for (size_t i = 0; i < N_UNITS; i++)
    if (units[i].kind == kind && is_named(units[i].names, text, length))
      return &units[i];
  return NULL;
}

static bool is_unit_of_any_kind(const char *text, size_t length) {
  for (size_t i = 0; i < N_UNITS; i++)
    if (is_named(units[i].names, text, length))
      return true;
  return false;
}

static double to_si(double value, const unit *u) {
  return (value + u->before) * u->multiply / u->divide + u->after;
}

static bool is_blank(char byte) {
  return byte == ' ' || byte == '\t';
}

static void take_unit(ebi_quantity *q, double number, ebi_kind kind) {
  const unit *u = find_unit(q->unit, q->unit_length, kind);
  if (u != NULL) {
    q->value = to_si(number, u);
    if (!isfinite(q->value)) {
      q->fault = EBI_QUANTITY_NUMBER;
      q->number = EBI_NUMBER_OVERFLOW;
    }
  } else if (q->unit_length == 0) {
    q->fault = EBI_QUANTITY_NO_UNIT;
  } else {
    bool known = is_unit_of_any_kind(q->unit, q->unit_length);
    q->fault = known ? EBI_QUANTITY_WRONG_KIND : EBI_QUANTITY_UNKNOWN_UNIT;
  }
}

ebi_quantity ebi_quantity_read(const char *text, size_t length, ebi_kind kind) {
  ebi_quantity q = {.fault = EBI_QUANTITY_OK};
  size_t at = 0, used = 0;
  while (at < length && is_blank(text[at]))
    at++;
  while (length > at && is_blank(text[length - 1]))
    length--;
  double number = 0.0;
  q.number = ebi_number_read(text + at, length - at, &number, &used);
  at += used;
  while (at < length && is_blank(text[at]))
    at++;
  q.unit = text + at;
  q.unit_length = length - at;
  if (q.number != EBI_NUMBER_OK)
    q.fault = EBI_QUANTITY_NUMBER;
  else
    take_unit(&q, number, kind);
  if (q.fault != EBI_QUANTITY_OK)
    q.value = 0.0;
  return q;
}

ebi_shown ebi_quantity_show(double si, ebi_kind kind) {
  const char *name = words[kind].shown;
  const unit *u = find_unit(name, strlen(name), kind);
  double value = (si - u->after) * u->divide / u->multiply - u->before;
  return (ebi_shown){value, name};
}

bool ebi_unit_to_si(double value, const char *name, ebi_kind kind, double *si) {
  const unit *u = find_unit(name, strlen(name), kind);
  if (u == NULL)
    return false;
  *si = to_si(value, u);
  return true;
}
