/* read_unit.c - ventilation units: tables/units/, and a house's `unit:` mapping
 *
 *   table: units                 # these four in a file only
 *   title: ...
 *   source: ...
 *   known: invented
 *   exchanger: {temperature_ratio: 85 %, at: 40 l/s} # read_unit_exchanger.c, as bypass and frost
 *   fans: ...                    # read_fan.c
 *   spigots: 160 mm              # or {outdoor: ..., supply: ..., extract: ..., exhaust: ...}
 *   filters:
 *     outdoor: {clean: 10 Pa, loaded: 80 Pa, at: 40 l/s, exponent: 1.2, in_curve: yes}
 *     extract: {...}
 *   bypass: {opens_above: 22 C}
 *   frost: {method: preheater, below: -3 C}
 *   standby: 4 W                 # controls, with both fans at rest or running
 *   signal: {unit: "%", map: [[8, 0], [100, 100]]}
 *   sound: ...                   # read_unit_sound.c
 *
 * The signal's map goes from what the controller shows (% or V of 10) to the
 * speed in percent. A maker's sheet belongs into a file of the user's own. */

#include "input/read_unit.h"

#include <math.h>

typedef struct unit_keys {
  ebi_unit unit; /* first: the readers of the fans see an ebi_unit */
  const char *name;
  ebi_given standby, price;
} unit_keys;

#define QUANTITY(record, name, of, least, most, text)                                              \
  {                                                                                                \
    .key = #name, .type = EBI_FIELD_QUANTITY, .offset = offsetof(record, name), .kind = of,        \
    .low = least, .high = most, .about = text                                                      \
  }

/* ---- Spigots ----------------------------------------------------------- */

typedef struct spigot_keys {
  ebi_given outdoor, supply, extract, exhaust;
} spigot_keys;

static const ebi_field spigot_fields[] = {
    QUANTITY(spigot_keys, outdoor, EBI_LENGTH, 0.02, 2, "bore"),
    QUANTITY(spigot_keys, supply, EBI_LENGTH, 0.02, 2, "bore"),
    QUANTITY(spigot_keys, extract, EBI_LENGTH, 0.02, 2, "bore"),
    QUANTITY(spigot_keys, exhaust, EBI_LENGTH, 0.02, 2, "bore")};

static const ebi_field spigots_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_QUANTITY, .kind = EBI_LENGTH, .low = 0.02, .high = 2},
                {.type = EBI_FIELD_MAPPING, EBI_TABLE(spigot_fields)})};

/* One bore for all four, or each by its air. */
static void read_spigots(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_unit *unit = &((unit_keys *)record)->unit;
  spigot_keys keys = {0};
  if (value->kind == EBI_YAML_SCALAR) {
    (void)ebi_read_given(reader, value, EBI_LENGTH, 0.02, 2, &keys.outdoor);
    keys.supply = keys.extract = keys.exhaust = keys.outdoor;
  } else {
    ebi_fields_read(reader, value, "spigots", spigot_fields,
                    sizeof spigot_fields / sizeof spigot_fields[0], &keys);
  }
  unit->spigot[EB_OUTDOOR] = keys.outdoor.value;
  unit->spigot[EB_SUPPLY] = keys.supply.value;
  unit->spigot[EB_EXTRACT] = keys.extract.value;
  unit->spigot[EB_EXHAUST] = keys.exhaust.value;
}

/* ---- Filters ----------------------------------------------------------- */

typedef struct filter_keys {
  ebi_given clean, loaded, at, exponent;
  bool in_curve;
} filter_keys;

static const ebi_field filter_fields[] = {
    QUANTITY(filter_keys, clean, EBI_PRESSURE, 0, 1000, "drop when new"),
    QUANTITY(filter_keys, loaded, EBI_PRESSURE, 0, 2000, "drop when it is to be changed"),
    QUANTITY(filter_keys, at, EBI_FLOW, 1e-4, 10, "the flow of those drops"),
    QUANTITY(filter_keys, exponent, EBI_NUMBER, 1, 2, "of flow; 1 where not said"),
    {.key = "in_curve",
     .type = EBI_FIELD_BOOL,
     .offset = offsetof(filter_keys, in_curve),
     .about = "yes (where not said): the fan curve was measured with it"}};

