/* read_valve.c - valves that are set, in tables/valves/ and a house's `valves:`
 *
 *   table: valves
 *   title: Extract valve, 125 mm
 *   source: ...
 *   known: invented
 *   bore: 125 mm
 *   loss: {columns: [mm, l/s/Pa^0.5], points: [[-10, 0.6], [0, 2.7], [15, 5.0]]}
 *   sound:                       # power that it makes, at one or more duties
 *     - {flow: 10 l/s, drop: 30 Pa, power: {columns: [Hz, dB], points: [[125, 28], ...]}}
 *   insertion_loss: {columns: [Hz, dB], points: [[125, 14], ...]}
 *
 * Flow is k sqrt(pressure at 1.2 kg/m3), k by opening; the opening is in the
 * unit of the maker's sheet (mm, turns, deg, position or %), and may be below
 * zero. `loss:` is across the whole valve, from duct to room; `tap:` has the
 * same form for the pressure at a measuring tap, which is another curve. More
 * opening is more flow: both columns rise. `insertion_loss:` is what the valve takes
 * from the sound of the duct, the reflection of the duct's end in it. */

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "input/quote.h"
#include "input/read_octaves.h"

typedef struct valve_curve {
  const ebi_point *points;
  size_t n_points;
  const char *unit;
} valve_curve;

typedef struct valve_keys {
  valve_curve loss, tap;
  ebi_given bore, price;
  const ebi_valve_sound *sound;
  size_t n_sound;
  ebi_octaves insertion_loss;
} valve_keys;

static const char *const opening_units[] = {"mm", "turns", "deg", "position", "%", NULL};
enum { OPENING_UNITS = 5 };

/* The unit over the openings, as a word of the list. */
static void read_unit(ebi_reader *reader, const ebi_yaml *value, valve_curve *curve) {
  for (size_t i = 0; i < OPENING_UNITS; i++) {
    if (strcmp(opening_units[i], curve->unit) == 0) {
      curve->unit = opening_units[i];
      return;
    }
  }
  ebi_read_error(reader, value, "unit-unknown",
                 "\"%s\" is not a unit of opening: write mm, turns, deg, position or %%",
                 ebi_quote(curve->unit).text);
}

static const ebi_column curve_columns[] = {{EBI_NUMBER, -1000, 1000, "opening"},
                                           {EBI_VALVE_FLOW, 1e-6, 0.1, "k"}};
static const ebi_field curve_form = {
    .type = EBI_FIELD_CURVE, EBI_COLUMNS_OF(curve_columns), .words = opening_units};

static void read_curve(ebi_reader *reader, const ebi_yaml *value, valve_curve *curve) {
  if (!ebi_read_points(reader, value, curve_columns, &curve->points, &curve->n_points,
                       &curve->unit))
    return;
  read_unit(reader, value, curve);
  for (size_t i = 1; i < curve->n_points; i++)
    if (!(curve->points[i].y > curve->points[i - 1].y)) {
      ebi_read_error(reader, ebi_yaml_get(value, "points")->items[i], "not-rising",
                     "k must rise with the opening: write the opening so that more is more air");
      return;
    }
}

static void read_loss(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_curve(reader, value, &((valve_keys *)record)->loss);
}

static void read_tap(ebi_reader *reader, const ebi_yaml *value, void *record) {
  read_curve(reader, value, &((valve_keys *)record)->tap);
}

/* ---- Sound ------------------------------------------------------------- */

typedef struct sound_keys {
  ebi_given flow, drop;
  ebi_octaves power;
} sound_keys;

static void read_power(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)ebi_read_octaves(reader, value, false, &((sound_keys *)record)->power);
}

static const ebi_field sound_fields[] = {{.key = "flow",
                                          .type = EBI_FIELD_QUANTITY,
                                          .required = true,
                                          .offset = offsetof(sound_keys, flow),
                                          .kind = EBI_FLOW,
                                          .low = 1e-4,
                                          .high = 10,
                                          .about = "through the valve"},
                                         {.key = "drop",
                                          .type = EBI_FIELD_QUANTITY,
                                          .required = true,
                                          .offset = offsetof(sound_keys, drop),
                                          .kind = EBI_PRESSURE,
                                          .low = 0.1,
                                          .high = 2000,
                                          .about = "of pressure across it"},
                                         {.key = "power",
                                          .type = EBI_FIELD_CUSTOM,
                                          .required = true,
                                          .read = read_power,
                                          .holds = &ebi_octaves_form,
                                          .about = "sound power into the room by octave bands"}};

