/* read_unit_exchanger.c - a unit's `exchanger:`, `bypass:` and `frost:`
 *
 *   exchanger:
 *     temperature_ratio: 85 %          # or `ratios:`, several points of a sheet
 *     at: 40 l/s
 *     ratios: {columns: [l/s, "%"], points: [[30, 89], [60, 84]]}
 *     moisture_ratio: 0 %
 *     kind: counterflow                # or crossflow
 *     exponent: 0.3                    # of flow in UA ~ q^m; 0, laminar channels, where not said
 *     leak_inside: 3 %                 # extract air found in the supply
 *     fan_heat: included               # or apart: the ratio was measured without it
 *   bypass: {opens_above: 22 C, closes_below: 12 C, residual: 10 %}
 *   frost:
 *     method: preheater                # none, reduce-supply, recirculate, ground
 *     below: -3 C
 *     power: 800 W                     # of a preheater
 *     cut: 50 %                        # of the supply, while it is reduced
 *     time: 30 %                       # of the hours below, reduced or recirculating
 *     ground: {temperature: 8 C, ratio: 60 %, pump: 20 W} */

#include "input/read_unit.h"

#define LENGTH(array) (sizeof(array) / sizeof(array)[0])

#define QUANTITY(record, name, of, least, most, text)                                              \
  {                                                                                                \
    .key = #name, .type = EBI_FIELD_QUANTITY, .offset = offsetof(record, name), .kind = of,        \
    .low = least, .high = most, .about = text                                                      \
  }

/* ---- Exchanger --------------------------------------------------------- */

typedef struct exchanger_keys {
  ebi_given temperature_ratio, moisture_ratio, at, exponent, leak_inside;
  const char *kind, *fan_heat;
  const ebi_yaml *ratios;
} exchanger_keys;

static const char *const kinds[] = {"counterflow", "crossflow", NULL};
static const char *const fan_heats[] = {"included", "apart", NULL};

static void keep_ratios(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((exchanger_keys *)record)->ratios = value;
}

static const ebi_column ratio_columns[] = {{EBI_FLOW, 0, 10, "flow"}, {EBI_RATIO, 0, 1, "ratio"}};

static const ebi_field exchanger_fields[] = {
    QUANTITY(exchanger_keys, temperature_ratio, EBI_RATIO, 0, 1,
             "of the supply side, balanced flows, dry"),
    QUANTITY(exchanger_keys, moisture_ratio, EBI_RATIO, 0, 1, "of the supply side"),
    QUANTITY(exchanger_keys, at, EBI_FLOW, 1e-4, 10, "the flow it was measured at"),
    {.key = "ratios",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_ratios,
     EBI_HOLDS(.type = EBI_FIELD_CURVE, EBI_COLUMNS_OF(ratio_columns)),
     .about = "{columns: [l/s, \"%\"], points: [...]}: several of them, by flow"},
    {.key = "kind",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(exchanger_keys, kind),
     .words = kinds,
     .about = "how the airs pass each other; counterflow where not said"},
    QUANTITY(exchanger_keys, exponent, EBI_NUMBER, 0, 1,
             "m of UA ~ q^m: 0 laminar (where not said), 0.8 turbulent"),
    QUANTITY(exchanger_keys, leak_inside, EBI_RATIO, 0, 0.5,
             "extract air found in the supply, share of the supply"),
    {.key = "fan_heat",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(exchanger_keys, fan_heat),
     .words = fan_heats,
     .about = "included (where not said): the ratio was measured with the fans' warmth; or apart"}};

/* The middle point stands for the unit where no single ratio is given. */
static void take_middle(const ebi_unit *unit, exchanger_keys *keys, ebi_where where) {
  const ebi_point *middle = &unit->ratios[unit->n_ratios / 2];
  if (keys->temperature_ratio.given)
    return;
  keys->temperature_ratio = (ebi_given){middle->y, true, where};
  keys->at = (ebi_given){middle->x, true, where};
}

static bool points_hold(ebi_reader *reader, const ebi_yaml *value, const ebi_point *points,
                        size_t n) {
  for (size_t i = 0; i < n; i++)
    if (!(points[i].x > 0.0 && points[i].y < 1.0)) {
      ebi_read_error(reader, value, "out-of-range",
                     "each point of `ratios:` has a flow above 0 and a ratio from 0 %% to below "
                     "100 %%; point %zu has not",
                     i + 1);
      return false;
    }
  return true;
}

static void read_ratios(ebi_reader *reader, const ebi_yaml *value, ebi_unit *unit) {
  const ebi_point *points = NULL;
  size_t n = 0;
  if (!ebi_read_points(reader, value, ratio_columns, &points, &n, NULL) ||
      !points_hold(reader, value, points, n))
    return;
  unit->ratios = points;
  unit->n_ratios = n;
}

const ebi_field ebi_exchanger_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(exchanger_fields)};