static const ebi_field filter_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(filter_fields)};

static void read_filter(ebi_reader *reader, const ebi_yaml *value, ebi_filter *filter) {
  filter_keys keys = {.in_curve = true};
  ebi_fields_read(reader, value, "a filter", filter_fields,
                  sizeof filter_fields / sizeof filter_fields[0], &keys);
  if ((keys.clean.given || keys.loaded.given) && !keys.at.given && value->count > 0)
    ebi_read_error(reader, value, "key-missing",
                   "the drop of a filter needs `at:`, the flow it was measured at");
  if (keys.clean.given && keys.loaded.given && keys.loaded.value < keys.clean.value)
    ebi_read_error(reader, value, "out-of-range",
                   "a loaded filter drops more than a clean one: %.12g Pa is less than %.12g Pa",
                   keys.loaded.value, keys.clean.value);
  filter->clean = keys.clean;
  filter->loaded = keys.loaded;
  filter->at = keys.at;
  filter->exponent = keys.exponent.given ? keys.exponent.value : 1;
  filter->in_curve = keys.in_curve;
}

static void read_outdoor_filter(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_filter(reader, value, &((ebi_unit *)record)->filter_outdoor);
}

static void read_extract_filter(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_filter(reader, value, &((ebi_unit *)record)->filter_extract);
}

static const ebi_field filters_fields[] = {{.key = "outdoor",
                                            .type = EBI_FIELD_CUSTOM,
                                            .read = read_outdoor_filter,
                                            .holds = &filter_form,
                                            .about = "in the outdoor air"},
                                           {.key = "extract",
                                            .type = EBI_FIELD_CUSTOM,
                                            .read = read_extract_filter,
                                            .holds = &filter_form,
                                            .about = "in the extract air"}};

/* ---- Signal ------------------------------------------------------------ */

static const char *const signal_words[] = {"%", "V", "step", "m3/h", "l/s", NULL};
enum { SIGNAL_PERCENT, SIGNAL_VOLT, SIGNAL_STEP, SIGNAL_M3_H, SIGNAL_L_S };
static const double signal_scales[] = {100, 10, 1, 3600, 1000};

typedef struct signal_keys {
  const char *unit;
  const ebi_yaml *map;
} signal_keys;

static void keep_map(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)reader;
  ((signal_keys *)record)->map = value;
}

static const ebi_field signal_fields[] = {
    {.key = "unit",
     .type = EBI_FIELD_WORD,
     .offset = offsetof(signal_keys, unit),
     .words = signal_words,
     .about = "% (where not said), V of 0 to 10 V, step of a switch, m3/h or l/s that are kept"},
    {.key = "map",
     .type = EBI_FIELD_CUSTOM,
     .read = keep_map,
     EBI_HOLDS(.type = EBI_FIELD_LIST, .least = 2,
               EBI_ONE(.type = EBI_FIELD_LIST, .least = 2, .most = 2,
                       EBI_ONE(.type = EBI_FIELD_QUANTITY, .kind = EBI_NUMBER, .low = 0,
                               .high = 100))),
     .about = "[[signal, speed in %], ...]"}};

static const ebi_field signal_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(signal_fields)};

/* One pair [signal, speed %], both as shares of 1. */
static bool read_pair(ebi_reader *reader, const ebi_yaml *pair, double full, ebi_point *point) {
  ebi_given signal, speed;
  if (pair->kind != EBI_YAML_SEQUENCE || pair->count != 2) {
    ebi_read_error(reader, pair, "kind-wrong",
                   "each point of the map is [signal, speed in %%], such as [8, 0]");
    return false;
  }
  if (!ebi_read_given(reader, pair->items[0], EBI_NUMBER, 0, full, &signal) ||
      !ebi_read_given(reader, pair->items[1], EBI_NUMBER, 0, 100, &speed))
    return false;
  *point = (ebi_point){signal.value / full, speed.value / 100};
  return true;
}