static void read_sound(ebi_reader *reader, const ebi_yaml *value, void *record) {
  valve_keys *valve = record;
  if (value->kind != EBI_YAML_SEQUENCE || value->count == 0) {
    ebi_read_error(reader, value, "kind-wrong",
                   "`sound:` is a list: [{flow: 10 l/s, drop: 30 Pa, power: {columns: [Hz, dB], "
                   "points: [[125, 28], ...]}}]");
    return;
  }
  ebi_valve_sound *sounds = EBI_NEW_ARRAY(reader->arena, ebi_valve_sound, value->count);
  if (sounds == NULL) {
    ebi_read_no_memory(reader, value);
    return;
  }
  for (size_t i = 0; i < value->count; i++) {
    sound_keys keys = {0};
    ebi_fields_read(reader, value->items[i], "a sound of a valve", sound_fields,
                    sizeof sound_fields / sizeof sound_fields[0], &keys);
    sounds[i] = (ebi_valve_sound){keys.flow.value, keys.drop.value, keys.power};
  }
  valve->sound = sounds;
  valve->n_sound = value->count;
}

static void read_insertion_loss(ebi_reader *reader, const ebi_yaml *value, void *record) {
  (void)ebi_read_octaves(reader, value, true, &((valve_keys *)record)->insertion_loss);
}

/* ---- The valve --------------------------------------------------------- */

static const ebi_field valve_fields[] = {
    EBI_ENTRY_FIELDS,
    {.key = "loss",
     .type = EBI_FIELD_CUSTOM,
     .required = true,
     .read = read_loss,
     .holds = &curve_form,
     .about = "opening against k of q = k sqrt(dp) across the valve"},
    {.key = "tap",
     .type = EBI_FIELD_CUSTOM,
     .read = read_tap,
     .holds = &curve_form,
     .about = "opening against k of the pressure at the measuring tap"},
    {.key = "bore",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(valve_keys, bore),
     .kind = EBI_LENGTH,
     .low = 0.02,
     .high = 1,
     .about = "bore of the duct it fits"},
    {.key = "price",
     .type = EBI_FIELD_QUANTITY,
     .offset = offsetof(valve_keys, price),
     .kind = EBI_PRICE_EACH,
     .high = 1e6,
     .about = "of one, without its frame: 18 each"},
    {.key = "sound",
     .type = EBI_FIELD_CUSTOM,
     .read = read_sound,
     EBI_HOLDS(.type = EBI_FIELD_LIST, .least = 1,
               EBI_ONE(.type = EBI_FIELD_MAPPING, EBI_TABLE(sound_fields))),
     .about = "sound power that it makes, by flow and drop"},
    {.key = "insertion_loss",
     .type = EBI_FIELD_CUSTOM,
     .read = read_insertion_loss,
     .holds = &ebi_octaves_form,
     .about = "what it takes from the duct's sound, end reflection in it"}};

const ebi_field ebi_valve_form = {.type = EBI_FIELD_MAPPING, EBI_TABLE(valve_fields)};

static void read_valve(ebi_reader *reader, const ebi_yaml *mapping, void *item) {
  ebi_valve *valve = item;
  valve_keys keys = {0};
  ebi_fields_read(reader, mapping, "a valve", valve_fields,
                  sizeof valve_fields / sizeof valve_fields[0], &keys);
  if (keys.loss.unit != NULL && keys.tap.unit != NULL && strcmp(keys.loss.unit, keys.tap.unit) != 0)
    ebi_read_error(reader, mapping, "unit-wrong",
                   "`loss:` has openings in %s and `tap:` in %s: one valve has one unit",
                   ebi_quote(keys.loss.unit).text, ebi_quote(keys.tap.unit).text);
  valve->opening_unit = keys.loss.unit ? keys.loss.unit : "";
  valve->loss = keys.loss.points;
  valve->n_loss = keys.loss.n_points;
  valve->tap = keys.tap.points;
  valve->n_tap = keys.tap.n_points;
  valve->bore = keys.bore.value;
  valve->price = keys.price.given ? keys.price.value : (double)NAN;
  valve->sound = keys.sound;
  valve->n_sound = keys.n_sound;
  valve->insertion_loss = keys.insertion_loss;
}

static const void *read_file(ebi_reader *reader, const ebi_document *document, const char *name) {
  return ebi_entries_read(reader, document, name, sizeof(ebi_valve), read_valve);
}

const ebi_valve *ebi_valve_load(ebi_reader *asking, const ebi_yaml *value) {
  return ebi_entries_pick(asking, value, ebi_table_load(asking, value, "valves", read_file));
}

const ebi_valve *ebi_valve_read(ebi_reader *reader, const char *name, const ebi_yaml *mapping) {
  static const ebi_source own = {"the house file", "read"};
  size_t mark = ebi_diag_errors(reader->context);
  ebi_valve *valve = EBI_NEW(reader->arena, ebi_valve);
  if (valve == NULL) {
    ebi_read_no_memory(reader, mapping);
    return NULL;
  }
  valve->entry = (ebi_entry){name, name, own, mapping->where};
  if (mapping->kind == EBI_YAML_MAPPING)
    ebi_read_source(reader, mapping, &own, &valve->entry.source);
  read_valve(reader, mapping, valve);
  return ebi_diag_errors(reader->context) == mark ? valve : NULL;
}