void ebi_unit_read_exchanger(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_unit *unit = record;
  exchanger_keys keys = {.kind = kinds[0], .fan_heat = fan_heats[0]};
  ebi_fields_read(reader, value, "an exchanger", exchanger_fields, LENGTH(exchanger_fields), &keys);
  if (keys.ratios != NULL)
    read_ratios(reader, keys.ratios, unit);
  else if (value->kind == EBI_YAML_MAPPING && !ebi_yaml_get(value, "temperature_ratio"))
    ebi_read_error(reader, value, "key-missing",
                   "an exchanger needs `temperature_ratio:`, such as 85 %%, or `ratios:`");
  if (unit->n_ratios > 0)
    take_middle(unit, &keys, value->where);
  unit->has_exchanger = true;
  unit->temperature_ratio = keys.temperature_ratio.value;
  unit->moisture_ratio = keys.moisture_ratio.value;
  unit->ratio_at = keys.at;
  unit->ratio_exponent = keys.exponent;
  unit->leak_inside = keys.leak_inside;
  unit->crossflow = keys.kind == kinds[1];
  unit->fan_heat_apart = keys.fan_heat == fan_heats[1];
}

/* ---- Bypass ------------------------------------------------------------ */

static const ebi_field bypass_fields[] = {
    {.key = "opens_above",
     .type = EBI_FIELD_QUANTITY,
     .required = true,
     .offset = offsetof(ebi_unit, bypass_opens_above),
     .kind = EBI_TEMPERATURE,
     .low = 0,
     .high = 40,
     .about = "indoor temperature above which it is open"},
    {.key = "closes_below",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(ebi_unit, bypass_closes_below),
     .kind = EBI_TEMPERATURE,
     .low = -20,
     .high = 40,
     .about = "outdoor temperature below which it is shut whatever it is indoors"},
    {.key = "residual",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(ebi_unit, bypass_residual),
     .kind = EBI_RATIO,
     .high = 1,
     .about = "share of the recovery that stays while it is open"}};

const ebi_field ebi_bypass_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(bypass_fields)};

void ebi_unit_read_bypass(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_fields_read(reader, value, "the bypass", bypass_fields, LENGTH(bypass_fields), record);
}

/* ---- Frost ------------------------------------------------------------- */

/* In the order of ebi_frost. */
static const char *const methods[] = {"none",        "preheater", "reduce-supply",
                                      "recirculate", "ground",    NULL};

typedef struct ground_keys {
  ebi_given temperature, ratio, pump;
} ground_keys;

typedef struct frost_keys {
  const char *method;
  ebi_given below, power, cut, time;
  ground_keys ground;
} frost_keys;

static const ebi_field ground_fields[] = {
    QUANTITY(ground_keys, temperature, EBI_TEMPERATURE, -20, 30, "of the ground in the cold"),
    QUANTITY(ground_keys, ratio, EBI_RATIO, 0, 1, "of its exchanger, outdoors to ground"),
    QUANTITY(ground_keys, pump, EBI_POWER, 0, 2000, "electricity while it runs")};

static const ebi_field frost_fields[] = {
    {.key = "method",
     .type = EBI_FIELD_WORD,
     .required = true,
     .offset = offsetof(frost_keys, method),
     .words = methods,
     .about = "how ice is kept from the exchanger"},
    QUANTITY(frost_keys, below, EBI_TEMPERATURE, -40, 20, "outdoor temperature where it begins"),
    QUANTITY(frost_keys, power, EBI_POWER, 0, 1e5, "of the preheater"),
    QUANTITY(frost_keys, cut, EBI_RATIO, 0, 1, "of the supply, by reduce-supply"),
    QUANTITY(frost_keys, time, EBI_RATIO, 0, 1,
             "share of the hours below, by reduce-supply or recirculate"),
    {.key = "ground",
     .type = EBI_FIELD_MAPPING,
     .what = "the ground exchanger",
     EBI_TABLE(ground_fields),
     .offset = offsetof(frost_keys, ground),
     .about = "temperature, ratio and pump of an exchanger in the ground"}};

/* A key of another method is a mistake: it would be without effect. */
static void check_keys(ebi_reader *reader, const ebi_yaml *value, ebi_frost method) {
  static const struct {
    const char *key;
    unsigned of; /* methods, a bit each */
  } rows[] = {{"power", 1u << EBI_FROST_PREHEATER},
              {"cut", 1u << EBI_FROST_REDUCE_SUPPLY},
              {"time", 1u << EBI_FROST_REDUCE_SUPPLY | 1u << EBI_FROST_RECIRCULATE},
              {"ground", 1u << EBI_FROST_GROUND}};
  for (size_t i = 0; value->kind == EBI_YAML_MAPPING && i < LENGTH(rows); i++) {
    const ebi_yaml *found = ebi_yaml_get(value, rows[i].key);
    if (found != NULL && !(rows[i].of >> method & 1u))
      ebi_read_error(reader, found, "key-unused", "`%s:` means nothing with `method: %s`",
                     rows[i].key, methods[method]);
  }
}

const ebi_field ebi_frost_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(frost_fields)};

void ebi_unit_read_frost(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_unit *unit = record;
  frost_keys keys = {.method = methods[0]};
  ebi_fields_read(reader, value, "frost protection", frost_fields, LENGTH(frost_fields), &keys);
  size_t at = 0;
  while (methods[at] != keys.method)
    at++;
  unit->frost = (ebi_frost)at;
  unit->frost_below = keys.below;
  unit->frost_power = keys.power;
  unit->frost_cut = keys.cut;
  unit->frost_time = keys.time;
  unit->ground_temperature = keys.ground.temperature;
  unit->ground_ratio = keys.ground.ratio;
  unit->ground_pump = keys.ground.pump;
  check_keys(reader, value, unit->frost);
}