static void read_map(ebi_reader *reader, const ebi_yaml *value, double full, ebi_unit *unit) {
  if (value->kind != EBI_YAML_SEQUENCE || value->count < 2) {
    ebi_read_error(reader, value, "kind-wrong",
                   "`map:` is a list of two points at least: [[8, 0], [100, 100]]");
    return;
  }
  ebi_point *points = EBI_NEW_ARRAY(reader->arena, ebi_point, value->count);
  if (points == NULL) {
    ebi_read_no_memory(reader, value);
    return;
  }
  for (size_t i = 0; i < value->count; i++) {
    if (!read_pair(reader, value->items[i], full, &points[i]))
      return;
    if (i > 0 && (points[i].x <= points[i - 1].x || points[i].y <= points[i - 1].y)) {
      ebi_read_error(reader, value->items[i], "not-rising",
                     "signal and speed must both rise from point to point");
      return;
    }
  }
  unit->signal_map = points;
  unit->n_signal_map = value->count;
}

/* Steps are counted from 1, none left out. */
static void check_steps(ebi_reader *reader, const ebi_yaml *value, const ebi_unit *unit) {
  double n = (double)unit->n_signal_map;
  for (size_t i = 0; i < unit->n_signal_map; i++)
    if (fabs(n * unit->signal_map[i].x - (double)(i + 1)) > 1e-9) {
      ebi_read_error(reader, value, "signal-map",
                     "the steps of a switch are 1, 2, 3 ...: point %zu of its map is step %.4g",
                     i + 1, n * unit->signal_map[i].x);
      return;
    }
}

static void read_signal(ebi_reader *reader, const ebi_yaml *value, void *record) {
  ebi_unit *unit = &((unit_keys *)record)->unit;
  signal_keys keys = {.unit = signal_words[0]};
  ebi_fields_read(reader, value, "the signal", signal_fields,
                  sizeof signal_fields / sizeof signal_fields[0], &keys);
  size_t word = 0;
  while (signal_words[word] != keys.unit)
    word++;
  bool steps = word == SIGNAL_STEP;
  unit->controller = (eb_controller){keys.unit, signal_scales[word], word >= SIGNAL_M3_H};
  if (steps && keys.map != NULL)
    unit->controller.scale = (double)keys.map->count;
  if (unit->controller.flow && keys.map != NULL)
    ebi_read_error(reader, keys.map, "signal-map",
                   "a controller that is told a flow has no map: it keeps that flow");
  else if (keys.map != NULL)
    read_map(reader, keys.map, unit->controller.scale, unit);
  else if (steps)
    ebi_read_error(
        reader, value, "key-missing",
        "a switch of steps needs `map:`, the speed at each: [[1, 40], [2, 65], [3, 100]]");
  if (steps)
    check_steps(reader, value, unit);
}

/* ---- The unit ---------------------------------------------------------- */

#define CUSTOM(name, function, form, text)                                                         \
  { .key = name, .type = EBI_FIELD_CUSTOM, .read = function, .holds = form, .about = text }

static const ebi_field unit_fields[] = {
    EBI_ENTRY_FIELDS,
    {.key = "name",
     .type = EBI_FIELD_TEXT,
     .offset = offsetof(unit_keys, name),
     .about = "what to call it in a house's own mapping"},
    CUSTOM("exchanger", ebi_unit_read_exchanger, &ebi_exchanger_form,
           "temperature and moisture ratio, and their flow"),
    CUSTOM("fan", ebi_unit_read_fan, &ebi_fan_form, "for both sides"),
    CUSTOM("fans", ebi_unit_read_fans, &ebi_fans_form, "supply and extract apart"),
    CUSTOM("spigots", read_spigots, &spigots_form, "bores"),
    {.key = "filters",
     .type = EBI_FIELD_MAPPING,
     .what = "filters",
     EBI_TABLE(filters_fields),
     .about = "outdoor and extract"},
    {.key = "bypass",
     .type = EBI_FIELD_CUSTOM,
     .read = ebi_unit_read_bypass,
     .holds = &ebi_bypass_form,
     .about = "when it opens"},
    CUSTOM("frost", ebi_unit_read_frost, &ebi_frost_form, "how ice is kept off"),
    QUANTITY(unit_keys, standby, EBI_POWER, 0, 1000, "of the controls"),
    QUANTITY(unit_keys, price, EBI_PRICE_EACH, 0, 1e6, "of the unit: 1850 each"),
    CUSTOM("signal", read_signal, &signal_form, "from what the controller shows to the speed"),
    CUSTOM("sound", ebi_unit_read_sound, &ebi_unit_sound_form,
           "sound power in the ducts at its spigots")};

static void read_unit(ebi_reader *reader, const ebi_yaml *mapping, unit_keys *keys) {
  keys->unit.controller = (eb_controller){signal_words[SIGNAL_PERCENT], 100, false};
  keys->unit.filter_outdoor = (ebi_filter){.exponent = 1, .in_curve = true};
  keys->unit.filter_extract = keys->unit.filter_outdoor;
  ebi_fields_read(reader, mapping, "a unit", unit_fields,
                  sizeof unit_fields / sizeof unit_fields[0], keys);
  keys->unit.standby = keys->standby.value;
  keys->unit.price = keys->price.given ? keys->price.value : (double)NAN;
  bool one = ebi_yaml_get(mapping, "fan") != NULL, two = ebi_yaml_get(mapping, "fans") != NULL;
  if (one == two)
    ebi_read_error(reader, mapping, one ? "key-twice" : "key-missing",
                   "a unit has either `fan:`, for two alike, or `fans:` with supply and extract");
  bool keeps =
      keys->unit.supply_fan.mode == EBI_FAN_FLOW && keys->unit.extract_fan.mode == EBI_FAN_FLOW;
  if (keys->unit.controller.flow && !keeps)
    ebi_read_error(reader, mapping, "signal-mode",
                   "a controller that is told %s keeps that flow: its fans have `mode: flow`",
                   keys->unit.controller.unit);
}

static const ebi_unit *keep(ebi_reader *reader, const ebi_yaml *mapping, const unit_keys *keys) {
  ebi_unit *unit = EBI_NEW(reader->arena, ebi_unit);
  if (unit == NULL)
    ebi_read_no_memory(reader, mapping);
  else
    *unit = keys->unit;
  return unit;
}

static const void *read_file(ebi_reader *reader, const ebi_document *document, const char *name) {
  unit_keys keys = {0};
  ebi_entry_read(reader, document, name, &keys.unit.entry);
  read_unit(reader, document->root, &keys);
  return keep(reader, document->root, &keys);
}

static const ebi_unit *read_own(ebi_reader *reader, const ebi_yaml *mapping) {
  static const ebi_source own = {"the house file", "read"};
  unit_keys keys = {0};
  size_t mark = ebi_diag_errors(reader->context);
  ebi_read_source(reader, mapping, &own, &keys.unit.entry.source);
  read_unit(reader, mapping, &keys);
  keys.unit.entry.name = keys.name ? keys.name : "unit";
  keys.unit.entry.title = keys.unit.entry.name;
  keys.unit.entry.where = mapping->where;
  return ebi_diag_errors(reader->context) == mark ? keep(reader, mapping, &keys) : NULL;
}

const ebi_field ebi_unit_form = {
    .type = EBI_FIELD_EITHER,
    EBI_SEVERAL({.type = EBI_FIELD_TEXT}, {.type = EBI_FIELD_MAPPING, EBI_TABLE(unit_fields)})};

const ebi_unit *ebi_unit_load(ebi_reader *asking, const ebi_yaml *value) {
  if (value->kind == EBI_YAML_MAPPING)
    return read_own(asking, value);
  return ebi_table_load(asking, value, "units", read_file);
}
